"""What stands deeper on a page than anything is read: an editor indents the next bullet by itself."""

import pytest

from inspect_kit.text.worksheet import AGAIN, FINDING_KEYS, read_worksheet

HEAD = "---\njob: condition\naircraft: N0TS\nbegun: 2026-11-21\n---\n"
DEEP = ("found: F2 torn", "again: 58 psi", "fix: before flight", "recheck: in 5 h", "waiting: a part", "cyl 9: 12 psi")
BOXES = ("- [x] `belts` Belts\n  - found: F1 frayed\n", "- [x] `compression` Cylinders\n  - cylinder 1: 75 psi\n")


def problem_lines(text: str) -> set[int]:
    _, source = read_worksheet(HEAD + text, "p.md")
    return {problem.place.line for problem in source.problems}


@pytest.mark.parametrize("box", BOXES)
@pytest.mark.parametrize("host", [*FINDING_KEYS, AGAIN, "and another"])
@pytest.mark.parametrize("below", DEEP)
def test_what_stands_below_the_second_level_is_a_problem(box: str, host: str, below: str) -> None:
    assert 9 in problem_lines(f"{box}    - {host}: x\n      - {below}\n")
    assert 11 in problem_lines(f"{box}    - note: x\n    - {host}: x\n\n      - {below}\n        - {below}\n")


@pytest.mark.parametrize("below", DEEP)
def test_what_stands_below_a_value_is_a_problem(below: str) -> None:
    assert 8 in problem_lines(f"- [x] `belts` Belts\n  - took: 5 min\n    - {below}\n")
