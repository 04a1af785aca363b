"""The days of the year ahead, and what all items ask of each: what meters show, when a limit falls due again."""

import datetime as dt
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import cached_property
from typing import TypeVar

from inspect_kit.due import Chronicle, Moment
from inspect_kit.due.limits import DuePoint
from inspect_kit.model.interval import Limit
from inspect_kit.visits.outlook import Outlook, soonest
from inspect_kit.visits.renewal import Points

# Whole days, or hours of use.
Amount = TypeVar("Amount", int, Decimal)
LIKELY_USE, BOTH_USES = (False,), (False, True)


class Slots:
    """The days, and what every meter shows on each under likely and under heavy use: the same for all items."""

    def __init__(self, book: Chronicle, ahead: Outlook, days: tuple[dt.date, ...], on: dt.date, end: dt.date):
        self.ahead, self.days, self.on = ahead, (*days, end), on
        # The day for what cannot wait: a month kept free is long, the next weekday of the owner's is near.
        self.soonest = soonest(book.logbook.aircraft.visits, on)
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
        # What each meter shows on the days, under likely and under heavy use, and the days as ordinals.
        self.shown = tuple({meter: [use[meter] for use in totals] for meter in totals[0]} for totals in self.totals)
        self.numbers = [day.toordinal() for day in self.days]
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
            elif point.total is not None and point.meter in self.shown[heavy]:
                reach = min(reach, self.slot_within(point.meter, point.total, heavy))
        return reach

    def slot_before(self, date: dt.date) -> int:
        """The last slot that is not later than a date; -1 where the first one is."""
        return bisect_right(self.days, date) - 1

    def slot_within(self, meter: str, total: Decimal, heavy: bool) -> int:
        """The last slot at which the meter has not passed a total; -1 where it has at the first one."""
        return bisect_right(self.shown[heavy][meter], total) - 1

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
        if dated not in self.calendars:
            self.calendars[dated] = Calendar(self.days, self._first_of(dated))
        return self.calendars[dated]

    def _first_of(self, dated: tuple[Limit, ...]) -> Callable[[dt.date, int], dt.date | None]:
        if len(dated) == 1:
            return lambda on, _: _due_date(dated[0], on)
        each = [self.calendar((limit,)) for limit in dated]
        return lambda on, _: min((date for one in each if (date := one.next(on)) is not None), default=None)


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
    def dates(self) -> list[dt.date | None]:
        """The next dates after a doing at each slot."""
        return [self.next(day, slot) for slot, day in enumerate(self.days)]

    @cached_property
    def numbers(self) -> list[int] | None:
        """The same as ordinals, if there is one after each slot and they rise."""
        found = [date.toordinal() for date in self.dates if date is not None]
        return found if len(found) == len(self.days) and found == sorted(found) else None

    def shares(self, due: dt.date, slots: range) -> list[float]:
        """What doing it at these slots gives away of the time that ends on a date: the next one comes so much sooner.

        Calendar months run to the end of the month, so that nothing is given away by any day of that in which it is
        due.
        """
        then, nexts = self.next(due), self.numbers
        if then is None or nexts is None:
            return [share_left(*self.left(due, slot)) for slot in slots]
        return shares_left(then.toordinal(), (then - due).days, nexts[slots.start : slots.stop])

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

    def point(self, slot: int, heavy: bool) -> DuePoint | None:
        """The due point after a doing at a slot, if there is one."""
        if self.limit.is_calendar:
            date = self.own.dates[slot]
            return None if date is None else DuePoint(date=date)
        start = self.slots.shown[heavy].get(self.meter or "")
        if start is None:
            return None
        return DuePoint(meter=self.meter, unit=self.limit.unit, total=start[slot] + self.limit.number)

    @cached_property
    def reach(self) -> list[int]:
        """After a doing at each slot the last one within the limit, whatever the use."""
        last = len(self.slots.days) - 1
        if self.limit.is_calendar:
            return [last if date is None else self.slots.slot_before(date) for date in self.own.dates]
        if self.meter not in self.slots.shown[False]:
            return [last] * (last + 1)
        return list(map(min, *(self._within(self.slots.shown[heavy][self.meter]) for heavy in BOTH_USES)))

    def _within(self, shown: list[Decimal]) -> list[int]:
        number = self.limit.number
        return [bisect_right(shown, start + number) - 1 for start in shown]

    @cached_property
    def rows(self) -> list[list[float] | None]:
        """After a doing at each slot the shares that are given away at the later ones that are within the limit.

        Under the likely use; None where nothing falls due.
        """
        last = len(self.slots.days) - 1
        slots = [range(slot + 1, min(reach, last - 1) + 1) for slot, reach in enumerate(self.reach)]
        if self.limit.is_calendar:
            dates = zip(self.own.dates, slots, strict=True)
            return [None if date is None else self.calendar.shares(date, later) for date, later in dates]
        if self.meter not in self.slots.shown[False]:
            return [None] * (last + 1)
        whole, shown = self._counted(self.slots.shown[False][self.meter])
        starts = zip(shown, slots, strict=True)
        return [shares_left(start + whole, whole, shown[later.start : later.stop]) for start, later in starts]

    def _counted(self, shown: list[Decimal]) -> tuple[int, list[int]]:
        """The limit and what its meter shows at each slot, in whole parts of both."""
        part = min((each.as_tuple().exponent for each in (self.limit.number, *shown)), key=int)
        return int(self.limit.number.scaleb(-int(part))), [int(each.scaleb(-int(part))) for each in shown]


class Shared:
    """What is known of limits that count from the doing alone: the same for all items that have them."""

    def __init__(self, limits: tuple[Limit, ...], slots: Slots) -> None:
        dated = tuple(limit for limit in limits if limit.is_calendar)
        self.slots, self.calendar = slots, slots.calendar(dated)
        self.terms = [slots.term(limit, dated) for limit in limits]

    def points(self, last: int, heavy: bool) -> Points:
        """The due points after a doing at a slot."""
        return tuple([point for term in self.terms if (point := term.point(last, heavy)) is not None])

    @cached_property
    def latest(self) -> list[int]:
        """After a doing at each slot the last one within all limits, whatever the use; itself where none is."""
        if not self.terms:
            return [len(self.slots.days) - 1] * len(self.slots.days)
        reach = (min(reach) for reach in zip(*(term.reach for term in self.terms), strict=True))
        return [max(slot, last) for slot, last in enumerate(reach)]

    @cached_property
    def rows(self) -> list[list[float] | None]:
        """What is given away at every slot after each, up to the latest: of several limits that with least left."""
        rows = zip(*(term.rows for term in self.terms), strict=True) if self.terms else [()] * len(self.slots.days)
        return [
            least_of([row[: latest - slot] for row in found if row is not None])
            for slot, (latest, found) in enumerate(zip(self.latest, rows, strict=True))
        ]


def share_left(left: Amount, whole: Amount) -> float:
    """Which part of an interval is left: nothing of one that is over, all of one that is longer than the whole."""
    if left <= 0:
        return 0.0
    return 1.0 if left >= whole else float(left / whole)


def shares_left(end: int, whole: int, at: Sequence[int]) -> list[float]:
    """`share_left` of what is left of a whole that ends at `end`, at each of these points on the way, which rise."""
    over = bisect_left(at, end)
    longer = bisect_right(at, end - whole, hi=over)
    return [*[1.0] * longer, *[(end - here) / whole for here in at[longer:over]], *[0.0] * (len(at) - over)]


def least_of(rows: list[list[float]]) -> list[float] | None:
    """Place by place the least of these rows; None where there is none."""
    return (rows[0] if len(rows) == 1 else list(map(min, *rows))) if rows else None


def _due_date(limit: Limit, on: dt.date) -> dt.date | None:
    """When a calendar limit that counts from a day falls due; None beyond the end of the calendar."""
    try:
        return limit.due_date(on)
    except OverflowError:
        return None
