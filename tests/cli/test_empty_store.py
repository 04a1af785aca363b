"""A store in which nothing stands yet but the aircraft: each answer says what there is not, and what to do next."""

import re
from pathlib import Path

import pytest

from tests.cli.conftest import AIRCRAFT, Run


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    """Only the aircraft, of which nothing is said to be not applicable."""
    (tmp_path / "records").mkdir()
    (tmp_path / "checklists").mkdir()
    aircraft = AIRCRAFT.partition("not-applicable:")[0] + "positions: {engine: {}}\n"
    (tmp_path / "records/aircraft.yaml").write_text(aircraft)
    return tmp_path


@pytest.mark.parametrize("words", [("plan", "condition"), ("start", "condition", "--by", "Ada Bellcrank")])
def test_who_named_an_inspection_is_not_told_to_name_one(run: Run, bare: Path, words: tuple[str, ...]) -> None:
    told = run(bare, *words)
    assert told.code == 1, told
    assert "no check comes with condition" in told.err
    assert "name a check or an inspection" not in told.err
    assert "inspect-kit scope" in told.err


def test_what_is_planned_without_a_page_is_to_be_named(run: Run, bare: Path) -> None:
    told = run(bare, "plan")
    assert told.code == 2
    assert "no page is open: name an inspection or a check, such as `plan condition`" in told.err


@pytest.mark.parametrize("words", [("visits",), ("visits", "--all")])
def test_no_visit_is_told_once_and_nothing_is_compared_with_nothing(
    run: Run, bare: Path, words: tuple[str, ...]
) -> None:
    told = run(bare, *words)
    assert told.code == 0, told
    assert told.out.count("No visit: nothing that can be planned falls due") == 1
    assert told.out.count("An empty list is no permission to fly.") < 2
    assert not re.search(r"\b0 (visits|min)\b", told.out)
    assert "condition" in told.out.partition("Not planned")[2]


def test_each_missing_code_is_told_once_on_a_screen(run: Run, bare: Path) -> None:
    told = run(bare, "scope").out
    assert [each for each in ("b1", "d8", "j") if len(re.findall(rf"\b{each}\b", told)) != 1] == []


@pytest.mark.parametrize("words", [("history", "engine"), ("history", "engine", "--all")])
def test_nothing_has_no_newest(run: Run, bare: Path, words: tuple[str, ...]) -> None:
    told = run(bare, *words).out
    assert "Position: engine. Nothing on record." in told
    assert "newest" not in told
    assert "More: " not in told


@pytest.mark.parametrize(
    ("command", "told", "not_told"),
    [
        ("balance", "the empty weight is not known: inspect-kit weighing", "OUTSIDE"),
        ("directives", "No search is on record. Write one down: inspect-kit search", "next action"),
        ("trend", "Nothing was read twice yet.", "Theil"),
        ("due", "no reading of tach (inspect-kit hours)", "Later"),
        ("due", "More: due --all; due condition; due --until DATE", "ITEM"),
    ],
)
def test_what_there_is_not_says_how_it_is_written_down(
    run: Run, bare: Path, command: str, told: str, not_told: str
) -> None:
    said = " ".join(run(bare, command).out.split())
    assert told in said
    assert not_told not in said
