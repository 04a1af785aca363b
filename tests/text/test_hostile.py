"""Whatever stands in a file: reading never fails, and no ticked box is lost without a word."""

import random
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.errors import Problem
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.items import read_paper
from inspect_kit.text.record import read_record
from inspect_kit.text.worksheet import WORKSHEET, read_worksheet
from tests.text import test_examples as examples

FRONT = "---\njob: condition\naircraft: N0TS\nbegun: 2026-11-21\n---\n"
# Boxes with a tick as people type them; {} is an id in backticks.
TICKED = [
    *("- [x] {} text", "* [X] {} text", "+ [x] {} text", "-\t[x]\t{}\ttext", "-   [x]   {}", "- [x] remove {} text"),
    *("- [x]{} text", "-[x] {}", "1. [x] {}", "12) [X] {}", "[x] {}", "• [x] {}", "– [x] {}", "- [x ] {}", "- [ x] {}"),
    *("- [X] **{}** text", "> - [x] {}", "> [x] {}", "| [x] | {} |", "- - [x] {}", "- [✓] {}", "- [✔] {}", "- [v] {}"),
    *("☑ {}", "- ☒ {}", "✓ {} done", "- (x) {}", "# [x] {}", "<!-- - [x] {} -->", "- [x] text without id"),
    *("- [x] `Not An Id` text", "- [x]", "- [x] {}: text", "- [*] {}", "- [\u00a0x] {}"),
]
NOISE = [
    *(
        "",
        "   ",
        "text",
        "# Heading",
        "- note",
        "- key: value",
        "  - key: value",
        "    - deeper: value",
        "---",
        "> quote",
    ),
    *("  run on", "\ttab", "=======", "- [link](http://example.invalid)", "[x](http://example.invalid)", "\u2028"),
    *("- found: crack", "  - found: F1 crack", "    - fix: soon", "  - [ ] `nested` Nested", "\x1b[2J", "| a | b |"),
]
indents = st.sampled_from(["", "  ", "    ", "\t", " "])


@st.composite
def pages(draw: st.DrawFn) -> tuple[str, list[int]]:
    """A page without code fences, and the lines of its ticked boxes."""
    lines, ticked = FRONT.split("\n")[:-1], []
    for number in range(draw(st.integers(0, 12))):
        if draw(st.booleans()):
            lines.append(draw(indents) + draw(st.sampled_from(TICKED)).format(f"`check-{number}`"))
            ticked.append(len(lines))
        else:
            lines.append(draw(indents) + draw(st.sampled_from(NOISE)))
    return "\n".join(lines) + draw(st.sampled_from(["", "\n"])), ticked


@settings(max_examples=400)
@given(pages(), st.sampled_from(["\n", "\r\n"]))
def test_a_ticked_box_is_an_item_or_a_problem(page: tuple[str, list[int]], ending: str) -> None:
    text, ticked = page
    paper = read_paper(text.replace("\n", ending), "p.md", WORKSHEET)
    items = {item.lines[0]: item for item in paper.items}
    named = {problem.place.line for problem in paper.source.problems}
    for line in ticked:
        assert (line in items and items[line].ticked) or line in named


@settings(max_examples=200)
@given(pages())
def test_what_stands_below_a_box_is_told_or_stays_a_note(page: tuple[str, list[int]]) -> None:
    """Every line of a page is somewhere: front matter, an item, a note, or a problem."""
    text, _ = page
    paper = read_paper(text, "p.md", WORKSHEET)
    there = {number for item in paper.items for number in range(item.lines[0], item.lines[1] + 1)}
    there |= {number for number, _ in paper.notes} | {problem.place.line for problem in paper.source.problems}
    for number, line in enumerate(text.split("\n"), start=1):
        assert number <= 5 or not line.strip() or number in there


@pytest.mark.parametrize("fence", ["```", "~~~", "````markdown", "  ```"])
def test_a_box_in_a_code_fence_is_text(fence: str) -> None:
    closing = re.sub(r"[a-z]+$", "", fence)
    text = f"{FRONT}{fence}\n- [x] `inside` Inside\n{closing}\n- [x] `outside` Outside\n"
    paper = read_paper(text, "p.md", WORKSHEET)
    assert [item.id for item in paper.items] == ["outside"]
    assert paper.source.problems == []


def test_nested_boxes_keep_their_own_entries() -> None:
    page, source = read_worksheet(
        FRONT
        + """\
- [x] `outer` Outer
  - took: 5 min
  - [x] `inner` Inner
    - took: 6 min
      - [ ] `innermost` Innermost
    - by: Pip Ashtally
  - by: Hazel Quillfeather
""",
        "p.md",
    )
    assert source.problems == []
    assert page is not None
    assert [(entry.id, entry.ticked, entry.took, entry.by) for entry in page.entries] == [
        ("outer", True, 5, "Hazel Quillfeather"),
        ("inner", True, 6, "Pip Ashtally"),
        ("innermost", False, None, ""),
    ]


def test_a_broken_box_below_does_not_take_the_entries_above_with_it() -> None:
    page, source = read_worksheet(FRONT + "- [x] `a` A\n  - [x] sub-task\n  - took: 5 min\n", "p.md")
    assert page is not None
    assert [problem.place.line for problem in source.problems] == [7]
    assert page.entries[0].took == 5


def test_a_line_break_that_editors_see_and_git_does_not_is_named() -> None:
    _, source = read_worksheet(FRONT + "- [x] `a` A\r- [x] `b` B\n", "p.md")
    assert [str(problem) for problem in source.problems] == [
        "p.md:6: a line break of another kind than the rest (U+000D) stands in column 12: take it out"
    ]


def read_as(kind: str, text: str) -> list[Problem]:
    match kind:
        case "checklist":
            return read_checklist(text, "a.md")[2].problems
        case "aircraft":
            return read_aircraft(text, "a.yaml")[1].problems
        case "record":
            return read_record(text, "r.yaml")[1].problems
        case _:
            return read_worksheet(text, "p.md")[1].problems


SEEDS = {
    "checklist": examples.CHECKLIST + examples.EVERY_KEY.partition("---\n")[2].partition("---\n")[2],
    "aircraft": examples.AIRCRAFT,
    "record": examples.RECORD,
    "worksheet": examples.WORKSHEET + examples.MORE_WORDS.partition("---\n")[2].partition("---\n")[2],
}
PIECES = [
    "\0",
    "\r",
    "\n",
    "\t",
    "`",
    "[",
    "]",
    "{",
    "}",
    ":",
    "- ",
    "#",
    "&a ",
    "*a",
    "!!",
    "'",
    '"',
    "|",
    ">",
    "---\n",
]
PIECES += [
    "\u202e",
    "\u2028",
    "\x85",
    "\ud800",
    "9" * 50,
    " " * 300,
    "  " * 40 + "- ",
    "<<<<<<< a\n",
    "```\n",
    "é",
    "٣",
    "𝟜",
]


def mutated(text: str, random_: random.Random) -> str:
    """A text with a few cuts, copies and foreign pieces in it."""
    for _ in range(random_.randint(1, 6)):
        at = random_.randint(0, len(text))
        cut = random_.choice([0, 0, 1, 2, 5, 40, len(text)])
        again = text[at : at + random_.randint(0, 60)]
        text = text[:at] + random_.choice([*PIECES, again, chr(random_.randint(0, 0x2FFF))]) + text[at + cut :]
    return text


@pytest.mark.parametrize("kind", SEEDS)
@settings(max_examples=250)
@given(seed=st.integers(0, 2**32))
def test_a_damaged_file_is_read_or_named(kind: str, seed: int) -> None:
    text = mutated(SEEDS[kind], random.Random(seed))
    lines = text.count("\n") + 1
    for problem in read_as(kind, text):
        assert problem.message
        assert 1 <= problem.place.line <= lines
        if problem.excerpt is not None:
            assert 0 <= problem.start <= len(problem.excerpt)
        assert str(problem).startswith(f"{problem.place}: ")


@pytest.mark.parametrize("kind", SEEDS)
@given(text=st.text(max_size=300))
def test_any_text_is_read_or_named(kind: str, text: str) -> None:
    for problem in read_as(kind, text):
        assert problem.message
