"""One item over the days of the year: until when each doing reaches, what it gives away, what counts as near due."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from functools import cached_property
from itertools import repeat
from operator import mul

from inspect_kit.due.limits import DuePoint
from inspect_kit.model.interval import DAYS, HOURS, UNITS
from inspect_kit.noun import dataclass
from inspect_kit.replenishment.paths import reaches_horizon
from inspect_kit.replenishment.problem import TODAY, ReplenishedItem
from inspect_kit.visits.renewal import Points
from inspect_kit.visits.slots import BOTH_USES, LIKELY_USE, Calendar, Slots, least_of, share_left, shares_left
from inspect_kit.visits.subjects import Subject

# What is guarded is done by choice only so near to a limit: in the last part of its interval, and no more than so much
# ahead. A twentieth of 2,000 h would be a year of flying given away.
LAST_PART = 0.05
LAST_USE = {DAYS: Decimal(90)} | {unit.word: unit.given_away for unit in UNITS.values()}
# The natural rule beside the plan: whenever something is due, do what falls due within so much as well.
SOON_USE = {DAYS: Decimal(30)} | {unit.word: unit.soon for unit in UNITS.values()}
SOON_WORDS = "30 days or 10 h"


@dataclass(frozen=True, kw_only=True, slots=True)
class Given:
    """The part of an interval that is given away by doing an item early: its share, and in the limit's own words."""

    share: float
    left: Decimal
    whole: Decimal
    unit: str


class Rule:
    """One item's due points at every slot, under heavy and likely use, worked out as they are asked for."""

    def __init__(self, subject: Subject, slots: Slots):
        self.subject, self.slots = subject, slots
        self.ahead, self.days, self.totals, self.moments = slots.ahead, slots.days, slots.totals, slots.moments
        self.begun = slots.begun
        self.known: dict[tuple[int, bool], Points] = {}
        renewal = subject.renewal
        self.plain = slots.sharing(renewal.plain or ())
        is_plain = renewal.plain is not None and not (renewal.once and renewal.plain)
        self.calendar = self.plain.calendar if is_plain else Calendar(slots.days, self._dated_after)
        # The first doing from today on may be late, and then it is no matter of the limits alone.
        self.shares_from = 1 if is_plain else len(self.days)
        # After which doings what is left of `first` may fall due sooner than anything counts for it.
        self.waits: dict[int, int] = {}

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
        reach = max(least, self._reach(last))
        here = max(last, 0)
        answering = self._first_answer(last) if reach <= here and self.subject.renewal.waits else None
        if answering is None or answering <= reach or self._reach(here) > here:
            return reach
        # With heavy use it falls due before a doing counts for it: it is done when it counts, and no sooner; at once
        # too where it is past its limit then with the likely use as well.
        self.waits[last] = answering
        return answering if last > TODAY or self.legal(TODAY, self.days[answering], LIKELY_USE) else reach

    def _first_answer(self, last: int) -> int | None:
        """The first slot at which a doing answers, with the likely use, what `first` asks for by a meter next after the
        one at `last`; None where that is not in the outlook, or nothing is asked.
        """
        asked = [(point.meter, point.total) for point in self.points(last, False) if point.total is not None]
        for slot in range(max(last, TODAY) + 1, len(self.days) - 1) if asked else ():
            if asked[0] not in [(point.meter, point.total) for point in self.points(slot, False)]:
                return slot
        return None

    def _reach(self, last: int) -> int:
        if last < self.shares_from:
            return min(self.slots.within(self.points(last, heavy), heavy) for heavy in BOTH_USES)
        return self.plain.latest[last]

    def given(self, last: int, again: int) -> Given | None:
        """What is given away at slot `again`, under the likely use: of several limits the one with least left."""
        if self.subject.renewal.once:
            return None
        points = self.points(last, False)
        choices = [(given, point) for point in points if (given := self._left(point, last, again)) is not None]
        if not choices:
            return None
        given, point = min(choices, key=lambda choice: choice[0].share)
        return self._cut_short(given, point, last, again)

    def _cut_short(self, given: Given, point: DuePoint, last: int, again: int) -> Given:
        """In days of the interval that is cut short; the share is of the next one, which comes so much sooner."""
        begun = point.since if last == TODAY else self.days[last]
        if point.date is None or begun is None or self._since is not None:
            return given
        left = min(given.left, Decimal((point.date - self.days[again]).days))
        return replace(given, left=left, whole=max(left, Decimal((point.date - begun).days)))

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
        share, left = share_left(left, whole), max(Decimal(0), left)
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
        """The likely day on which it falls due if it is not done before; None when that is beyond the outlook.

        What the calendar made past due before today fell due on the day of its limit, what use did is due today.
        """
        dates: list[dt.date] = []
        for point in self.points(last, False):
            if point.date is not None:
                dates.append(point.date)
            elif point.total is not None and point.meter in self.totals[False][0]:
                slot = self.slots.slot_within(point.meter, point.total, False)
                late = dt.date.max if slot >= len(self.days) - 1 else self.slots.on
                dates.append(self.days[slot] if 0 <= slot < len(self.days) - 1 else late)
        due = min(dates, default=dt.date.max)
        if due > self.days[-1]:
            return None
        return due if last == TODAY else max(due, self.days[last])

    def waste(self, last: int, again: int) -> float:
        """Minutes that doing it at `again` gives away."""
        given = self.given(last, again)
        return self.subject.value * given.share if given is not None else 0.0

    def wastes(self, last: int, stop: int) -> tuple[float, ...]:
        """`waste` at every slot after `last` and before `stop`, all within its limits, at once."""
        if self.subject.renewal.once:
            return (0.0,) * (stop - last - 1)
        # What a part is marked with runs from its own day.
        if last < self.shares_from or self.subject.renewal.since is not None:
            shares = self._least_shares(last, stop)
        else:
            shares = self.plain.rows[last]
        if shares is None:
            return (0.0,) * (stop - last - 1)
        return tuple(map(mul, repeat(self.subject.value), shares[: stop - last - 1]))

    def _least_shares(self, last: int, stop: int) -> list[float] | None:
        """Of several limits the one with least left, slot by slot; None where there is none."""
        slots = range(last + 1, stop)
        return least_of(
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
        shown = self.slots.shown[False][point.meter][slots.start : slots.stop]
        return [0.0 if total <= at else 1.0 if (left := total - at) >= whole else float(left / whole) for at in shown]

    def _dated_shares(self, due: dt.date, slots: range) -> list[float]:
        """As `_days` has it, slot by slot."""
        if (since := self._since) is None:
            return self.calendar.shares(due, slots)
        return shares_left(due.toordinal(), (due - since).days, self.slots.numbers[slots.start : slots.stop])

    @cached_property
    def item(self) -> ReplenishedItem:
        """The item of the optimisation."""
        subject, slots = self.subject, len(self.days) - 1
        own = min(self.shares_from, slots)
        latest = (*map(self.latest, range(TODAY, own)), *self.plain.latest[own:slots])
        return ReplenishedItem(
            name=subject.name,
            needs=subject.panels,
            latest=latest,
            waste=tuple([self.wastes(last, min(limit, slots - 1) + 1) for last, limit in enumerate(latest, TODAY)]),
            follows=subject.follows,
            earliest=tuple(map(self.earliest, range(TODAY, slots))) if subject.guarded else (),
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
        if (late := self._when_late(on)) is not None:
            return late
        if not self.subject.renewal.at_once and self.legal(TODAY, on) and self._reach(TODAY) < 0:
            return self._last_day(TODAY, on)
        slots = len(self.days) - 1
        if self.subject.renewal.waits and (in_time := self._before_it_counts()) is not None:
            return in_time
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

    def _before_it_counts(self) -> dt.date | None:
        """The last day within the limit with the likely use, where the first slot on which a doing counts is later."""
        for last, slot in self.waits.items() if self.item else ():
            if not self.legal(last, self.days[slot], LIKELY_USE):
                day = self.days[max(last, slot - 1)]
                while self.legal(last, day + dt.timedelta(days=1), LIKELY_USE):
                    day += dt.timedelta(days=1)
                if day not in self.days and day > self.days[max(last, 0)]:
                    return day
        return None

    def _when_late(self, on: dt.date) -> dt.date | None:
        """Where the first slot is too late for what is past its limit today, the day for it: the last one of the grace
        in which it is; where it has none left, as of what is to be done at once, the next one whatever the month.
        """
        first = self.days[0]
        if self.subject.renewal.at_once:
            return self.slots.soonest if self.slots.soonest < first else None
        if self.legal(TODAY, on):
            return None
        graced = tuple(
            replace(point, date=point.grace_date or point.date, total=point.grace_total or point.total)
            for point in self.subject.renewal.now
        )
        days = [on + dt.timedelta(days=number) for number in range((first - on).days + 1)]
        kept = [day for day in days if all(self.keeps(graced, day, heavy) for heavy in BOTH_USES)]
        late = kept[-1] if kept else self.slots.soonest
        return late if late < first else None

    def _last_day(self, last: int, on: dt.date) -> dt.date:
        day = on if last == TODAY else self.days[last]
        while self.legal(last, day + dt.timedelta(days=1)):
            day += dt.timedelta(days=1)
        return day
