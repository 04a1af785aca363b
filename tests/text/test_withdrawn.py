"""A withdrawn record: its text as it was, and below it why, when and by whom."""

import datetime as dt

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.withdrawn import Withdrawn
from inspect_kit.text.record import read_record
from inspect_kit.text.withdrawn import read_withdrawn, write_withdrawn

TEXT = "format: 1\nkind: hours\ndate: 2026-05-14\nmeters: {tach: 412.6}\n"
FILE = "records/withdrawn/2026-05-14-hours-a1.yaml"


def test_what_was_withdrawn_reads_back_with_its_reason() -> None:
    record, _ = read_record(TEXT, FILE)
    assert record is not None
    noted = Withdrawn(
        record=record, date=dt.date(2026, 5, 15), reason="of another aircraft", by="Ada Bellcrank", place=Place(FILE)
    )
    text = write_withdrawn(TEXT, noted)
    assert text.startswith(TEXT)
    read, source = read_withdrawn(text, FILE)
    assert source.problems == []
    assert read is not None
    assert (read.date, read.reason, read.by) == (noted.date, noted.reason, noted.by)
    assert read.record.name == record.name


@pytest.mark.parametrize(
    ("below", "told"),
    [
        ("", "stands among the withdrawn records, and says not why, when and by whom: `withdrawn`"),
        ("withdrawn: {reason: of another aircraft, by: Ada}\n", "withdrawn.date is missing"),
        ("withdrawn: {date: 2026-05-15, by: Ada}\n", "withdrawn.reason is missing"),
        ("withdrawn: {date: 2026-05-15, reason: of another aircraft}\n", "withdrawn.by is missing"),
    ],
)
def test_what_does_not_say_why_when_and_by_whom_is_a_problem(below: str, told: str) -> None:
    read, source = read_withdrawn(TEXT + below, FILE)
    assert read is None
    assert [problem.message for problem in source.problems] == [told]
