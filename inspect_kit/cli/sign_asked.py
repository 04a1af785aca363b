"""What `sign` asks back of a page, and what it tells besides the statement."""

import datetime as dt
from collections.abc import Iterator, Mapping
from decimal import Decimal

from inspect_kit.cli.odd_parts import odd_parts_of
from inspect_kit.cli.said import confirmed
from inspect_kit.cli.unusual import not_so, unusual_meters
from inspect_kit.due import RECHECK, began_with, chronicle, fitted_since, makes_owed, readings_before, totals_with
from inspect_kit.due import due as due_of
from inspect_kit.due.answer import (
    STOP_BARRED,
    STOP_CHANGE,
    STOP_DIRECTIVE,
    STOP_EMPTY,
    STOP_GONE,
    STOP_LIFE,
    STOP_OWED,
    DueAnswer,
    Item,
)
from inspect_kit.due.stops import passenger_seats
from inspect_kit.errors import Misused, Refused
from inspect_kit.inspection.sealing import marked_on, over_already
from inspect_kit.inspection.walk import progress
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.installed import NO_SERIAL
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import slipped
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.model.worksheet import CLOSING, OPENING, Worksheet
from inspect_kit.report.words import counted


def _owed_meanwhile(logbook: Logbook, page: Worksheet, on: dt.date) -> Iterator[str]:
    """A question for each ticked check that a record made owed, or to be looked at again, while the page was open; and
    for each part that came meanwhile, if what is ticked counts on it.
    """
    ticked = {logbook.id_now(entry.id) for entry in page.checks if entry.ticked and not entry.answer}
    files = {record.place.file: record for record in logbook.records if page.begun <= record.date <= on}
    same = [each for each in logbook.of_kind(Inspection) if (each.sheet, each.begun) == (page.name, page.begun)]
    signed = {check: each.date for each in same for check in chronicle(logbook).sequences.get(each.name, ())}
    amended = [logbook.amended[each.name] for each in same if each.name in logbook.amended]
    back = {logbook.id_now(check): of for of in amended for check in of.taken_back()}
    for check in sorted(ticked & back.keys()):
        told = f"`{check}` was not done, as an amendment of {back[check].original.name} says, and stands ticked"
        yield f"{told}. Was it done since?"
    asked: set[str] = set()
    for item in due_of(logbook, on, expect=False).items if files else ():
        check = item.check.partition("/")[0]
        if check in ticked and (item.owed or item.kind == RECHECK):
            since = _asking(logbook, item, on, files)
            if check not in signed:
                # Its box was empty when this page itself was sealed as not passed: ticked now, it was done after that.
                since = [each for each in since if each not in same]
            if since:
                why = f"{since[-1].name} of {since[-1].date}, written while this page was open"
                what = "is owed after" if item.owed else "is to be looked at again by"
                told = f"`{check}` {what} {why}"
                asked.add(check)
                if check in signed:
                    # On this page it would count from the first signature on, whatever is answered.
                    told += f", and was signed for on {signed[check]}: it stays so until `work {check}` says that it"
                    yield f"{told} was done since. Sign all the same?"
                else:
                    yield f"{told}. Was it done, as it is ticked, after that?"
    # What stood on it when it was sealed as not passed counts from that day, and was asked about then.
    begun = max((page.begun, *(each.date for each in same)))
    for part, checks in fitted_since(logbook, on, begun, sorted(ticked - signed.keys() - asked)):
        what = f"serial {part.serial}" if part.serial.casefold() != NO_SERIAL else "another part"
        came = f"{what} was fitted in {part.position} by {part.start.record} of {part.start.date}"
        was = "was it" if len(checks) == 1 else "were they"
        yield f"{came}, written while this page was open. `{'`, `'.join(checks)}`: {was} done, as ticked, to that part?"


def _asking(logbook: Logbook, item: Item, on: dt.date, files: Mapping[str, Record]) -> list[Record]:
    """Those of the records by file that make an item owed, or ask for another look; not the one that did it last."""
    if item.kind == RECHECK:
        return [each for file, each in files.items() if file == item.place.file]
    if item.asked:
        last = item.last.place.file if item.last is not None else ""
        told = {place.file for line in item.lines for place in line.places} - {last}
        return [each for file, each in files.items() if file in told]
    names = makes_owed(logbook, on, item.check)
    return [each for each in files.values() if each.name in names]


# Reasons not to fly that are no matter of a page, but for those of the checks that are done on it.
NOT_OF_THE_PAGE = (STOP_GONE, STOP_DIRECTIVE, STOP_OWED, STOP_LIFE, STOP_BARRED, STOP_CHANGE)


def refuse_nothing_fitted(answer: DueAnswer) -> None:
    """Refused where nothing is fitted in a position without which nobody may fly: a statement speaks of all of it."""
    for stop in answer.stops:
        if stop.kind == STOP_EMPTY:
            told = f"nothing was sealed: {stop.text} ({stop.place}); a statement speaks of the whole aircraft"
            raise Refused(f"{told}: write down what is fitted there, `inspect-kit install POSITION`")


def reasons_left(before: DueAnswer, logbook: Logbook, record: PageRecord) -> Iterator[str]:
    """The reasons not to fly that an inspection which passes does not touch: a life, a directive, a major change; and
    what bars passengers. `before` is the due list of the day without it.
    """
    done = {logbook.checks[each.check].place for each in record.results if each.check in logbook.checks}
    # What the page itself reads brings a life or a limit to its end; what it makes owed is told by its own words.
    after = due_of(logbook.with_records((*logbook.records, record)), before.on, expect=False)
    for kind, answer in ((STOP_OWED, before), *((each, after) for each in NOT_OF_THE_PAGE if each != STOP_OWED)):
        for stop in answer.stops:
            if stop.kind == kind and stop.place not in done:
                yield f"{stop.text}: a reason on record not to fly"
    for seats in passenger_seats(before.no_passengers):
        yield f"{seats.check}, {seats.why}: passengers are barred"


def findings_left(logbook: Logbook, record: PageRecord) -> list[str]:
    """The findings of earlier records that this one does not clear, or only puts off."""
    logbook = logbook.up_to(lambda each: each.date <= record.date)
    cleared = {name for name in record.clears if (how := record.cleared.get(name)) is None or not how.put_off}
    return [reference for reference in logbook.standing() if reference not in cleared]


def ask_of_page(
    logbook: Logbook,
    page: Worksheet,
    read: Mapping[str, Decimal],
    on: dt.date | None,
    begun: Mapping[str, Decimal],
) -> None:
    """Misused unless somebody says that what is unusual on the page is right; it was written by an editor perhaps, and
    asked by nobody. `read` are the meters that were asked; without a day the page is closed and did nothing. `begun`
    is what the meters of the page read before.
    """
    unasked = {name: reads for name, reads in page.meters.items() if name not in read}
    ask_unusual(logbook, page.begun, unasked, f"correct the reading in {page.place.file}")
    for told in odd_parts_of(logbook, page):
        if not confirmed(f"{told} Is it right?"):
            raise Misused(f"nothing was sealed: correct what was used in {page.place.file}")
    if on is not None:
        logbook = _until_read(logbook, on, read)
    for told in () if on is None else _slipped(logbook, page, on):
        if not confirmed(f"{told} Is it right?"):
            raise Misused(f"nothing was sealed: correct the reading in {page.place.file}")
    for told in () if on is None else over_already(marked_on(logbook, page), on):
        if not confirmed(f"{told} Is it right?"):
            raise Misused(f"nothing was sealed: correct the date in {page.place.file}")
    for question in () if on is None else _long_open(page, on):
        if not confirmed(question):
            file = page.place.file
            raise Misused(f"nothing was sealed: look at it again, or take the ticks away in {file} that no longer hold")
    for question in () if on is None else _flown_meanwhile(logbook, page, on, begun):
        if not confirmed(question):
            told = "a page that was finished before that is signed as of its day, `inspect-kit --on DATE sign`"
            file = page.place.file
            raise Misused(f"nothing was sealed: {told}; else take the ticks away in {file} that no longer hold")
    for question in () if on is None else _owed_meanwhile(logbook, page, on):
        if not confirmed(question):
            raise Misused(f"nothing was sealed: do it, and write that down, before {page.place.file} is signed")


def _until_read(logbook: Logbook, on: dt.date, read: Mapping[str, Decimal]) -> Logbook:
    """The logbook without the records of a day that read more than was read for the page: they came later that day."""
    not_changed = began_with(logbook, on)
    asked = {name: reads for name, reads in read.items() if name in not_changed}
    later = {
        each.name
        for each in logbook.records
        if each.date == on and any(each.meters.get(name, reads) > reads for name, reads in asked.items())
    }
    return logbook.up_to(lambda each: each.name not in later) if later else logbook


def _slipped(logbook: Logbook, page: Worksheet, on: dt.date) -> Iterator[str]:
    """What speaks for a slip in a reading within its limit, which `walk` asks back and an editor does not."""
    earlier = readings_before(logbook, on)
    for entry in page.checks:
        check = logbook.checks.get(logbook.id_now(entry.id)) if entry.ticked and not entry.answer else None
        for label, number in entry.numbers().items() if check is not None else ():
            if check is not None and (told := slipped(check, label, number, earlier.get((check.id, label), ()))):
                yield told


# So many days a page may be open, as over a winter, before it is asked whether its ticks still hold: common practice,
# no source.
LONG_OPEN = 180


def _long_open(page: Worksheet, on: dt.date) -> Iterator[str]:
    """A question where a page was begun so long ago that what it ticks, which counts from the signature on, is old."""
    if (days := (on - page.begun).days) > LONG_OPEN:
        told = f"This page was begun on {page.begun}, {days} days ago, and what it ticks counts from {on} on"
        yield f"{told}. Is all of it still as it was found?"


# So much may be run on the ground, or flown to test the work, before a page is signed: common practice, no source.
FLOWN_OPEN = Decimal(1)


def _flown_meanwhile(
    logbook: Logbook, page: Worksheet, on: dt.date, begun: Mapping[str, Decimal]
) -> Iterator[str]:
    """A question where hours were written down as flown while the page was open, or since it was sealed as not passed:
    what it ticks counts from the signature on, at what is read then.
    """
    clock = logbook.aircraft.time_in_service
    read = logbook.meter_history(clock).at_record
    sealed = [each for each in logbook.of_kind(Inspection) if (each.sheet, each.begun) == (page.name, page.begun)]
    first = max((page.begun, *(each.date for each in sealed)))
    since = [each for each in logbook.of_kind(Hours) if first <= each.date <= on and each.name in read]
    if not since or clock not in begun:
        return
    starts = [read[each.name].total for each in sealed if each.name in read]
    starts.append(totals_with(logbook, page.begun, {clock: begun[clock]})[clock])
    last = max(since, key=lambda each: (read[each.name].total, each.name))
    if (total := read[last.name].total) - (start := max(starts)) > FLOWN_OPEN:
        told = f"{total - start} h were flown while this page was open, by {last.name} of {last.date}"
        yield f"{told}, and what it ticks counts from {on} on. Was all of it done, or looked at again, since?"


def not_looked_at(logbook: Logbook, page: Worksheet) -> str:
    """How much of a page nobody has answered, and what is off: its list of discrepancies speaks of the rest alone."""
    done, boxes = progress(logbook, page)
    closed = {entry.id for entry in page.entries if entry.verb in CLOSING and not entry.ticked}
    opened = [entry.id for entry in page.entries if entry.verb in OPENING and entry.ticked]
    off = dict.fromkeys(name for name in opened if name in closed)
    told = f"Not looked at or not finished: {boxes - done} of {counted(boxes, 'box', 'boxes')}"
    return f"{told}; off or set up: {', '.join(off)}." if off else f"{told}; nothing is off."


def ask_unusual(
    logbook: Logbook,
    day: dt.date,
    meters: Mapping[str, Decimal],
    cure: str,
    *,
    asked: bool = False,
) -> None:
    """Misused, with what to do, unless somebody says that unusual readings of a day are right; what was `asked` may be
    said anew.
    """
    for question, meter in unusual_meters(logbook, day, meters).items():
        if not confirmed(question):
            told = f"nothing was sealed: {cure}"
            raise not_so(told, meter) if asked else Misused(told)
