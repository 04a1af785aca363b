"""What a sealed record names and no checklist has any more is told once, wherever in the record it stands."""

from dataclasses import replace

import pytest

from inspect_kit.audit import audit
from inspect_kit.model.record import Seal
from tests.due.small import book

NAME = "2018-02-01-a"


@pytest.mark.parametrize(
    ("key", "lost"),
    [
        ("did: [gone]\n", "no check is called `gone`"),
        ("left-owed: [gone]\n", "no check is called `gone`"),
        ("next: {gone: 2019-01-31}\n", "no check is called `gone`"),
        ("boxes: {gone: {answer: done, notes: [tight]}}\n", "no check is called `gone`"),
        ("boxes: {refit gone: {answer: done, notes: [tight]}}\n", "no panel is called `gone`"),
        ("opened: [gone]\n", "no panel is called `gone`"),
        ("opened: [box]\n", ""),
        ("boxes: {refit box: {answer: done, notes: [tight]}}\n", ""),
    ],
)
def test_the_checklists_are_told_to_have_lost_it(key: str, lost: str) -> None:
    """A check that was left owed, and whose lines went, was owed no more, and nothing said so."""
    made = book(records={NAME: f"kind: work\ntext: looked\n{key}"})
    seal = Seal(record=NAME, page="", worksheet="0" * 64, after=(), sha256="0" * 64)
    made = made.with_records(tuple(replace(record, seal=seal) for record in made.records))
    told = [each.message for each in audit(made) if each.message.endswith("its lines are lost")]
    assert [each.startswith(lost) for each in told] == ([True] if lost else [])
