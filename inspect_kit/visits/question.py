"""From items and days to the optimisation: what each may follow when, what is lost, what counts as near due."""

import datetime as dt
from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from functools import cached_property
from typing import TypeVar

from inspect_kit.due import Chronicle, Moment
from inspect_kit.due.limits import DuePoint
from inspect_kit.model.aircraft import VisitHabit
from inspect_kit.model.interval import DAYS, HOURS, UNITS, Limit
from inspect_kit.noun import dataclass
from inspect_kit.plan import access_labour
from inspect_kit.replenishment.paths import reaches_horizon
from inspect_kit.replenishment.problem import TODAY, JointProblem, ReplenishedItem, item_from_rule
from inspect_kit.visits.outlook import Outlook, free, visit_days
from inspect_kit.visits.renewal import Points
from inspect_kit.visits.subjects import Subject

# Whole days, or hours of use.
Amount = TypeVar("Amount", int, Decimal)

# A day that the owner wanted free costs so many times a visit, so that it is taken only where a limit asks for it.
OUTSIDE_FACTOR = 4
# A visit in the flying season counts so many times, so that work is pulled out of it where that gives little away.
SEASON_FACTOR = 3
# So many times at most days are added on which a limit leaves no other: each time adds at least one.
EXTRA_DAYS = 60
# What is guarded is done by choice only so near to a limit: in the last part of its interval, and no more than so much
# ahead. A twentieth of 2,000 h would be a year of flying given away.
LAST_PART = 0.05
LAST_USE = {DAYS: Decimal(90)} | {unit.word: unit.given_away for unit in UNITS.values()}
# The natural rule beside the plan: whenever something is due, do what falls due within so much as well.
SOON_USE = {DAYS: Decimal(30)} | {unit.word: unit.soon for unit in UNITS.values()}
SOON_WORDS = "30 days or 10 h"
LIKELY_USE, BOTH_USES = (False,), (False, True)


@dataclass(frozen=True, kw_only=True, slots=True)
class Given:
    """The part of an interval that is given away by doing an item early: its share, and in the limit's own words."""

    share: float
    left: Decimal
    whole: Decimal
    unit: str


@dataclass(frozen=True, kw_only=True, slots=True)
class YearQuestion:
    """The days (one a slot) and the problem over them. `outside` are days that the owner wanted free."""

    days: tuple[dt.date, ...]
    outside: frozenset[dt.date]
    subjects: tuple[Subject, ...]
    rules: Mapping[str, "Rule"]
    problem: JointProblem


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
            return [_share(*self.left(due, slot)) for slot in slots]
        return _shares_of(then.toordinal(), (then - due).days, nexts)

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
        return _shares_of(shown[last] + whole, whole, shown[slots.start : slots.stop])

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
            self.rows[last, stop] = _least(found)
        return self.rows[last, stop]


class Rule:
    """One item's due points at every slot, under heavy and likely use, worked out as they are asked for."""

    def __init__(self, subject: Subject, slots: Slots):
        self.subject, self.slots = subject, slots
        self.ahead, self.days, self.totals, self.moments = slots.ahead, slots.days, slots.totals, slots.moments
        self.begun = slots.begun
        self.known: dict[tuple[int, bool], Points] = {}
        renewal = subject.renewal
        self.plain = slots.sharing(renewal.plain or ())
        is_plain = renewal.plain is not None and not renewal.once
        self.calendar = self.plain.calendar if is_plain else Calendar(slots.days, self._dated_after)
        # The first doing from today on may be late, and then it is no matter of the limits alone.
        self.shares_from = 1 if is_plain else len(self.days)

    def points(self, last: int, heavy: bool) -> Points:
        """The due points after a doing at a slot, or today's."""
        if last == TODAY:
            return self.subject.renewal.now
        if (found := self.known.get((last, heavy))) is None:
            found = self.known[last, heavy] = self._after(last, heavy)
        return found

    def _after(self, last: int, heavy: bool) -> Points:
        if last < self.shares_from:
            return self.subject.renewal.after(self.moments[heavy][last], last == 0)
        return self.plain.points(last, heavy)

    def latest(self, last: int) -> int:
        """The last slot within every limit, whatever the use; the number of slots if the end of the outlook is."""
        if last == TODAY and self.subject.renewal.at_once:
            return 0
        # Past its limit today: the first visit it is, whenever that may be.
        least = 0 if last == TODAY else last
        return max(least, self._reach(last))

    def _reach(self, last: int) -> int:
        if last < self.shares_from:
            return min(self.slots.within(self.points(last, heavy), heavy) for heavy in BOTH_USES)
        return self.plain.reach[last]

    def given(self, last: int, again: int) -> Given | None:
        """What is given away at slot `again`, under the likely use: of several limits the one with least left."""
        if self.subject.renewal.once:
            return None
        choices = [given for point in self.points(last, False) if (given := self._left(point, last, again)) is not None]
        return min(choices, key=lambda given: given.share, default=None)

    def earliest(self, last: int) -> int:
        """The first slot at which what is guarded may be done by choice: its latest one, or one near a limit."""
        return self._first_near(
            last, lambda given: given.share <= LAST_PART and given.left <= LAST_USE.get(given.unit, 0)
        )

    def soon(self, last: int) -> int:
        """The first slot at which it falls due so soon that the natural rule does it along."""
        return self._first_near(last, lambda given: given.left <= SOON_USE.get(given.unit, 0))

    def _first_near(self, last: int, is_near: Callable[[Given], bool]) -> int:
        slot = min(self.latest(last), len(self.days) - 1)

        def near(again: int) -> bool:
            left = (self._left(point, last, again) for point in self.points(last, False))
            return any(given is not None and is_near(given) for given in left)

        while slot - 1 > last and near(slot - 1):
            slot -= 1
        return slot

    def _left(self, point: DuePoint, last: int, again: int) -> Given | None:
        """What is left of one limit at a slot, and how long the whole of it is."""
        if point.date is not None:
            left, whole = map(Decimal, self._days(point.date, again))
            unit = DAYS
        elif point.total is not None and point.meter in self.totals[False][again]:
            left = point.total - self.totals[False][again][point.meter]
            whole, unit = self._whole_use(point, last), point.unit or HOURS
            if self.subject.renewal.once:
                whole = point.total
        else:
            return None
        share, left = _share(left, whole), max(Decimal(0), left)
        return Given(share=share, left=left, whole=max(left, whole), unit=unit)

    def _days(self, due: dt.date, again: int) -> tuple[int, int]:
        """How many days sooner the next time comes, and the whole."""
        since = self._since
        return self.calendar.left(due, again) if since is None else ((due - self.days[again]).days, (due - since).days)

    @property
    def _since(self) -> dt.date | None:
        """When what comes once began to run, or what a part is marked with."""
        return self.begun if self.subject.renewal.once else self.subject.renewal.since

    def _dated_after(self, on: dt.date, slot: int) -> dt.date | None:
        """When it next falls due by the calendar, asked of its own arithmetic."""
        points = self.subject.renewal.after(replace(self.moments[False][slot], date=on), False)
        return min((point.date for point in points if point.date is not None), default=None)

    def _whole_use(self, point: DuePoint, last: int) -> Decimal:
        """How much use the whole interval of a due point is: for the one that runs today, as much as the next one."""
        start = max(last, 0)
        for next_point in self.points(start, False) if last == TODAY else (point,):
            if point.meter == next_point.meter and next_point.total is not None:
                return next_point.total - self.totals[False][start].get(point.meter or "", Decimal(0))
        return Decimal(0)

    def due_on(self, last: int) -> dt.date | None:
        """The likely day on which it falls due if it is not done before; None when that is beyond the outlook."""
        first = self.days[max(last, 0)]
        dates: list[dt.date] = []
        for point in self.points(last, False):
            if point.date is not None:
                dates.append(point.date)
            elif point.total is not None and point.meter in self.totals[False][0]:
                slot = self.slots.slot_within(point.meter, point.total, False)
                dates.append(self.days[max(slot, 0)] if slot < len(self.days) - 1 else dt.date.max)
        due = min(dates, default=dt.date.max)
        return max(due, first) if due <= self.days[-1] else None

    def waste(self, last: int, again: int) -> float:
        """Minutes that doing it at `again` gives away."""
        given = self.given(last, again)
        return self.subject.value * given.share if given is not None else 0.0

    def wastes(self, last: int, stop: int) -> tuple[float, ...]:
        """`waste` at every slot after `last` and before `stop`, at once: a year asks for a hundred thousand of them."""
        if self.subject.renewal.once:
            return (0.0,) * (stop - last - 1)
        # What a part is marked with runs from its own day.
        if last < self.shares_from or self.subject.renewal.since is not None:
            shares = self._least_shares(last, stop)
        else:
            shares = self.plain.shares(last, stop)
        value = self.subject.value
        return tuple([value * share for share in shares]) if shares is not None else (0.0,) * (stop - last - 1)

    def _least_shares(self, last: int, stop: int) -> list[float] | None:
        """Of several limits the one with least left, slot by slot; None where there is none."""
        slots = range(last + 1, stop)
        return _least(
            [each for point in self.points(last, False) if (each := self._shares(point, last, slots)) is not None]
        )

    def _shares(self, point: DuePoint, last: int, slots: range) -> list[float] | None:
        """The `share` of what is left of one limit at each of these slots, as `_left` has it."""
        if point.date is not None:
            return self._dated_shares(point.date, slots)
        if point.total is None or point.meter not in self.totals[False][0]:
            return None
        total = point.total
        whole = total if self.subject.renewal.once else self._whole_use(point, last)
        shown = self.slots.shown[point.meter][slots.start : slots.stop]
        return [0.0 if total <= at else 1.0 if (left := total - at) >= whole else float(left / whole) for at in shown]

    def _dated_shares(self, due: dt.date, slots: range) -> list[float]:
        """As `_days` has it, slot by slot."""
        if (since := self._since) is None:
            return self.calendar.shares(due, slots)
        return _shares_of(due.toordinal(), (due - since).days, self.slots.numbers[slots.start : slots.stop])

    @cached_property
    def item(self) -> ReplenishedItem:
        """The item of the optimisation."""
        return item_from_rule(
            name=self.subject.name,
            needs=self.subject.panels,
            slots=len(self.days) - 1,
            latest=self.latest,
            waste=self.waste,
            row=self.wastes,
            follows=self.subject.follows,
            earliest=self.earliest if self.subject.guarded else None,
        )

    @cached_property
    def near(self) -> tuple[int, ...]:
        """For the natural rule: after each doing the first slot at which it falls due soon."""
        return tuple(self.soon(last) for last in range(TODAY, len(self.days) - 1))

    def legal(self, last: int, day: dt.date, uses: tuple[bool, ...] = BOTH_USES) -> bool:
        """Whether it is within every limit on a day, under these uses."""
        return all(self.keeps(self.points(last, heavy), day, heavy) for heavy in uses)

    def keeps(self, points: Points, day: dt.date, heavy: bool) -> bool:
        """Whether a day is within due points under one use."""
        totals = self.slots.totals_on(day, heavy)
        for point in points:
            if point.date is not None and day > point.date:
                return False
            if point.total is not None and totals.get(point.meter or "", Decimal(0)) > point.total:
                return False
        return True

    def missing(self, on: dt.date) -> dt.date | None:
        """The latest day within the limit where it finds no slot in time; None where it finds one."""
        if (last_of_grace := self._end_of_grace(on)) is not None:
            return last_of_grace
        if not self.subject.renewal.at_once and self.legal(TODAY, on) and self._reach(TODAY) < 0:
            return self._last_day(TODAY, on)
        slots = len(self.days) - 1
        if self.subject.follows:
            # Its leaders may stop it at any slot, so that there must be a way on from each.
            dead = (slot for slot in range(slots) if self.item.latest[slot + 1] <= slot)
            return next((self._last_day(slot, on) for slot in dead), None)
        if reaches_horizon(self.item):
            return None
        node = TODAY
        while node < (limit := self.item.latest[node + 1]) < slots:
            node = limit
        return self._last_day(node, on)

    def _end_of_grace(self, on: dt.date) -> dt.date | None:
        """The last day of the grace in which it is today, where the first slot is later than that."""
        if self.legal(TODAY, on):
            return None
        graced = tuple(
            replace(point, date=point.grace_date or point.date, total=point.grace_total or point.total)
            for point in self.subject.renewal.now
        )
        first = self.days[0]
        days = [on + dt.timedelta(days=number) for number in range((first - on).days + 1)]
        kept = [day for day in days if all(self.keeps(graced, day, heavy) for heavy in BOTH_USES)]
        return kept[-1] if kept and kept[-1] < first else None

    def _last_day(self, last: int, on: dt.date) -> dt.date:
        day = on if last == TODAY else self.days[last]
        while self.legal(last, day + dt.timedelta(days=1)):
            day += dt.timedelta(days=1)
        return day


def _share(left: Amount, whole: Amount) -> float:
    """Which part of an interval is left: nothing of one that is over, all of one that is longer than the whole."""
    if left <= 0:
        return 0.0
    return 1.0 if left >= whole else float(left / whole)


def _shares_of(end: int, whole: int, at: Iterable[int | None]) -> list[float]:
    """`_share` of what is left of a whole that ends at `end`, at each of these points on the way."""
    return [
        0.0 if end <= here else 1.0 if end - here >= whole else (end - here) / whole for here in at if here is not None
    ]


def _least(rows: list[list[float]]) -> list[float] | None:
    """Place by place the least of these rows; None where there is none."""
    return (rows[0] if len(rows) == 1 else list(map(min, *rows))) if rows else None


def _due_date(limit: Limit, on: dt.date) -> dt.date | None:
    """When a calendar limit that counts from a day falls due; None beyond the end of the calendar."""
    try:
        return limit.due_date(on)
    except OverflowError:
        return None


def _factor(day: dt.date, habit: VisitHabit) -> int:
    if not free(day, habit):
        return OUTSIDE_FACTOR
    return SEASON_FACTOR if day.month in habit.season else 1


def question(
    book: Chronicle,
    ahead: Outlook,
    planned: tuple[Subject, ...],
    on: dt.date,
    end: dt.date,
    more: Iterable[dt.date] = (),
) -> YearQuestion:
    """The problem of these items from `on` to `end`, on the days that the owner is willing to work, and on `more` days.

    Where a limit leaves an item no such day, the latest day within the limit is added.
    """
    habit = book.logbook.aircraft.visits
    days = tuple(sorted({*(visit_days(habit, on, end) or (on,)), *more}))
    rules: dict[str, Rule] = {}
    for _ in range(EXTRA_DAYS):
        slots = Slots(book, ahead, days, end)
        rules = {subject.name: Rule(subject, slots) for subject in planned}
        wanted = {day for rule in rules.values() if (day := rule.missing(on)) is not None} - set(days)
        if not wanted:
            break
        days = tuple(sorted({*days, *wanted}))
    panels = book.logbook.panels
    outside = frozenset(day for day in days if not free(day, habit))
    problem = JointProblem(
        items=tuple(rules[subject.name].item for subject in planned),
        setups={
            name: float(access_labour(panels, [name]))
            for name in sorted({name for subject in planned for name in subject.panels})
        },
        visit=tuple(float(habit.minutes * _factor(day, habit)) for day in days),
    )
    return YearQuestion(days=days, outside=outside, subjects=planned, rules=rules, problem=problem)
