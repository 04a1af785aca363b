"""What a page asks as a whole: whether equipment changed, answered, not answered, and against the records."""

from dataclasses import replace

import pytest

from inspect_kit.inspection import edit
from inspect_kit.inspection.questions import unanswered_questions
from inspect_kit.model.logbook import Logbook
from inspect_kit.text.record import read_record
from tests.inspection.conftest import ALL, Small, filled, request_for, sheet_of

WEIGHED = """\
format: 1
kind: weighing
date: {date}
points:
  - {{at: left main, scale: 361.0 lb, tare: 2.0 lb, arm: 25.0 in}}
  - {{at: right main, scale: 360.5 lb, tare: 2.0 lb, arm: 25.0 in}}
  - {{at: nose, scale: 126.5 lb, tare: 1.5 lb, arm: -38.0 in}}
datum: leading edge of the wing at the root
level: cabin floor rails level
unusable-fuel: in both tanks, part of the empty weight
oil: full, part of the empty weight
by: Ada Bellcrank
"""


def weighed(small: Small, date: str) -> Logbook:
    record, source = read_record(WEIGHED.format(date=date), f"records/{date[:4]}/{date}-weighing.yaml")
    assert record is not None
    assert not source.problems, source.problems
    return small.logbook.with_records((record,))


def told(answer: str, date: str = "2026-05-02", **changes: object) -> list[str]:
    small = sheet_of(ALL)
    sheet = filled(small.sheet)
    if answer:
        sheet = edit.answer_page(sheet, "equipment", answer)
    request = replace(request_for(Small(weighed(small, date), sheet), sheet), **changes)  # type: ignore[arg-type]
    return [f"{gap.about}: {gap.text}" for gap in unanswered_questions(request)]


def test_equipment_is_asked_of_an_inspection_and_not_of_a_page_that_is_closed() -> None:
    assert told("") == [
        "equipment: is not answered: has equipment changed since the records begin? "
        "Write `no change`, or the records of kind `equipment` that tell of it"
    ]
    assert told("", closing=True) == []


@pytest.mark.parametrize(
    ("answer", "date", "expected"),
    [
        ("no change", "2026-05-02", ["2026-05-02-weighing tells of one: `equipment: 2026-05-02-weighing`"]),
        ("2026-05-02-weighing", "2026-05-02", []),
        ("no change", "2026-05-04", []),
        ("2026-05-02-nothing", "2026-05-02", ["`2026-05-02-nothing` is no record of a change of equipment"]),
    ],
)
def test_the_answer_agrees_with_the_records_up_to_the_day(answer: str, date: str, expected: list[str]) -> None:
    """Signed on 2026-05-03: what was weighed the day after is none of its business."""
    found = told(answer, date)
    assert len(found) == len(expected)
    assert all(words in each for words, each in zip(expected, found, strict=True))


