"""Reasons on record not to fly, and what may not be used: what the records say of the day, and what items forbid."""

import datetime as dt
import sys
from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal

from inspect_kit.due.answer import (
    FINDING,
    INSPECTION,
    PAST_DUE,
    RECHECK,
    STOP_BARRED,
    STOP_CHANGE,
    STOP_EMPTY,
    STOP_FINDING,
    STOP_GONE,
    STOP_INSPECTION,
    STOP_LATE_FINDING,
    STOP_LIFE,
    STOP_NOT_PASSED,
    STOP_OWED,
    STOP_PAGE,
    STOP_PANEL,
    STOP_SEAL,
    STOP_SETUP,
    STOP_SIGNATURE,
    STOP_TAKEN_BACK,
    STOP_UNINSPECTED,
    STOP_UNREAD,
    STOPS,
    UNKNOWN,
    Item,
    NotToBeUsed,
    Stop,
)
from inspect_kit.due.chronicle import Chronicle
from inspect_kit.due.counted import BROKEN_SEAL, NOT_PASSED, TAKEN_BACK, UNSIGNED
from inspect_kit.due.fitting import Fitting
from inspect_kit.due.phases import NoPassengers
from inspect_kit.due.rechecks import left_undone
from inspect_kit.errors import Place, Problem
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import SETUP, Check, Panel, named, title
from inspect_kit.model.finding import Finding
from inspect_kit.model.interval import DAYS, HOURS, so_many
from inspect_kit.model.kinds.installed import NO_SERIAL
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Entry, Worksheet


def stops(
    chronicle: Chronicle, items: tuple[Item, ...], empty: Mapping[str, Fitting], on: dt.date
) -> tuple[Stop, ...]:
    """Every reason on record not to fly, by kind: inspections, findings, open pages, parts that were taken out, and
    items that bar flight.
    """
    logbook = chronicle.logbook
    found = [*_uncounted(chronicle), *_findings(logbook.standing())]
    for page in logbook.pages:
        found += [*_page(logbook, page), *_late_on_page(chronicle, page, on)]
    for place in logbook.unread:
        # Whatever was found on it, or is off because of it, stands there.
        found.append(Stop(kind=STOP_PAGE, text=f"open worksheet that cannot be read: {place.file}", place=place))
    for place in logbook.lost:
        # It may be a finding, a directive, or the checks that would be past due.
        found.append(Stop(kind=STOP_UNREAD, text=f"nothing of {place.file} is read", place=place))
    found += _not_in_order(logbook)
    # A later inspection makes none of them good: what it found may stand in nothing else.
    found += [Stop(kind=STOP_GONE, text=each.message, place=each.place) for each in logbook.gone]
    found += _empty(logbook, empty)
    found += [Stop(kind=STOP_OWED, text=words, place=place) for place, words in left_undone(chronicle, on)]
    for item in items:
        if item.bars.flight:
            text = _text(item, logbook.checks.get(item.check))
            found.append(Stop(kind=_kind(logbook.checks, item), text=text, place=item.place))
    return tuple(sorted(found, key=lambda stop: STOPS.index(stop.kind)))


def _not_in_order(logbook: Logbook) -> Iterator[Stop]:
    """Files that are not read whole, or that cannot be so, each with the first of what is wrong in it.

    What is wrong may be the very word by which a crack was found, a part taken out or a check owed: that nothing is
    due by it is not known before it is mended. Nobody can mend a sealed record: its seal was judged.
    """
    told = {place.file for place in (*logbook.unread, *logbook.lost)} | {page.place.file for page in logbook.pages}
    told |= {each.place.file for each in logbook.records if each.seal}
    wrong: dict[str, list[Problem]] = {}
    loads = _lines_of_loads(logbook.aircraft)
    for problem in logbook.problems:
        place = problem.place
        if place.file not in told and not (place.file == logbook.aircraft.place.file and place.line in loads):
            wrong.setdefault(problem.place.file, []).append(problem)
    files = list(wrong)
    for file in files[:MANY]:
        own = wrong[file]
        more = f" (and {len(own) - 1} more)" if len(own) > 1 else ""
        line = f", line {own[0].place.line}" if own[0].place.line > 1 else ""
        yield Stop(kind=STOP_UNREAD, text=f"{file} is not in order{line}: {own[0].message}{more}", place=own[0].place)
    if left := files[MANY:]:
        many = f"{len(left)} more files are" if len(left) > 1 else "one more file is"
        yield Stop(kind=STOP_UNREAD, text=f"{many} not in order: inspect-kit verify", place=wrong[left[0]][0].place)


def _lines_of_loads(aircraft: Aircraft) -> range:
    """The lines of aircraft.yaml under `balance`: nothing falls due by them."""
    begins = sorted(line for (_, below), line in aircraft.lines.items() if not below)
    begin = aircraft.lines.get(("balance", ""), 0)
    return range(begin, next((line for line in begins if line > begin), sys.maxsize) if begin else 0)


def not_to_be_used(items: tuple[Item, ...]) -> tuple[NotToBeUsed, ...]:
    """What past due, unknown or owed items forbid the use of."""
    return tuple(
        NotToBeUsed(what=item.bars.what, check=item.check, why=how_far(item), place=item.place)
        for item in items
        if item.bars.what
    )


# Of so many files each is named.
MANY = 3
SORTS = {
    NOT_PASSED: STOP_NOT_PASSED,
    UNSIGNED: STOP_SIGNATURE,
    BROKEN_SEAL: STOP_SEAL,
    TAKEN_BACK: STOP_TAKEN_BACK,
}


def _kind(checks: Mapping[str, Check], item: Item) -> str:
    if item.owed:
        return STOP_OWED
    if item.kind == INSPECTION:
        return STOP_INSPECTION if item.state == PAST_DUE else STOP_UNINSPECTED
    if item.kind == FINDING:
        return STOP_LATE_FINDING
    check = checks.get(item.check)  # None for what is to be looked at again: it ends no life.
    return STOP_LIFE if check is not None and check.life and item.state == PAST_DUE else STOP_BARRED


def _text(item: Item, check: Check | None) -> str:
    if item.owed:
        return f"owed before flight: {_subject(item)}"
    if item.kind == INSPECTION:
        return f"{item.check} inspection: {how_far(item)}"
    if item.kind == FINDING:
        return f"past its limit: {item.name} ({item.check}), {how_far(item)}"
    return f"{_subject(item)}, {_why(item, check)}: {how_far(item)}"


def _why(item: Item, check: Check | None) -> str:
    """Why this check is a reason not to fly where another is not, however late."""
    if item.kind == RECHECK or check is None or check.bars is not None:
        return "which bars flight"
    # What says nothing itself is a life, or an airworthiness directive asks for it.
    return "a life that has passed" if check.life else "asked by a directive"


def _subject(item: Item) -> str:
    """`Emergency transmitter battery (elt-battery)`: what a check is about, up to its first colon, and its id."""
    return named(item.name if item.kind == RECHECK else title(item.name), item.check)


def how_far(item: Item) -> str:
    """`422 days past due (2025-09-30)`, `1.2 h past due or 3 days past due …`, `owed`, or that it is not known."""
    if item.owed:
        return "owed"
    if item.state == UNKNOWN:
        return "when it is due is not on record"
    words = []
    if item.left.amount is not None and item.left.amount < 0:
        words.append(f"{so_many(-item.left.amount, item.left.unit)} past due")
    if item.left.days is not None and item.left.days < 0:
        words.append(f"{so_many(-item.left.days, DAYS)} past due ({item.due.date})")
    return " and ".join(words) or "past due"


def _uncounted(chronicle: Chronicle) -> Iterator[Stop]:
    """Inspections that do not count though nothing later made them good, unless they bar nothing."""
    for name, attempts in chronicle.uncounted.items():
        rule = chronicle.logbook.aircraft.inspections.get(name)
        if rule is not None and not rule.bars.flight:
            continue
        for attempt in attempts:
            # Only the last word counts of a page that did not pass.
            if attempt.sort == NOT_PASSED and attempt is not attempts[-1]:
                continue
            kind = SORTS[attempt.sort]
            text = f"{name} inspection of {attempt.record.date}: {attempt.why}"
            yield Stop(kind=kind, text=text, place=attempt.record.place)


def _findings(standing: Mapping[str, Finding]) -> Iterator[Stop]:
    for reference, finding in standing.items():
        if finding.before_flight:
            text = f"to fix before flight: {finding.text} ({reference})"
            yield Stop(kind=STOP_FINDING, text=text, place=finding.place)


def _page(logbook: Logbook, page: Worksheet) -> Iterator[Stop]:
    yield Stop(kind=STOP_PAGE, text=f"open worksheet: {page.name}, begun {page.begun}", place=page.place)
    for entry in page.entries:
        for finding in entry.findings:
            if finding.before_flight:
                text = f"to fix before flight: {finding.text} ({finding.id} on the open worksheet)"
                yield Stop(kind=STOP_FINDING, text=text, place=finding.place)
    for old, finding in _made_stricter(logbook, page):
        if finding.before_flight and not old.before_flight:
            text = f"to fix before flight: {finding.text} ({finding.id}, so on the open worksheet)"
            yield Stop(kind=STOP_FINDING, text=text, place=finding.place)
    # All that is off of one page is one reason, each named: fourteen lines for one open job would bury the others.
    off = [
        (next(entry for entry in page.entries if entry.id == name), logbook.panels.get(logbook.id_now(name)))
        for name in page.panels_off()
    ]
    standing = [each for each in off if each[1] is not None and each[1].kind == SETUP]
    yield from _left(STOP_PANEL, "panel off", "panels off", [each for each in off if each not in standing])
    yield from _left(STOP_SETUP, "setup standing", "setups standing", standing)


def _made_stricter(logbook: Logbook, page: Worksheet) -> Iterator[tuple[Finding, Finding]]:
    """The findings from before that stand, and the same as a box of an open page has them, unless that is surely later.

    A limit that is later counts when the page is signed; one that is sooner counts at once.
    """
    standing = logbook.standing()
    for entry in page.entries:
        old = standing.get(entry.id) if entry.is_standing and entry.cleared is None and entry.fix is not None else None
        if old is not None and entry.fix is not None:
            new = replace(old, id=entry.id, fix=entry.fix, may_wait=entry.may_wait, place=entry.place)
            if not old.is_surely_before(new):
                yield old, new


def _late_on_page(chronicle: Chronicle, page: Worksheet, on: dt.date) -> Iterator[Stop]:
    """Findings on an open page past the limit that was given to them there: no record has them yet."""
    logbook = chronicle.logbook
    for finding in (*page.findings, *(finding for _, finding in _made_stricter(logbook, page))):
        if not finding.stands or finding.before_flight:
            continue
        fix, passed = finding.fix, []
        if fix.by_date is not None and fix.by_date < on:
            passed.append(f"{so_many(Decimal((on - fix.by_date).days), DAYS)} past due ({fix.by_date})")
        meter = fix.meter or logbook.aircraft.time_in_service
        point, history = chronicle.highest_reading(meter), chronicle.histories.get(meter)
        totals = [point.total] if point is not None else []
        totals += [page.meters[meter] + history.offset] if history is not None and meter in page.meters else []
        if fix.by_total is not None and totals and max(totals) > fix.by_total:
            unit = logbook.aircraft.meters[meter].unit if meter in logbook.aircraft.meters else HOURS
            passed.append(f"{so_many(max(totals) - fix.by_total, unit)} past due")
        if passed:
            what = f"past its limit: {finding.text} ({finding.id} on the open worksheet)"
            yield Stop(kind=STOP_LATE_FINDING, text=f"{what}, {' and '.join(passed)}", place=finding.place)


def _left(kind: str, one: str, many: str, left: list[tuple[Entry, Panel | None]]) -> Iterator[Stop]:
    """`3 panels off: Upper cowling; Lower cowling; Spinner`, at the first of them."""
    names = "; ".join(panel.name if panel else entry.id for entry, panel in left)
    if left:
        words = one if len(left) == 1 else f"{len(left)} {many}"
        yield Stop(kind=kind, text=f"{words}: {names}", place=left[0][0].place)


def _empty(logbook: Logbook, empty: Mapping[str, Fitting]) -> Iterator[Stop]:
    """`nothing is fitted in magneto-left since …`; of several one reason, at the first of them."""
    found = [(name, stay) for name, stay in empty.items() if logbook.aircraft.positions[name].bars.flight]
    if found:
        text = f"nothing is fitted in {found[0][0]} {since_empty(found[0][1])}"
        if len(found) > 1:
            text = f"nothing is fitted in {len(found)} positions: {', '.join(name for name, _ in found)}"
        yield Stop(kind=STOP_EMPTY, text=text, place=_emptied_at(found[0][1]))


def not_without(logbook: Logbook, empty: Mapping[str, Fitting]) -> Iterator[NotToBeUsed]:
    """What may not be used until a part is fitted again, where its position says so."""
    for name, stay in empty.items():
        if what := logbook.aircraft.positions[name].bars.what:
            why = f"nothing is fitted there {since_empty(stay)}"
            yield NotToBeUsed(what=what, check=f"{name} fitted", why=why, place=_emptied_at(stay))


def since_empty(stay: Fitting) -> str:
    """`since 2026-11-27, when serial M-91 came out`"""
    assert stay.end is not None
    part = "the part" if stay.serial.casefold() == NO_SERIAL else f"serial {stay.serial}"
    return f"since {stay.end.date}, when {part} came out"


def _emptied_at(stay: Fitting) -> Place:
    assert stay.end is not None
    return stay.end.place


def change_stops(barred: NoPassengers) -> Iterator[Stop]:
    """Major changes that lack what the limitations ask for before they are flown."""
    for phase in barred.phases:
        for change in phase.changes:
            if change.wanted:
                text = f"major change of {change.date}, {change.what}: not on record: {', '.join(change.wanted)}"
                yield Stop(kind=STOP_CHANGE, text=text, place=change.place)


PASSENGER_SEATS = "the passenger seats"


def passenger_seats(barred: NoPassengers) -> Iterator[NotToBeUsed]:
    """What bars passengers, as what may not be used until then: a phase by its name, the rest by its record."""
    for phase in barred.phases:
        why = f"open since {phase.since}"
        yield NotToBeUsed(what=PASSENGER_SEATS, check=f"{phase.name} phase", why=why, place=phase.place)
    for change in barred.undecided:
        why = "not decided whether minor or major"
        yield NotToBeUsed(what=PASSENGER_SEATS, check=change.name, why=why, place=change.place)
    for unflown in barred.unflown:
        yield NotToBeUsed(what=PASSENGER_SEATS, check=unflown.record.name, why=unflown.text, place=unflown.record.place)
