"""`due`, `status`, `history`, `scope`, `report`, `verify`: each asks one room and shows a page or JSON.

On one screen, or whole with `--all`, `--to` and `--json`.
"""

from __future__ import annotations

import datetime as dt
import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import click

from inspect_kit import report as reports
from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import shared
from inspect_kit.cli.said import say
from inspect_kit.cli.shown import across, dated, give, is_whole, print_json, show, to_file
from inspect_kit.errors import NO, Misused, Problem, Refused, StoreUnreadable

if TYPE_CHECKING:
    from inspect_kit.due import DueAnswer, Item
    from inspect_kit.model.logbook import Logbook
    from inspect_kit.model.record import Record
    from inspect_kit.model.worksheet import Worksheet
    from inspect_kit.rules import Scope


@click.command()
@click.argument("item", default="", metavar="[ITEM]")
@click.option("--flying", metavar="HOURS", help="As if so many more hours were flown.")
@shared("until", "strict", "all", "to", "force", "json")
@click.pass_obj
def due(
    desk: Desk,
    item: str,
    flying: str | None,
    until: dt.date | None,
    strict: bool,
    everything: bool,
    target: Path | None,
    force: bool,
    as_json: bool,
) -> int:
    """Reasons not to fly, what is past due, what comes next.

    With an item, by its id or words of its name, its arithmetic. With --strict it exits 1 for a reason not to fly, for
    anything past due and for what may not be used.

    \b
    due
    due oil-change                         how that is reckoned, and from which file
    due --until 2027-06-30 --flying 30     as it will be then
    """
    from inspect_kit.due import due as due_of

    if desk.folders:
        if item:
            raise Misused("the arithmetic of an item is that of one aircraft: name one --store")
        from inspect_kit.cli.hangar import due_of_all

        return due_of_all(desk, until, _hours(flying), strict, everything, target, force, as_json)
    logbook = desk.logbook()
    answer = due_of(logbook, desk.on, by=until, flying=_hours(flying))
    if item:
        found = answer.item(logbook.id_now(item)) or _called(answer, item)
        if found is None:
            raise Misused(_no_item(logbook, answer, item))
        if as_json:
            print_json(reports.due_json(answer, found))
        else:
            give(reports.item_page(answer, found), target, logbook, force=force)
    elif as_json:
        print_json(reports.due_json(answer))
    else:
        page = reports.due_page(answer) if is_whole(everything, target) else reports.due_screen(answer, across())
        give(page, target, logbook, force=force)
    return desk.code(NO if strict and answer.strict_no else 0)


# Where no store is.
BEGIN = """\
There is no store here, nor in a folder above this one. Where to begin:

    inspect-kit tour            the whole job, shown on a sample aircraft
    inspect-kit new my-plane    a store of your own: it asks what it needs
    inspect-kit --help          all commands
    inspect-kit due --help      one command, with examples

Where there is one: cd to it, or inspect-kit --store DIR."""


def first(desk: Desk) -> int:
    """What presses in ten lines, for the bare command; where there is no store, where to begin."""
    from inspect_kit.due import due as due_of

    try:
        desk.root  # noqa: B018
    except StoreUnreadable:
        click.echo(BEGIN)
        return 0
    show(reports.first_lines(due_of(desk.logbook(), desk.on)))
    return desk.code(0)


def _hours(text: str | None) -> Decimal:
    from inspect_kit.past import parse_said_number
    from inspect_kit.text.grammar import Unreadable

    try:
        hours = parse_said_number(text) if text else Decimal(0)
    except Unreadable as fault:
        raise Misused(f"--flying: {fault.message}") from None
    if hours < 0:
        raise Misused("--flying: hours already flown cannot be taken back; give a number above 0")
    return hours


def _called(answer: DueAnswer, words: str) -> Item | None:
    """The one item whose name has all of these words: the list on the screen gives names and not ids."""
    from inspect_kit.report.naming import title
    from inspect_kit.report.words import joined

    parts = words.casefold().replace("-", " ").split()
    found = [item for item in answer.items if parts and all(part in title(item.name).casefold() for part in parts)]
    if len(found) > 1:
        raise Misused(
            f"`{words}` may be {joined([f'`{item.check}` ({title(item.name)})' for item in found])}: name one by its id"
        )
    return found[0] if found else None


def _no_item(logbook: Logbook, answer: DueAnswer, name: str) -> str:
    from inspect_kit.text.grammar import did_you_mean

    current = logbook.id_now(name)
    if current in logbook.checks:
        check = logbook.checks[current]
        if check.retired:
            return f"`{name}` is retired since {check.retired.date}; `inspect-kit history {name}` shows what was done"
        own = f"`{name}` has no due point of its own: it comes with an inspection, or when it is named"
        return f"{own}; `inspect-kit history {name}` shows when it was done"
    near = did_you_mean(name, [each.check for each in answer.items])
    return f"nothing that falls due is called `{name}`{near or _look_for(logbook, name)}"


def _look_for(logbook: Logbook, name: str) -> str:
    """Where else something of that name may be found."""
    stem = Path(name).name.removesuffix(".yaml").removesuffix(".md")
    if logbook.record(stem) is not None:
        return f": it is a record, shown by `inspect-kit report {stem}`"
    return f"; `inspect-kit find {name}` looks everywhere"


@click.command()
@click.argument("name", default="", metavar="[RECORD]")
@click.option("--entry", is_flag=True, help="Only the short entry for the paper logbook.")
@shared("to", "force", "json")
@click.pass_obj
def report(desk: Desk, name: str, target: Path | None, force: bool, entry: bool, as_json: bool) -> int:
    """The signed-off report of a record, and its logbook entry.

    The latest inspection if none is named. Of an open page it says how far it has got; without a name too, as long as
    no inspection is on record.

    \b
    report
    report --entry                         the short entry for the paper logbook
    report 2026-05-14-condition-k3f9 --to ../report.html
    """
    from inspect_kit.cli.records_named import find_record
    from inspect_kit.model.kinds.inspection import Inspection
    from inspect_kit.model.record import Record
    from inspect_kit.report.pages.problems import page_with_problems

    loaded, logbook = desk.loaded()
    open_page = _in_progress(logbook, name)
    if open_page is not None and not entry and not as_json:
        progress = page_with_problems(reports.in_progress_page(logbook, open_page, desk.on), desk.told)
        if target is None:
            show(progress)
        else:
            to_file(progress, target, logbook, force=force)
        return desk.code(0)
    if open_page is not None and as_json:
        raise Misused(f"{open_page.place.file} is no record yet, for nothing of it is signed: leave --json out")
    record = find_record(logbook, name, Record if name else Inspection)
    facts = report_facts(desk, loaded, logbook, record)
    if as_json:
        print_json(reports.report_json(facts, loaded.files[record.place.file].decode()))
        return desk.code(NO if facts.seal_faults else 0)
    page = page_with_problems(reports.entry_page(facts) if entry else reports.report_page(facts), desk.told)
    if target is None:
        show(page)
    else:
        to_file(page, target, logbook, force=force)
    return desk.code(NO if facts.seal_faults else 0)


def _in_progress(logbook: Logbook, name: str) -> Worksheet | None:
    """The open page that is meant, if one is: by its name, or the only one while there is nothing else to report."""
    from inspect_kit.model.kinds.inspection import Inspection

    if not name:
        return logbook.pages[0] if len(logbook.pages) == 1 and not logbook.of_kind(Inspection) else None
    stem = Path(name).name.removesuffix(".md")
    return next((page for page in logbook.pages if stem in (page.name, page.job)), None)


def report_facts(
    desk: Desk, loaded: store.Loaded, logbook: Logbook, record: Record, *, next_due: bool = True
) -> reports.ReportFacts:
    """All that a report says of a record, as it was written, with its amendments beside it.

    Seals and signatures were checked just now, when the store was read.
    """
    from inspect_kit.due import due as due_of

    return reports.ReportFacts(
        logbook=logbook,
        record=logbook.as_written(record),
        due=due_of(logbook, max(desk.on, record.date)) if next_due else None,
        signatures=signature_states(logbook, record),
        seal_faults=tuple(fault.problem for fault in loaded.broken if fault.record == record.place.file),
        printed=desk.today,
    )


def signature_states(logbook: Logbook, record: Record) -> tuple[reports.SignatureState, ...]:
    """The signatures of a record, each as it was found."""
    return tuple(
        reports.SignatureState(record=each, verdict=logbook.verdict(each)) for each in logbook.signatures(record.name)
    )


@click.command()
@shared("all", "to", "force", "json")
@click.pass_obj
def scope(desk: Desk, everything: bool, target: Path | None, force: bool, as_json: bool) -> int:
    """Which codes of the scope are covered, which are missing.

    And which are not applicable, and why.

    \b
    scope
    scope --all
    """
    from inspect_kit.report.blocks import Heading
    from inspect_kit.rules import profile_of, scope_coverage

    logbook = desk.logbook()
    profile = profile_of(logbook.aircraft)
    asked: dict[str, Scope] = {}
    names = ", ".join(f"`{each.name}`" for each in profile.scopes)
    for rule in logbook.aircraft.inspections.values():
        known = profile.scope(rule.scope)
        if known is None:
            told = f"{rule.place}: the scope `{rule.scope}` is not known here, so nothing says whether it is covered"
            raise Refused(f"{told}: write one of {names} there")
        asked.setdefault(known.name, known)
    scopes = [*asked.values()] or [profile.scopes[0]]
    answers = [scope_coverage(logbook.checks.values(), logbook.aircraft, each) for each in scopes]
    if as_json:
        first, *others = map(reports.scope_json, answers)
        print_json({**first, "others": others} if others else first)
    else:
        if is_whole(everything, target):
            pages = [reports.scope_page(answer, logbook) for answer in answers]
        else:
            pages = [reports.scope_screen(answer, logbook, across()) for answer in answers]
        if target is not None:
            page, *more = pages
            after = [block for each in more for block in (Heading(text=each.title), *each.blocks)]
            to_file(dated(replace(page, blocks=(*page.blocks, *after)), desk.on), target, logbook, force=force)
        for page in pages if target is None else ():
            show(dated(page, desk.on))
    return desk.code(0 if all(answer.complete for answer in answers) else NO)


@click.command()
@shared("all", "to", "force", "json")
@click.pass_obj
def status(desk: Desk, target: Path | None, force: bool, everything: bool, as_json: bool) -> int:
    """The page to show an inspector or a buyer.

    Times, parts, lives, inspections, what is open, what comes next.

    \b
    status
    status --to ../status.html
    """
    from inspect_kit.due import due as due_of

    if desk.folders:
        from inspect_kit.cli.hangar import status_of_all

        return status_of_all(desk, everything, target, force, as_json)
    logbook = desk.logbook()
    answer = due_of(logbook, desk.on)
    if as_json:
        print_json(reports.status_json(answer))
    else:
        page = reports.status_page(answer) if is_whole(everything, target) else reports.status_screen(answer, across())
        give(page, target, logbook, force=force)
    return desk.code(0)


@click.command()
@click.argument("name", metavar="ID")
@shared("all", "to", "force", "json")
@click.pass_obj
def history(desk: Desk, name: str, everything: bool, target: Path | None, force: bool, as_json: bool) -> int:
    """Everything done to a panel, check or position, newest first.

    Of an inspection each that was signed or brought forward.

    \b
    history oil-change
    history condition
    history magneto-left
    """
    from inspect_kit.cli.called import CHECK, INSPECTION, PANEL, POSITION, id_meant
    from inspect_kit.text.grammar import did_you_mean

    logbook = desk.logbook()
    current = id_meant(logbook, name, PANEL, CHECK, POSITION, INSPECTION)
    known = [*logbook.panels, *logbook.checks, *logbook.aircraft.positions, *logbook.aircraft.inspections]
    if current not in known and not reports.kind_on_record(logbook, current):
        near = did_you_mean(name, known) or _look_for(logbook, name)
        raise Misused(f"no panel, check, position or inspection is called `{name}`{near}")
    answer = reports.history_of(logbook, current)
    if as_json:
        print_json(reports.history_json(answer))
    else:
        if is_whole(everything, target):
            page = reports.history_page(answer, logbook)
        else:
            page = reports.history_screen(answer, logbook, across())
        give(dated(page, desk.on), target, logbook, force=force)
    return desk.code(0)


@click.command()
@shared("to", "force", "json")
@click.pass_obj
def verify(desk: Desk, target: Path | None, force: bool, as_json: bool) -> int:
    """Read everything, check every seal, list every problem.

    Each with file and line.

    \b
    verify
    """
    from inspect_kit.audit import unasked
    from inspect_kit.balance import unanswered
    from inspect_kit.due.shelf import off_no_shelf
    from inspect_kit.model.kinds.signature import Signature
    from inspect_kit.model.kinds.stock import Stock
    from inspect_kit.model.logbook import Validity

    loaded, logbook = desk.loaded()
    broken = [fault.problem for fault in loaded.broken]
    unchecked: list[Problem] = []
    loose: list[Problem] = []
    for record in logbook.records:
        named = {file.name: file.sha256 for file in record.files}
        broken += store.check_files(loaded.root, record.place.file, named)
        beside = store.unnamed_files(loaded.root, record.place.file, named)
        broken += [problem for problem in beside if not problem.note]
        loose += [problem for problem in beside if problem.note]
        if isinstance(record, Signature):
            verdict = logbook.verdict(record)
            if not verdict.counts:
                broken.append(Problem(record.place, f"is no signature of {record.of}: {verdict.words}"))
            elif verdict.validity is Validity.UNCHECKED:
                unchecked.append(Problem(record.place, verdict.words))
    for problem in broken:
        say(str(problem), err=True)
    loose += store.git_may_turn(loaded.root) if any(record.seal for record in logbook.records) else ()
    off = off_no_shelf(logbook, reports.parts_used(logbook)) if logbook.of_kind(Stock) else ()
    notes = (*desk.notes_of_day(loaded, logbook), *unchecked, *loose, *unasked(logbook), *off)
    if as_json:
        print_json(reports.verify_json(logbook, loaded.files, tuple(desk.told), tuple(broken), notes))
    else:
        # On a terminal they stand right above the page, with line and caret: told twice they only look like more.
        above = target is None and bool(desk.told) and sys.stdout.isatty() and sys.stderr.isatty()
        page = reports.verify_page(logbook, loaded.files, tuple(desk.told), tuple(broken), notes, above=above)
        give(dated(page, desk.on), target, logbook, force=force)
    return desk.code(NO if broken or unanswered(logbook) else 0)
