"""When a meter will have reached a total: the likely date, and early and late between which 8 of 10 fall.

The aircraft's own readings tell three things: how much is flown now (a mean of rates that forget at several speeds),
how use swings through the year (monthly factors, drawn towards 1 while there is little history), and how far forecasts
made like this one would have missed in the past. The misses, weighted towards days like today (the same season, the
same pause since the last flight), together with a prior for a short history, make the interval. Everything is
arithmetic on the readings: no chance, no clock; the same store and day give the same answer.
"""

import datetime as dt
import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from decimal import Decimal
from functools import cached_property

DAYS_AHEAD = 3650
STEP = 15
# A builder's aeroplane flies some 60 h a year; this weighs as much as 30 days of one's own readings.
PRIOR_RATE = 60 / 365.25
PRIOR_DAYS = 30.0
# Days after which older use counts half, from a quick memory to a long one.
HALF_LIVES = (45.0, 120.0, 365.0, 1000.0)
SEASON_YEARS = 1.0
# Misses are measured as the logarithm of true days to forecast days, both lengthened by this many days.
CUSHION = 10.0
PAUSE_WIDTH = 0.7
SEASON_WEIGHT = 0.5
# The prior of the misses: twelve even parts of a long-tailed spread, worth so many independent forecasts.
PRIOR_MISSES = (-1.5, -1.0, -0.7, -0.45, -0.25, -0.1, 0.1, 0.25, 0.45, 0.7, 1.0, 1.6)
PRIOR_WORTH = 1.5
PRIOR_SPREAD = 0.41
SHORT_SPREAD = 0.65
YOUNG_DAYS, YOUNG_SPREAD = 400, 1.4
USUAL_SPREAD, USUAL_WORTH = 0.35, 4.0
LEARN_POWER = 1.3
LEARN_AMOUNTS = (25.0, 50.0)
OVERLAP_DAYS = 30.0
TYPICAL_PAUSE = 0.75
QUANTILES = (0.1, 0.5, 0.9)


class Forecast:
    """The future of one meter from its readings up to a day. `readings` are (date, total), in order, at least one."""

    def __init__(self, readings: Sequence[tuple[dt.date, Decimal]], today: dt.date) -> None:
        self.today = today
        self.first = readings[0][0]
        self.days: list[int] = []
        self.totals: list[float] = []
        for date, total in readings:
            day = (date - self.first).days
            if self.days and self.days[-1] == day:
                self.totals[-1] = max(self.totals[-1], float(total))
            else:
                self.days.append(day)
                self.totals.append(float(total))
        self.now = max((today - self.first).days, self.days[-1])

    def when(self, total: Decimal) -> tuple[dt.date, dt.date, dt.date]:
        """Early, likely and late date at which the meter reaches `total`; ten years ahead at most."""
        amount = float(total) - self.totals[-1]
        pause = self.now - self.days[-1]
        unrecorded = self._rate_now * min(pause, self._typical_pause)
        ahead = self._days_to(self.now, max(0.0, amount - unrecorded), self._rate_now)
        misses = self._misses(amount, pause)
        weight = sum(each for _, each in misses)
        worth = 0.0
        if misses:
            effective = weight * weight / sum(each * each for _, each in misses)
            worth = effective * STEP / (ahead + OVERLAP_DAYS)
        spread = PRIOR_SPREAD * (1 + SHORT_SPREAD * math.exp(-ahead / 90)) * self._own_spread
        if self.now < YOUNG_DAYS:
            spread *= YOUNG_SPREAD
        drawn = [(miss * spread / 0.8, PRIOR_WORTH / len(PRIOR_MISSES)) for miss in PRIOR_MISSES]
        drawn += [(miss, worth * each / weight) for miss, each in misses]
        drawn.sort()
        early, likely, late = (self._date(ahead, _quantile(drawn, share)) for share in QUANTILES)
        return early, likely, late

    def _date(self, ahead: int, miss: float) -> dt.date:
        days = (ahead + CUSHION) * math.exp(miss) - CUSHION
        try:
            return self.today + dt.timedelta(days=int(max(0.0, min(float(DAYS_AHEAD), days))))
        except OverflowError:
            return dt.date.max

    @cached_property
    def _used(self) -> list[float]:
        """The total at each day from the first reading to today, spread evenly between readings."""
        used = []
        spans = zip(self.days, self.days[1:], self.totals, self.totals[1:], strict=False)
        for start, end, low, high in spans:
            used += [low + (high - low) * step / (end - start) for step in range(end - start)]
        return used + [self.totals[-1]] * (self.now - self.days[-1] + 1)

    @cached_property
    def _seasons(self) -> list[float]:
        """A factor for each month, mean 1: use in that month against the year around it."""
        if self.now < 300:
            return [1.0] * 12
        use, level = [0.0] * 12, [0.0] * 12
        for day in range(0, self.now - 9, 10):
            month = (self.first + dt.timedelta(days=day + 5)).month - 1
            low = max(0, day - 182)
            high = min(self.now, low + 365)
            low = max(0, high - 365)
            use[month] += self._used[day + 10] - self._used[day]
            level[month] += (self._used[high] - self._used[low]) / max(1, high - low) * 10
        usual = (self._used[self.now] - self._used[0]) / (self.now / 365.25) / 12 * SEASON_YEARS
        raw = [
            (use[month] + usual) / (level[month] + usual) if level[month] + usual > 0 else 1.0 for month in range(12)
        ]
        smooth = [(raw[month - 1] + 2 * raw[month] + raw[(month + 1) % 12]) / 4 for month in range(12)]
        mean = sum(smooth) / 12 or 1.0
        return [max(0.05, factor / mean) for factor in smooth]

    @cached_property
    def _exposure(self) -> list[float]:
        """Days weighted by season, summed up from the first reading to the end of the outlook."""
        exposure = [0.0]
        date = self.first
        for _ in range(self.now + DAYS_AHEAD):
            exposure.append(exposure[-1] + self._seasons[date.month - 1])
            date = date + dt.timedelta(days=1) if date < dt.date.max else date
        return exposure

    @cached_property
    def _rates(self) -> list[tuple[int, float]]:
        """The level of use (hours a weighted day) as it was known every half month up to today."""
        amounts, weights = [0.0] * len(HALF_LIVES), [0.0] * len(HALF_LIVES)
        found, before = [], 0
        for day in range(self.now % STEP, self.now + 1, STEP):
            # A meter whose readings fall is a problem already; it must not make the use negative here.
            use = max(0.0, self._used[day] - self._used[before])
            exposure = self._exposure[day] - self._exposure[before]
            logs = 0.0
            for place, half in enumerate(HALF_LIVES):
                fade = 0.5 ** ((day - before) / half)
                amounts[place] = amounts[place] * fade + use
                weights[place] = weights[place] * fade + exposure
                logs += math.log((amounts[place] + PRIOR_DAYS * PRIOR_RATE) / (weights[place] + PRIOR_DAYS))
            found.append((day, math.exp(logs / len(HALF_LIVES))))
            before = day
        return found

    @property
    def _rate_now(self) -> float:
        return self._rates[-1][1]

    @cached_property
    def _typical_pause(self) -> int:
        """How many days usually lie between two readings; so much flying may have gone unrecorded."""
        gaps = sorted(later - earlier for earlier, later in zip(self.days, self.days[1:], strict=False))
        return gaps[int(len(gaps) * TYPICAL_PAUSE)] if gaps else 14

    def _days_to(self, day: int, amount: float, rate: float) -> int:
        """Days from `day` until so much will have been flown at a rate."""
        reached = bisect_left(self._exposure, amount / rate + self._exposure[day])
        return min(reached, len(self._exposure) - 1) - day

    def _past(self, amount: float) -> list[tuple[int, int, float, int]]:
        """Forecasts for `amount` made in the past, where the truth is known: (day, pause, miss, days forecast)."""
        found = []
        for day, rate in self._rates:
            last = bisect_right(self.days, day) - 1
            goal = self.totals[last] + amount
            at = bisect_left(self.totals, goal)
            if at >= len(self.totals):
                break
            true: float = self.days[at]
            if self.totals[at] != goal and at > 0:
                share = (goal - self.totals[at - 1]) / (self.totals[at] - self.totals[at - 1])
                true = self.days[at - 1] + (self.days[at] - self.days[at - 1]) * share
            pause = day - self.days[last]
            ahead = self._days_to(day, max(0.0, amount - rate * min(pause, self._typical_pause)), rate)
            miss = math.log((max(0.0, true - day) + CUSHION) / (ahead + CUSHION))
            found.append((day, pause, miss, ahead))
        return found

    def _misses(self, amount: float, pause: int) -> list[tuple[float, float]]:
        """Past misses with weights: days with the same pause since the last flight and of this season count more."""
        found = []
        for day, then, miss, _ in self._past(amount):
            weight = math.exp(-abs(math.log((then + 7) / (pause + 7))) / PAUSE_WIDTH)
            weight *= math.exp(-SEASON_WEIGHT * (1 - math.cos(2 * math.pi * (self.now - day) / 365.25)))
            found.append((miss, weight))
        return found

    @cached_property
    def _own_spread(self) -> float:
        """How much more, or less, than usual forecasts for this owner miss."""
        logs = 0.0
        for amount in LEARN_AMOUNTS:
            past = self._past(amount)
            spread, worth = 0.0, 0.0
            if past:
                middle = sorted(miss for _, _, miss, _ in past)[len(past) // 2]
                spread = sum(abs(miss - middle) for _, _, miss, _ in past) / len(past)
                worth = len(past) * STEP / (sum(ahead for *_, ahead in past) / len(past) + OVERLAP_DAYS)
            learnt = (worth * spread + USUAL_WORTH * USUAL_SPREAD) / (worth + USUAL_WORTH)
            logs += math.log(learnt / USUAL_SPREAD)
        return math.exp(LEARN_POWER * logs / len(LEARN_AMOUNTS))


def _quantile(drawn: list[tuple[float, float]], share: float) -> float:
    """The weighted quantile of sorted (value, weight) pairs."""
    wanted = share * sum(weight for _, weight in drawn)
    summed = 0.0
    for value, weight in drawn:
        summed += weight
        if summed >= wanted:
            return value
    return drawn[-1][0]
