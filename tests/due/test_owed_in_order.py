"""One record that names what made a check owed and the check itself: its own order tells, and what it says it left."""

import datetime as dt

import pytest

from inspect_kit.due import due, order_matters
from inspect_kit.model.logbook import Logbook
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


def of_a_day(*records: str) -> Logbook:
    named = zip("abcd", records, strict=False)
    return book(CHECKS, {f"2026-05-02-work-{name}": f"kind: work\n{text}" for name, text in named})


def still_owed(logbook: Logbook) -> list[str]:
    return [item.check for item in due(logbook, DAY, expect=False).items if item.owed]


A, B, C = (f"follows: [2026-05-02-work-{name}]" for name in "abc")


@pytest.mark.parametrize(
    ("records", "left"),
    [
        # It says that it came after: whatever the files are called, and with a reading or without one.
        ((f"did: [oil]\n{B}", "did: [cut]"), ["cut"]),
        ((f"did: [oil]\nmeters: {{tach: 9}}\n{B}", "did: [cut]\nmeters: {tach: 9}"), ["cut"]),
        ((f"did: [oil]\n{B}", "did: [cut]\nmeters: {tach: 9}"), ["cut"]),
        (("did: [oil]", f"did: [cut]\n{A}"), []),
        # Along a chain, and done once more at the same reading after what owed it.
        ((f"did: [oil]\n{C}", "did: [cut]", f"text: washed\n{B}"), ["cut"]),
        (("did: [cut]", f"did: [oil]\n{A}", f"did: [cut]\n{B}"), []),
        # What cannot be so counts as if nothing said it: another day, nothing of that name, a ring, a lower reading.
        (("did: [oil]\nfollows: [2026-05-02-work-z]", "did: [cut]"), []),
        ((f"did: [oil]\n{B}", f"did: [cut]\n{A}"), []),
        (("did: [oil]\nfollows: [2026-05-02-work-a]", "did: [cut]"), []),
        ((f"did: [oil]\nmeters: {{tach: 8}}\n{B}", "did: [cut]\nmeters: {tach: 9}"), []),
    ],
)
def test_of_one_day_what_says_that_it_came_after(records: tuple[str, ...], left: list[str]) -> None:
    assert still_owed(of_a_day(*records)) == left


def test_the_order_matters_where_something_is_owed_by_it() -> None:
    def matters(earlier: tuple[str, ...], new: str) -> tuple[str, ...]:
        logbook = of_a_day(*earlier, new)
        return order_matters(logbook.with_records(logbook.records[:-1]), logbook.records[-1], DAY)

    assert matters(("did: [cut]",), "did: [oil]") == ("2026-05-02-work-a",)
    assert matters(("did: [cut]\nmeters: {tach: 9}", "text: washed"), "did: [oil]\nmeters: {tach: 9}") == (
        "2026-05-02-work-a",
    )
    assert matters(("did: [cut]", f"did: [oil]\n{A}"), "did: [cut]") == ()
    assert matters(("did: [oil]",), "did: [cut]") == ()
    assert matters(("did: [cut]\nmeters: {tach: 9}",), "did: [oil]\nmeters: {tach: 9.1}") == ()
    assert matters(("did: [cut]",), "did: [free]") == ()
    assert matters(("did: [cut]",), f"did: [oil]\n{A}") == ()


def test_of_one_day_a_part_comes_after_what_was_done_to_the_one_before() -> None:
    checks = "- [ ] `gap` Points\n  - every: 100 h\n  - counts-on: left\n"
    read = "meters: {tach: 9}\n"
    fitted = {"2026-05-01-left": "kind: installed\nposition: left\nserial: A\nsince-new: 0\nmeters: {tach: 5}"}
    new = f"kind: installed\nposition: left\nserial: B\nsince-new: 95\n{read}"
    for follows, total in (("", 109), ("follows: 2026-05-02-gap", 14)):
        records = {**fitted, "2026-05-02-gap": f"kind: work\ndid: [gap]\n{read}", "2026-05-02-a": new + follows}
        item = due(book(checks, records), DAY, expect=False).item("gap")
        assert item is not None
        assert item.due.total == total


def test_of_one_day_a_flight_before_the_work_answers_nothing() -> None:
    flown = "text: flown\nflight-check: {done: 2026-05-02, "
    flown += "pilot: {name: Al Roe, kind: private pilot, certificate: 123}, words: normal}"
    for follows, open_ones in (("", 0), (A, 1)):
        logbook = of_a_day(flown, f"text: rigged\nflight-check: required\n{follows}")
        assert len(due(logbook, DAY, expect=False).no_passengers.unflown) == open_ones


def test_what_follows_another_is_never_due_later_by_more_flying() -> None:
    """Whatever is read on a later day, the order of this one stands."""
    records = {
        "2026-05-02-work-a": f"kind: work\ndid: [oil]\n{B}",
        "2026-05-02-work-b": "kind: work\ndid: [cut]\nmeters: {tach: 9}",
    }
    points = []
    for total in (9, 10, 40):
        later = {**records, "2026-05-03-hours": f"kind: hours\nmeters: {{tach: {total}}}"}
        item = due(book(CHECKS, later), dt.date(2026, 5, 9), expect=False).item("oil")
        assert item is not None
        assert item.due.total is not None
        points.append(item.due.total)
        assert still_owed(book(CHECKS, later)) == ["cut"]
    assert points == sorted(points, reverse=True)
