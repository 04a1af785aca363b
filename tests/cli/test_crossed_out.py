"""A value that is crossed out, or commented out, on a page is no value: it was sealed as if nothing stood there."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.cli.test_sealing import Page, change, page, sign

__all__ = ["page"]

WAYS: dict[str, Callable[[str], str]] = {
    "struck": lambda value: f"~~{value}~~",
    "comment": "<!-- {} -->".format,
    "tag": "<del>{}</del>".format,
    "s": "<s>{}</s>".format,
    "editor": "%%{}%%".format,
    "in part": lambda value: f"{value.partition(' ')[0]} ~~{value.partition(' ')[2]}~~",
    "to the end": lambda value: f"{value}~",
    "critic": lambda value: f"{value}--}}",
}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("old", "new", "value"),
    [
        ("`stacks` Exhaust stacks: cracks\n", "  - second look by: {}\n", "Bo Cleco"),
        ("`stacks` Exhaust stacks: cracks\n", "  - by: {}\n", "Ada Bellcrank"),
        ("`stacks` Exhaust stacks: cracks\n", "  - found: F1 crack\n    - cleared: {}\n", "2026-11-21 stack replaced"),
        (
            "`stacks` Exhaust stacks: cracks\n",
            "  - found: F1 scratch\n    - fix: by 430.0 h\n    - may wait because: {}\n",
            "cosmetic scratch on the shroud",
        ),
        ("`stacks` Exhaust stacks: cracks\n", "  - stains: {}\n", "clean, nothing seen"),
        ("`pulleys` Control pulleys and cables\n", "  - paper: {}\n", "work order 118"),
    ],
)
def test_is_a_problem_and_nothing_is_sealed(
    run: Run, hangar: Path, page: Page, way: str, old: str, new: str, value: str
) -> None:
    if "stains" in new:
        cowl = hangar / "checklists/nose/cowl.md"
        change(cowl, "  - covers: d8\n", "  - covers: d8\n  - reads: stains, words\n")
    made = page("condition", "tach=401.0")
    if "stains" in new:
        text = made.read_text(encoding="utf-8")
        made.write_text("".join(line for line in text.splitlines(keepends=True) if "stains" not in line), "utf-8")
    change(made, old, old + new.format(WAYS[way](value)))
    refused = sign(run, hangar)
    assert refused.code != 0, refused
    assert "is crossed out or commented out" in " ".join((refused.out + refused.err).split())
    assert not [*hangar.glob("records/2026/*-condition-*.yaml")]
    change(made, WAYS[way](value), value)
    told = " ".join((sign(run, hangar).out).split())
    assert "crossed out" not in told


def test_a_note_and_what_was_found_may_be_written_in_any_way(run: Run, hangar: Path, page: Page) -> None:
    """What was found is found, whatever was crossed out in its words."""
    made = page("condition", "tach=401.0")
    change(made, "cracks\n", "cracks\n  - note: ~~looks old~~ renewed in 2024 <!-- by Bo -->\n")
    signed = sign(run, hangar)
    assert "Sealed: " in signed.out, signed
