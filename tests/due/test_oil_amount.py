"""How much was filled up, as people write it."""

from decimal import Decimal

import pytest

from inspect_kit.model.kinds.hours import filled_up


@pytest.mark.parametrize(
    ("told", "amount"), [("1.5 qt", Decimal("1.5")), ("1/2 qt", Decimal("0.5")), ("1 qt of W100", Decimal(1))]
)
def test_an_amount_with_its_measure(told: str, amount: Decimal) -> None:
    found = filled_up(told)
    assert found is not None
    assert found[0] == amount


@pytest.mark.parametrize("told", ["1,5 qt", "lots", "1qt", "1", "-1 qt", "0 qt", "1/0 qt", "qt", ""])
def test_what_cannot_be_added_up(told: str) -> None:
    assert filled_up(told) is None
