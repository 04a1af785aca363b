"""Meters through the years: readings as the meter shows them, totals as the aircraft has them."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import groupby

from inspect_kit.errors import Place, Problem
from inspect_kit.model.record import BroughtForward, MeterChange, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One reading of one meter: what it read, the total that is, and the record that says so."""

    date: dt.date
    reads: Decimal
    total: Decimal
    record: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """A meter's total at some record: `estimated` where the record has no reading and the last one before it counts."""

    total: Decimal
    estimated: bool
    point: Point | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterHistory:
    """All readings of one meter in order, and the offset of the meter that is fitted now (total = reading + offset)."""

    meter: str
    points: tuple[Point, ...] = ()
    offset: Decimal = Decimal(0)
    at_record: Mapping[str, Point] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()

    def on(self, date: dt.date) -> Point | None:
        """The last reading on or before that day."""
        return next((point for point in reversed(self.points) if point.date <= date), None)

    def at(self, record: Record) -> Total:
        """The total at a record; without a reading of its own, the last total on or before its date, estimated.

        An aircraft starts at total 0: before its first reading the estimate is 0.
        """
        if record.name in self.at_record:
            point = self.at_record[record.name]
            return Total(total=point.total, estimated=False, point=point)
        last = self.on(record.date)
        return Total(total=last.total if last else Decimal(0), estimated=True, point=last)

    def reading_for(self, total: Decimal) -> Decimal:
        """What the present meter reads at a total; negative for one that lies before it."""
        return total - self.offset


def meter_history(meter: str, records: Iterable[Record]) -> MeterHistory:
    """Follow one meter through all records (any order), changes of the meter included.

    Records of one day are ordered by their readings. On the day of a change a reading between the last one and `old`
    is the old meter's, any other the new one's. A reading lower than an earlier one of the same meter is a problem
    that names both files. Source: AC 43-9C (enter the time in service and the reading when a meter is changed).
    """
    dated = sorted((record for record in records if _speaks_of(record, meter)), key=lambda record: record.date)
    follower = _Follower(meter)
    for _, same_day in groupby(dated, key=lambda record: record.date):
        follower.day(list(same_day))
    return follower.history()


def _speaks_of(record: Record, meter: str) -> bool:
    if isinstance(record, MeterChange) and record.meter == meter:
        return True
    return meter in record.meters or (isinstance(record, BroughtForward) and meter in record.reads)


class _Follower:
    """Walks the days of one meter; holds the offset and the last reading of the meter that is fitted."""

    def __init__(self, meter: str) -> None:
        self.meter = meter
        self.offset = Decimal(0)
        self.last: Point | None = None
        self.points: list[Point] = []
        self.at_record: dict[str, Point] = {}
        self.problems: list[Problem] = []

    def day(self, records: list[Record]) -> None:
        for start in (record for record in records if isinstance(record, BroughtForward)):
            if self.meter in start.reads:
                self.offset = start.reads[self.meter].total - start.reads[self.meter].reads
                self.last = None
                self._take(start, start.reads[self.meter].reads)
        readings = sorted(
            ((record.meters[self.meter], record.name, record) for record in records if self.meter in record.meters),
            key=lambda entry: entry[:2],
        )
        changes = [record for record in records if isinstance(record, MeterChange) and record.meter == self.meter]
        for change in sorted(changes, key=self._order_of_changes):
            floor = self.last.reads if self.last else Decimal(0)
            for entry in [entry for entry in readings if floor <= entry[0] <= change.old]:
                readings.remove(entry)
                self._take(entry[2], entry[0])
            self._take(change, change.old)
            total = change.old + self.offset + (change.unrecorded or Decimal(0))
            self.offset = total - change.new
            self.last = None
            self._take(change, change.new)
        for reads, _, record in readings:
            self._take(record, reads)

    def _order_of_changes(self, change: MeterChange) -> tuple[bool, Decimal]:
        # Two changes on one day: the one that can follow the last reading comes first.
        floor = self.last.reads if self.last else Decimal(0)
        return change.old < floor, change.old

    def _take(self, record: Record, reads: Decimal) -> None:
        point = Point(
            date=record.date, reads=reads, total=reads + self.offset, record=record.name, place=record.place
        )
        if self.last is not None and reads < self.last.reads:
            self.problems.append(
                Problem(
                    record.place,
                    f"{self.meter} reads {reads} on {record.date}, lower than {self.last.reads} on {self.last.date} "
                    f"in {self.last.place}",
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
            problems=tuple(self.problems),
        )
