"""What is written reads back as it was, places aside."""

import dataclasses
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.errors import Place
from inspect_kit.model.kinds import KINDS
from inspect_kit.model.record import Record
from inspect_kit.text.record import read_record, write_record
from tests.text import strategies


def without_places(value: Any) -> Any:
    """The same noun as if it stood nowhere, in all its depth."""
    if isinstance(value, Place):
        return None
    if dataclasses.is_dataclass(value):
        kept = {field.name: without_places(getattr(value, field.name)) for field in dataclasses.fields(value)}
        return type(value).__name__, {key: each for key, each in kept.items() if key != "lines"}
    if isinstance(value, tuple):
        return tuple(map(without_places, value))
    if isinstance(value, dict):
        return {key: without_places(each) for key, each in value.items()}
    return value


def test_every_kind_is_tried() -> None:
    assert {kind.name for kind in KINDS} == set(strategies.KINDS)


@pytest.mark.parametrize("kind", strategies.KINDS)
@settings(max_examples=20)
@given(data=st.data())
def test_a_record_reads_back(kind: str, data: st.DataObject) -> None:
    record: Record = data.draw(strategies.KINDS[kind])
    text = write_record(record)
    read, source = read_record(text, "r.yaml")
    assert source.problems == []
    assert without_places(read) == without_places(record)
    assert text.endswith("\n")
    assert "\r" not in text


@settings(max_examples=20)
@given(strategies.records())
def test_writing_what_was_read_changes_nothing(record: Record) -> None:
    text = write_record(record)
    again, _ = read_record(text, "r.yaml")
    assert again is not None
    assert write_record(again) == text
