"""A second value behind the first one of a reading that was written by hand does not pass in silence."""

import datetime as dt

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from tests.audit.conftest import Write

RECORD = """@ records/2026/2026-07-01-work-b1.yaml
format: 1
kind: work
date: 2026-07-01
did: [compression]
readings:
  compression:
    cylinder 1: %s
    cylinder 2: 76 psi (at least 60)
"""


def told(write: Write, reading: str) -> list[tuple[str, bool]]:
    loaded = store.load(write(RECORD % reading))
    assert loaded.problems == ()
    assert loaded.logbook is not None
    problems = audit(loaded.logbook, dt.date(2026, 11, 25))
    return [(each.message, each.note) for each in problems if "cylinder 1" in each.message]


@pytest.mark.parametrize(
    ("reading", "note"),
    [
        ("76 psi then 58", False),
        ("76 psi, 58", False),
        ("76 psi cold, 58 psi hot", False),
        ("76 PSI cold, 58 psi hot", False),
        ("76 psi; again, 58 psi", False),
        ("'76 psi (at least 60); again: 58 psi after 5 min run'", False),
        ("76 psi (58 psi after run)", False),
        # What keeps to the limit may be what it was before, or what it was measured with.
        ("76 psi with regulator at 80 psi", True),
        ("76 psi, 80 psi in", True),
        ("76 psi (was 77 psi)", True),
    ],
)
def test_a_second_figure_behind_the_first_value_is_told(write: Write, reading: str, note: bool) -> None:
    ((message, is_note),) = told(write, reading)
    assert "holds a second figure, " in message
    assert is_note is note


@pytest.mark.parametrize(
    "reading", ["76 psi", "76", "76 psi (at least 60)", "76 psi after 5 min run", "76 psi cold", "[58 psi, 76 psi hot]"]
)
def test_one_value_with_a_remark_is_one_value(write: Write, reading: str) -> None:
    assert told(write, reading) == []
