"""Contradictions between files, case by case; the fixtures show the files above the exact messages."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from tests.audit.conftest import Write
from tests.dots import Case, cases

HERE = Path(__file__).parent
TODAY = dt.date(2026, 11, 25)
FIXTURES = [
    *("ids.md", "checklists.md", "order.md", "records.md", "amendments.md", "meters.md", "past.md", "fittings.md"),
    *("pages.md", "same_day.md", "phases.md", "directives.md", "reasons.md", "far.md"),
]
CASES = [pytest.param(case, id=f"{name}: {case.title}") for name in FIXTURES for case in cases(HERE / name)]


@pytest.mark.parametrize("case", CASES)
def test_messages(case: Case, write: Write) -> None:
    loaded = store.load(write(case.given))
    assert loaded.logbook is not None
    problems = {*loaded.problems, *audit(loaded.logbook, TODAY)}
    ordered = sorted(problems, key=lambda problem: (problem.place, problem.message))
    assert "\n".join(map(str, ordered)) == case.expected


def test_the_small_store_has_no_problem(write: Write) -> None:
    loaded = store.load(write(""))
    assert loaded.problems == ()
    assert loaded.logbook is not None
    assert audit(loaded.logbook, TODAY) == ()


@pytest.mark.parametrize(("reason", "note"), [("not looked at", True), ("-", False)])
def test_words_that_no_list_is_sure_of_keep_no_store_from_flying(write: Write, reason: str, note: bool) -> None:
    """A reason that has stood in aircraft.yaml for years made the file one that is not in order."""
    (case,) = [each for each in cases(HERE / "checklists.md") if each.title.startswith("words of years ago")]
    loaded = store.load(write(case.given.replace("not looked at", f'"{reason}"')))
    assert loaded.logbook is not None
    (found,) = [each for each in audit(loaded.logbook, TODAY) if "not-applicable.e10" in each.message]
    assert found.note is note
