"""Several people enter things at the same moment: each waits, then reads, then writes; none is sent away."""

import os
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_kit.cli import amending
from inspect_kit.cli import main as program
from tests.cli.conftest import COWL, Run, entered

WRITERS = 4
EACH = 5


def as_another(root: Path, *commands: tuple[str, ...]) -> int:
    """Run commands in a process of its own; its number."""
    child = os.fork()
    if child:
        return child
    codes = []
    try:
        sys.stdin = open(os.devnull, encoding="utf-8")  # noqa: SIM115
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
        codes = [program.main(["--store", str(root), *words]) for words in commands]
    finally:
        os._exit(0 if codes and not any(codes) else 1)


def end(child: int) -> int:
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def test_no_finding_is_sent_away_because_another_was_faster(run: Run, hangar: Path) -> None:
    page = hangar / run(hangar, "start", "condition", "tach=405.6", "--by", "Ada Bellcrank").out.strip()
    raised = [
        [("finding", "stacks", f"crack {number} seen by {who}") for number in range(EACH)] for who in range(WRITERS)
    ]
    children = [as_another(hangar, *commands) for commands in raised]
    assert [end(child) for child in children] == [0] * WRITERS
    text = page.read_text(encoding="utf-8")
    for who in range(WRITERS):
        assert all(f"crack {number} seen by {who}" in text for number in range(EACH))
    assert sorted(f"F{number}" for number in range(1, WRITERS * EACH + 1)) == sorted(
        line.split()[2] for line in text.splitlines() if line.strip().startswith("- found:")
    )
    # Cleared at once as well, each its own.
    cleared = [[("finding", f"F{number}", "--cleared", "welded")] for number in range(1, WRITERS + 1)]
    assert [end(child) for child in [as_another(hangar, *commands) for commands in cleared]] == [0] * WRITERS
    assert page.read_text(encoding="utf-8").count("cleared: 2026-11-25 welded") == WRITERS
    assert run(hangar, "due").code == 0


def test_no_entry_is_sent_away_either(run: Run, hangar: Path) -> None:
    entries = [
        ("work", "elt", "--text", "looked at"),
        ("hours", "tach=405.6"),
        ("finding", "oil", "a drop at the drain"),
    ]
    children = [as_another(hangar, entry) for entry in entries * 2]
    assert [end(child) for child in children] == [0] * 6
    written = [each.name.rsplit("-", 1)[0] for each in (hangar / "records/2026").glob("2026-11-25-*.yaml")]
    assert sorted(written) == sorted([f"2026-11-25-{words}" for words in ("elt", "finding-oil", "hours")] * 2)


def test_an_amendment_tells_its_order_with_what_was_written_while_it_waited(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The look for leaks was a day earlier, and comes to the day of an oil change that another clone has just told."""
    (hangar / "checklists/nose/cowl.md").write_text(f"{COWL}- [ ] `leaks` Leaks\n  - owed-after: did oil\n")
    work = "kind: work\ndate: 2026-11-{day}\ndid: [{did}]\nby: Ada Bellcrank\n"
    entered(hangar, "2026-11-19-leaks", work.format(day=19, did="leaks"))
    ask = amending.asking
    oil = [work.format(day=20, did="oil")]

    def slow(write: Callable[[bool], str], sure: bool) -> str:
        if oil:
            entered(hangar, "2026-11-20-oil", oil.pop())
        return ask(write, sure)

    monkeypatch.setattr(amending, "asking", slow)
    told = run(hangar, "amend", "2026-11-19-leaks", "date=2026-11-20", "--reason", "a slip", "--by", "Ada Bellcrank")
    assert told.code == 0, told.err
    assert "Taken as done before 2026-11-20-oil" in " ".join(told.err.split())
    assert "precedes:" in (hangar / told.out.split()[0]).read_text()
    assert "owed" in run(hangar, "due", "leaks").out
