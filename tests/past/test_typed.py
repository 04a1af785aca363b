"""Dates and numbers as people type them: expected values worked out by hand from what is typed."""

import datetime as dt
import re
from decimal import Decimal

import pytest

from inspect_kit.past.typed import (
    COMMA,
    DAY_FIRST,
    MONTH_FIRST,
    POINT,
    YEAR_FIRST,
    decimals_of,
    orders_of,
    parse_said_date,
    parse_typed_date,
    parse_typed_number,
    said_names,
    said_units,
)
from inspect_kit.text.grammar import Unreadable

TODAY = dt.date(2026, 11, 26)
SECOND_OF_MARCH = dt.date(2014, 3, 2)


@pytest.mark.parametrize(
    ("typed", "order"),
    [
        ("2014-03-02", DAY_FIRST),
        ("2014/3/2", MONTH_FIRST),
        ("2014-03-02 00:00:00", YEAR_FIRST),
        ("02.03.2014", DAY_FIRST),
        ("2.3.14", DAY_FIRST),
        ("02/03/14", DAY_FIRST),
        ("3/2/14", MONTH_FIRST),
        ("03-02-2014", MONTH_FIRST),
        ("2 Mar 2014", YEAR_FIRST),
        ("2nd March 14", YEAR_FIRST),
        ("Mar 2, 2014", YEAR_FIRST),
        ("Sun, 2 Mar 2014", YEAR_FIRST),
        ("2014 March 2", YEAR_FIRST),
        ("2-MAR-14", MONTH_FIRST),
    ],
)
def test_one_day_in_the_forms_people_type(typed: str, order: str) -> None:
    assert parse_typed_date(typed, order, TODAY) == SECOND_OF_MARCH


@pytest.mark.parametrize(
    ("typed", "order", "told"),
    [
        ("", DAY_FIRST, "has no date"),
        ("soon", DAY_FIRST, "`soon` is no date"),
        ("31.02.2014", DAY_FIRST, "`31.02.2014` is a day that does not exist"),
        ("13/13/2014", MONTH_FIRST, "`13/13/2014` is a day that does not exist"),
        ("02.03.14", YEAR_FIRST, "`02.03.14` does not begin with a year of four digits"),
        ("41700", DAY_FIRST, "`41700` is the number by which a spreadsheet counts days: give the column a date format"),
        ("\u00b2 Mar 2014", DAY_FIRST, "`\u00b2 Mar 2014` is no date"),
        ("2 Mrz 2014", DAY_FIRST, "`2 Mrz 2014`: no month is called `Mrz`"),
        ("2 Ma 2014", DAY_FIRST, "`2 Ma 2014`: no month is called `Ma`"),
        ("March 2014", DAY_FIRST, "`March 2014` is no date"),
        ("2/3/214", DAY_FIRST, "`2/3/214` is no date"),
    ],
)
def test_what_is_no_day(typed: str, order: str, told: str) -> None:
    with pytest.raises(Unreadable) as fault:
        parse_typed_date(typed, order, TODAY)
    assert fault.value.message == told


def test_a_year_of_two_digits_is_the_latest_that_is_not_in_the_future() -> None:
    assert parse_typed_date("1.11.26", DAY_FIRST, TODAY).year == 2026
    assert parse_typed_date("1.12.26", DAY_FIRST, TODAY).year == 1926
    assert parse_typed_date("1.1.68", DAY_FIRST, TODAY).year == 1968


def test_the_order_is_told_by_the_cells_or_left_open() -> None:
    assert orders_of(["2/3/14", "4/5/14"], TODAY) == [DAY_FIRST, MONTH_FIRST]
    assert orders_of(["2/3/14", "14/5/14"], TODAY) == [DAY_FIRST]
    assert orders_of(["2/3/14", "5/14/14"], TODAY) == [MONTH_FIRST]
    # The same day in every order: nothing to ask.
    assert orders_of(["2014-03-02", "3 March 2014"], TODAY) == [YEAR_FIRST]


@pytest.mark.parametrize(
    ("typed", "sign", "value"),
    [
        ("412.6", POINT, "412.6"),
        ("412,6", COMMA, "412.6"),
        ("1,234.5", POINT, "1234.5"),
        ("1.234,5", COMMA, "1234.5"),
        ("1 234,5", COMMA, "1234.5"),
        ("1'234.5", POINT, "1234.5"),
        ("412.6 hrs.", POINT, "412.6"),
        ("412h", POINT, "412"),
        ("1,234", POINT, "1234"),
        ("1,234", COMMA, "1.234"),
    ],
)
def test_numbers(typed: str, sign: str, value: str) -> None:
    assert parse_typed_number(typed, sign) == Decimal(value)


@pytest.mark.parametrize("typed", ["", "-3", "12,34.5", "1.2.3", "about 5", "5-6", "1e3"])
def test_what_is_no_number(typed: str) -> None:
    with pytest.raises(Unreadable, match="is no number with a decimal point"):
        parse_typed_number(typed, POINT)


def test_hours_and_minutes_are_named() -> None:
    with pytest.raises(Unreadable, match="`412:36` is hours and minutes: write it as a decimal"):
        parse_typed_number("412:36", POINT)


def test_the_sign_for_decimals_is_told_by_the_cells_or_left_open() -> None:
    assert decimals_of(["412,6", "1.020,4"]) == [COMMA]
    assert decimals_of(["412.6"]) == [POINT]
    assert decimals_of(["412", "413"]) == [POINT]
    assert decimals_of(["1,234"]) == [POINT, COMMA]


def test_a_comma_in_a_limit() -> None:
    assert said_units("by 700,5 hours") == "by 700.5 h"
    assert said_units("10,5h, 30 days") == "10.5 h, 30 days"


def test_a_full_stop_behind_the_day_is_passed_over() -> None:
    assert parse_said_date("30. June 2028", TODAY) == dt.date(2028, 6, 30)


def test_the_refusal_of_a_day_names_every_form_that_would_do() -> None:
    with pytest.raises(Unreadable) as fault:
        parse_said_date("30. Juni 2028", TODAY)
    told = fault.value.message.partition("`; ")[2].removesuffix(" would do too")
    assert [parse_said_date(each, TODAY) for each in re.split(r", (?=31)| or ", told)] == [dt.date(2026, 5, 31)] * 3


@pytest.mark.parametrize(
    "words", ["left main, right main and nose", "left main; right main, and nose", "left main & right main AND nose,"]
)
def test_names_are_parted_as_people_say_them(words: str) -> None:
    assert said_names(words) == ["left main", "right main", "nose"]
    assert said_names("left brand, sand") == ["left brand", "sand"]
