"""What something that begins a `first` asks for, while a page is open that ticks its check."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run

ADA = "Ada Bellcrank"
RETORQUE = """\
- [ ] `retorque` Propeller bolts torqued again
  - first: {first}
  - owed-after: disturbed propeller
"""
DRESSED = ("work", "--text", "off for a dressing", "--disturbed", "propeller", "--opened", "none", "--by", ADA)


def begin(run: Run, hangar: Path, first: str = "10 h") -> None:
    cowl = hangar / "checklists/nose/cowl.md"
    cowl.write_text(cowl.read_text(encoding="utf-8") + RETORQUE.format(first=first), encoding="utf-8")
    begun = run(hangar, "start", "retorque", "--only", "tach=400.0", "--by", ADA, on="2026-10-03")
    assert begun.code == 0, begun
    page = hangar / begun.out.strip()
    page.write_text(page.read_text(encoding="utf-8").replace("[ ]", "[x]"), encoding="utf-8")


def dressed(run: Run, hangar: Path, on: str = "2026-10-05", tach: str = "400.1") -> None:
    made = run(hangar, *DRESSED, f"tach={tach}", typed=("",) * 9, on=on)
    assert made.code == 0, made


def sign(run: Run, hangar: Path, *typed: str, tach: str = "409.0", on: str = "2026-10-18") -> tuple[str, int]:
    words = ("sign", f"tach={tach}", "--as", ADA, "--ink", "log p. 3")
    signed = run(hangar, *words, typed=(*typed, ADA), on=on)
    return " ".join((signed.out + signed.err).split()), signed.code


def due(run: Run, hangar: Path) -> list[object]:
    items = json.loads(run(hangar, "due", "retorque", "--json").out)["items"]
    return [each["due"] and (each["due"]["date"], each["due"]["total"]) for each in items]


ASKED = "`retorque` is asked for by `first` after `disturbed propeller`, 2026-10-05-"


def test_what_is_written_down_after_it_was_sealed_stays_to_come(run: Run, hangar: Path) -> None:
    """The entry said that it comes 10 h later, and `due` that it was done, for good."""
    begin(run, hangar)
    told, code = sign(run, hangar, "yes")
    assert (code, "Sealed: " in told) == (0, True), told
    dressed(run, hangar)
    assert due(run, hangar) == [(None, 665.6)]
    assert run(hangar, "work", "retorque", "tach=409.0", "--by", ADA, typed=("",) * 9, on="2026-10-18").code == 0
    assert due(run, hangar) != [(None, 665.6)]


def test_what_was_written_down_while_it_was_open_is_asked(run: Run, hangar: Path) -> None:
    begin(run, hangar)
    dressed(run, hangar)
    told, code = sign(run, hangar, "yes", "no")
    assert (code, ASKED in told, "Was it done, as it is ticked, after that?" in told) == (2, True, True), told
    assert "or what was finished before is signed as of its day" in told
    told, code = sign(run, hangar, "yes", "yes")
    assert "Sealed: " in told, told
    assert due(run, hangar) != [(None, 665.6)]


def test_who_says_no_signs_as_of_the_day_on_which_it_was_done(run: Run, hangar: Path) -> None:
    begin(run, hangar)
    dressed(run, hangar)
    told, code = sign(run, hangar, tach="400.0", on="2026-10-03")
    assert (code, "`first`" in told) == (0, False), told
    assert due(run, hangar) == [(None, 665.6)]


@pytest.mark.parametrize(
    ("on", "tach", "read"),
    [("2026-09-20", "400.0", "400.9"), ("2026-10-05", "400.1", "400.9")],
    ids=["before it was begun", "the tick answers nothing of it yet"],
)
def test_nothing_is_asked_where_nothing_hangs_on_it(run: Run, hangar: Path, on: str, tach: str, read: str) -> None:
    begin(run, hangar)
    dressed(run, hangar, on, tach)
    told, code = sign(run, hangar, tach=read)
    assert (code, "Was it done" in told) == (0, False), told


def test_what_work_has_answered_since_is_not_asked(run: Run, hangar: Path) -> None:
    begin(run, hangar)
    dressed(run, hangar)
    assert run(hangar, "work", "retorque", "tach=409.0", "--by", ADA, typed=("",) * 9, on="2026-10-17").code == 0
    told, code = sign(run, hangar, "yes", on="2026-10-18")
    assert (code, "Was it done" in told) == (0, False), told


@pytest.mark.parametrize("late", [True, False])
def test_by_the_calendar_it_is_the_same(run: Run, hangar: Path, late: bool) -> None:
    begin(run, hangar, "7 days")
    if not late:
        dressed(run, hangar)
        told, code = sign(run, hangar, "no", tach="400.5")
        assert (code, ASKED in told) == (2, True), told
        return
    told, code = sign(run, hangar, tach="400.5")
    assert code == 0, told
    dressed(run, hangar)
    assert due(run, hangar) == [("2026-10-12", None)]
