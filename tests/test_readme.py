"""The README is held to the truth: its pictures are golden files, its commands exist, its set-up blocks are two."""

import datetime as dt
import itertools
import re
from pathlib import Path

import click

from inspect_kit.cli.main import cli

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DAY = dt.date(2026, 11, 25)


def test_set_up_has_exactly_two_blocks() -> None:
    section = README.partition("## Set up")[2].partition("\n## ")[0]
    blocks = re.findall(r"```sh\n(.*?)```", section, re.DOTALL)
    assert len(blocks) == 2
    assert len(re.findall(r"```sh", README)) == 2
    assert "inspect-kit tour" in blocks[0]
    assert "pytest" in blocks[1]
    for block in blocks:
        assert block.startswith("python3 -m venv .venv\n")


def test_every_command_is_told_and_has_help() -> None:
    for name, command in cli.commands.items():
        assert f"`{name}" in README or f"`{name}`" in README, name
        assert command.help, name
    for line in re.findall(r"(?m)^    inspect-kit ([a-z]+)(.*)$", README):
        assert line[0] in cli.commands, line


def test_every_option_of_the_readme_exists() -> None:
    known = {"--help"} | {
        option
        for command in (cli, *cli.commands.values())
        for parameter in command.params
        if isinstance(parameter, click.Option)
        for option in parameter.opts
    }
    told = set(itertools.chain.from_iterable(re.findall(r"(?<![\w-])--[a-z][a-z-]+", line) for line in commands_told()))
    assert told
    assert told <= known, told - known


def test_what_stands_behind_an_option_is_what_its_help_says() -> None:
    """An owner who reads `--close REASON` here and `--close WHY` there wonders whether it is the same thing."""
    wrong = []
    for name, told in rows():
        of = {each.opts[0]: each for each in cli.commands[name].params if isinstance(each, click.Option)}
        words = r"(?:\[[A-Z]+=\])?[A-Z]+(?:(?:\\?\||=)[A-Z]+)*"
        for option, word in re.findall(rf"(--[a-z][a-z-]+) ({words})(?![=\w])", told):
            if option in of and word.replace("\\", "") != of[option].metavar:
                wrong.append((name, option, word, of[option].metavar))
    assert wrong == []


def test_every_option_is_named_or_said_to_be_listed_by_help() -> None:
    listed = {name for name, told in rows() if f"`{name} --help`" in told}
    for name, command in cli.commands.items():
        for option in (each.opts[0] for each in command.params if isinstance(each, click.Option)):
            assert name in listed or re.search(rf"{option}(?![\w-])", README), (name, option)


def rows() -> list[tuple[str, str]]:
    """Each command of the table by what its row says; a row of several is that of each."""
    found = []
    for line in README.split("\n"):
        first = re.split(r"(?<!\\)\|", line)[1] if line.startswith("| `") else ""
        named = dict.fromkeys(span.split()[0] for span in re.findall(r"`([^`]+)`", first))
        found += [(name, line) for name in named if name in cli.commands]
    return found


def commands_told() -> list[str]:
    """The lines of the README that show commands of this program, and its table of commands."""
    lines = README.split("\n")
    return [line for line in lines if line.startswith("    inspect-kit ") or line.startswith("| `")]
