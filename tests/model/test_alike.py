"""What two records say is compared by what it means: how a number is written sets nothing apart."""

import pytest

from inspect_kit.model.alike import what_is_said


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("1 qt", "1.0 qt", True),
        ("0 qt", "0.0 qt", True),
        ("0", "0.00", True),
        ("Oil  filter", "oil filter", True),
        ("1 qt", "1 gal", False),
        ("1 qt", "0 qt", False),
    ],
)
def test_two_ways_to_write_one_amount(one: str, other: str, same: bool) -> None:
    assert (what_is_said(one) == what_is_said(other)) == same
