"""What stands on one part, or was seen on it, says nothing of another one that is in its place."""

import datetime as dt

import pytest

from inspect_kit.due import due
from inspect_kit.due.answer import UNKNOWN, Item
from tests.due.small import book

CHECKS = """\
- [ ] `pack` Battery pack of the beacon
  - every: as marked
  - counts-on: left
- [ ] `points` Points
  - every: 100 h
  - counts-on: left
"""
FIRST = "kind: installed\nposition: left\nserial: A-1\nmeters: {tach: 10}\nsince-new: 0"
OUT = "kind: removed\nposition: left\nserial: A-1\nwhere: bench\nmeters: {tach: 20}"
SECOND = "kind: installed\nposition: left\nserial: A-2\nsince-new: 0\nmeters: {tach: 20}"
OUT_AGAIN = "kind: removed\nposition: left\nserial: A-2\nwhere: bench\nmeters: {tach: 30}"
BACK = "kind: installed\nposition: left\nserial: A-1\nmeters: {tach: 30}"


def marked(until: str, tach: int) -> str:
    return f"kind: work\ndid: [pack]\nnext: {{pack: {until}}}\nmeters: {{tach: {tach}}}"


def items(records: dict[str, str], on: dt.date = dt.date(2026, 6, 1)) -> dict[str, Item]:
    return {item.check: item for item in due(book(CHECKS, records), on, expect=False).items}


ON_THE_FIRST = {"2026-01-05-a": FIRST, "2026-01-06-b": marked("2028-03-31", 10)}
CHANGED = {"2026-02-05-c": OUT, "2026-02-05-d": SECOND}
RETURNED = {"2026-03-05-f": OUT_AGAIN, "2026-03-05-g": BACK}


def test_the_date_of_a_part_that_went_is_not_that_of_the_next() -> None:
    assert items(ON_THE_FIRST)["pack"].due.date == dt.date(2028, 3, 31)
    other = items(ON_THE_FIRST | CHANGED)["pack"]
    assert (other.state, other.due.date) == (UNKNOWN, None)


def test_the_date_comes_back_with_its_part() -> None:
    on_both = ON_THE_FIRST | CHANGED | {"2026-02-06-e": marked("2030-03-31", 20)}
    assert items(on_both)["pack"].due.date == dt.date(2030, 3, 31)
    assert items(on_both | RETURNED)["pack"].due.date == dt.date(2028, 3, 31)


def test_a_date_that_was_brought_forward_is_that_of_the_part_that_was_there() -> None:
    past = "kind: brought-forward\nmeters: {tach: {reads: 5, total: 5}}\nlast: {pack: {good-until: 2029-05-31}}\n"
    with_it = {"2026-01-02-p": f"{past}fitted: {{left: {{serial: A-1, since-new: 5}}}}"}
    assert items(with_it)["pack"].due.date == dt.date(2029, 5, 31)
    gone = items(with_it | CHANGED)["pack"]
    assert (gone.state, gone.due.date) == (UNKNOWN, None)
    # Where nothing tells what is fitted the date is that of whatever is there.
    assert items({"2026-01-02-p": past})["pack"].due.date == dt.date(2029, 5, 31)


AT_12 = "meters: {tach: 12}\n"
ASKED = f"kind: work\ndid: [points]\n{AT_12}results: {{points: {{answer: done, recheck: 5 h, notes: [pitted]}}}}"
FOUND = f"kind: finding\nfound: pitted\ncheck: points\nfix: by 900 h\nmay wait because: light\nrecheck: 5 h\n{AT_12}"
LOOK = "kind: work\ndid: [points]\nmeters: {tach: 25}"


@pytest.mark.parametrize("asked", [ASKED, FOUND])
def test_a_look_at_another_part_is_none_at_this_one(asked: str) -> None:
    first = {"2026-01-05-a": FIRST, "2026-01-07-b": asked}
    other = first | CHANGED | {"2026-02-10-e": LOOK}
    # It went with its part, and comes back with it.
    assert "points/recheck" in items(first)
    assert "points/recheck" not in items(other)
    # 5 h after 12, and the 10 h that it lay on the bench.
    assert items(other | RETURNED)["points/recheck"].due.total == 27
    seen = other | RETURNED | {"2026-03-06-h": LOOK.replace("25", "30.5")}
    assert "points/recheck" not in items(seen)
