"""Whether a slope is clear of noise, told by counting pairs, against the slopes of all pairs."""

from statistics import NormalDist

from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.due.slope import DEVIATIONS, has_clear_slope, theil_sen


@given(
    st.lists(
        st.tuples(st.integers(0, 12), st.integers(-4, 4) | st.decimals(-5, 5, places=2).map(float)),
        max_size=14,
    ),
    st.booleans(),
)
def test_whether_a_slope_is_clear_is_told_without_the_slopes(points: list[tuple[int, float]], in_order: bool) -> None:
    points = sorted(points, key=lambda point: point[0]) if in_order else points
    x, y = [float(at) for at, _ in points], [float(value) for _, value in points]
    slope = theil_sen(x, y)
    assert has_clear_slope(x, y) == (slope is not None and slope.clear)


def test_the_width_of_the_interval_is_that_of_a_normal_distribution() -> None:
    assert NormalDist().inv_cdf((1 + 0.95) / 2) == DEVIATIONS
