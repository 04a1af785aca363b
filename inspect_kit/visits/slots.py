"""The days of the year ahead, and what all items ask of each: what meters show, when a limit falls due again."""

import datetime as dt
from bisect import bisect_right
from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import cached_property
from typing import TypeVar

from inspect_kit.due import Chronicle, Moment
from inspect_kit.due.limits import DuePoint
from inspect_kit.model.interval import Limit
from inspect_kit.visits.outlook import Outlook
from inspect_kit.visits.renewal import Points

# Whole days, or hours of use.
Amount = TypeVar("Amount", int, Decimal)
LIKELY_USE, BOTH_USES = (False,), (False, True)


class Slots:
    """The days, and what every meter shows on each under likely and under heavy use: the same for all items."""

    def __init__(self, book: Chronicle, ahead: Outlook, days: tuple[dt.date, ...], end: dt.date):
        self.ahead, self.days = ahead, (*days, end)
        self.totals = tuple(tuple(ahead.totals(day, heavy=heavy) for day in self.days) for heavy in (False, True))
        place = self.place = book.logbook.aircraft.place
        self.moments = tuple(
            tuple(
                Moment(
                    date=day,
                    totals={meter: use.get(meter) for meter in book.histories},
                    clock=use.get(book.clock),
                    place=place,
                    order=(day, use.get(book.clock, Decimal(0)), 0, Decimal(0)),
                )
                for day, use in zip(self.days, totals, strict=True)
            )
            for totals in self.totals
        )
        self.aircraft = book.logbook.aircraft
        self.begun = self.aircraft.certificate_date
        # What each meter shows on the days under likely use, and the days as ordinals.
        self.shown = {meter: [use[meter] for use in self.totals[False]] for meter in self.totals[False][0]}
        self.numbers: list[int | None] = [day.toordinal() for day in self.days]
        self.shared: dict[tuple[Limit, ...], Shared] = {}
        self.terms: dict[tuple[Limit, tuple[Limit, ...]], Term] = {}
        self.calendars: dict[tuple[Limit, ...], Calendar] = {}
        self.on_days: dict[tuple[dt.date, bool], dict[str, Decimal]] = {}

    def within(self, points: Points, heavy: bool) -> int:
        """The last slot within due points under one use; -1 where none is."""
        reach = len(self.days) - 1
        for point in points:
            if point.date is not None:
                reach = min(reach, self.slot_before(point.date))
            elif point.total is not None and point.meter in self.totals[heavy][0]:
                reach = min(reach, self.slot_within(point.meter, point.total, heavy))
        return reach

    def slot_before(self, date: dt.date) -> int:
        """The last slot that is not later than a date; -1 where the first one is."""
        return bisect_right(self.days, date) - 1

    def slot_within(self, meter: str, total: Decimal, heavy: bool) -> int:
        """The last slot at which the meter has not passed a total; -1 where it has at the first one."""
        return bisect_right(self.totals[heavy], total, key=lambda use: use[meter]) - 1

    def totals_on(self, day: dt.date, heavy: bool) -> dict[str, Decimal]:
        """What every meter shows on any day: of today all items ask."""
        if (day, heavy) not in self.on_days:
            self.on_days[day, heavy] = self.ahead.totals(day, heavy=heavy)
        return self.on_days[day, heavy]

    def sharing(self, limits: tuple[Limit, ...]) -> "Shared":
        """What is known of these limits."""
        if limits not in self.shared:
            self.shared[limits] = Shared(limits, self)
        return self.shared[limits]

    def term(self, limit: Limit, dated: tuple[Limit, ...]) -> "Term":
        """What is known of a limit, one by the calendar among all those of an item."""
        key = (limit, dated if limit.is_calendar else ())
        if key not in self.terms:
            self.terms[key] = Term(limit, self, self.calendar(dated))
        return self.terms[key]

    def calendar(self, dated: tuple[Limit, ...]) -> "Calendar":
        """When what has these calendar limits falls due again."""

        def after(on: dt.date, _: int) -> dt.date | None:
            found = (_due_date(limit, on) for limit in dated)
            return min((date for date in found if date is not None), default=None)

        if dated not in self.calendars:
            self.calendars[dated] = Calendar(self.days, after)
        return self.calendars[dated]


class Calendar:
    """When it next falls due by the calendar if it is done on a day, in time."""

    def __init__(self, days: tuple[dt.date, ...], after: Callable[[dt.date, int], dt.date | None]) -> None:
        self.days, self.after = days, after
        self.known: dict[dt.date, dt.date | None] = {}

    def next(self, on: dt.date, slot: int = 0) -> dt.date | None:
        """The next date after a doing on a day; None beyond the end of the calendar, and where there is none."""
        if on not in self.known:
            self.known[on] = self.after(on, slot)
        return self.known[on]

    @cached_property
    def numbers(self) -> list[int | None]:
        """The next dates after a doing at each slot, as ordinals."""
        dates = (self.next(day, slot) for slot, day in enumerate(self.days))
        return [None if date is None else date.toordinal() for date in dates]

    def shares(self, due: dt.date, slots: range) -> list[float]:
        """What doing it at these slots gives away of the time that ends on a date: the next one comes so much sooner.

        Calendar months run to the end of the month, so that nothing is given away by any day of that in which it is
        due.
        """
        then, nexts = self.next(due), self.numbers[slots.start : slots.stop]
        if then is None or None in nexts:
            return [share_left(*self.left(due, slot)) for slot in slots]
        return shares_left(then.toordinal(), (then - due).days, nexts)

    def left(self, due: dt.date, slot: int) -> tuple[int, int]:
        """How many days sooner the next time comes by doing it at a slot, and the whole time."""
        then, now = self.next(due), self.next(self.days[slot], slot)
        if then is None or now is None:
            return (due - self.days[slot]).days, 0
        return (then - now).days, (then - due).days


class Term:
    """What is known of one limit that counts from the doing alone: the same for all items that have it."""

    def __init__(self, limit: Limit, slots: Slots, calendar: Calendar) -> None:
        self.limit, self.slots, self.calendar = limit, slots, calendar
        self.meter = None if limit.is_calendar else slots.aircraft.meter_of(limit.unit, limit.meter)
        # Where it is the only one by the calendar, what is asked of both is worked out once.
        self.own = slots.calendar((limit,)) if limit.is_calendar else calendar
        self.rows: dict[int, list[float]] = {}

    def date(self, slot: int) -> dt.date | None:
        """When a calendar limit that counts from a slot falls due; None beyond the end of the calendar."""
        return self.own.next(self.slots.days[slot])

    def total(self, slot: int, heavy: bool) -> Decimal | None:
        """At which total a limit falls due; None where nothing says what it would count from."""
        start = self.slots.moments[heavy][slot].totals.get(self.meter) if self.meter else None
        return None if start is None else start + self.limit.number

    def point(self, slot: int, heavy: bool) -> DuePoint | None:
        """The due point after a doing at a slot, if there is one."""
        if self.limit.is_calendar:
            date = self.date(slot)
            return None if date is None else DuePoint(date=date)
        total = self.total(slot, heavy)
        return None if total is None else DuePoint(meter=self.meter, unit=self.limit.unit, total=total)

    @cached_property
    def reach(self) -> list[int]:
        """After a doing at each slot the last one within the limit, whatever the use."""
        return [min(self._reach(slot, heavy) for heavy in self.uses) for slot in range(len(self.slots.days))]

    @property
    def uses(self) -> tuple[bool, ...]:
        """The uses under which it may fall due at different times."""
        return LIKELY_USE if self.limit.is_calendar else BOTH_USES

    def _reach(self, slot: int, heavy: bool) -> int:
        if self.limit.is_calendar:
            date = self.date(slot)
            return len(self.slots.days) - 1 if date is None else self.slots.slot_before(date)
        total = self.total(slot, heavy)
        if total is None or self.meter is None or self.meter not in self.slots.shown:
            return len(self.slots.days) - 1
        return self.slots.slot_within(self.meter, total, heavy)

    def row(self, last: int, stop: int) -> list[float] | None:
        """The shares that are given away at the slots after `last`, at least up to `stop`, under the likely use."""
        known = self.rows.get(last)
        if known is None or len(known) < stop - last - 1:
            slots = range(last + 1, max(stop, self.reach[last] + 1))
            if self.limit.is_calendar:
                date = self.date(last)
                known = None if date is None else self.calendar.shares(date, slots)
            else:
                known = self._row_of_use(last, slots)
            if known is not None:
                self.rows[last] = known
        return known

    def _row_of_use(self, last: int, slots: range) -> list[float] | None:
        if self.total(last, False) is None or self.meter not in self.slots.shown:
            return None
        whole, shown = self._counted
        return shares_left(shown[last] + whole, whole, shown[slots.start : slots.stop])

    @cached_property
    def _counted(self) -> tuple[int, list[int]]:
        """The limit and what its meter shows at each slot, in whole parts of both."""
        shown = self.slots.shown[self.meter or ""]
        part = min((each.as_tuple().exponent for each in (self.limit.number, *shown)), key=int)
        return int(self.limit.number.scaleb(-int(part))), [int(each.scaleb(-int(part))) for each in shown]


class Shared:
    """What is known of limits that count from the doing alone: the same for all items that have them."""

    def __init__(self, limits: tuple[Limit, ...], slots: Slots) -> None:
        dated = tuple(limit for limit in limits if limit.is_calendar)
        self.slots, self.calendar = slots, slots.calendar(dated)
        self.terms = [slots.term(limit, dated) for limit in limits]
        self.rows: dict[tuple[int, int], list[float] | None] = {}

    def points(self, last: int, heavy: bool) -> Points:
        """The due points after a doing at a slot."""
        return tuple([point for term in self.terms if (point := term.point(last, heavy)) is not None])

    @cached_property
    def reach(self) -> list[int]:
        """After a doing at each slot the last one within all limits, whatever the use."""
        last = len(self.slots.days) - 1
        return [min(reach, default=last) for reach in zip(*(term.reach for term in self.terms), strict=True)] or (
            [last] * len(self.slots.days)
        )

    def shares(self, last: int, stop: int) -> list[float] | None:
        """What is given away at every slot after `last` and before `stop`: of several limits that with least left."""
        if (last, stop) not in self.rows:
            found = [row[: stop - last - 1] for term in self.terms if (row := term.row(last, stop)) is not None]
            self.rows[last, stop] = least_of(found)
        return self.rows[last, stop]


def share_left(left: Amount, whole: Amount) -> float:
    """Which part of an interval is left: nothing of one that is over, all of one that is longer than the whole."""
    if left <= 0:
        return 0.0
    return 1.0 if left >= whole else float(left / whole)


def shares_left(end: int, whole: int, at: Iterable[int | None]) -> list[float]:
    """`share_left` of what is left of a whole that ends at `end`, at each of these points on the way."""
    return [
        0.0 if end <= here else 1.0 if end - here >= whole else (end - here) / whole for here in at if here is not None
    ]


def least_of(rows: list[list[float]]) -> list[float] | None:
    """Place by place the least of these rows; None where there is none."""
    return (rows[0] if len(rows) == 1 else list(map(min, *rows))) if rows else None


def _due_date(limit: Limit, on: dt.date) -> dt.date | None:
    """When a calendar limit that counts from a day falls due; None beyond the end of the calendar."""
    try:
        return limit.due_date(on)
    except OverflowError:
        return None
