"""`find` in a terminal and in a pipe: one screen, file and line, exit code."""

import json
from pathlib import Path

from tests.cli.conftest import Run


def test_file_and_line_of_a_check(run: Run, hangar: Path) -> None:
    found = run(hangar, "find", "exhaust", "CRACKS")
    assert found.code == 0, found.err
    assert "checklists/nose/cowl.md:8: `stacks` Exhaust stacks: cracks" in found.out


def test_a_person_and_a_paper(run: Run, hangar: Path) -> None:
    assert "records/aircraft.yaml:12: {name: Ada Bellcrank" in run(hangar, "find", "ada bellcrank").out
    assert "records/2026/2026-09-01-past.yaml:6" in run(hangar, "find", "log p. 31").out


def test_nothing_found_is_said_and_exits_with_1(run: Run, hangar: Path) -> None:
    found = run(hangar, "find", "pontoon")
    assert found.code == 1
    assert "has all of: pontoon" in found.out


def test_one_screen_and_all_of_it(run: Run, hangar: Path) -> None:
    for day in range(1, 29):
        assert run(hangar, "work", "--text", f"cowling polished {day}", on=f"2026-10-{day:02}").code == 0
    screen = run(hangar, "find", "polished")
    assert len(screen.out.splitlines()) <= 23
    assert "2026-10-28" in screen.out.splitlines()[2]
    assert "More: find polished --all" in screen.out
    assert run(hangar, "find", "polished", "--all").out.count("cowling polished") == 28
    answer = json.loads(run(hangar, "find", "polished", "--json").out)
    assert answer["format"] == 2
    assert [each["date"] for each in answer["found"]] == [f"2026-10-{day:02}" for day in range(28, 0, -1)]
