"""Meters through the years: readings as the meter shows them, totals as the aircraft has them, and the total
at a record that reads none."""

import datetime as dt
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import field
from decimal import Decimal
from functools import cached_property
from itertools import groupby
from operator import attrgetter
from typing import NamedTuple

from inspect_kit.errors import Fallen, Place, Problem
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


# Tuples, as there are some for each record of a life.
class Point(NamedTuple):
    """One reading of one meter: what it read, the total that is, and the record that says so."""

    date: dt.date
    reads: Decimal
    total: Decimal
    record: str
    place: Place


class Total(NamedTuple):
    """What a meter had at some record, None where nothing says it.

    `estimated` where the record has no reading: then it had at least `total`, the last one of an earlier day, and at
    most `latest`, the first one of a later day (what is known now, if there is none). `evening` is the last one of that
    very day.
    """

    total: Decimal | None
    evening: Decimal | None
    latest: Decimal | None
    estimated: bool


@dataclass(frozen=True, kw_only=True)
class MeterHistory:
    """All readings of one meter in order, and the offset of the meter that is fitted now (total = reading + offset).

    `starts` are the records by which its total was brought forward; without any the total began at 0. `before` is the
    meter that ran before this one was there, and `shift` what turns its totals into those of this one; None where
    nothing says what the aircraft had when this one began, or what the other read then.
    """

    meter: str
    points: tuple[Point, ...] = ()
    offset: Decimal = Decimal(0)
    at_record: Mapping[str, Point] = field(default_factory=dict)
    starts: frozenset[str] = frozenset()
    problems: tuple[Problem, ...] = ()
    before: "MeterHistory | None" = None
    shift: Decimal | None = None

    @property
    def begun_late(self) -> str:
        """That it was read first after another had run; "" where that is not so, or its total then is on record."""
        if self.before is None or self.shift is not None or self.starts:
            return ""
        first, day = self.points[0], self.both_from(self.before)
        when = "when" if day == first.date else f"and on {day}"
        had = f"{when} {self.before.meter} had {self.before.by_both(self)} h"
        return f"{self.meter} was first read on {first.date}, {had}: what it had before that is not on record"

    def both_from(self, other: "MeterHistory") -> dt.date:
        """The day from which on both of two meters were read."""
        return max(self.points[0].date, other.points[0].date)

    def by_both(self, other: "MeterHistory") -> Decimal:
        """What it had on the first day from which on both were read."""
        return self.by(self.both_from(other)) or Decimal(0)

    def read_beside(self, first: Point) -> Decimal | None:
        """What it had when another was read: by the same record, or on that day; None where it was not read then."""
        point = self.at_record.get(first.record)
        if point is not None:
            return point.total
        return self.by(first.date) if self.is_read_on(first.date) else None

    def _shifted(self, total: Decimal | None) -> Decimal | None:
        return None if total is None or self.shift is None else total + self.shift

    def _is_before(self, date: dt.date) -> bool:
        """Whether a day is one of the meter that ran before this one was there."""
        return self.before is not None and date < self.points[0].date

    @cached_property
    def _estimated(self) -> dict[dt.date, Total]:
        """The total estimated for each day on which the meter was not read, once somebody asked."""
        return {}

    @cached_property
    def _days(self) -> list[dt.date]:
        return [point.date for point in self.points]

    def earlier(self, date: dt.date) -> Decimal | None:
        """The total with which a day began: the last one of an earlier day, or one brought forward on that day.

        An aircraft begins at 0, unless its total was brought forward; of a meter that was never read nothing is known.
        """
        found = bisect_left(self._days, date)
        while found < len(self.points) and self.points[found].date == date and self.points[found].record in self.starts:
            found += 1
        if found:
            return self.points[found - 1].total
        if self.before is not None:
            return self._shifted(self.before.earlier(date))
        return Decimal(0) if self.points and not self.starts else None

    def by(self, date: dt.date) -> Decimal | None:
        """The last total on or before a day."""
        if self.before is not None and self._is_before(date):
            return self._shifted(self.before.by(date))
        found = bisect_right(self._days, date)
        return self.points[found - 1].total if found else self.earlier(date)

    def is_read_on(self, date: dt.date) -> bool:
        if self.before is not None and self._is_before(date):
            return self.shift is not None and self.before.is_read_on(date)
        found = bisect_right(self._days, date)
        return found > 0 and self._days[found - 1] == date

    def later(self, date: dt.date) -> Decimal | None:
        """The first total of a later day, else the last one there is."""
        if self.before is not None and self._is_before(date):
            then, first = self._shifted(self.before.later(date)), self.points[0].total
            return first if then is None else min(then, first)
        found = bisect_right(self._days, date)
        return self.points[found].total if found < len(self.points) else self.by(date)

    def at(self, record: Record) -> Total:
        """The total at a record: its own reading, or what the readings before and after it leave open."""
        point = self.at_record.get(record.name)
        if point is not None:
            return Total(total=point.total, evening=point.total, latest=point.total, estimated=False)
        date = record.date
        if self.before is not None and self.shift is not None and self._is_before(date):
            point = self.before.at_record.get(record.name)
            if point is not None:
                total = self._shifted(point.total)
                return Total(total=total, evening=total, latest=total, estimated=False)
        if date not in self._estimated:
            self._estimated[date] = Total(
                total=self.earlier(date), evening=self.by(date), latest=self.later(date), estimated=True
            )
        return self._estimated[date]

    def told_then(self, total: Decimal, day: dt.date) -> Decimal | None:
        """A total that was told on a day: on the meter before this one, where it was not there yet. Of either where
        nothing tells which, if that comes no later than on the other.
        """
        if self.before is None or not self._is_before(day):
            return total
        if self.shift is None and self.starts and self.points[0].total >= self.before.by_both(self):
            return total
        return self._shifted(total)

    def reading_for(self, total: Decimal) -> Decimal:
        """What the present meter reads at a total; negative for one that lies before it."""
        return total - self.offset


# Kinds of records that say more of a meter than what it read.
SPEAKING = (BroughtForward, MeterChange)


def meter_history(meter: str, records: Iterable[Record]) -> MeterHistory:
    """Follow one meter through all records (any order), changes of the meter included.

    Records of one day are ordered by their readings. On the day of a change a reading between the last one and `old`
    is the old meter's, unless its record has the total that makes it the new one's; any other is the new one's. A
    reading lower than an earlier one of the same meter is a problem that names both files. Source: AC 43-9C (enter the
    time in service and the reading when a meter is changed). What is dated before a `brought-forward` is history:
    its totals are those that lead up to the one brought forward.
    """
    dated = [
        record
        for record in records
        if meter in record.meters or (isinstance(record, SPEAKING) and _speaks_of(record, meter))
    ]
    dated.sort(key=attrgetter("date"))
    follower = _Follower(meter, _first_offset(meter, dated))
    for _, same_day in groupby(dated, key=attrgetter("date")):
        follower.day(list(same_day))
    return follower.history()


def _speaks_of(record: BroughtForward | MeterChange, meter: str) -> bool:
    """Whether a record says something of a meter beside what others read too."""
    return record.meter == meter if isinstance(record, MeterChange) else meter in record.reads


def _first_offset(meter: str, dated: list[Record]) -> Decimal:
    """What turns the first readings into totals: reckoned back from the total that was brought forward, else 0."""
    start = next((record for record in dated if isinstance(record, BroughtForward) and meter in record.reads), None)
    if start is None:
        return Decimal(0)
    offset = start.reads[meter].total - start.reads[meter].reads
    changes = [record for record in dated if isinstance(record, MeterChange) and record.meter == meter]
    for change in reversed([change for change in changes if change.date < start.date]):
        offset += change.new - change.old - (change.unrecorded or Decimal(0))
    return offset


class _Follower:
    """Walks the days of one meter; holds the offset and the last reading of the meter that is fitted."""

    def __init__(self, meter: str, offset: Decimal) -> None:
        self.meter = meter
        self.offset = offset
        self.starts: set[str] = set()
        self.last: Point | None = None
        self.points: list[Point] = []
        self.at_record: dict[str, Point] = {}
        self.problems: list[Problem] = []

    def day(self, records: list[Record]) -> None:
        if len(records) == 1 and not isinstance(records[0], SPEAKING):
            # As nearly all days are.
            self._take(records[0], records[0].meters[self.meter])
            return
        for start in (record for record in records if isinstance(record, BroughtForward)):
            if self.meter in start.reads:
                self.offset = start.reads[self.meter].total - start.reads[self.meter].reads
                self.starts.add(start.name)
                self._take(start, start.reads[self.meter].reads)
        readings = sorted(
            ((record.meters[self.meter], record.name, record) for record in records if self.meter in record.meters),
            key=lambda entry: entry[:2],
        )
        changes = [record for record in records if isinstance(record, MeterChange) and record.meter == self.meter]
        for change in sorted(changes, key=self._order_of_changes):
            floor = self.last.reads if self.last else Decimal(0)
            old_ones = [entry for entry in readings if floor <= entry[0] <= change.old]
            for entry in [each for each in old_ones if not self._says_new(each[2], change)]:
                readings.remove(entry)
                self._take(entry[2], entry[0])
            self._take(change, change.old)
            total = change.old + self.offset + (change.unrecorded or Decimal(0))
            self.offset = total - change.new
            self.last = None
            self._take(change, change.new)
        for reads, _, record in readings:
            self._take(record, reads)

    def _says_new(self, record: Record, change: MeterChange) -> bool:
        """Whether a record says by its total that what it read was the new meter, though the old one had that too."""
        said = record.totals.get(self.meter) if isinstance(record, PageRecord) else None
        reads = record.meters[self.meter]
        moved = change.old + self.offset + (change.unrecorded or Decimal(0)) - change.new
        if said is None or reads < change.new:
            return False
        # Not to the tenth: what the change says may have been put right since.
        return abs(said - reads - moved) < abs(said - reads - self.offset)

    def _order_of_changes(self, change: MeterChange) -> tuple[bool, Decimal]:
        # Two changes on one day: the one that can follow the last reading comes first.
        floor = self.last.reads if self.last else Decimal(0)
        return change.old < floor, change.old

    def _take(self, record: Record, reads: Decimal) -> None:
        point = Point(record.date, reads, reads + self.offset, record.name, record.place)
        if self.last is not None and reads < self.last.reads:
            self.problems.append(
                Problem(
                    record.place,
                    f"{self.meter} reads {reads} on {record.date}, lower than {self.last.reads} on {self.last.date} "
                    f"in {self.last.place}",
                    fallen=Fallen(self.meter, self.last.place),
                )
            )
        self.points.append(point)
        self.at_record[record.name] = point
        self.last = point

    def history(self) -> MeterHistory:
        return MeterHistory(
            meter=self.meter,
            points=tuple(self.points),
            offset=self.offset,
            at_record=self.at_record,
            starts=frozenset(self.starts),
            problems=tuple(self.problems),
        )
