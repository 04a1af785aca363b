"""What can be no word of a command: an empty one, an option with another dash, one that stands elsewhere."""

from pathlib import Path

import click
import pytest

from inspect_kit.cli.main import COMMANDS
from tests.cli.conftest import Run, entered

ARGUMENTS = [
    (command.name or "", len([each for each in command.params if isinstance(each, click.Argument)][:at]))
    for command in COMMANDS
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
    assert ("a word is empty" if not word else "begins with another dash than a hyphen: type `--") in outcome.err
    assert files(hangar) == was


@pytest.mark.parametrize("words", [("withdraw", ""), ("amend", "", "tach=1"), ("attach", "", "x.jpg"), ("report", "")])
def test_an_empty_word_is_not_the_newest_record(run: Run, hangar: Path, words: tuple[str, ...]) -> None:
    entered(hangar, "2026-11-21-note", NOTE)
    outcome = run(hangar, *words, *(("--text", "t", "--by", "Ada Bellcrank") if words[0] != "report" else ()))
    assert outcome.code == 2
    assert "a word is empty" in outcome.err
    assert (hangar / "records/2026/2026-11-21-note.yaml").exists()


def test_what_to_type_is_an_option_of_the_command_if_there_is_one(run: Run, hangar: Path) -> None:
    assert "type `--text`\n" in run(hangar, "work", "\u2013text", "a tyre").err
    assert "type `--texts`, if an option is meant\n" in run(hangar, "work", "\u2013texts", "a tyre").err
    assert "type `--on`\n" in run(hangar, "\u2013on", "yesterday", "due").err


def test_a_dash_that_begins_a_sentence_is_one(run: Run, hangar: Path) -> None:
    assert run(hangar, "finding", "stacks", "\u2013 a crack, 8 mm", "--by", "Ada Bellcrank").code == 0
    assert run(hangar, "find", "\u2013").code in (0, 1)
    assert run(hangar, "work", "--text", "\u2013text", "--by", "Ada Bellcrank").code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("work", "--on", "yesterday"), "`--on` stands before the command: inspect-kit --on DATE work ..."),
        (("hours", "tach=1", "--on", "yesterday"), "`--on` stands before the command: inspect-kit --on DATE hours ..."),
        (("due", "--store", "x"), "`--store` stands before the command: inspect-kit --store DIR due ..."),
        (("due", "--no-pager"), "`--no-pager` stands before the command: inspect-kit --no-pager due ..."),
    ],
)
def test_an_option_of_the_program_behind_a_command(run: Run, hangar: Path, words: tuple[str, ...], said: str) -> None:
    outcome = run(hangar, *words)
    assert outcome.code == 2
    assert outcome.err.strip().endswith(f"Error: {said}")
    assert "Did you mean" not in outcome.err


def test_an_option_that_is_nobodys_is_told_as_before(run: Run, hangar: Path) -> None:
    assert "No such option '--nowhere'" in run(hangar, "work", "--nowhere").err
