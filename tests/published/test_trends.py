"""The slope of readings against published figures and an independent implementation.

P. K. Sen, Journal of the American Statistical Association 63 (1968), the example of section 4, as quoted in the
handbook: x 1 2 3 4 10 12 18, y 9 15 19 20 45 55 78 give 4. `scipy.stats.theilslopes` implements the same paper.
"""

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from inspect_kit.due.slope import theil_sen


def theilslopes(y: Sequence[float], x: Sequence[float], **how: str) -> Any:
    """Scipy's own, read when it is asked: every process of a run collects this file, one of them runs it."""
    from scipy import stats

    return stats.theilslopes(y, x, 0.95, **how)


NUMBERS = st.integers(-50, 50).map(float) | st.floats(-1e6, 1e6, allow_nan=False)


def test_the_example_of_sen() -> None:
    slope = theil_sen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78])
    assert slope is not None
    assert slope.slope == 4


@given(st.lists(st.tuples(NUMBERS, NUMBERS), min_size=2, max_size=25))
def test_slope_interval_and_line_are_those_of_scipy(points: list[tuple[float, float]]) -> None:
    x, y = zip(*points, strict=True)
    assume(len(set(x)) > 1)
    # Two x a hair apart make a slope that no float holds.
    assume(min(abs(a - b) for a in x for b in x if a != b) > 1e-3)
    # Of values that are nearly all the same scipy takes the root of a variance below zero.
    assume(len(set(x)) > len(x) / 2 and len(set(y)) > len(y) / 2)
    ours = theil_sen(x, y)
    theirs = theilslopes(y, x, method="joint")
    assert ours is not None
    assert ours.slope == pytest.approx(theirs.slope, rel=1e-9, abs=1e-9)
    assert ours.low == pytest.approx(theirs.low_slope, rel=1e-9, abs=1e-9)
    assert ours.high == pytest.approx(theirs.high_slope, rel=1e-9, abs=1e-9)
    assert ours.start == pytest.approx(theirs.intercept, rel=1e-6, abs=1e-6)


def test_one_wild_value_turns_nothing() -> None:
    """Nine values on a line of -2 and one that was misread by 40."""
    x = [float(each) for each in range(10)]
    y = [80 - 2 * each for each in x]
    y[6] += 40
    slope = theil_sen(x, y)
    assert slope is not None
    assert slope.slope == -2


def test_no_slope_of_values_at_one_point() -> None:
    assert theil_sen([3.0, 3.0], [1.0, 2.0]) is None


# NIST StRD, "Norris": 36 calibrations of an ozone monitor, y and x. Typed from memory; that the least squares below
# come out to every certified digit shows that they are right.
NORRIS = """
0.1 0.2; 338.8 337.4; 118.1 118.2; 888.0 884.6; 9.2 10.1; 228.1 226.5; 668.5 666.3; 998.5 996.3; 449.1 448.6;
778.9 777.0; 559.2 558.2; 0.3 0.4; 0.1 0.6; 778.1 775.5; 668.8 666.9; 339.3 338.0; 448.9 447.5; 10.8 11.6;
557.7 556.0; 228.3 228.1; 998.0 995.8; 888.8 887.6; 119.6 120.2; 0.3 0.3; 0.6 0.3; 557.6 556.8; 339.3 339.1;
888.0 887.2; 998.5 999.0; 778.9 779.0; 10.2 11.1; 117.6 118.3; 228.9 229.2; 668.4 669.1; 449.2 448.9; 0.2 0.5
"""


def test_norris() -> None:
    """Certified by NIST: b0 -0.262323073774029, b1 1.00211681802045, residual sd 0.884796396144373, n 36.

    Those are least squares, in exact fractions. Theil-Sen is another line: theirs lies within its 95 % interval.
    """
    points = [tuple(map(Fraction, pair.split())) for pair in NORRIS.replace("\n", " ").split(";")]
    y, x = zip(*points, strict=True)
    n = len(points)
    assert n == 36
    across = sum((a - sum(x) / n) * (b - sum(y) / n) for a, b in zip(x, y, strict=True))
    b1 = across / sum((a - sum(x) / n) ** 2 for a in x)
    b0 = sum(y) / n - b1 * sum(x) / n
    rest = sum((b - b0 - b1 * a) ** 2 for a, b in zip(x, y, strict=True))
    assert float(b0) == pytest.approx(-0.262323073774029, rel=1e-14)
    assert float(b1) == pytest.approx(1.00211681802045, rel=1e-14)
    assert math.sqrt(rest / (n - 2)) == pytest.approx(0.884796396144373, rel=1e-14)
    ours = theil_sen([float(a) for a in x], [float(b) for b in y])
    assert ours is not None
    assert ours.clear
    assert ours.low < 1.00211681802045 < ours.high
    assert ours.slope == pytest.approx(theilslopes(list(map(float, y)), list(map(float, x))).slope, rel=1e-12)
