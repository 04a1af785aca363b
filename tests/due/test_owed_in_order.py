"""One record that names what made a check owed and the check itself: its own order tells, and what it says it left."""

import datetime as dt

import pytest

from inspect_kit.due import due
from tests.due.small import book

DAY = dt.date(2026, 5, 2)
CHECKS = """\
- [ ] `oil` Oil
  - every: 50 h
- [ ] `cut` Filter cut open
  - owed-after: did oil
- [ ] `pull` Cable pulled
  - disturbs: cables
- [ ] `free` Free and right
  - owed-after: disturbed cables
"""


def owed(*records: str) -> list[str]:
    named = {f"2026-05-0{number + 1}-work-a{number}": f"kind: work\n{text}" for number, text in enumerate(records)}
    items = due(book(CHECKS, named), dt.date(2026, 5, 9), expect=False).items
    return [item.check for item in items if item.owed]


@pytest.mark.parametrize(
    ("record", "left"),
    [
        ("did: [oil]", ["cut"]),
        ("did: [oil, cut]", []),
        ("did: [cut, oil]", ["cut"]),
        ("did: [oil, cut]\nleft-owed: [cut]", ["cut"]),
        # Twice in one record is a problem, and done last at its last place.
        ("did: [oil, cut, oil]", ["cut"]),
        ("did: [cut, oil, cut]", []),
        ("did: [oil, cut, oil]\nresults: {oil: done, cut: done}", ["cut"]),
        ("did: [oil, cut, oil]\nresults: {oil: done, cut: {answer: done, by: Ada}}", ["cut"]),
        ("did: [pull]", ["free"]),
        ("did: [pull, free]", []),
        ("did: [free, pull]", ["free"]),
        ("did: [free]\ndisturbed: [cables]", []),
        ("did: [free]\ndisturbed: [cables]\nleft-owed: [free]", ["free"]),
        ("text: x\nresults: {oil: done, cut: done}", []),
        ("text: x\nresults: {cut: done, oil: done}", ["cut"]),
        ("text: x\nresults: {oil: {answer: not done, reason: no oil}, cut: done}", []),
        ("text: x\nresults: {free: done, oil: {answer: done, disturbed: [cables]}, cut: done}", ["free"]),
        ("text: x\nresults: {oil: {answer: done, disturbed: [cables]}, cut: done, free: done}", []),
    ],
)
def test_one_record(record: str, left: list[str]) -> None:
    assert owed(record) == left


def test_a_later_record_answers_whatever_was_left() -> None:
    assert owed("did: [cut, oil]", "did: [cut]") == []
    assert owed("did: [oil, cut]\nleft-owed: [cut]", "did: [cut]") == []
    assert owed("did: [cut]", "did: [oil]") == ["cut"]
    # What was answered once is owed anew by the next one.
    assert owed("did: [oil, cut]", "did: [oil]") == ["cut"]


def test_two_records_of_one_day_answer_each_other() -> None:
    """Nothing tells which of them came first: the one that was done is taken for the answer, as it always was."""
    records = {
        "2026-05-02-work-a": "kind: work\ndid: [oil]",
        "2026-05-02-work-b": "kind: work\ndid: [cut]",
    }
    items = due(book(CHECKS, records), DAY, expect=False).items
    assert [item.check for item in items if item.owed] == []
