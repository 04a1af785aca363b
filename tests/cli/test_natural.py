"""What is typed as one would say it is understood or asked back; what is not said is asked, in one manner."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run, entered

ADA = "Ada Bellcrank"


def record(hangar: Path, words: str) -> str:
    (found,) = (hangar / "records/2026").glob(f"*{words}*.yaml")
    return found.read_text()


@pytest.mark.parametrize(
    "words", [("tach", "405.9"), ("405.9",), ("tach=405.9",)], ids=["a blank", "the only meter", "as ever"]
)
def test_a_reading_as_it_is_said(run: Run, hangar: Path, words: tuple[str, ...]) -> None:
    assert run(hangar, "hours", *words, on="2026-11-20").code == 0
    assert "tach: 405.9\n" in record(hangar, "-hours-")


@pytest.mark.parametrize("words", ["oil 1 qt", "oil 1qt", "1 qt oil", "1qt of oil", "oil=1qt", "oil=1 qt"])
def test_an_amount_as_it_is_said(run: Run, hangar: Path, words: str) -> None:
    made = run(hangar, "hours", "tach=405.9", "--added", words, on="2026-11-20")
    assert made.code == 0, made.err
    assert "oil: 1 qt\n" in record(hangar, "-hours-")


def test_a_form_is_shown_with_a_meter_of_this_aircraft(run: Run, hangar: Path) -> None:
    assert "expected METER=READING, such as tach=412.6, not `hobbs`" in run(hangar, "hours", "hobbs").err
    told = run(hangar, "work", "oil", "tach", "405.9").err
    assert "`tach` is a meter: write its reading in one word, such as tach=412.6" in told


def test_what_a_command_is_about_is_asked(run: Run, hangar: Path) -> None:
    made = run(hangar, "hours", typed=("405.9",), on="2026-11-20")
    assert (made.code, "Which reading: tach=412.6" in made.err) == (0, True), made.err
    assert "tach: 405.9\n" in record(hangar, "-hours-")
    taken = run(hangar, "withdraw", typed=("nothing", "-x", "hours", "the other aeroplane", "1"), on="2026-11-20")
    assert taken.code == 0, taken.err
    assert "Which record, a part of its name is enough: 2026-11-20-hours-" in taken.err
    assert "  no record is called `nothing`" in taken.err
    assert "  `-x` begins as an option does" in taken.err


def test_what_is_taken_back_is_shown_before_it_is_asked_why(run: Run, hangar: Path) -> None:
    entered(hangar, "2026-11-18-oil", "kind: work\ndate: 2026-11-18\nmeters: {tach: 404.0}\ntext: drained\n")
    told = run(hangar, "withdraw", "2026-11-18-oil", typed=("another aeroplane", ADA)).err
    assert told.index("2026-11-18-oil says: tach 404.0; drained") < told.index("Why is it withdrawn")


def test_a_position_is_offered(run: Run, hangar: Path) -> None:
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text() + "positions: {engine: {}, magneto-left: {}}\n")
    made = run(hangar, "install", typed=("propeller", "magneto left", "M-1", *[""] * 5, "405.9", "1"), on="2026-11-20")
    assert made.code == 0, made.err
    assert "Which position: engine, magneto-left:" in made.err
    assert "  no position is called `propeller`" in made.err
    assert "position: magneto-left\n" in record(hangar, "magneto-left")


def test_where_nobody_answers_the_line_to_type_is_said(run: Run, hangar: Path) -> None:
    told = run(hangar, "withdraw")
    assert (told.code, "nobody answers `Which record" in told.err) == (2, True)
    assert "inspect-kit withdraw RECORD" in told.err


def test_before_the_records_begin_nothing_is_said_of_reasons(run: Run, hangar: Path) -> None:
    """What is written down from paper, of a day of which only what was brought forward is known."""
    cowl = hangar / "checklists/nose/cowl.md"
    barring = "`filter` Air filter\n  - every: 5 h\n  - bars: flight\n- [ ] `oil`"
    cowl.write_text(cowl.read_text().replace("`oil`", barring))
    assert run(hangar, "hours", "tach=395.0", on="2026-08-20").code == 0
    early = run(hangar, "work", "pulleys", "tach=399.9", "--by", ADA, on="2026-08-30")
    assert early.code == 0, early.err
    later = run(hangar, "hours", "tach=409.9", on="2026-11-20")
    assert "Reasons on record not to fly" not in early.err
    assert "Reasons on record not to fly on 2026-11-20" in later.err
