"""Words of a name are taken by every command that takes an id, where only one thing has them; else they are listed."""

from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_kit.cli.called import CHECK, INSPECTION, PANEL, POSITION, id_meant, near_or_find
from inspect_kit.errors import Misused
from tests.cli.conftest import Run
from tests.report.small import CHECKLISTS, logbook

COWL = "checklists/nose/cowl-lower.md"


@pytest.mark.parametrize(
    ("typed", "kinds", "meant"),
    [
        ("oil-change", (CHECK,), "oil-change"),
        ("Exhaust Stacks", (CHECK,), "exhaust-stacks"),
        ("stacks", (CHECK,), "exhaust-stacks"),
        ("left magneto", (POSITION,), "magneto-left"),
        ("left magneto", (CHECK, PANEL), "left magneto"),
        ("lower cowling", (CHECK, PANEL), "cowl-lower"),
        ("condition inspection", (INSPECTION, CHECK), "condition"),
        # Part of a word, or a word that none has, is no name.
        ("stack", (CHECK,), "stack"),
        ("stacks cracked", (CHECK,), "stacks cracked"),
        ("", (CHECK,), ""),
    ],
)
def test_what_is_called_so(typed: str, kinds: tuple[str, ...], meant: str) -> None:
    assert id_meant(logbook(), typed, *kinds) == meant


def test_the_id_of_something_else_is_no_words_of_a_name() -> None:
    """`finding F1 --under magneto-left`, a position, placed it under the look inside that magneto, without a word."""
    store = logbook(checklists={**CHECKLISTS, COWL: CHECKLISTS[COWL] + "- [ ] `inside` Left magneto: inside\n"})
    assert id_meant(store, "left magneto", CHECK, PANEL) == "inside"
    # README's own example, in a store whose checks are called so as well: it named two.
    assert id_meant(store, "left magneto", CHECK, PANEL, POSITION) == "magneto-left"
    assert id_meant(store, "magneto-left", CHECK, PANEL) == "magneto-left"


def test_where_several_are_called_so_they_are_listed() -> None:
    more = CHECKLISTS[COWL] + "- [ ] `oil-look` Oil level: look\n"
    with pytest.raises(Misused, match="`oil` may be one of 2") as told:
        id_meant(logbook(checklists={**CHECKLISTS, COWL: more}), "oil", CHECK)
    assert "\n  oil-change  " in str(told.value)
    assert "\n  oil-look  Oil level" in str(told.value)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("prop", "; did you mean `propeller`?"),
        ("magneto", "; did you mean `magneto-left` or `magneto-right`?"),
        ("25 h", "; that reads as a limit: give an id, or words of a name"),
        ("412,6", "; that reads as a number: give an id, or words of a name"),
        ("2026-05-01", "; that reads as a date: give an id, or words of a name"),
        ("pitot cover", "; `inspect-kit find pitot cover` looks everywhere"),
    ],
)
def test_what_is_nearly_a_name_or_none_at_all_is_said(typed: str, told: str) -> None:
    assert near_or_find(typed, ("engine", "magneto-left", "magneto-right", "propeller")) == told


LINES: dict[str, Callable[[str], tuple[str, ...]]] = {
    "history": lambda name: ("history", name),
    "plan": lambda name: ("plan", name, "--only"),
    "start": lambda name: ("start", name, "tach=412.0", "--only", "--by", "Ada Bellcrank"),
    "work": lambda name: ("work", name, "tach=412.0", "--by", "Ada Bellcrank"),
    "finding": lambda name: ("finding", name, "crack", "--by", "Ada Bellcrank"),
}


@pytest.mark.parametrize("command", LINES)
def test_each_command_takes_words_of_a_name(run: Run, hangar: Path, command: str) -> None:
    done = run(hangar, *LINES[command]("exhaust stacks"))
    assert done.code == 0, done.err
    assert "stacks" in done.out


def test_words_of_a_name_are_one_word_to_a_command_that_takes_one(run: Run, hangar: Path) -> None:
    """`due carbon monoxide` said no more than that `monoxide` was unexpected."""
    apart = run(hangar, "due", "change", "the", "oil")
    assert (apart.code, 'in quotes: inspect-kit due "change the oil"' in apart.err) == (2, True), apart.err
    joined = run(hangar, "due", "change-the-oil")
    assert (joined.code, joined.out) == (0, run(hangar, "due", "oil").out), joined.err
