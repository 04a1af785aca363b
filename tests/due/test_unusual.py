"""Readings that are asked about before they are written: below another of the day, or far above the usual use."""

from decimal import Decimal

import pytest

from inspect_kit.due import either_meter, unusual_readings
from tests.due.small import book, on

FLOWN = {f"2018-0{month}-01-hours": f"kind: hours\nmeters: {{tach: {5 * month}.0}}\n" for month in range(1, 7)}
NEW_METER = {"2018-06-20-tach": "kind: meter-change\nmeter: tach\nold: 33.0\nnew: 0.0\n"}


@pytest.mark.parametrize(
    ("date", "reads", "asked"),
    [
        ("2018-06-20", "33.0", ""),
        ("2018-06-20", "330.0", "Is it right?"),
        ("2018-06-01", "29.0", "Was it read earlier that day?"),
        ("2018-06-01", "30.0", ""),
    ],
)
def test_a_reading_is_asked_about_where_no_day_holds_so_much(date: str, reads: str, asked: str) -> None:
    found = list(unusual_readings(book(records=FLOWN), on(date), {"tach": Decimal(reads)}))
    assert len(found) == bool(asked)
    assert all(each.endswith(asked) for each in found)


def test_on_the_day_of_a_meter_change_only_what_neither_meter_read_is_unusual() -> None:
    """Before the change it showed 33 h, after it none: either may be meant, but no 34.3, which was written unasked."""
    changed = book(records=FLOWN | NEW_METER)
    assert list(unusual_readings(changed, on("2018-06-20"), {"tach": Decimal("33.0")})) == []
    (asked,) = unusual_readings(changed, on("2018-06-20"), {"tach": Decimal("34.3")})
    assert asked.startswith("tach 34.3 is 34.3 h more than 0.0 on 2018-06-20; usual in a day is ")
    (asked,) = unusual_readings(changed, on("2018-06-21"), {"tach": Decimal("330.0")})
    assert asked.startswith("tach 330.0 is ")


@pytest.mark.parametrize(
    ("reads", "asked"),
    [("32.0", True), ("31.0", False), ("33.0", False), ("33.1", False), ("29.0", False)],
    ids=["of either", "as the new one began", "as the old one ended", "of the new one", "less than on the day before"],
)
def test_on_the_day_of_a_meter_change_what_either_meter_can_have_shown_is_asked_about(reads: str, asked: bool) -> None:
    """It counts as the old one's: hours flown with the new one were not counted that day, without a word."""
    changed = book(records=FLOWN | {"2018-06-20-tach": "kind: meter-change\nmeter: tach\nold: 33.0\nnew: 31.0\n"})
    meters = {"tach": Decimal(reads)}
    assert [meter for _, meter in either_meter(changed, on("2018-06-20"), meters)] == (["tach"] if asked else [])
    assert list(either_meter(changed, on("2018-06-21"), meters)) == []
    # The new one began at 0: nobody flies 32 h on the day.
    assert list(either_meter(book(records=FLOWN | NEW_METER), on("2018-06-20"), meters)) == []


def test_before_the_first_reading_nothing_is_usual() -> None:
    assert list(unusual_readings(book(), on("2018-06-20"), {"tach": Decimal("5000.0")})) == []


@pytest.mark.parametrize(
    ("reads", "asked"), [("660", False), ("900", False), ("6300", True), ("90000", True)]
)
def test_landings_are_asked_about_from_the_first_reading_on(reads: str, asked: bool) -> None:
    """In 202 days 133 landings are usual, and five times that is 664."""
    begun = {"2018-05-09-hours": "kind: hours\nmeters: {tach: 5.0, landings: 622}\n"}
    found = list(unusual_readings(book(records=begun), on("2018-11-27"), {"landings": Decimal(reads)}))
    assert [each.endswith("Is it right?") for each in found] == ([True] if asked else [])
    assert not asked or "usual in 202 days is 132.8 landings" in found[0]
