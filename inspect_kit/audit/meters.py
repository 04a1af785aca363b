"""Meters that run backwards, and more hours than the clock holds."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from decimal import Decimal
from itertools import zip_longest

from inspect_kit.audit.known import Known, each_fault, unknown_meter
from inspect_kit.errors import Problem
from inspect_kit.model.interval import HOURS
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.late_clock import total_missing
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import SPEAKING, MeterHistory, Point, meter_history
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.model.worksheet import Worksheet

HOURS_OF_A_DAY = 24


def unknown_meters(names: Known) -> Iterator[Problem]:
    """Readings and totals of meters that aircraft.yaml does not have."""
    # Of an amended record what it says itself: what the amendment says instead is told at the amendment.
    for record in map(names.logbook.as_written, names.logbook.records):
        for meter in record.meters:
            if meter not in names.aircraft.meters:
                yield from each_fault(place_of(record, "meters", meter), (_no_more(names, meter),), "meters")
        if isinstance(record, BroughtForward):
            for meter in record.reads:
                yield from each_fault(place_of(record, "meters", meter), (_no_more(names, meter),), "meters")
            for item, done in record.last.items():
                for meter in done.totals:
                    yield from each_fault(place_of(record, "last", item), (_no_more(names, meter),), item)
        if isinstance(record, MeterChange):
            yield from each_fault(place_of(record, "meter"), (_no_more(names, record.meter),), "meter")
            if record.meter in record.meters:
                told = f"meters: `old` and `new` say what {record.meter} read: leave it out there"
                yield Problem(place_of(record, "meters", record.meter), told)
        for meter in record.totals if isinstance(record, PageRecord | PaperEntry) else ():
            yield from each_fault(place_of(record, "totals", meter), (_no_more(names, meter),), "totals")


def _no_more(names: Known, meter: str) -> str | None:
    """Why a record may not read this; it may be one that was there once, of which records go on to tell."""
    told = unknown_meter(names, meter)
    kept = "; the name of a meter stays under `meters` in aircraft.yaml for good, though nobody reads it any more"
    return f"{told}{kept}" if told and not told.endswith("?") else told


def meter_readings(names: Known) -> Iterator[Problem]:
    """Every meter through all records: backwards, too fast, or not what a sealed inspection says."""
    starts = {record.name for record in names.logbook.of_kind(BroughtForward)}
    for meter in names.aircraft.meters.values():
        history = names.logbook.meter_history(meter.name)
        yield from history.problems
        never = tuple(_too_fast(history, starts) if meter.unit == HOURS else _halves(history, meter.unit))
        yield from never
        yield from _other_totals(names, history)
        yield from _paper_totals(names, history, counts_hours=meter.unit == HOURS)
        # An open page says what the meters read on one of its days: checked like hours written down then.
        pages = tuple(_pages(names, meter.name))
        if not pages:
            continue
        with_pages = meter_history(meter.name, (*names.logbook.records, *pages))
        found = _too_fast(with_pages, starts) if meter.unit == HOURS else _halves(with_pages, meter.unit)
        told = (*with_pages.problems, *found)
        yield from (problem for problem in told if problem not in (*history.problems, *never))


def late_clocks(names: Known) -> Iterator[Problem]:
    """A clock for time in service that was first read after another had run: all that counts on it is unknown until
    somebody says what the aircraft had then; and what took the place of the old clock keeps its name.
    """
    history = names.logbook.meter_history(names.aircraft.time_in_service)
    if history.before is None or not history.begun_late:
        return
    first, old = history.points[0], history.before
    reads, had = f"{first.reads:f}", old.reading_for(old.by_both(history))
    told = f"meters: {history.begun_late}, and a new clock is no new aircraft. If it took the place of {old.meter}, "
    told += f"that name stays: `time-in-service: {old.meter}`, without this reading, and "
    told += f"`inspect-kit meter {old.meter} --old {had:f} --new {reads}`. If {old.meter} runs on, "
    missing = total_missing(names.logbook, history)
    told += f"`{missing.line}` {missing.where} says what the aircraft had"
    yield Problem(place_of(names.by_name[first.record], "meters", history.meter), told)


def changes_since(logbook: Logbook, page: Worksheet, meter: str) -> Iterator[tuple[MeterChange, bool]]:
    """The changes of a meter since an open page was begun; and of each whether the page reads the new one already."""
    changes = [each for each in logbook.of_kind(MeterChange) if each.meter == meter and each.date >= page.begun]
    if not changes:
        return
    reads = page.meters[meter]
    points = meter_history(meter, (record for record in logbook.records if record.date <= page.begun)).points
    last = points[-1].reads if points else reads
    for change in changes:
        yield change, reads > change.old or reads < last


def _pages(names: Known, meter: str) -> Iterator[Hours]:
    """What each open page reads, on the day on which it was begun, or on which the meter was changed that it reads;
    once it was sealed as not passed, after what was read since then and is less: it may be read again before it passes.
    """
    for page in names.logbook.pages:
        if meter not in page.meters:
            continue
        date, reads = page.begun, page.meters[meter]
        changes = [*changes_since(names.logbook, page, meter)]
        date = max([date, *(change.date for change, after in changes if after)])
        sealed = any(record.sheet == page.name for record in names.logbook.of_kind(PageRecord))
        if sealed and all(after for _, after in changes):
            less = (record.date for record in names.logbook.records if record.meters.get(meter, reads) < reads)
            date = max([date, *less])
        yield Hours(name=page.name, date=date, meters={meter: reads}, place=place_of(page, "meters", meter))


def _halves(history: MeterHistory, unit: str) -> Iterator[Problem]:
    """Half a landing: what is counted one by one is read in whole numbers."""
    for point in history.points:
        if point.reads % 1:
            yield Problem(point.place, f"{history.meter} reads {point.reads}: {unit} are whole numbers")


def _too_fast(history: MeterHistory, starts: set[str]) -> Iterator[Problem]:
    """Two readings of which the second is more hours on than there are in the days from the first, both included.

    Against the slowest reading so far, total less 24 h for each day gone by: so one pass finds any pair. Hours that no
    meter counted lie between the last reading and the change: what the old meter read last is no start for them.
    """
    slowest: Point | None = None
    least = Decimal(0)
    for point, after in zip_longest(history.points, history.points[1:]):
        behind = point.total - HOURS_OF_A_DAY * point.date.toordinal()
        before_hours = after is not None and after.record == point.record and after.total > point.total
        if slowest is None or point.record in starts:
            slowest, least = (None, least) if before_hours else (point, behind)
        elif behind - least > HOURS_OF_A_DAY:
            days = (point.date - slowest.date).days + 1
            ran = f"{history.meter} runs {point.total - slowest.total} h in {days} {'day' if days == 1 else 'days'}"
            first = f"{slowest.reads} on {slowest.date} in {slowest.place}"
            yield Problem(point.place, f"{ran}, more than the clock holds: {first}, {point.reads} here")
            slowest, least = point, behind
        elif behind <= least and not before_hours:
            slowest, least = point, behind


def _other_totals(names: Known, history: MeterHistory) -> Iterator[Problem]:
    """Totals written into an entry that the readings do not add up to, those of other days where it has none."""
    for record, fault in _against_totals(names.logbook, history):
        if not _added_up(names.logbook, history.meter, record):
            told = f"totals: {history.meter} says {record.totals[history.meter]}, and {fault}"
            yield Problem(place_of(record, "totals", history.meter), told)


def stated_before(names: Known) -> Iterator[Problem]:
    """Totals to which the readings added up until one of them was amended, or the change of a meter was written down
    later: right as they were stated, and all arithmetic uses what is known now.
    """
    for meter in names.aircraft.meters:
        for record, fault in _against_totals(names.logbook, names.logbook.meter_history(meter)):
            if _added_up(names.logbook, meter, record):
                told = f"totals: {meter} says {record.totals[meter]}, as was known then"
                told += f"; by what was amended or entered since {fault}"
                yield Problem(place_of(record, "totals", meter), told)


def of_the_one_before(names: Known) -> Iterator[Problem]:
    """Readings of before a total was brought forward that may be of a meter which was taken out before that: no more
    than the aircraft had flown when the present one began at 0, and no change of it on record.

    They count as of the present one, and what was done by them may be due sooner; one note for each meter.
    """
    records, changes = names.by_name, names.logbook.of_kind(MeterChange)
    for meter, unit in ((each.name, each.unit) for each in names.aircraft.meters.values()):
        history = names.logbook.meter_history(meter)
        start = next((point for point in history.points if point.record in history.starts), None)
        if start is None or any(each.meter == meter and each.date < start.date for each in changes):
            continue
        ahead = start.total - start.reads
        doubtful = [
            point
            for point in history.points
            if point.date < start.date and point.reads <= ahead and not isinstance(records[point.record], Hours)
        ]
        if not doubtful or ahead <= 0:
            continue
        first, more = doubtful[0], f" (and so in {len(doubtful) - 1} more)" if len(doubtful) > 1 else ""
        told = f"{meter} {first.reads} counts as a total of {first.total}{more}, as of the meter that read "
        told += f"{start.reads} on {start.date}; if it is of one before that, what was done by it is due {ahead} "
        told += f"{unit} sooner: `kind: meter-change` of the day of the change, with `old` and `new`, says which"
        yield Problem(place_of(records[first.record], "meters", meter), told)


def _against_totals(logbook: Logbook, history: MeterHistory) -> Iterator[tuple[PageRecord, str]]:
    for record in logbook.of_kind(PageRecord):
        stated = record.totals.get(history.meter)
        if stated is not None and (fault := _other_total(history, record, stated)):
            yield record, fault


def _added_up(logbook: Logbook, meter: str, record: PageRecord) -> bool:
    """Whether the total of an entry is that of the readings as they were known when it was entered."""
    written = logbook.as_written(record)
    stated = written.totals.get(meter) if isinstance(written, PageRecord) else None
    if stated is None or stated != record.totals.get(meter):
        return False

    was = meter_history(
        meter,
        (each for each in map(logbook.as_written, logbook.records) if not _was_entered_after(each, written)),
    )
    return not _other_total(was, written, stated)


def _was_entered_after(each: Record, page: Record) -> bool:
    """Whether what a meter began with, or its change, was written down after a page, by its day or by that seal."""
    if not isinstance(each, SPEAKING):
        return False
    if page.seal is not None and page.seal.sha256 in each.after:
        return True
    return each.entered is not None and page.entered is not None and each.entered > page.entered


def _other_total(history: MeterHistory, record: Record, stated: Decimal) -> str:
    """What the readings say against a total that a record states; "" if nothing."""
    point, at = history.at_record.get(record.name), history.at(record)
    if point is not None:
        return f"the readings up to here make it {point.total}" if point.total != stated else ""
    if at.total is not None and stated < at.total:
        return f"it had {at.total} on an earlier day"
    if at.latest is not None and stated > at.latest:
        return f"on a later day it has no more than {at.latest}"
    return ""


def _paper_totals(names: Known, history: MeterHistory, *, counts_hours: bool) -> Iterator[Problem]:
    """Totals of entries on paper below what was reached before, or above what was reached after, or can have been."""
    meter, dates = history.meter, [point.date for point in history.points]
    for record in names.logbook.of_kind(PaperEntry):
        if (said := record.totals.get(meter)) is None:
            continue
        before, after = bisect_left(dates, record.date), bisect_right(dates, record.date)
        earlier = history.points[before - 1] if before else None
        later = history.points[after] if after < len(dates) else None
        told = ""
        if earlier is not None and said < earlier.total:
            told = f"is below the total of {earlier.date}, {earlier.total} ({earlier.place})"
        elif later is not None and said > later.total:
            told = f"is above the total of {later.date}, {later.total} ({later.place})"
        elif counts_hours and earlier is not None:
            days = (record.date - earlier.date).days + 1
            if said - earlier.total > HOURS_OF_A_DAY * days:
                told = f"is {said - earlier.total} h on in {days} days, more than the clock holds ({earlier.place})"
        if told:
            yield Problem(place_of(record, "totals", meter), f"totals: {meter} {said} {told}")
