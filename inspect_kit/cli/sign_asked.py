"""What `sign` asks back of a page, and what it tells besides the statement."""

import datetime as dt
from collections.abc import Iterator, Mapping
from decimal import Decimal

from inspect_kit.cli.odd_parts import odd_parts_of
from inspect_kit.cli.said import confirmed
from inspect_kit.cli.unusual import meant_as_total, not_so, unusual_meters
from inspect_kit.due import (
    RECHECK,
    Chronicle,
    chronicle,
    firsts_answered,
    fitted_since,
    makes_owed,
    readings_before,
    seen_on,
    total_read,
)
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
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.installed import NO_SERIAL
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import slipped
from inspect_kit.model.meters import MeterHistory
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.model.worksheet import CLOSING, OPENING, Worksheet
from inspect_kit.report.words import counted


def _owed_meanwhile(logbook: Logbook, page: Worksheet, book: Chronicle, record: PageRecord) -> Iterator[str]:
    """A question for each ticked check that a record made owed, to come by `first`, or to be looked at again, while the
    page was open; and for each part that came meanwhile, if what is ticked counts on it.
    """
    on = record.date
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
    fitted: set[tuple[str, str]] = set()
    for part, checks in fitted_since(logbook, on, begun, sorted(ticked - signed.keys() - asked)):
        fitted |= {(check, part.start.record) for check in checks}
        what = f"serial {part.serial}" if part.serial.casefold() != NO_SERIAL else "another part"
        came = f"{what} was fitted in {part.position} by {part.start.record} of {part.start.date}"
        was = "was it" if len(checks) == 1 else "were they"
        yield f"{came}, written while this page was open. `{'`, `'.join(checks)}`: {was} done, as ticked, to that part?"
    own = {each.name for each in same}
    names = {each.name: each for each in files.values() if each.name not in own}
    for check in sorted(ticked - asked):
        starts = firsts_answered(book, check, record.name) if check in book.logbook.checks else ()
        begins = [each for each in starts if each.moment.record in names and (check, each.moment.record) not in fitted]
        if begins:
            then, what = begins[-1].moment, begins[-1].trigger or "its part was fitted"
            told = f"`{check}` is asked for by `first` after {what}, {then.record} of {then.date}"
            yield f"{told}, written while this page was open. Was it done, as it is ticked, after that?"


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
    # As it will be once it is signed: what comes with this inspection is due with the next one then.
    own, on = f"{record.name}-signed", record.date
    of_it = Signature(name=own, date=on, of=record.name, ink=record.name, by=record.by, place=record.place)
    signed = logbook.with_records((*logbook.records, record, of_it))
    # What stood on it when it was sealed as not passed is not done again, whatever made it owed since.
    stood = {check for check, name in chronicle(signed).not_again if name == record.name}
    ids = {logbook.id_now(each.check) for each in record.results} - stood
    done = {logbook.checks[check].place for check in ids & logbook.checks.keys()}
    # What the page itself reads brings a life or a limit to its end; what it makes owed is told by its own words.
    after = due_of(signed, before.on, expect=False)
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
    record: PageRecord | None,
    begun: Mapping[str, Decimal],
) -> None:
    """Misused unless somebody says that what is unusual on the page is right; it was written by an editor perhaps, and
    asked by nobody. `read` are the meters that were asked; without the record that it would be the page is closed and
    did nothing. `begun` is what the meters of the page read before.
    """
    on = record.date if record is not None else None
    unasked = {name: reads for name, reads in page.meters.items() if name not in read}
    ask_unusual(logbook, page.begun, unasked, f"correct the reading in {page.place.file}")
    for told in odd_parts_of(logbook, page):
        if not confirmed(f"{told} Is it right?"):
            raise Misused(f"nothing was sealed: correct what was used in {page.place.file}")
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
    if record is None:
        return
    file, as_of_day = page.place.file, "signed as of its day, `inspect-kit --on DATE sign`"
    book = chronicle(seen_on(logbook.with_records((*logbook.records, record)), record.date)[0])
    # What is on record with that limit was asked about when it was written down.
    known = {finding.fix for finding in logbook.findings().values()}
    put_off = {finding.fix for finding in record.findings if finding.stands} - known
    for limit in sorted(put_off, key=str):
        for told in meant_as_total(book.logbook, limit):
            if not confirmed(f"{told} Is it right?"):
                raise Misused(f"nothing was sealed: correct `fix: {limit}` in {file}")
    for question in _flown_meanwhile(logbook, page, book, record, begun):
        if not confirmed(question):
            told = f"a page that was finished before that is {as_of_day}"
            again = f"take the ticks away in {file} that no longer hold, and do again what they say"
            raise Misused(f"nothing was sealed: {told}; else {again}")
    for question in _owed_meanwhile(logbook, page, book, record):
        if not confirmed(question):
            told = f"do it, and write that down, before {file} is signed"
            raise Misused(f"nothing was sealed: {told}; or what was finished before is {as_of_day}")


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
# So many checks are named in a question.
FEW = 5


def _flown_meanwhile(
    logbook: Logbook, page: Worksheet, book: Chronicle, record: PageRecord, begun: Mapping[str, Decimal]
) -> Iterator[str]:
    """A question where hours were flown while the page was open, whoever read them; of what was ticked since it was
    sealed as not passed, where it was since then. It counts from the signature on, at what is read then.
    """
    early, on = book.sealed_before.get(record.name), record.date
    anew = [check for check in book.sequences[record.name] if (check, record.name) not in book.not_again]
    history = logbook.meter_history(book.clock)
    known = [each for each in (history.by(on), record.totals.get(book.clock)) if each is not None]
    if not anew or not known:
        return
    if early is not None:
        first, point = early.date, history.at_record.get(early.name)
        start = point.total if point is not None else None
    else:
        first, start = page.begun, _read_then(logbook, page, on, begun)
    is_read = start is not None or history.is_read_on(first)
    if start is None:
        start = history.by(first) if is_read else _estimated(history, first, (on, max(known)))
    if start is not None and (flown := max(known) - start) > FLOWN_OPEN:
        when = "while this page was open" if early is None else f"since this page was sealed as {early.name}"
        told = f"{flown} h were flown {when}, from {start} to {max(known)} h total on {book.clock}"
        told += "" if is_read else f" (estimated, as nothing says what it read on {first})"
        named = f"was ticked since (`{'`, `'.join(anew)}`)" if len(anew) <= FEW else "was ticked since"
        what = "it ticks" if early is None else named
        yield f"{told}, and what {what} counts from {on} on. Was all of it done, or looked at again, since?"


def _read_then(
    logbook: Logbook, page: Worksheet, on: dt.date, begun: Mapping[str, Decimal]
) -> Decimal | None:
    """The total of time in service that a page read when it was begun; None where it did not. What is less than the
    total was before is of a meter that came later, and was written there since.
    """
    clock = logbook.aircraft.time_in_service
    if clock not in begun:
        return None
    total, history = total_read(logbook, page.begun, clock, begun[clock]), logbook.meter_history(clock)
    least = history.earlier(page.begun)
    if least is not None and total < least:
        return total_read(logbook, on, clock, begun[clock])
    # What an editor writes over it when the work is done is not what was read then.
    noted = history.by(page.begun) if on > page.begun and history.is_read_on(page.begun) else None
    return total if noted is None else min(total, noted)


def _estimated(history: MeterHistory, day: dt.date, last: tuple[dt.date, Decimal]) -> Decimal | None:
    """What a meter had on a day on which it was not read, if it ran evenly from the reading before it to the next one;
    None where nothing was read before.
    """
    before = [(each.date, each.total) for each in history.points if each.date < day]
    after = [(each.date, each.total) for each in history.points if day < each.date < last[0]]
    if not before:
        return None
    (since, least), (until, most) = before[-1], (*after, last)[0]
    run = (most - least) * (day - since).days / (until - since).days
    return least + run.quantize(Decimal("0.1"))


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
