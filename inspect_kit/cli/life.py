"""`balance`, `directives`, `trend`, `parts`: questions about the aircraft besides what is due."""

from dataclasses import replace
from pathlib import Path

import click

from inspect_kit import report as reports
from inspect_kit.balance import balance as balance_of
from inspect_kit.cli.called import CHECK, POSITION, id_meant, near_or_find
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import AHEAD, shared
from inspect_kit.cli.sheets import sealed_pages
from inspect_kit.cli.shown import dated, print_json, show, to_file
from inspect_kit.due import PAST_DUE, UNKNOWN, seen_on
from inspect_kit.due import due as due_of
from inspect_kit.due.directives import APPLIES, directives_told
from inspect_kit.due.shelf import shelf
from inspect_kit.errors import NO, Misused
from inspect_kit.model.kinds.hours import OIL
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.loads import Loading, Loads
from inspect_kit.plan import durations
from inspect_kit.text.grammar import Unreadable


@click.command()
@click.option("--aboard", "seats", default="", metavar="W,W...", help="Who is aboard: a weight for each seat in turn.")
@click.option("--fuel", default="", metavar="TANK=V,...", help="Usable fuel in each tank, or `full`.")
@click.option("--baggage", default="", metavar="W,W...", help="Baggage, in the order of its places.")
@click.option("--strict", is_flag=True, help="Exit 1 when a loading is outside the limits, or nothing can be said.")
@shared("to", "force", "json")
@click.pass_obj
def balance(
    desk: Desk, seats: str, fuel: str, baggage: str, strict: bool, target: Path | None, force: bool, as_json: bool
) -> int:
    """Empty weight and CG, the loadings and their limits.

    Or one loading. With --strict it exits 1 when a loading is outside the limits, or nothing can be said.

    \b
    balance
    balance --aboard 170,150 --fuel full --baggage 30
    """
    logbook = seen_on(desk.logbook(), desk.on)[0]
    asked = _asked(logbook.aircraft.loads, seats, fuel, baggage) if seats or fuel or baggage else None
    answer = balance_of(logbook, asked)
    if as_json:
        print_json(reports.balance_json(answer))
    elif target is not None:
        to_file(dated(reports.balance_page(answer), desk.on), target, logbook, force=force)
    else:
        show(dated(reports.balance_page(answer), desk.on))
    known = bool(answer.loadings) and answer.datums is None
    return desk.code(NO if strict and (answer.outside or not known) else 0)


def _asked(loads: Loads | None, seats: str, fuel: str, baggage: str) -> Loading:
    if loads is None:
        told = "aircraft.yaml says nothing under `balance`: write the seats, the tanks and the limits there"
        raise Misused(told)
    from inspect_kit.text.loads import asked_loading

    try:
        return asked_loading(loads, seats, fuel, baggage)
    except Unreadable as fault:
        raise Misused(fault.message) from None


@click.command()
@click.option("--strict", is_flag=True, help="Exit 1 when one is not decided, or one that binds is past its time.")
@shared("to", "force", "json")
@click.pass_obj
def directives(desk: Desk, strict: bool, target: Path | None, force: bool, as_json: bool) -> int:
    """Directives and letters by product and serial.

    What is not decided comes first, the last searches at the end. With --strict it exits 1 when one is not decided, or
    one that binds is past its time.

    \b
    directives
    """
    answer = due_of(desk.logbook(), desk.on)
    found = directives_told(answer.seen, answer.on)
    if as_json:
        print_json(reports.directives_json(answer, found))
    elif target is not None:
        to_file(reports.directives_page(answer, found), target, answer.seen, force=force)
    else:
        show(reports.directives_page(answer, found))
    binding = [state.check for state in found.states if state.state == APPLIES and state.directive.binds]
    late = [item for item in answer.items if item.state in (PAST_DUE, UNKNOWN)]
    no = found.undecided or any(item.check == check.id for item in late for check in binding if check)
    return desk.code(NO if strict and no else 0)


@click.command()
@click.argument("name", default="", metavar="[CHECK|READING|PART]")
@shared("to", "force", "json")
@click.pass_obj
def trend(desk: Desk, name: str, target: Path | None, force: bool, as_json: bool) -> int:
    """What was read over the years, and when a limit will be reached.

    With a name, every value of that reading.

    \b
    trend
    trend compression
    trend oil                              what was added between fillings
    """
    loaded, logbook = desk.loaded()
    answer = due_of(logbook, desk.on)
    chosen = [each for each in answer.trends if len(each.taken) > 1]
    # By the bare word the oil that was added is meant, not one of the checks that have it in their names.
    oil = name.casefold() == OIL and name not in logbook.checks and bool(answer.oil)
    if oil:
        chosen = []
    elif name:
        asked = logbook.id_now(name)
        words = {each: {each.id, each.check, each.label, each.position, each.serial} for each in answer.trends}
        chosen = [each for each in answer.trends if {asked, name} & words[each]]
        if not chosen and (meant := id_meant(logbook, name, CHECK, POSITION)) != asked:
            chosen = [each for each in answer.trends if meant in words[each]]
        if not chosen and any(each.setting == asked for each in logbook.of_kind(Setting)):
            raise Misused(f"`{name}` was set to no number, so it has no trend: `inspect-kit status --all` shows it")
        if not chosen:
            known = {word for each in words.values() for word in each if word}
            raise Misused(f"nothing that was read is called `{name}`{near_or_find(name, sorted(known))}")
    if as_json:
        print_json(reports.trends_json(answer, chosen))
        return desk.code(0)
    took = () if name else durations(logbook, sealed_pages(desk, loaded))
    page = reports.trend_page(answer, chosen, whole=bool(name), took=took, oil=oil)
    if target is not None:
        to_file(page, target, logbook, force=force)
    else:
        show(page)
    return desk.code(0)


@click.command()
@shared("months", "to", "force", "json", months={"default": 6})
@click.pass_obj
def parts(desk: Desk, months: int, target: Path | None, force: bool, as_json: bool) -> int:
    """What the coming visits need, by the day it must be ordered.

    With what the life limits need, and what is on the shelf.

    \b
    parts
    parts --months 6
    """
    logbook = desk.logbook()
    answer = due_of(logbook, desk.on)
    from inspect_kit.visits import end_of, parts_needed, year_ahead

    lots = shelf(answer.seen.records, reports.parts_used(answer.seen))
    # The visits are those that `visits` shows, of which the first months are looked at.
    ahead, until = year_ahead(logbook, answer, months=max(months, AHEAD)), end_of(desk.on, months)
    ahead = replace(ahead, end=until, visits=tuple(each for each in ahead.visits if each.on <= until))
    needed = parts_needed(ahead, answer, lots)
    if as_json:
        print_json(reports.parts_json(needed))
    elif target is not None:
        to_file(reports.parts_page(needed, answer), target, logbook, force=force)
    else:
        show(reports.parts_page(needed, answer))
    return desk.code(0)
