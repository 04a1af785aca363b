"""A meter that nobody writes down any more, while the clock goes on."""

import datetime as dt

import pytest

from inspect_kit.due import Expected, due
from tests.due.small import book, on

CHECK = "- [ ] `tyre` Tyre\n  - every: 200 landings\n"
BEGUN = {"2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n"}
# 100 landings in 60 h: 200 of them at 120 h.
READ = {"2018-07-05-h": "kind: hours\nmeters: {tach: 60, landings: 100}\n"}


def flown(upto: int) -> dict[str, str]:
    """2 h a day from then on, with no landing written down."""
    days = [(on("2018-09-01") + dt.timedelta(days=number), 60 + 2 * number) for number in range(1, upto + 1)]
    return {f"{day}-h": f"kind: hours\nmeters: {{tach: {total}}}\n" for day, total in days}


def expected(records: dict[str, str], day: str) -> Expected:
    item = due(book(CHECK, {**BEGUN, **records}), on(day)).item("tyre")
    assert item is not None
    assert item.expected is not None
    assert item.state == "later"
    return item.expected


READ_AGAIN = {**READ, "2018-01-16-h": BEGUN["2018-01-15-begin"]}


@pytest.mark.parametrize("read", [READ, READ_AGAIN])
def test_it_has_probably_reached_what_the_clock_says(read: dict[str, str]) -> None:
    told = expected({**read, **flown(40)}, "2018-10-12")
    # At 120 h, on the thirtieth day.
    assert (told.reached, told.likely) == (True, on("2018-10-01"))
    # How old its own last reading is.
    assert told.age_days == (on("2018-10-12") - on("2018-07-05")).days


def test_before_that_it_comes_no_later_than_by_the_clock() -> None:
    silent = expected({**READ, **flown(28)}, "2018-10-02")
    assert not silent.reached
    # 4 h are left, of 2 h a day lately and much less before.
    assert silent.likely < on("2018-12-01")
    both = {name: text.replace("tach", "landings: 100, tach") for name, text in flown(28).items()}
    assert silent.likely < expected({**READ, **both}, "2018-10-02").likely


def test_a_meter_that_is_read_as_lately_goes_by_itself() -> None:
    last = {"2018-10-11-l": "kind: hours\nmeters: {tach: 140, landings: 101}\n"}
    assert not expected({**READ, **flown(40), **last}, "2018-10-12").reached


def test_where_nothing_says_what_it_gains_by_the_hour_it_goes_by_itself() -> None:
    totals = "{tach: {reads: 60, total: 60}, landings: {reads: 100, total: 100}}"
    brought = {"2018-07-05-h": f"kind: brought-forward\nmeters: {totals}\n"}
    last = {**brought, "2018-06-01-d": "kind: work\ndid: [tyre]\nmeters: {tach: 60, landings: 100}\n"}
    answer = due(book(CHECK, {**last, **flown(40)}), on("2018-10-12")).item("tyre")
    assert answer is not None
    assert answer.expected is None or not answer.expected.reached
