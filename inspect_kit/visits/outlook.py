"""The months ahead: the days on which the owner may work, and what the meters show on each, by likely and heavy use."""

import datetime as dt
from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal

from inspect_kit.due import Chronicle, forecasts
from inspect_kit.model.aircraft import VisitHabit
from inspect_kit.model.interval import MONTHS, UNITS, Limit
from inspect_kit.noun import dataclass

POINTS = 48
EARLY, LIKELY = 0, 1
SHORT_STEP, LONG_STEP = 7, 14
SHORT_MONTHS = 12


@dataclass(frozen=True, kw_only=True, slots=True)
class Curve:
    """A meter's total day by day: it never falls. `days` are ordinals, `totals` what is reached then.

    Totals are told in steps of `smallest`: tenths of an hour, whole landings or cycles.
    """

    days: tuple[int, ...]
    totals: tuple[float, ...]
    smallest: Decimal
    rounding: str

    def at(self, date: dt.date) -> Decimal:
        """The total on a day; before the first day and after the last one it stands still."""
        return Decimal(self.exactly(date)).quantize(self.smallest, rounding=self.rounding)

    def exactly(self, date: dt.date) -> float:
        """The same, not yet told in steps."""
        day = date.toordinal()
        place = bisect_left(self.days, day)
        if place == 0:
            return self.totals[0]
        if place == len(self.days):
            return self.totals[-1]
        first, last = self.days[place - 1], self.days[place]
        low, high = self.totals[place - 1], self.totals[place]
        return low + (high - low) * (day - first) / (last - first)


@dataclass(frozen=True, kw_only=True, slots=True)
class Outlook:
    """What each meter will show. `heavy` is the use that 1 year in 10 exceeds, `likely` the middle one."""

    heavy: Mapping[str, Curve]
    likely: Mapping[str, Curve]

    def totals(self, date: dt.date, *, heavy: bool) -> dict[str, Decimal]:
        """The total of every meter that has readings, on a day to come."""
        return {meter: curve.at(date) for meter, curve in (self.heavy if heavy else self.likely).items()}


def outlook(book: Chronicle, on: dt.date, end: dt.date) -> Outlook:
    """The use ahead from the forecast of every meter with readings.

    A forecast says when a total is reached; here that is turned round. `heavy` takes the early dates: what is within
    its limit on that curve is so in 9 years of 10, as far as the forecast holds.
    """
    heavy: dict[str, Curve] = {}
    likely: dict[str, Curve] = {}
    for meter, forecast in forecasts(book, on).items():
        now = [point.total for point in book.histories[meter].points if point.date <= on][-1]
        reach = Decimal(1)
        while forecast.when(now + reach)[EARLY] < end and reach < 100_000:
            reach *= 2
        steps = [now + reach * step / POINTS for step in range(1, POINTS + 1)]
        dates = [forecast.when(total) for total in steps]
        unit = book.logbook.aircraft.meters[meter].unit
        totals = [float(total) for total in (now, *steps)]
        heavy[meter] = _curve([on, *(early for early, _, _ in dates)], totals, unit, ROUND_CEILING)
        usual = _curve([on, *(middle for _, middle, _ in dates)], totals, unit, ROUND_HALF_EVEN)
        likely[meter] = without_no_flying(usual, book.logbook.aircraft.visits.no_flying, on, end)
    return Outlook(heavy=heavy, likely=likely)


def _curve(dates: list[dt.date], totals: list[float], unit: str, rounding: str) -> Curve:
    # A larger total cannot be reached earlier: where the forecast has it so, the earlier date stands for both.
    days = [date.toordinal() for date in dates]
    for place in range(len(days) - 2, 0, -1):
        days[place] = min(days[place], days[place + 1])
    known = {days[0]: totals[0]}
    for day, total in zip(days[1:], totals[1:], strict=True):
        known[max(day, days[0] + 1)] = total
    return Curve(days=tuple(known), totals=tuple(known.values()), smallest=UNITS[unit].smallest, rounding=rounding)


def without_no_flying(curve: Curve, months: tuple[int, ...], on: dt.date, end: dt.date) -> Curve:
    """The likely use without what falls into months with no flying (the heavy use does not rely on these)."""
    if not months:
        return curve
    days, totals = [on.toordinal()], [curve.totals[0]]
    before = curve.totals[0]
    for day in range(on.toordinal() + 1, end.toordinal() + 1):
        date = dt.date.fromordinal(day)
        total = curve.exactly(date)
        days.append(day)
        totals.append(totals[-1] + (0.0 if date.month in months else total - before))
        before = total
    return Curve(days=tuple(days), totals=tuple(totals), smallest=curve.smallest, rounding=curve.rounding)


def end_of(on: dt.date, months: int) -> dt.date:
    """The last day of the outlook."""
    return Limit(number=Decimal(months), unit=MONTHS).due_date(on)


def free(day: dt.date, habit: VisitHabit) -> bool:
    """Whether the owner is willing to work on that day at all."""
    return day.month not in habit.not_in and (not habit.weekdays or day.weekday() in habit.weekdays)


def soonest(habit: VisitHabit, on: dt.date) -> dt.date:
    """The next of the owner's weekdays from a day on, in a month to be kept free as well."""
    week = (on + dt.timedelta(days=number) for number in range(7))
    return next((day for day in week if free(day, replace(habit, not_in=()))), on)


def visit_days(habit: VisitHabit, on: dt.date, end: dt.date) -> tuple[dt.date, ...]:
    """Days on which there may be a visit: the first free one from `on`, then every week or two, and each month's last.

    A week apart for a year, two for a longer outlook; a calendar month's last free day is there as so much is due then.
    """
    days = [on + dt.timedelta(days=number) for number in range((end - on).days)]
    open_days = [day for day in days if free(day, habit)]
    step = SHORT_STEP if len(days) <= 31 * SHORT_MONTHS else LONG_STEP
    chosen: list[dt.date] = []
    for day in open_days:
        if not chosen or (day - chosen[-1]).days >= step:
            chosen.append(day)
    last_of_month = {(day.year, day.month): day for day in open_days}
    return tuple(sorted({*chosen, *last_of_month.values()}))
