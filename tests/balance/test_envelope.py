"""Inside and outside: borders, notches, and fuel that leaves on a curve."""

from fractions import Fraction
from itertools import pairwise

from hypothesis import assume, example, given
from hypothesis import strategies as st

from inspect_kit.balance import Envelope, Moments

Outline = tuple[tuple[Fraction, Fraction], ...]


def outline(*corners: tuple[int, int]) -> Outline:
    return tuple((Fraction(arm), Fraction(weight)) for arm, weight in corners)


BOX = outline((10, 500), (10, 1000), (20, 1000), (20, 500))
# The forward limit moves aft with weight above 800; a notch is cut into the aft limit between 600 and 700.
NOTCHED = outline((10, 500), (10, 800), (14, 1000), (20, 1000), (20, 700), (16, 650), (20, 600), (20, 500))


def at(arm: Fraction | int | str, weight: Fraction | int | str) -> Moments:
    return Moments(Fraction(weight), Fraction(arm) * Fraction(weight))


def envelope(*outlines: Outline, heaviest: int = 1000) -> Envelope:
    return Envelope(heaviest=Fraction(heaviest), outlines=outlines)


def test_the_border_belongs_to_it() -> None:
    box = envelope(BOX)
    for arm, weight in ((10, 500), (10, 700), (20, 1000), (15, 1000), (15, 500)):
        assert box.holds(at(arm, weight))
    hair = Fraction(1, 10**12)
    for arm, weight in ((10 - hair, 700), (20 + hair, 700), (15, 1000 + hair), (15, 500 - hair)):
        assert not box.holds(at(arm, weight))


def test_a_limit_that_slants() -> None:
    # Half-way up the slant, at 900 lb, the forward limit is 12 in.
    assert envelope(NOTCHED).holds(at(12, 900))
    assert not envelope(NOTCHED).holds(at("11.999", 900))


def test_a_notch() -> None:
    assert envelope(NOTCHED).holds(at(16, 650))
    assert not envelope(NOTCHED).holds(at("16.001", 650))
    assert envelope(NOTCHED).holds(at("18", 675))


def test_the_greatest_weight_counts_above_the_corners() -> None:
    assert not envelope(BOX, heaviest=900).holds(at(15, 950))


def test_both_outlines_count() -> None:
    narrow = tuple((arm if arm < 15 else Fraction(15), weight) for arm, weight in BOX)
    assert envelope(BOX).holds(at(16, 700))
    assert not envelope(BOX, narrow).holds(at(16, 700))


def test_outside_at_once_is_told_at_once() -> None:
    start = at(21, 700)
    assert envelope(BOX).leaves(start, [(Fraction(50), Fraction(21))]) == (start, start)


def test_burnt_past_the_aft_limit() -> None:
    """900 lb at 19 in, fuel at 9 in: 17,100 - 9 f = 20 (900 - f) where 11 f = 900: f = 81.818 lb, 818.182 left."""
    left = envelope(BOX).leaves(at(19, 900), [(Fraction(120), Fraction(9))])
    assert left is not None
    assert left[0].weight == 900 - Fraction(900, 11)
    assert left[0].arm == 20


def test_out_and_in_again_is_seen() -> None:
    """Past the notch: 710 lb at 17 in, 120 lb burnt at its own arm; both ends are inside and the middle is not."""
    start = at("17", 710)
    course = envelope(NOTCHED)
    assert course.holds(start)
    assert course.holds(start.plus(Fraction(-120), Fraction(17)))
    left = course.leaves(start, [(Fraction(120), Fraction(17))])
    # The notch's upper edge runs from (20, 700) to (16, 650): at 17 in it is at 662.5 lb.
    assert left is not None
    assert abs(left[0].weight - Fraction("662.5")) < Fraction(1, 10**20)


def test_along_the_border_is_inside() -> None:
    assert envelope(BOX).leaves(at(20, 900), [(Fraction(300), Fraction(20))]) is None


numbers = st.integers(-400, 400).map(lambda n: Fraction(n, 8))
corners = st.lists(st.tuples(st.integers(0, 60), st.integers(300, 1200)), min_size=3, max_size=8, unique=True)


@given(corners, st.integers(400, 1200), st.integers(0, 60), st.integers(1, 300), numbers)
@example(corners=[(0, 300), (0, 1200), (60, 1200), (60, 300)], weight=1200, arm=30, burnt=300, at_arm=Fraction(50))
def test_no_point_of_the_way_is_outside_when_it_never_leaves(
    corners: list[tuple[int, int]], weight: int, arm: int, burnt: int, at_arm: Fraction
) -> None:
    """Against the plain way: a thousand points asked one by one, on outlines of any shape, crossed ones too."""
    assume(burnt < weight)
    asked = envelope(outline(*corners), heaviest=2000)
    start = at(arm, weight)
    points = [start.plus(-Fraction(burnt) * step / 200, at_arm) for step in range(201)]
    left = asked.leaves(start, [(Fraction(burnt), at_arm)])
    held = [asked.holds(point) for point in points]
    if left is None:
        assert all(held)
        return
    border, beyond = left
    assert not asked.holds(beyond)
    assert all(here for here, point in zip(held, points, strict=True) if point.weight > border.weight)
    for before, after in pairwise(points):
        if before.weight >= border.weight >= after.weight:
            return
    raise AssertionError("the border lies on the way")
