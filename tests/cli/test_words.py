"""What can be no word of a command: an empty one, or an option with another dash."""

from pathlib import Path

import click
import pytest

from inspect_kit.cli.main import cli
from tests.cli.conftest import Run, entered

ARGUMENTS = [
    (command.name or "", len([each for each in command.params if isinstance(each, click.Argument)][:at]))
    for command in cli.commands.values()
    for at, _ in enumerate([each for each in command.params if isinstance(each, click.Argument)])
]
NOTE = "kind: work\ndate: 2026-11-21\ntext: a tyre\nby: Ada Bellcrank\n"


def files(store: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in store.rglob("*") if path.is_file()}


@pytest.mark.parametrize(("command", "before"), ARGUMENTS)
@pytest.mark.parametrize("word", ["", "\u2013text", "\u2014all", "\u2212-by=Ada", "\u2010\u2010page"])
def test_every_argument_of_every_command(run: Run, hangar: Path, command: str, before: int, word: str) -> None:
    """`withdraw "$RECORD"` with no RECORD in the shell acted on the newest one; an editor's dash named a check."""
    entered(hangar, "2026-11-21-note", NOTE)
    was = files(hangar)
    outcome = run(hangar, command, *["x"] * before, word)
    assert outcome.code == 2
    assert ("a word is empty" if not word else "begins with a dash that is no hyphen: write --") in outcome.err
    assert files(hangar) == was


@pytest.mark.parametrize(
    "words", [("hours",), ("work", "oil"), ("install", "magneto"), ("weighing",), ("setting", "trim"), ("start", "oil")]
)
def test_a_total_where_a_reading_is_meant(run: Run, hangar: Path, words: tuple[str, ...]) -> None:
    """`total` is no meter was all that it said, to whoever has totals in the logbook: here 255.5 h above the meter."""
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(f"{aircraft.read_text()}positions: {{magneto: {{}}}}\n")
    outcome = run(hangar, *words, "total=665.5")
    assert outcome.code == 2
    told = "is a total, and what a meter read is written down; on 2026-11-25 at a total of 665.5 tach read 410.0: tach"
    assert f"`total=665.5` {told}=410.0" in outcome.err, outcome


@pytest.mark.parametrize("words", [("withdraw", ""), ("amend", "", "tach=1"), ("attach", "", "x.jpg"), ("report", "")])
def test_an_empty_word_is_not_the_newest_record(run: Run, hangar: Path, words: tuple[str, ...]) -> None:
    entered(hangar, "2026-11-21-note", NOTE)
    outcome = run(hangar, *words, *(("--text", "a slip", "--by", "Ada Bellcrank") if words[0] != "report" else ()))
    assert outcome.code == 2
    assert "a word is empty" in outcome.err
    assert (hangar / "records/2026/2026-11-21-note.yaml").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("hours", "tach=412.0", "--permit", "WORDS"), "WORDS in `WORDS` stands for something of your own: write that"),
        (("hours", "tach=412.0", "--permit=WORDS"), "there: The special flight permit it was flown under."),
        (("hours", "tach=412.0", "--added", "oil=AMOUNT"), "AMOUNT in `oil=AMOUNT` stands for"),
        (("work", "tach=412.0", "--text", "a tyre", "--by", "NAME"), "there: Who does it, did it or says so."),
        (("finding", "stacks", "WHAT", "--by", "Ada Bellcrank"), "WHAT in `WHAT` stands for"),
        (("amend", "2026-11-21-note", "text=WORDS"), "WORDS in `text=WORDS` stands for"),
        (("withdraw", "2026-11-21-note", "--text", "WHY"), "there: Why, in words of your own."),
    ],
)
def test_a_line_that_is_typed_as_it_was_offered(run: Run, hangar: Path, words: tuple[str, ...], told: str) -> None:
    """`--permit WORDS` was written down as the permit."""
    entered(hangar, "2026-11-21-note", NOTE)
    was = files(hangar)
    outcome = run(hangar, *words)
    assert (outcome.code, told in outcome.err) == (2, True), outcome.err
    assert files(hangar) == was
    assert run(hangar, "find", "WORDS").code in (0, 1)


def test_a_dash_that_begins_a_sentence_is_one(run: Run, hangar: Path) -> None:
    assert run(hangar, "finding", "stacks", "\u2013 a crack, 8 mm", "--by", "Ada Bellcrank").code == 0
    assert run(hangar, "find", "\u2013").code in (0, 1)
