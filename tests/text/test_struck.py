"""What is struck out or commented out in a value of a page: a problem with a caret, as around a number."""

import pytest

from inspect_kit.text.worksheet import read_worksheet

PAGE = """\
---
job: condition
aircraft: N0XX
begun: 2026-11-21
meters: {tach: 401.0}
inspector: Sam Oak
---

- [x] `stacks` Exhaust stacks
  - stains: clean, nothing seen (words)
  - second look by: Ben Helper
  - by: Pip Ash
  - paper: work order 1234
  - note: ~8 mm from the edge, as in ~2024
  - found: F1 crack, ~8 mm
    - fix: at next condition inspection
    - may wait because: cosmetic
  - found: F2 chafed hose
    - cleared: 2026-11-28 hose replaced; by: Ada Bell
"""
VALUES = (
    *("clean, nothing seen", "nothing seen", "Ben Helper", "work order 1234", "F1 crack, ~8 mm", "crack", "cosmetic"),
    *("hose replaced", "Sam Oak", "Pip Ash", "by: Ada Bell"),
)
ENTRIES = ("second look by: Ben Helper", "cleared: 2026-11-28 hose replaced; by: Ada Bell", "found: F2 chafed hose")
WAYS = (
    *(("~~", "~~"), ("~", "~"), ("<!-- ", " -->"), ("<s>", "</s>"), ("<del>", "</del>"), ("<strike>", "</strike>")),
    *(('<del class="x">', "</del>"), ("%%", "%%"), ("{--", "--}")),
)


def crossed(words: str) -> str:
    return "".join(f"{mark}\u0336" for mark in words)


def faults(text: str) -> list[tuple[int, str]]:
    _, source = read_worksheet(text, "p.md")
    assert all(problem.excerpt for problem in source.problems)
    return [(problem.place.line, problem.message) for problem in source.problems]


def test_the_page_itself_is_read() -> None:
    assert faults(PAGE) == []


@pytest.mark.parametrize("way", [*WAYS, None])
@pytest.mark.parametrize("value", [*VALUES, *ENTRIES])
def test_what_is_struck_out_does_not_stand(value: str, way: tuple[str, str] | None) -> None:
    """The line is named once; it counted as the second look, the reading, the correction."""
    if way is not None and way[0] == "~" and "~" in value:
        # Within words that have one, it marks nothing.
        return
    instead = crossed(value) if way is None else f"{way[0]}{value}{way[1]}"
    assert PAGE.count(value) == 1
    text = PAGE.replace(value, instead)
    line = text[: text.index(instead)].count("\n") + 1
    assert {at for at, _ in faults(text)} >= {line}
    assert len([at for at, _ in faults(text) if at == line]) == 1


@pytest.mark.parametrize(("begin", "end"), WAYS)
def test_over_several_lines_too(begin: str, end: str) -> None:
    text = PAGE.replace("cosmetic", f"{begin}cosmetic,\n      as it was{end}")
    assert 17 in {at for at, _ in faults(text)}


@pytest.mark.parametrize(
    "words",
    [
        "crack, ~8 mm, ~3 mm deep",
        "from ~8 to ~10 mm",
        "(~3/~4)",
        "5 mm < 6 mm > 2 mm",
        "<small> {a} 100 % and 50 %",
        "a -- b",
        "x~y~z",
    ],
)
def test_what_is_none(words: str) -> None:
    assert faults(PAGE.replace("F1 crack, ~8 mm", words).replace("cosmetic", words)) == []


def test_a_note_is_free() -> None:
    assert faults(PAGE.replace("note: ~8 mm", "note: ~~10~~ 8 mm")) == []
