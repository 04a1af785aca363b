"""The slope of readings against published figures and an independent implementation.

P. K. Sen, Journal of the American Statistical Association 63 (1968), the example of section 4, as quoted in the
handbook: x 1 2 3 4 10 12 18, y 9 15 19 20 45 55 78 give 4. `scipy.stats.theilslopes` implements the same paper.
"""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from inspect_kit.due.slope import theil_sen

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
    theirs = theilslopes(y, x, 0.95, method="joint")
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
