"""Quantities as they are written.

    quantity = [ "-" ] NUMBER " " unit          the minus for an arm ahead of the datum
    unit     = "lb" | "kg" of a weight; "in" | "mm" | "cm" | "m" of an arm; "gal" (US) | "l" of a volume; "hp"
    range    = weight " to " weight
    density  = weight "/" volume unit
"""

import re
from collections.abc import Callable

from inspect_kit.model.checklist import decimal
from inspect_kit.model.quantity import ARM, POWER, VOLUME, WEIGHT, Density, Quantity, units_of
from inspect_kit.text.grammar import Unreadable, parse_at, with_point

# What is typed for a unit, and can be nothing else.
SAID_UNIT = {"lbs": "lb", "pounds": "lb", "kgs": "kg", "inch": "in", "inches": "in"}
EXAMPLES = {WEIGHT: "8.4 lb", ARM: "-14.6 in", VOLUME: "10 gal", POWER: "100 hp"}


def parse_quantity(measure: str) -> Callable[[str], Quantity]:
    """A parser of quantities of one measure: quantity = [ "-" ] NUMBER " " unit"""
    article = "an" if measure == ARM else "a"
    units = units_of(measure)
    expected = f"expected {article} {measure} with its unit, such as `{EXAMPLES[measure]}`"

    def parse(value: str) -> Quantity:
        match = re.fullmatch(r"(-?[0-9.]+) ?([A-Za-z]+)", value)
        amount = decimal(match.group(1)) if match else None
        if match is None or amount is None:
            raise Unreadable(f"{expected}, not `{value[:40]}`{with_point(value.partition(' ')[0])}")
        unit = SAID_UNIT.get(match.group(2), match.group(2))
        if unit not in units:
            told = f"`{match.group(2)[:20]}` is no unit of {article} {measure}: {' or '.join(units)}"
            raise Unreadable(told, match.start(2), match.end(2))
        try:
            return Quantity(amount, unit)
        except ValueError as reason:
            raise Unreadable(str(reason), 0, match.end(1)) from None

    return parse


parse_weight = parse_quantity(WEIGHT)
parse_volume = parse_quantity(VOLUME)


def parse_range(value: str) -> tuple[Quantity, Quantity]:
    """range = weight " to " weight, the lighter first"""
    low, found, high = value.partition(" to ")
    if not found:
        raise Unreadable(f"expected two weights, such as `120 lb to 230 lb`, not `{value[:40]}`")
    ends = parse_at(parse_weight, low.rstrip(), 0), parse_at(parse_weight, high.lstrip(), len(low) + len(found))
    if ends[0].to("lb") > ends[1].to("lb"):
        raise Unreadable("the lighter of two weights comes first", 0, len(value))
    return ends


def parse_density(value: str) -> Density:
    """density = weight "/" volume unit"""
    weight, found, volume = value.partition("/")
    if not found or volume.strip() not in units_of(VOLUME):
        raise Unreadable(f"expected what fuel weighs, such as `6 lb/gal`, not `{value[:40]}`")
    return Density(parse_at(parse_weight, weight.rstrip(), 0), volume.strip())
