"""Whether a loading lies inside the limits, and where it leaves them while fuel is burnt.

An outline is a polygon of corners (arm, weight) with straight edges between them, as manuals print it. Its border
belongs to it. Fuel burnt from one arm moves the centre of gravity on a curve; where that crosses an edge is a root of
a quadratic, found to far more places than any scale has, and what lies between two roots is then asked exactly.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise
from math import isqrt

from inspect_kit.balance.moments import Moments
from inspect_kit.model.loads import Loads
from inspect_kit.noun import dataclass

Corner = tuple[Fraction, Fraction]
Outline = tuple[Corner, ...]
# Weight taken off at an arm, one piece after the other.
Pieces = tuple[tuple[Fraction, Fraction], ...]

SCALE = 10**30


@dataclass(frozen=True, slots=True)
class Envelope:
    """A greatest weight, and one outline or several; inside is what keeps to all of them."""

    heaviest: Fraction
    outlines: tuple[Outline, ...]

    def holds(self, total: Moments) -> bool:
        """Whether a weight and its centre of gravity lie inside."""
        point = (total.arm, total.weight)
        return total.weight <= self.heaviest and all(_in_outline(point, outline) for outline in self.outlines)

    def leaves(self, start: Moments, pieces: Iterable[tuple[Fraction, Fraction]]) -> "tuple[Moments, Moments] | None":
        """Where a loading goes outside while one piece after another is taken off: the place on the border, and the
        first one beyond it that was asked. None if it never does.
        """
        if not self.holds(start):
            return start, start
        for weight, arm in pieces:
            end = start.plus(-weight, arm)
            marks = [start, *self._crossings(start, weight, arm), end]
            for before, after in pairwise(marks):
                middle = Moments((before.weight + after.weight) / 2, (before.moment + after.moment) / 2)
                if not self.holds(middle):
                    return before, middle
            if not self.holds(end):
                return end, end
            start = end
        return None

    def _crossings(self, start: Moments, weight: Fraction, arm: Fraction) -> list[Moments]:
        """The places, in order, at which the way from `start` meets the line through some edge."""
        left = {
            root
            for outline in self.outlines
            for edge in _edges(outline)
            for root in _meets(start, arm, *edge)
            if start.weight - weight < root < start.weight
        }
        return [start.plus(root - start.weight, arm) for root in sorted(left, reverse=True)]


def envelope_of(loads: Loads) -> Envelope:
    """The limits of an aircraft: its greatest weight, forward and aft limit, and the corners of its envelope."""
    weight, arm = loads.weight_unit, loads.arm_unit
    heaviest = loads.heaviest.to(weight)
    outlines = []
    if loads.envelope:
        outlines.append(tuple((corner.arm.to(arm), corner.weight.to(weight)) for corner in loads.envelope))
    if loads.forward is not None and loads.aft is not None:
        forward, aft, ground = loads.forward.to(arm), loads.aft.to(arm), Fraction()
        outlines.append(((forward, ground), (forward, heaviest), (aft, heaviest), (aft, ground)))
    return Envelope(heaviest=heaviest, outlines=tuple(outlines))


def _edges(outline: Outline) -> Iterator[tuple[Corner, Corner]]:
    return pairwise((*outline, outline[0]))


def _meets(start: Moments, arm: Fraction, one: Corner, other: Corner) -> tuple[Fraction, ...]:
    """The weights at which the way from `start`, fuel leaving at `arm`, meets the line through two corners.

    With the weight u left, the moment is (M - arm W) + arm u, and the line says
    (moment / u - x) dw = (u - w) dx; times u that is a quadratic in u.
    """
    dx, dw = other[0] - one[0], other[1] - one[1]
    square, linear = -dx, (arm - one[0]) * dw + one[1] * dx
    constant = (start.moment - arm * start.weight) * dw
    if square == 0:
        return (-constant / linear,) if linear else ()
    inner = linear * linear - 4 * square * constant
    if inner < 0:
        return ()
    root = _square_root(inner)
    return ((-linear - root) / (2 * square), (-linear + root) / (2 * square))


def _square_root(value: Fraction) -> Fraction:
    return Fraction(isqrt(value.numerator * value.denominator * SCALE * SCALE), value.denominator * SCALE)


def _in_outline(point: Corner, outline: Outline) -> bool:
    """Whether a point lies in a polygon or on its border, by the edges that a ray from it crosses."""
    x, w = point
    inside = False
    for (x1, w1), (x2, w2) in _edges(outline):
        side = (x - x1) * (w2 - w1) - (w - w1) * (x2 - x1)
        if side == 0 and min(x1, x2) <= x <= max(x1, x2) and min(w1, w2) <= w <= max(w1, w2):
            return True
        if (w1 > w) != (w2 > w) and (side < 0) == (w2 > w1):
            inside = not inside
    return inside
