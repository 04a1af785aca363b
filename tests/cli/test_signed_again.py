"""What stood ticked on a list that did not pass is not done again by passing, and what made it owed since is told."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.cli.test_sealing import ADA, Page, page

__all__ = ["page"]

RIG = "- [ ] `rig` Rig the controls\n  - every: 500 h\n  - disturbs: flight-controls\n"
LEFT = "a reason on record not to fly, and this signature leaves it so"


@pytest.mark.parametrize("again", [False, True])
def test_what_is_owed_since_is_told_before_the_name_is_typed(
    run: Run, hangar: Path, page: Page, again: bool
) -> None:
    """It was taken for done by this signature, and only `due` named it."""
    for name, old, new in (
        ("cabin/floor.md", "  - covers: c5", "  - covers: c5\n  - owed-after: disturbed flight-controls"),
        ("nose/cowl.md", "- [ ] `oil`", f"{RIG}- [ ] `oil`"),
    ):
        path = hangar / "checklists" / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
    page("condition", "tach=400.0", on="2026-11-14")
    assert run(hangar, "finding", "stacks", "crack", "--by", ADA, on="2026-11-15").code == 0
    listed = run(hangar, "sign", "--as", ADA, "--not-passed", typed=(ADA,), on="2026-11-15")
    assert "Sealed: " in listed.out, listed
    rigged = run(hangar, "work", "rig", "--opened", "none", "tach=400.0", "--by", ADA, typed=("",) * 9, on="2026-11-18")
    assert rigged.code == 0, rigged
    if again:
        done = run(hangar, "work", "pulleys", "tach=400.0", "--by", ADA, typed=("",) * 9, on="2026-11-19")
        assert done.code == 0, done
    assert run(hangar, "finding", "F1", "--cleared", "welded", "--by", ADA, on="2026-11-20").code == 0
    typed = (ADA,) if again else ("yes", ADA)
    signed = run(hangar, "sign", "tach=400.0", "--as", ADA, "--ink", "log p. 3", typed=typed, on="2026-11-24")
    assert "Sealed: " in signed.out, signed
    told = [line for line in " ".join(signed.out.split()).split("!! ") if "(pulleys)" in line and LEFT in line]
    assert bool(told) is not again, signed
    stops = json.loads(run(hangar, "due", "--json", on="2026-11-24").out)["stops"]
    assert any("(pulleys)" in stop["text"] for stop in stops) is not again


def test_what_comes_with_the_inspection_that_is_passed_is_not_left_past_due(
    run: Run, hangar: Path, page: Page
) -> None:
    """The list was sealed before the inspection ran out, and passed after: `due` has it with the next one then."""
    for name, old, new in (
        ("checklists/cabin/floor.md", "inspection\n  - covers", "inspection or 500 h\n  - bars: flight\n  - covers"),
        ("records/2026/2026-09-01-past.yaml", "condition: {date: 2025-12-13", "condition: {date: 2025-10-13"),
        ("records/2026/2026-09-01-past.yaml", "  elt:", "  pulleys: {date: 2025-10-13, tach: 620.0}\n  elt:"),
    ):
        path = hangar / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
    page("condition", "tach=400.0", on="2026-10-20")
    assert run(hangar, "finding", "stacks", "crack", "--by", ADA, on="2026-10-26").code == 0
    listed = run(hangar, "sign", "--as", ADA, "--not-passed", typed=(ADA,), on="2026-10-27")
    assert "Sealed: " in listed.out, listed
    assert run(hangar, "finding", "F1", "--cleared", "welded", "--by", ADA, on="2026-11-08").code == 0
    before = json.loads(run(hangar, "due", "--json", on="2026-11-10").out)["stops"]
    assert any("past due" in stop["text"] and "pulleys" in stop["text"].casefold() for stop in before), before
    signed = run(hangar, "sign", "tach=400.0", "--as", ADA, "--ink", "log p. 3", typed=(ADA,), on="2026-11-10")
    assert "Sealed: " in signed.out, signed
    assert LEFT not in " ".join(signed.out.split()), signed
    assert json.loads(run(hangar, "due", "--json", on="2026-11-10").out)["stops"] == []
