"""What is reckoned from what was measured: each formula with its arithmetic in words.

    spread of A, B, ...                      the greatest less the least, all of one measure
    flow of AMOUNT, TIME                     an amount an hour, from an amount and the time that it took
    capacity of CURRENT, TIME, RATED         what a battery gave of its rated ampere-hours, in per cent
    torque of SETTING, DRAG, WRENCH, ADAPTER what the wrench read, over the lengths of wrench and adapter in one line,
                                             less the torque that turns the nut before it seats
    chord of TRAVEL, RADIUS                  the angle of a deflection measured as a straight line at that radius
    deviation of MAGNETIC, COMPASS           the first less the second the short way round: of a compass, or the error
                                             of a VOR receiver over a known radial
    coefficient of M, C, M, C                half the difference of two deviations on opposite headings: B of east and
                                             west, C of north and south

Sources: a wrench with an adapter in line, and run-on torque, AC 43.13-1B, chapter 7 (from memory); the chord of a
circle, d = 2 R sin(angle / 2); a compass swing, deviation = magnetic - compass, B = (E - W) / 2, C = (N - S) / 2
(common practice); what a battery delivered over its rated capacity, common practice, no source.
"""

import math
from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction

from inspect_kit.noun import dataclass

Amount = tuple[Decimal, str]  # A number and its measure.
SECONDS = {"s": 1, "min": 60, "h": 3600}


@dataclass(frozen=True, slots=True, kw_only=True)
class Derived:
    """A value, unrounded, and how it came about: `1 gal x 3600 / 160 s`."""

    value: Fraction
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """`operands` are what it takes, in order; None for any number of one measure. `gives` is the answer; None where
    there is none (a radius of 0). `fault` says why measures do not fit the formula and the measure of its answer.
    `by_hand` is what is worked out with pen and paper, from the names of the operands and their measures.
    """

    operands: tuple[str, ...] | None
    gives: Callable[[Sequence[Amount]], Derived | None]
    fault: Callable[[Sequence[str], str], str]
    by_hand: Callable[[Sequence[str], Sequence[str]], str]


def _told(amount: Amount) -> str:
    return f"{amount[0]} {amount[1]}"


def _spread(each: Sequence[Amount]) -> Derived | None:
    most, least = max(each), min(each)
    return Derived(value=Fraction(most[0]) - Fraction(least[0]), words=f"{most[0]} - {least[0]}")


def _one_measure(measures: Sequence[str], gives: str) -> str:
    if len(measures) < 2:
        return "takes two readings at least"
    return "" if {*measures} == {gives} else f"takes readings in {gives}, the measure of its answer"


def _flow(each: Sequence[Amount]) -> Derived | None:
    amount, time = each
    if time[0] <= 0:
        return None
    per = 3600 // SECONDS[time[1]]
    words = f"{_told(amount)} / {_told(time)}" if per == 1 else f"{_told(amount)} x {per} / {_told(time)}"
    return Derived(value=Fraction(amount[0]) * per / Fraction(time[0]), words=words)


def _flow_fault(measures: Sequence[str], gives: str) -> str:
    amount, time = measures
    if time not in SECONDS:
        return f"takes a time in {', '.join(SECONDS)}, not in {time}"
    return "" if gives == f"{amount}/h" else f"gives {amount}/h, not {gives}"


def _capacity(each: Sequence[Amount]) -> Derived | None:
    current, time, rated = each
    if rated[0] <= 0:
        return None
    given = Fraction(current[0]) * Fraction(time[0]) * SECONDS[time[1]] / 3600
    hours = _told(time) if time[1] == "h" else f"{time[0]} / {3600 // SECONDS[time[1]]} h"
    words = f"{_told(current)} x {hours} = {plain_number(given)} Ah; {plain_number(given)} / {_told(rated)}"
    return Derived(value=100 * given / Fraction(rated[0]), words=words)


def _capacity_fault(measures: Sequence[str], gives: str) -> str:
    current, time, rated = measures
    if (current, rated, gives) != ("A", "Ah", "%"):
        return "takes a current in A and a rated capacity in Ah, and gives %"
    return "" if time in SECONDS else f"takes a time in {', '.join(SECONDS)}, not in {time}"


def _torque(each: Sequence[Amount]) -> Derived | None:
    setting, drag, wrench, adapter = each
    if wrench[0] <= 0:
        return None
    longer = (Fraction(wrench[0]) + Fraction(adapter[0])) / Fraction(wrench[0])
    words = f"{_told(setting)} x ({wrench[0]} + {adapter[0]}) / {wrench[0]} - {_told(drag)} of drag"
    return Derived(value=Fraction(setting[0]) * longer - Fraction(drag[0]), words=words)


def _torque_fault(measures: Sequence[str], gives: str) -> str:
    setting, drag, wrench, adapter = measures
    if setting != gives or drag != gives:
        return f"takes a setting and a drag in {gives}, the measure of its answer"
    return "" if wrench == adapter else f"takes both lengths in one measure, not in {wrench} and {adapter}"


def _chord(each: Sequence[Amount]) -> Derived | None:
    travel, radius = each
    if radius[0] <= 0 or not 0 <= travel[0] <= 2 * radius[0]:
        return None
    angle = math.degrees(2 * math.asin(float(travel[0]) / (2 * float(radius[0]))))
    words = f"2 x arcsin({_told(travel)} / (2 x {_told(radius)}))"
    return Derived(value=Fraction(angle).limit_denominator(10**6), words=words)


def _chord_fault(measures: Sequence[str], gives: str) -> str:
    travel, radius = measures
    if travel != radius:
        return f"takes both lengths in one measure, not in {travel} and {radius}"
    return "" if gives == "deg" else f"gives deg, not {gives}"


def _round(degrees: Fraction) -> Fraction:
    """An angle the short way round: more than -180, at most 180."""
    turned = degrees % 360
    return turned - 360 if turned > 180 else turned


def _deviation(each: Sequence[Amount]) -> Derived | None:
    first, second = each
    return Derived(value=_round(Fraction(first[0]) - Fraction(second[0])), words=f"{first[0]} - {second[0]}")


def _coefficient(each: Sequence[Amount]) -> Derived | None:
    one, other = (_round(Fraction(a[0]) - Fraction(b[0])) for a, b in (each[:2], each[2:]))
    return Derived(value=(one - other) / 2, words=f"({plain_number(one)} - {plain_number(other)}) / 2")


def _degrees(measures: Sequence[str], gives: str) -> str:
    return "" if {*measures, gives} == {"deg"} else "takes readings in deg and gives deg"


def _flow_by_hand(names: Sequence[str], measures: Sequence[str]) -> str:
    per = 3600 // SECONDS[measures[1]]
    return f"{names[0]} / {names[1]}" if per == 1 else f"{names[0]} x {per} / {names[1]}"


def _capacity_by_hand(names: Sequence[str], measures: Sequence[str]) -> str:
    per = 3600 // SECONDS[measures[1]]
    hours = names[1] if per == 1 else f"{names[1]} / {per}"
    return f"100 x {names[0]} x {hours} / {names[2]}"


_SPREADS = ("the greater less the smaller", "the greatest less the least")

FORMULAS = {
    "spread": Formula(
        operands=None,
        gives=_spread,
        fault=_one_measure,
        by_hand=lambda names, _: f"{_SPREADS[len(names) > 2]} of {', '.join(names[:-1])} and {names[-1]}",
    ),
    "flow": Formula(operands=("amount", "time"), gives=_flow, fault=_flow_fault, by_hand=_flow_by_hand),
    "capacity": Formula(
        operands=("current", "time", "rated capacity"),
        gives=_capacity,
        fault=_capacity_fault,
        by_hand=_capacity_by_hand,
    ),
    "torque": Formula(
        operands=("setting", "drag", "wrench", "adapter"),
        gives=_torque,
        fault=_torque_fault,
        by_hand=lambda names, _: f"{names[0]} x ({names[2]} + {names[3]}) / {names[2]} - {names[1]}",
    ),
    "chord": Formula(
        operands=("travel", "radius"),
        gives=_chord,
        fault=_chord_fault,
        by_hand=lambda names, _: f"2 x arcsin({names[0]} / (2 x {names[1]}))",
    ),
    "deviation": Formula(
        operands=("magnetic", "compass"),
        gives=_deviation,
        fault=_degrees,
        by_hand=lambda names, _: f"{names[0]} - {names[1]}, the short way round",
    ),
    "coefficient": Formula(
        operands=("magnetic", "compass", "magnetic opposite", "compass opposite"),
        gives=_coefficient,
        fault=_degrees,
        by_hand=lambda names, _: f"(({names[0]} - {names[1]}) - ({names[2]} - {names[3]})) / 2",
    ),
}


def plain_number(value: Fraction, places: int = 2) -> Decimal:
    """A number to so many places, halves to even, without idle zeros."""
    scaled = round(value * 10**places)
    found = Decimal(scaled).scaleb(-places)
    return found.quantize(Decimal(1)) if found == found.to_integral_value() else found.normalize()
