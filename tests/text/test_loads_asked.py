"""What is typed after `balance --aboard`: a slip that would leave somebody out, or make them light, is asked back."""

from decimal import Decimal

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.loads import Loads, Seat
from inspect_kit.model.quantity import Density, Quantity
from inspect_kit.text.grammar import Unreadable
from inspect_kit.text.loads import asked_loading


def lb(amount: str) -> Quantity:
    return Quantity(Decimal(amount), "lb")


ARM = Quantity(Decimal(40), "in")
SEATS = tuple(Seat(name=name, arm=ARM, lightest=lb("120"), heaviest=lb("230")) for name in ("left", "right"))
LOADS = Loads(
    weight_unit="lb",
    arm_unit="in",
    datum="firewall",
    seats=SEATS,
    fuel=Density(lb("6"), "gal"),
    heaviest=lb("1500"),
    place=Place("aircraft.yaml"),
)


@pytest.mark.parametrize(
    ("typed", "told"),
    [("170.150", "a comma stands between two, 170,150"), ("17", "has a digit slipped"), ("170,15.5", "15.5 lb")],
)
def test_a_slip_is_asked_back(typed: str, told: str) -> None:
    with pytest.raises(Unreadable, match=told):
        asked_loading(LOADS, typed, "", "")


@pytest.mark.parametrize("typed", ["170,150", "170.5,150", "170,45 lb", "170", "100,0"])
def test_what_may_be_meant_is_taken(typed: str) -> None:
    assert asked_loading(LOADS, typed, "", "").seats["left"].amount >= 100
