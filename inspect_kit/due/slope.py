"""A slope that a few wild readings cannot turn: the median of the slopes of all pairs, with its interval.

Sources: H. Theil, A rank-invariant method of linear and polynomial regression analysis, 1950; P. K. Sen, Estimates of
the regression coefficient based on Kendall's tau, Journal of the American Statistical Association 63 (1968), pages 1379
to 1389: the interval by the variance of Kendall's S, with ties.
"""

import math
from collections import Counter
from collections.abc import Sequence
from statistics import NormalDist, median

from inspect_kit.noun import dataclass

CONFIDENCE = 0.95
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
    pairs = [
        (y[late] - y[early]) / (x[late] - x[early])
        for late in range(len(x))
        for early in range(late)
        if x[late] != x[early]
    ]
    if not pairs:
        return None
    pairs.sort()
    slope = median(pairs)
    low, high = _interval(pairs, x, y)
    start = median(value - slope * at for at, value in zip(x, y, strict=True))
    return Slope(slope=slope, low=low, high=high, start=start, points=len(x))


def _interval(pairs: Sequence[float], x: Sequence[float], y: Sequence[float]) -> tuple[float, float]:
    """The interval of Sen's equation 2.6, from the ordered slopes of all pairs."""
    count = len(x)
    ties = sum(
        tied * (tied - 1) * (2 * tied + 5) for values in (x, y) for tied in Counter(values).values() if tied > 1
    )
    variance = (count * (count - 1) * (2 * count + 5) - ties) / 18
    spread = NormalDist().inv_cdf((1 + CONFIDENCE) / 2) * math.sqrt(max(0.0, variance))
    upper = min(round((len(pairs) + spread) / 2), len(pairs) - 1)
    lower = max(round((len(pairs) - spread) / 2) - 1, 0)
    return pairs[lower], pairs[upper]
