"""A slope that a few wild readings cannot turn, its interval, and the fewest readings that can show one.

The median of the slopes of all pairs.

Sources: H. Theil, A rank-invariant method of linear and polynomial regression analysis, 1950; P. K. Sen, Estimates of
the regression coefficient based on Kendall's tau, Journal of the American Statistical Association 63 (1968), pages 1379
to 1389: the interval by the variance of Kendall's S, with ties.
"""

import math
from bisect import bisect_left, bisect_right, insort
from collections import Counter
from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby, pairwise

from inspect_kit.noun import dataclass

# 95 % of a normal distribution lie within so many standard deviations of its middle (`NormalDist().inv_cdf(0.975)`).
DEVIATIONS = 1.9599639845400536
# Three values cannot exclude a slope of zero with 95 % confidence: Kendall's S is 3 at most, and 1.96 standard
# deviations of it are 3.75. Four can: 6 against 5.77 (the variance is n (n - 1) (2 n + 5) / 18).
FEWEST_POINTS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """The line y = `start` + `slope` x; the true slope lies from `low` to `high` with 95 % confidence."""

    slope: float
    low: float
    high: float
    start: float
    points: int

    @property
    def clear(self) -> bool:
        """Whether it is clear of noise: at least `FEWEST_POINTS`, and zero outside the interval."""
        return self.points >= FEWEST_POINTS and self.low * self.high > 0

    def at(self, x: float) -> float:
        """What the line has at x."""
        return self.start + self.slope * x


def theil_sen(x: Sequence[float], y: Sequence[float]) -> Slope | None:
    """The slope of y over x; None where no two points differ in x."""
    return _theil_sen(tuple(x), tuple(y))


# The same series is asked about its limit and then shown.
@lru_cache(maxsize=256)
def _theil_sen(x: tuple[float, ...], y: tuple[float, ...]) -> Slope | None:
    pairs = [
        (y[late] - y[early]) / (x[late] - x[early])
        for late in range(len(x))
        for early in range(late)
        if x[late] != x[early]
    ]
    if not pairs:
        return None
    pairs.sort()
    slope = _middle(pairs)
    lower, upper = _ends(len(pairs), x, y)
    low, high = pairs[lower], pairs[upper]
    start = _middle(sorted(value - slope * at for at, value in zip(x, y, strict=True)))
    return Slope(slope=slope, low=low, high=high, start=start, points=len(x))


def has_clear_slope(x: Sequence[float], y: Sequence[float]) -> bool:
    """Whether `theil_sen` finds a slope that is clear of noise, told by how many pairs rise and fall.

    Of n points in the order of x it takes n log n steps; the slopes of all pairs take n squared.
    """
    if len(x) < FEWEST_POINTS:
        return False
    if any(later < earlier for earlier, later in pairwise(x)):
        slope = theil_sen(x, y)
        return slope is not None and slope.clear
    falling = level = rising = 0
    before: list[float] = []
    for _, group in groupby(zip(x, y, strict=True), key=lambda point: point[0]):
        values = [value for _, value in group]
        for value in values:
            below, up_to = bisect_left(before, value), bisect_right(before, value)
            rising, level, falling = rising + below, level + up_to - below, falling + len(before) - up_to
        for value in values:
            insort(before, value)
    pairs = falling + level + rising
    if not pairs:
        return False
    lower, upper = _ends(pairs, x, y)
    return lower >= falling + level or upper < falling


def _middle(ordered: Sequence[float]) -> float:
    """The median of what is in order."""
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def _ends(pairs: int, x: Sequence[float], y: Sequence[float]) -> tuple[int, int]:
    """Where the interval of Sen's equation 2.6 begins and ends among the ordered slopes of so many pairs."""
    count = len(x)
    ties = sum(
        tied * (tied - 1) * (2 * tied + 5) for values in (x, y) for tied in Counter(values).values() if tied > 1
    )
    variance = (count * (count - 1) * (2 * count + 5) - ties) / 18
    spread = DEVIATIONS * math.sqrt(max(0.0, variance))
    upper = min(round((pairs + spread) / 2), pairs - 1)
    lower = max(round((pairs - spread) / 2) - 1, 0)
    return lower, upper
