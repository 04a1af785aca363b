"""The due list as a page, and one item explained."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from inspect_kit.due.answer import DueAnswer, DueAt, Left
from inspect_kit.errors import Place
from inspect_kit.model.checklist import FLIGHT, NOTHING, Bars
from inspect_kit.report import due_page, item_page, plain
from inspect_kit.report.pages.due import MARKS, WORDS, left_words
from inspect_kit.report.pages.strip import year_strip
from tests.report.answers import ITEMS, PROBLEMS, due_answer, item


def lines(text: str) -> list[str]:
    return [" ".join(line.split()) for line in text.splitlines()]


def order(text: str, *words: str) -> list[int]:
    """Where each of the words first stands; all of them must."""
    places = [text.find(word) for word in words]
    assert -1 not in places, words
    return places


@pytest.mark.parametrize("room", [80, 120])
def test_the_inspection_and_reasons_come_first_then_past_due_and_so_on(room: int) -> None:
    text = " ".join(plain.render(due_page(due_answer()), room).split())
    places = order(
        text,
        "Condition inspection: 370 days left, to 2027-11-30.",
        "Reasons on record not to fly",
        "Lower cowling",
        "!! past due fuel-strainer",
        "! in grace hose-check",
        "? unknown elt-battery",
        "> soon Change the",
        "- later ",
        "The year ahead",
        "An empty list is no permission to fly",
    )
    assert places == sorted(places)


@pytest.mark.parametrize("room", [80, 120])
def test_every_column_of_an_item_is_on_the_page(room: int) -> None:
    text = " ".join(plain.render(due_page(due_answer()), room).split())
    for word in (
        *("oil-change", "28.9 h or 19 days", "2026-12-14 tach 29.4", "640.1"),
        *("2026-12-10 to 2026-12-14", "2026-08-14, 590.1 (estimated)", "cowl-lower", "engine maker"),
    ):
        assert all(piece in text for piece in word.split())
    assert "2.1 h over" in text
    assert all(piece in text for piece in ("past due, in", "2026-12-20,", "only as"))
    assert "before flight" in text
    assert "none on record" in text


def test_marks_and_words_tell_states_apart_without_colour() -> None:
    assert len(set(MARKS.values())) == len(set(WORDS.values())) == len(MARKS) == 5


def test_an_incomplete_answer_says_so_first() -> None:
    text = plain.render(due_page(due_answer(problems=PROBLEMS)), 80)
    assert lines(text)[3].startswith("!! INCOMPLETE: 1 problem in the files")
    assert "records/2025/2025-03-01-hours.yaml:7" in text
    assert "INCOMPLETE" not in plain.render(due_page(due_answer()), 80)


def test_an_empty_list_is_no_permission() -> None:
    text = plain.render(due_page(due_answer(items=(), stops=())), 80)
    assert "An empty list is no permission to fly." in text
    assert "Nothing that falls due is known" in text
    assert "The year ahead" not in text


def test_a_question_about_the_future_is_repeated() -> None:
    asked = due_answer(by=dt.date(2027, 7, 20), flying=Decimal(15), totals={"tach": Decimal("626.2")})
    text = " ".join(plain.render(due_page(asked), 100).split())
    assert "by 2027-07-20 if 15 h more are flown, to a total of 626.2 h" in text


def test_what_was_left_out_is_named() -> None:
    text = plain.render(due_page(due_answer(left_out=(Place("records/2027/x.yaml"),))), 100)
    assert "Left out, because later than 2026-11-25: records/2027/x.yaml." in text


@pytest.mark.parametrize(("days", "words"), [(0, "0 days"), (1, "1 day"), (-1, "1 day over"), (-3, "3 days over")])
def test_days_left_in_words(days: int, words: str) -> None:
    assert left_words(item("x", "later", left=Left(days=days))) == words


def test_the_strip_holds_the_year_and_what_is_past() -> None:
    strip = year_strip(due_answer())
    assert strip is not None
    assert [row.label for row in strip.rows] == [
        "hose-check",
        "Change the oil and the filter",
        "paint blistered along the lower edge",
    ]
    assert [mark.kind for row in strip.rows for mark in row.marks] == ["before", "range", "likely", "due"]
    assert len(strip.ticks) == 12


def test_items_of_one_day_are_one_row_named_after_the_inspection() -> None:
    day = DueAt(date=dt.date(2027, 11, 20))
    items = (
        item("b", "later", due=day),
        item("condition", "later", kind="inspection", due=day),
        item("a", "later", due=day),
        item("c", "later", due=DueAt(date=dt.date(2027, 1, 2))),
    )
    strip = year_strip(due_answer(items=items))
    assert strip is not None
    assert [(row.label, row.value) for row in strip.rows] == [
        ("c", "2027-01-02"),
        ("condition inspection +2", "2027-11-20"),
    ]


def test_what_falls_due_after_the_year_is_not_on_the_strip() -> None:
    items = (
        item("next-year", "later", due=DueAt(date=dt.date(2027, 11, 26))),
        item("this-year", "later", due=DueAt(date=dt.date(2027, 11, 25))),
    )
    strip = year_strip(due_answer(items=items))
    assert strip is not None
    assert [row.label for row in strip.rows] == ["this-year"]


@pytest.mark.parametrize("room", [80, 120])
def test_the_arithmetic_of_an_item_is_told_line_by_line_with_its_files(room: int) -> None:
    text = plain.render(item_page(due_answer(), ITEMS[4]), room)
    rows = [" ".join(line.split()) for line in text.splitlines()]
    # It is called what it was called in the list, with its id behind that.
    assert rows[0] == "Change the oil and the filter (oil-change), N0TS, 2026-11-25"
    assert any(row.startswith("1 last done at 590.1 h total on tach; +") for row in rows)
    assert "2 on 2026-11-25: 19 days left (soon)" in rows
    assert "records/2026/2026-05-14-oil.yaml:1" in text
    assert "checklists/nose/cowl-lower.md:14" in text
    assert "no permission to fly" in text


def text_of(answer: DueAnswer) -> str:
    return " ".join(plain.render(due_page(answer), 120).split())


def test_without_a_reason_the_page_says_that_this_is_no_permission() -> None:
    text = text_of(due_answer(stops=()))
    assert "No reason not to fly is on record. That is no permission to fly." in text
    assert "Reasons on record" not in text
    # What could not be read may hold one.
    assert "No reason not to fly is on record, as far as the files could be read. That is no permission to fly." in (
        text_of(due_answer(stops=(), problems=PROBLEMS))
    )


def test_what_may_not_be_used_is_listed_after_the_reasons() -> None:
    text = text_of(due_answer())
    assert "Not to be used" in text
    assert "! the transponder Static system, altimeter and encoder (static-test) 3 days past due (2026-11-22)" in text
    assert "Not to be used" not in text_of(due_answer(not_to_be_used=()))


@pytest.mark.parametrize(
    ("state", "given", "words"),
    [
        ("past-due", {"due": DueAt(date=dt.date(2025, 9, 30)), "left": Left(days=-422)}, "422 days past due, since"),
        ("soon", {"due": DueAt(date=dt.date(2026, 11, 30)), "left": Left(days=4)}, "4 days left, to 2026-11-30."),
        ("unknown", {}, "when it is due is not on record."),
    ],
)
def test_the_inspection_stands_in_the_first_lines_whatever_its_state(
    state: str, given: dict[str, Any], words: str
) -> None:
    inspection = item("condition", state, kind="inspection", name="Condition inspection", **given)
    first = lines(plain.render(due_page(due_answer(items=(*ITEMS[:-1], inspection))), 80))[3]
    assert "Condition inspection: " in first
    assert words in first


def test_in_grace_says_until_when_and_what_for() -> None:
    over = Left(amount=Decimal("-5"), unit="h")
    grace = DueAt(meter="tach", total=Decimal("640.1"), reads=Decimal("29.4"))
    hundred = item("hundred", "in-grace", left=over, grace=grace, source="14 CFR 91.409(b)")
    words = "past due, in grace until tach 29.4, only to reach a place where the inspection can be done"
    assert left_words(hundred) == words
    assert all(piece in text_of(due_answer(items=(hundred,))) for piece in words.split())
    assert words in " ".join(plain.render(item_page(due_answer(), hundred), 120).split())
    assert left_words(item("x", "in-grace", grace=DueAt(date=dt.date(2026, 12, 20)), source="pump maker")) == (
        "past due, in grace until 2026-12-20, only as its source allows (pump maker)"
    )
    assert left_words(item("x", "in-grace", grace=DueAt(date=dt.date(2026, 12, 20)))) == (
        "past due, in grace until 2026-12-20, no source on record says what for"
    )


@pytest.mark.parametrize(
    ("bars", "words"),
    [(FLIGHT, "before flight"), (Bars(what="the transponder"), "before it is used"), (NOTHING, "owed")],
)
def test_what_is_owed_says_before_what(bars: Bars, words: str) -> None:
    assert left_words(item("x", "past-due", owed=True, bars=bars)) == words
