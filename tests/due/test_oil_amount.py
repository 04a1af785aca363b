"""How much was filled up, as people write it."""

from decimal import Decimal

import pytest

from inspect_kit.due import chronicle
from inspect_kit.due.oil import oil_added
from inspect_kit.model.kinds.hours import _is_nearly_oil, filled_up, is_oil, quarts
from inspect_kit.report.pages.trend import _told_quarts
from tests.due.small import book


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


@pytest.mark.parametrize(
    ("told", "amount"),
    [("1.5 qt", "1.5"), ("1 qt of W100", "1"), ("2 Quarts", "2"), ("1 gal", "4"), ("1 pt", "0.5"), ("16 oz", "0.5")],
)
def test_quarts_of_a_measure(told: str, amount: str) -> None:
    assert quarts(told) == Decimal(amount)


def test_a_litre_is_more_than_a_quart_and_a_can_is_none() -> None:
    """A quart is 57.75 cubic inches, 0.946 352 946 litres."""
    litre = quarts("1 l")
    assert litre is not None
    assert abs(litre * Decimal("0.946352946") - 1) < Decimal("1e-12")
    assert (quarts("1 litre"), quarts("2 cans")) == (litre, None)


@pytest.mark.parametrize("name", ["oi1", "0il", "oli", "ol", "oill", "pil", "Oik", "o1l", "ooil", "il", "iol"])
def test_a_slip_of_oil(name: str) -> None:
    assert _is_nearly_oil(name)
    assert not is_oil(name)


@pytest.mark.parametrize("name", ["oil", "Oil", "OIL", "oil W100", "engine oil", "Engine Oil"])
def test_oil_of_the_engine(name: str) -> None:
    assert is_oil(name)


@pytest.mark.parametrize("name", ["fuel", "gearbox oil", "hydraulic oil", "coolant", "air", "oxygen"])
def test_what_is_filled_up_and_is_no_oil_of_the_engine(name: str) -> None:
    assert not is_oil(name)
    assert not _is_nearly_oil(name)


@pytest.mark.parametrize(
    ("second", "poured"),
    [("", "1"), ("text: on the way home\n", "2"), ("added: {oil: 1.0 qt}\n", "1"), ("text: On  the way\n", "2")],
)
def test_oil_of_one_day_and_reading_is_one_filling_until_words_set_two_apart(second: str, poured: str) -> None:
    checks = "- [ ] `oil` Oil\n  - every: 50 h\n  - uses: 6 qt engine oil\n"
    one = "kind: hours\nmeters: {tach: 61}\n"
    again = second if "added" in second else f"{second}added: {{oil: 1 qt}}\n"
    records = {
        "2020-07-01-work": "kind: work\ndid: [oil]\nmeters: {tach: 50}\n",
        "2020-07-08-hours-a": f"{one}added: {{oil: 1 qt}}\n",
        "2020-07-08-hours-b": one + again,
    }
    (oil,) = oil_added(chronicle(book(checks, records)))
    assert oil.quarts == Decimal(poured)


@pytest.mark.parametrize(
    ("told", "shown"), [("0.5 l", "0.53"), ("1.5 qt", "1.5"), ("2 qt", "2"), ("1 gal", "4"), ("0.125 qt", "0.12")]
)
def test_quarts_of_another_measure_are_told_to_the_hundredth(told: str, shown: str) -> None:
    poured = quarts(told)
    assert poured is not None
    assert _told_quarts(poured) == shown
