"""When a meter will have reached a total: the likely date, and early and late between which 8 of 10 fall.

The aircraft's own readings tell four things: how much is flown now (a mean of rates that forget at several speeds), how
use swings through the year (monthly factors, drawn towards 1 while there is little history), how much a silence may
hide (what was flown between readings before), and how far forecasts made like this one would have missed in the past.
The time since the last reading is forecast like any other, up to what a silence has hidden before; so a total may be
reached already, and its date lie in the past. The misses, weighted towards days like today (the same season, the same
silence, not long ago), together with a prior for a short history, make the interval. A forecast of the past whose truth
is still to come counts as missing by at least what has passed. Everything is arithmetic on the readings: no chance, no
clock; the same store and day give the same answer.
"""

import datetime as dt
import math
from bisect import bisect_left, insort
from calendar import monthrange
from collections.abc import Sequence
from decimal import Decimal
from functools import cached_property, lru_cache
from itertools import accumulate, pairwise
from math import copysign, log1p
from typing import NamedTuple

from inspect_kit.model.interval import HOURS, UNITS

DAYS_AHEAD = 3650
STEP = 15
# Forecasts of so long ago say how much this owner's miss; what was flown before that counts in all they rest on.
DAYS_BACK = 18_263
# A builder's aeroplane flies some 60 h a year; this weighs as much as 30 days of one's own readings.
PRIOR_RATE = 60 / 365.25
PRIOR_DAYS = 30.0
# Days after which older use counts half, from a quick memory to a long one.
HALF_LIVES = (60.0, 180.0)
SEASON_YEARS = 1.0
# Misses are measured on a scale that is even near today and logarithmic far from it, the bend at so many days.
BEND = 10.0
PAUSE_WIDTH = 0.7
SEASON_WEIGHT = 0.5
MISS_HALF_LIFE = 700.0
# What a silence has hidden nine times in ten before; a month's flying where there is no history yet.
HIDDEN_SHARE = 0.9
HIDDEN_PRIOR = (5.0, 10.0, 15.0)
# An amount of use up to this is a single day's, and is not spread over the days since the reading before.
ONE_DAY = 3.0
# How much farther than its bound the end of the misses lies where the truth is still to come.
BEYOND = 0.3
# The prior of the misses: twelve even parts of a long-tailed spread, worth so many independent forecasts.
PRIOR_MISSES = (-1.5, -1.0, -0.7, -0.45, -0.25, -0.1, 0.1, 0.25, 0.45, 0.7, 1.0, 1.6)
PRIOR_WORTH = 1.6
PRIOR_SPREAD = 0.385
SHORT_SPREAD = 0.8
# Over a year the habit itself may change.
LONG_DAYS, LONG_SPREAD = 200.0, 0.3
YOUNG_DAYS, YOUNG_SPREAD = 400, 1.4
# Between readings so many days apart, such as those of before a store was begun, nobody knows when a total was reached,
# so no forecast made there tells how far this owner's miss; and years apart they tell of no silence like the others.
UNTOLD, YEARS = 183, 730
USUAL_SPREAD, USUAL_WORTH = 0.35, 4.0
LEARN_POWER = 1.3
# Misses of a past with few and far readings are those of the even share between them: they tell no more than this.
MOST_SPREAD = 1.8
LEARN_AMOUNTS = (25.0, 50.0)
OVERLAP_DAYS = 30.0
QUANTILES = (0.1, 0.5, 0.9)


class Level(NamedTuple):
    """What was known on a day: the last reading before it (its number), what the silence since may hide, use a day."""

    day: int
    last: int
    hidden: float
    rate: float


# Of forecasts made in the past, in order, the misses (at least so much while one is open) and how many days each looked
# ahead; then how many are not open any more: these come first.
PastForecasts = tuple[list[float], list[float], int]


class Forecast:
    """The future of one meter from its readings up to a day. `readings` are (date, total), in order, at least one.

    No early date asks for more than `most_a_day` of every day since the last reading.
    """

    def __init__(
        self,
        readings: Sequence[tuple[dt.date, Decimal]],
        today: dt.date,
        most_a_day: float = UNITS[HOURS].most_a_day,
    ) -> None:
        self.today, self.most_a_day = today, most_a_day
        self.first = readings[0][0]
        self.days: list[int] = []
        self.totals: list[float] = []
        for date, total in readings:
            day = (date - self.first).days
            if self.days and self.days[-1] == day:
                self.totals[-1] = max(self.totals[-1], float(total))
            else:
                self.days.append(day)
                # A meter whose readings fall is a problem already; it must not make the use negative here.
                self.totals.append(max(float(total), self.totals[-1] if self.totals else 0.0))
        self.now = max((today - self.first).days, self.days[-1])
        # A list asks for one total again and again: for every item that falls due then.
        self._told: dict[Decimal, tuple[dt.date, dt.date, dt.date]] = {}

    @property
    def silence(self) -> int:
        """The age of the last reading in days."""
        return self.now - self.days[-1]

    def when(self, total: Decimal) -> tuple[dt.date, dt.date, dt.date]:
        """Early, likely and late date at which the meter reaches `total`; ten years ahead at most.

        A date before today says that it has probably been reached, by use that nobody wrote down yet.
        """
        if total not in self._told:
            self._told[total] = self._when(total)
        return self._told[total]

    def _when(self, total: Decimal) -> tuple[dt.date, dt.date, dt.date]:
        amount = max(0.0, float(total) - self.totals[-1])
        level = self._levels[-1]
        ahead = self._ahead(level, amount)
        drawn, worth = self._misses(amount, ahead)
        spread = PRIOR_SPREAD * (1 + SHORT_SPREAD * math.exp(-max(0.0, ahead) / 90)) * self._own_spread
        spread *= 1 + LONG_SPREAD * math.log(max(1.0, ahead / LONG_DAYS))
        if self.now < YOUNG_DAYS:
            spread *= YOUNG_SPREAD
        mixed = [(miss * spread / 0.8, PRIOR_WORTH / len(PRIOR_MISSES)) for miss in PRIOR_MISSES]
        mixed += [(miss, worth * weight) for miss, weight in drawn]
        mixed.sort()
        # A silence that never hid so much does not hide it now.
        soonest = -self.silence if amount <= self._most_hidden else 0
        # Of a short history the prior says nothing of how much a day can hold.
        possible = min(math.ceil(amount / self.most_a_day) - self.silence, DAYS_AHEAD)
        floors = (max(soonest, possible), soonest, soonest)
        misses = _quantiles(mixed, QUANTILES)
        early, likely, late = (self._date(ahead, miss, floor) for miss, floor in zip(misses, floors, strict=True))
        return min(early, likely), likely, late

    def _date(self, ahead: float, miss: float, soonest: int) -> dt.date:
        days = _unscaled(_scaled(ahead) + miss)
        try:
            return self.today + dt.timedelta(days=math.floor(max(float(soonest), min(float(DAYS_AHEAD), days))))
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
        """A factor for each month, mean 1: use in that month against the year around it, up to the last reading."""
        known = self.days[-1]
        if known < 300:
            return [1.0] * 12
        use, level, used, fifth = [0.0] * 12, [0.0] * 12, self._used, self.first.toordinal() + 5
        for day in range(0, known - 9, 10):
            month = dt.date.fromordinal(fifth + day).month - 1
            high = min(known, max(0, day - 182) + 365)
            low = max(0, high - 365)
            use[month] += used[day + 10] - used[day]
            level[month] += (used[high] - used[low]) / (high - low) * 10
        usual = (used[known] - used[0]) / (known / 365.25) / 12 * SEASON_YEARS
        raw = [
            (use[month] + usual) / (level[month] + usual) if level[month] + usual > 0 else 1.0 for month in range(12)
        ]
        smooth = [(raw[month - 1] + 2 * raw[month] + raw[(month + 1) % 12]) / 4 for month in range(12)]
        mean = sum(smooth) / 12 or 1.0
        return [max(0.05, factor / mean) for factor in smooth]

    @cached_property
    def _exposure(self) -> list[float]:
        """Days weighted by season, summed up from the first reading to the end of the outlook."""
        factors: list[float] = []
        year, month, passed, wanted = self.first.year, self.first.month, self.first.day - 1, self.now + DAYS_AHEAD
        seasons = self._seasons
        while len(factors) < wanted and year <= dt.MAXYEAR:
            factors += [seasons[month - 1]] * (monthrange(year, month)[1] - passed)
            year, month, passed = year + month // 12, month % 12 + 1, 0
        # Behind the last day of the calendar it stays as it was on that.
        factors += [seasons[11]] * (wanted - len(factors))
        return list(accumulate(factors[:wanted], initial=0.0))

    @cached_property
    def _gaps(self) -> list[int]:
        """Days from each reading to the next."""
        return [end - start for start, end in zip(self.days, self.days[1:], strict=False)]

    @cached_property
    def _levels(self) -> list[Level]:
        """What was known every half month up to today, each from the readings that there were by then."""
        amounts, weights = [0.0] * len(HALF_LIVES), [0.0] * len(HALF_LIVES)
        found: list[Level] = []
        hid = list(HIDDEN_PRIOR)
        last, days, exposure, totals = 0, self.days, self._exposure, self.totals
        begin = self.now % STEP + max(0, (self.now - DAYS_BACK - self.now % STEP + STEP - 1) // STEP) * STEP
        for day in range(begin, self.now + 1, STEP):
            while last + 1 < len(days) and days[last + 1] <= day:
                gone, more = days[last + 1] - days[last], totals[last + 1] - totals[last]
                if gone <= YEARS:
                    insort(hid, more)
                _fade(amounts, weights, gone, more, exposure[days[last + 1]] - exposure[days[last]])
                last += 1
            cap = hid[min(len(hid) - 1, int(len(hid) * HIDDEN_SHARE))]
            silent = exposure[day] - exposure[days[last]]
            hidden = min(_rate(amounts, weights) * silent, cap)
            then, span = list(amounts), list(weights)
            _fade(then, span, day - days[last], hidden, silent)
            found.append(Level(day, last, hidden, _rate(then, span)))
        return found

    @cached_property
    def _silences(self) -> list[tuple[int, int, float, float, int, float]]:
        """Each level with the days since its last reading, and the weighted days up to it."""
        return [(*level, level.day - self.days[level.last], self._exposure[level.day]) for level in self._levels]

    @cached_property
    def _scales(self) -> list[float]:
        """Whole days on the scale of the misses, as `_scaled` has them: as many as lie ahead of the first level, or
        behind any.
        """
        longest = max([len(self._exposure) - self._levels[0].day, *(pause for *_, pause, _ in self._silences)])
        return [log1p(days / BEND) for days in range(longest + 1)]

    @cached_property
    def _most_hidden(self) -> float:
        """The most that was ever flown between two readings; a month's flying at least."""
        spans = [
            later - earlier
            for earlier, later, gone in zip(self.totals, self.totals[1:], self._gaps, strict=False)
            if gone <= YEARS
        ]
        return max([*spans, ONE_DAY] if len(spans) > 2 else HIDDEN_PRIOR)

    def _ahead(self, level: Level, amount: float) -> float:
        """Days from that day until so much more than the last reading will have been flown; negative if it has been."""
        pause = level.day - self.days[level.last]
        if amount <= level.hidden:
            return -pause * (1 - amount / level.hidden) if level.hidden > 0 else 0.0
        reached = bisect_left(self._exposure, (amount - level.hidden) / level.rate + self._exposure[level.day])
        return float(min(reached, len(self._exposure) - 1) - level.day)

    def _past(self, amount: float) -> PastForecasts:
        """Forecasts for `amount` as they would have been made every half month. Most of the time of `due` goes here."""
        known = self.totals[-1] + self._levels[-1].hidden
        exposure, last_day, scales = self._exposure, len(self._exposure) - 1, self._scales
        totals, days, spread, count = self.totals, self.days, self._spread, len(self.totals)
        misses: list[float] = []
        looks: list[float] = []
        # On which day it was true: `whole` where that is one, else `true`.
        at, true = -1, 0.0
        whole: int | None = 0
        told: int | None = None
        for day, last, hidden, rate, pause, spent in self._silences:
            if last != at:
                at, goal = last, totals[last] + amount
                # Reached between two readings, by an even share, and not before the last one then.
                then = bisect_left(totals, goal, last)
                if then == count:
                    whole = days[-1] if goal <= known else self.now
                    # Totals never fall: behind one that is open all are.
                    told = len(misses) if told is None else told
                elif spread[then] and totals[then] != goal:
                    low = totals[then - 1]
                    true = days[then - 1] + (days[then] - days[then - 1]) * ((goal - low) / (totals[then] - low))
                    whole = None
                else:
                    whole = days[then]
            # As `_ahead`, and `_scaled` of both.
            if amount <= hidden:
                ahead = -pause * (1 - amount / hidden) if hidden > 0 else 0.0
                looked = copysign(log1p(abs(ahead) / BEND), ahead)
            else:
                ahead = bisect_left(exposure, (amount - hidden) / rate + spent, day, last_day) - day
                looked = scales[ahead]
            if whole is None:
                still = true - day
                misses.append(copysign(log1p(abs(still) / BEND), still) - looked)
            else:
                misses.append((scales[whole - day] if whole >= day else -scales[day - whole]) - looked)
            looks.append(ahead)
        return misses, looks, len(misses) if told is None else told

    @cached_property
    def _spread(self) -> list[bool]:
        """Of each reading whether more than a day's use lies between it and the one before, and is spread over that."""
        return [False, *(high - low > ONE_DAY for low, high in pairwise(self.totals))]

    @cached_property
    def _weights(self) -> list[float]:
        """How much each forecast of the past counts: made after a silence like this one, at this season, lately."""
        found = []
        for level in self._levels:
            pause, gone = level.day - self.days[level.last], self.now - level.day
            weight = math.exp(-abs(math.log((pause + 7) / (self.silence + 7))) / PAUSE_WIDTH)
            weight *= math.exp(-SEASON_WEIGHT * (1 - math.cos(2 * math.pi * gone / 365.25)))
            found.append(weight * 0.5 ** (gone / MISS_HALF_LIFE))
        return found

    def _misses(self, amount: float, ahead: float) -> tuple[list[tuple[float, float]], float]:
        """Past misses with weights that sum to 1, and how many independent forecasts they are worth."""
        misses, _, told = self._past(amount)
        if not told:
            return [], 0.0
        weights = self._weights
        effective = sum(weights[:told]) ** 2 / sum([each * each for each in weights[:told]])
        return _drawn(misses, told, weights), effective * STEP / (max(0.0, ahead) + OVERLAP_DAYS)

    def _tells(self, level: Level) -> bool:
        """Whether readings after that day are near enough to tell by how much a forecast made then missed."""
        return level.last == len(self._gaps) or self._gaps[level.last] <= UNTOLD

    @cached_property
    def _own_spread(self) -> float:
        """How much more, or less, than usual forecasts for this owner miss."""
        logs = 0.0
        for amount in LEARN_AMOUNTS:
            misses, looks, told = self._past(amount)
            past = [
                (miss, ahead)
                for miss, ahead, at in zip(misses[:told], looks, self._levels, strict=False)
                if self._tells(at)
            ]
            spread, worth = 0.0, 0.0
            if past:
                middle = sorted(miss for miss, _ in past)[len(past) // 2]
                spread = sum(abs(miss - middle) for miss, _ in past) / len(past)
                mean = sum(max(0.0, ahead) for _, ahead in past) / len(past)
                worth = len(past) * STEP / (mean + OVERLAP_DAYS)
            learnt = (worth * spread + USUAL_WORTH * USUAL_SPREAD) / (worth + USUAL_WORTH)
            logs += math.log(learnt / USUAL_SPREAD)
        return min(MOST_SPREAD, math.exp(LEARN_POWER * logs / len(LEARN_AMOUNTS)))


def _fade(amounts: list[float], weights: list[float], days: int, use: float, exposure: float) -> None:
    """Let each memory forget for so many days, and take in what was used in them."""
    for place, fade in enumerate(_fades(days)):
        amounts[place] = amounts[place] * fade + use
        weights[place] = weights[place] * fade + exposure


@lru_cache(maxsize=1024)
def _fades(days: int) -> list[float]:
    """Which part of each memory is left after so many days: the same few times lie between readings."""
    return [0.5 ** (days / half) for half in HALF_LIVES]


def _rate(amounts: list[float], weights: list[float]) -> float:
    """Use a weighted day: the mean of the memories, each drawn towards the prior."""
    memories = zip(amounts, weights, strict=True)
    logs = sum(math.log((amount + PRIOR_DAYS * PRIOR_RATE) / (weight + PRIOR_DAYS)) for amount, weight in memories)
    return math.exp(logs / len(HALF_LIVES))


def _scaled(days: float) -> float:
    return math.copysign(math.log1p(abs(days) / BEND), days)


def _unscaled(scaled: float) -> float:
    return math.copysign(math.expm1(min(abs(scaled), 20.0)) * BEND, scaled)


def _drawn(misses: list[float], told: int, weights: list[float]) -> list[tuple[float, float]]:
    """(miss, share) in order of misses, with weights: those behind the first `told` are still open, and each of them is
    shared out among those that miss by more.

    The product-limit estimate; Kaplan and Meier, Nonparametric estimation from incomplete observations, 1958.
    """
    # Of equal misses an open one comes last, as it stands behind the others.
    order = sorted(range(len(misses)), key=misses.__getitem__)
    ordered = [weights[place] for place in order]
    at_risk, left = sum(ordered), 1.0
    found = []
    for place, weight in zip(order, ordered, strict=True):
        if place < told and at_risk > 0:
            share = left * (weight / at_risk) if weight < at_risk else left
            found.append((misses[place], share))
            left -= share
        at_risk -= weight
    if left > 1e-9:
        found.append((misses[order[-1]] + BEYOND, left))
    return found


def _quantiles(drawn: list[tuple[float, float]], shares: Sequence[float]) -> list[float]:
    """The weighted quantiles, for rising shares, of sorted (value, weight) pairs."""
    summed = list(accumulate([weight for _, weight in drawn]))
    return [drawn[min(bisect_left(summed, share * summed[-1]), len(drawn) - 1)][0] for share in shares]
