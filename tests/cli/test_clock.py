"""A clock that is behind, and dates of the future: said by every command, and nothing is written under a wrong day."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit.cli import main as program
from tests.cli.conftest import TODAY, Run, entered
from tests.cli.test_odd_arguments import COLUMNS

LOGBOOK = "Date,Tach,Work\n2026-09-03,400.2,changed the oil\n2026-09-05,400.4,a new tyre\n"
CRACK = "kind: finding\ndate: {}\nfound: crack through the spar\nfix: before flight\n"
ANSWERS = (("due",), ("status",), ("plan", "condition"), ("visits",), ("verify",), ())


def records(store: Path) -> set[str]:
    return {path.name for path in store.rglob("*.yaml")}


@pytest.fixture
def kept(hangar: Path) -> Path:
    """A store with a few months of entries."""
    for day, tach in (("2026-09-20", 401), ("2026-10-10", 402), ("2026-11-02", 403), ("2026-11-20", 404)):
        entered(hangar, f"{day}-hours", f"kind: hours\ndate: {day}\nentered: {day}\nmeters: {{tach: {tach}}}\n")
    return hangar


@pytest.mark.parametrize("words", ANSWERS)
def test_a_finding_dated_next_year_is_told_by_every_answer(run: Run, hangar: Path, words: tuple[str, ...]) -> None:
    """Nothing counts what is dated later: it was passed over in silence by all but `verify`."""
    entered(hangar, "2027-11-20-finding", CRACK.format("2027-11-20"))
    outcome = run(hangar, *words)
    assert outcome.code == 3
    assert "2027-11-20-finding.yaml:3: date: 2027-11-20 is in the future" in outcome.err
    # A question for an earlier day is about that day; the date is no less in the future.
    assert run(hangar, *words, on="2026-11-01").code == 3


@pytest.mark.parametrize("words", ANSWERS)
def test_a_clock_that_is_a_year_behind_is_told_in_one_line(
    run: Run, kept: Path, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """`due` said "364 days left" to whoever asked with an empty battery on the board."""
    monkeypatch.setattr(program, "today", lambda: dt.date(2026, 9, 2))
    outcome = run(kept, *words)
    assert outcome.code == 3
    assert outcome.err.splitlines() == [
        "records/aircraft.yaml: today is 2026-09-02 by this computer, and 4 records were written later, "
        "the last of them, 2026-11-20-hours, on 2026-11-20: is its clock right?"
    ]
    # The same day asked for on purpose is a question like any other.
    monkeypatch.setattr(program, "today", lambda: TODAY)
    assert run(kept, *words, on="2026-09-02").err == ""


WRITING = (
    ("hours", "tach=400.5"),
    ("work", "oil", "tach=400.5", "--by", "Ada Bellcrank"),
    ("finding", "stacks", "a crack", "--by", "Ada Bellcrank"),
    ("start", "oil", "tach=400.5", "--by", "Ada Bellcrank"),
)


@pytest.mark.parametrize("words", WRITING)
def test_nothing_is_written_under_a_clock_that_is_behind(
    run: Run, kept: Path, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    was = records(kept)
    monkeypatch.setattr(program, "today", lambda: dt.date(2026, 9, 2))
    outcome = run(kept, *words)
    assert outcome.code in (2, 3)
    assert "nothing was written" in outcome.err
    assert "is its clock right?" in outcome.err
    assert records(kept) == was
    assert not list(kept.glob("records/open/*.md"))


def test_nothing_is_imported_under_a_clock_that_is_behind(
    run: Run, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (kept.parent / "logbook.csv").write_text(LOGBOOK, encoding="utf-8")
    (kept.parent / "logbook.columns.yaml").write_text(COLUMNS, encoding="utf-8")
    was = records(kept)
    words = ("import", str(kept.parent / "logbook.csv"), "--write")
    monkeypatch.setattr(program, "today", lambda: dt.date(2026, 9, 6))
    outcome = run(kept, *words)
    assert "is its clock right?" in outcome.err
    assert records(kept) == was
    monkeypatch.setattr(program, "today", lambda: TODAY)
    assert run(kept, *words).code == 0


def test_nothing_is_sealed_under_a_clock_that_is_behind(
    run: Run, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(kept, "start", "oil", "--only", "tach=404.0", "--by", "Ada Bellcrank").code == 0
    monkeypatch.setattr(program, "today", lambda: dt.date(2026, 9, 2))
    was = records(kept)
    closed = ("--closed", "--reason", "no time")
    assert run(kept, "sign", "--as", "Ada Bellcrank", *closed, typed=("Ada Bellcrank",)).code in (1, 3)
    assert records(kept) == was


def test_a_day_of_time_zones_and_two_wrong_dates_are_no_clock(
    run: Run, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Home over the date line it is yesterday; a year mistyped twice keeps nobody from writing."""
    monkeypatch.setattr(program, "today", lambda: dt.date(2026, 11, 19))
    assert run(kept, "work", "--text", "washed", "--by", "Ada Bellcrank").code == 3
    assert len(list(kept.glob("records/2026/2026-11-19-work-*.yaml"))) == 1
    monkeypatch.setattr(program, "today", lambda: TODAY)
    for name in ("a", "b"):
        entered(kept, f"2027-11-20-{name}", CRACK.format("2027-11-20"))
    assert run(kept, "hours", "tach=404.5").code == 3
    assert len(list(kept.glob("records/2026/2026-11-25-hours-*.yaml"))) == 1


def test_what_was_written_while_the_clock_was_ahead_can_be_withdrawn(
    run: Run, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(program, "today", lambda: dt.date(2036, 1, 1))
    for number in range(3):
        words = ("work", "--text", f"washed {number}", "--by", "Ada Bellcrank")
        assert run(kept, *words).code == 0
    monkeypatch.setattr(program, "today", lambda: TODAY)
    assert "is its clock right?" in run(kept, "hours", "tach=404.5").err
    for path in sorted(kept.glob("records/2036/*.yaml")):
        gone = run(kept, "withdraw", path.stem, "--text", "the clock", "--by", "Ada Bellcrank")
        assert (kept / gone.out.strip()).is_file(), gone.err
    assert run(kept, "hours", "tach=404.5").code == 0
    assert run(kept, "verify").code == 0
