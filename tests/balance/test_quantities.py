"""Units: exact by their definitions, and what people type."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.model.quantity import ARM, POWER, VOLUME, WEIGHT, Density, Quantity, units_of
from inspect_kit.text.grammar import Unreadable
from inspect_kit.text.quantities import parse_density, parse_quantity, parse_range


def test_the_pound_the_inch_and_the_gallon_by_definition() -> None:
    """1 lb = 0.453 592 37 kg and 1 in = 25.4 mm (agreement of 1959); 1 US gal = 231 cubic inches; 1 l = 1 dm3."""
    assert Quantity(Decimal(1), "lb").to("kg") == Fraction("0.45359237")
    assert Quantity(Decimal(1), "in").to("mm") == Fraction("25.4")
    assert Quantity(Decimal(1), "in").to("cm") == Fraction("2.54")
    assert Quantity(Decimal(1), "m").to("mm") == 1000
    assert Quantity(Decimal(1), "gal").to("l") == 231 * Fraction("0.254") ** 3


@pytest.mark.parametrize("measure", [WEIGHT, ARM, VOLUME, POWER])
@given(amount=st.decimals(0, 9999, places=3))
def test_there_and_back_is_the_same(measure: str, amount: Decimal) -> None:
    for one in units_of(measure):
        for other in units_of(measure):
            there = Quantity(amount, one).to(other)
            assert there * Quantity(Decimal(1), other).to(one) == Fraction(amount)


def test_only_an_arm_is_negative() -> None:
    assert Quantity(Decimal(-32), "in").to("in") == -32
    with pytest.raises(ValueError, match="a weight is not negative"):
        Quantity(Decimal(-1), "lb")
    with pytest.raises(ValueError, match="5 lb is no volume"):
        Quantity(Decimal(5), "lb").to("gal")


@pytest.mark.parametrize("text", ["846 lb", "846lb", "8.40 lb", "0 kg"])
def test_what_is_read(text: str) -> None:
    found = parse_quantity(WEIGHT)(text)
    assert str(found).replace(" ", "") == text.replace(" ", "")


@pytest.mark.parametrize(
    "text",
    ["846", "lb", "846 LB", "846 lbs", "846 pounds", "8,4 lb", "1e3 lb", "846  lb", "−3 lb", "+3 lb", "846 in", ""],
)
def test_what_is_not(text: str) -> None:
    with pytest.raises(Unreadable):
        parse_quantity(WEIGHT)(text)


def test_a_density_and_a_range() -> None:
    assert parse_density("6 lb/gal") == Density(Quantity(Decimal(6), "lb"), "gal")
    # 0.72 kg/l: 3.785411784 l weigh 2.7254964845 kg, 6.00869 lb.
    litre = parse_density("0.72 kg/l")
    gallon = litre.weight_of(Quantity(Decimal(1), "gal").to("l"), "lb")
    assert abs(gallon - Fraction("6.00869")) < Fraction(1, 100_000)
    assert parse_range("120 lb to 230 lb")[1] == Quantity(Decimal(230), "lb")
    with pytest.raises(Unreadable):
        parse_range("230 lb to 120 lb")
    with pytest.raises(Unreadable):
        parse_density("6 lb/hp")
