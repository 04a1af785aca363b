"""What is left, read aloud; and a limit that has probably been reached, with the age of the reading."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_kit.due import Item, due
from inspect_kit.report import due_json
from inspect_kit.report.blocks import STOP, WARN
from inspect_kit.report.pages.due import item_row, left_clause, left_words, reached, tone_of
from inspect_kit.report.pages.next_due import expected_words
from tests.due.small import book, on

OIL = "- [ ] `oil` Oil\n  - every: 50 h or 4 months\n"


def oil(last: float, reads: float, day: str = "2018-03-01", done: str = "2018-02-01") -> Item:
    records = {
        "2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0}\n",
        f"{done}-did": f"kind: work\ndid: [oil]\nmeters: {{tach: {last}}}\n",
        "2018-02-20-hours": f"kind: hours\nmeters: {{tach: {reads}}}\n",
    }
    found = due(book(OIL, records), on(day)).item("oil")
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("item", "words", "clause"),
    [
        (oil(5.0, 20.8), "34.2 h or 92 days", "34.2 h or 92 days left"),
        (oil(5.0, 56.3), "1.3 h over, 92 days left", "1.3 h over, 92 days left"),
        (oil(5.0, 20.8, day="2018-07-13"), "34.2 h left, 42 days over", "34.2 h left, 42 days over"),
        (oil(5.0, 56.3, day="2018-07-13"), "1.3 h over or 42 days over", "1.3 h over or 42 days over"),
    ],
)
def test_what_is_left_can_be_read_aloud(item: Item, words: str, clause: str) -> None:
    assert (left_words(item), left_clause(item)) == (words, clause)


def weekly(silence: int, weeks: int = 40, hours: int = 4) -> tuple[Item, dict[str, object], dt.date]:
    """An owner who wrote 4 h down each week, and then nothing; the last oil change was at the last reading but 11."""
    first = on("2018-01-15")
    records = {}
    for week in range(weeks + 1):
        day = first + dt.timedelta(weeks=week)
        did = "kind: work\ndid: [oil]\n" if week == weeks - 12 else "kind: hours\n"
        records[f"{day}-{week:02}"] = f"{did}meters: {{tach: {hours * week}}}\n"
    today = first + dt.timedelta(weeks=weeks, days=silence)
    answer = due(book(OIL.replace(" or 4 months", ""), records), today)
    found = answer.item("oil")
    assert found is not None
    assert found.left.amount == Decimal(2)  # 12 weeks of 4 h are gone of 50.
    return found, due_json(answer, found), today


def test_the_age_of_the_last_reading_stands_beside_every_expected_date() -> None:
    item, facts, today = weekly(silence=0)
    assert item.expected is not None
    assert (item.expected.age_days, item.expected.reached) == (0, False)
    assert today < item.expected.likely
    assert "reading of today" in expected_words(item)
    item, facts, _ = weekly(silence=1)
    assert any("the last reading is 1 day old" in line.text for line in item.lines)
    assert facts["items"][0]["expected"]["age_days"] == 1  # type: ignore[index]


def test_a_limit_that_use_would_have_reached_by_now_is_said() -> None:
    """2 h left at 4 h a week are gone after half a week; a silence of 40 days is not `did not fly`."""
    item, facts, today = weekly(silence=40)
    assert item.expected is not None
    assert item.expected.reached
    assert item.expected.likely < today
    told = f"probably reached about {item.expected.likely}; write the meter down"
    assert left_words(item) == f"2 h by the last reading; {told}"
    assert left_clause(item) == left_words(item)
    assert told in expected_words(item)
    assert any(f"probably reached about {item.expected.likely}" in line.text for line in item.lines)
    assert facts["items"][0]["expected"]["reached"] is True  # type: ignore[index]
    assert item.state == "soon"  # What is on record decides the state.


def test_what_is_past_due_presses_whatever_use_has_probably_used_up_besides() -> None:
    """Past due by the calendar, and probably by hours nobody wrote down: its mark was not set off on the list."""
    item, *_ = weekly(silence=40)
    late = replace(item, state="past-due")
    assert reached(late)
    assert (tone_of(late), tone_of(item)) == (STOP, WARN)
    assert item_row(late).tone == STOP


def test_a_silence_hides_no_more_than_silences_did_before() -> None:
    """Who wrote 1 h down after every flight has not flown 50 h since the last one."""
    item, *_ = weekly(silence=40, hours=4, weeks=40)
    assert item.expected is not None
    far = due(book(OIL.replace("50 h or 4 months", "50 h"), _flights()), on("2018-09-10")).item("oil")
    assert far is not None
    assert far.expected is not None
    assert not far.expected.reached
    assert far.expected.early >= on("2018-09-10")


def _flights() -> dict[str, str]:
    first = on("2018-01-15")
    days = (first + dt.timedelta(days=4 * number) for number in range(45))
    return {f"{day}-{number:02}": f"kind: hours\nmeters: {{tach: {number}}}\n" for number, day in enumerate(days)}
