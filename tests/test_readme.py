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
    known = {
        option
        for command in (cli, *cli.commands.values())
        for parameter in command.params
        if isinstance(parameter, click.Option)
        for option in parameter.opts
    }
    told = set(itertools.chain.from_iterable(re.findall(r"(?<![\w-])--[a-z][a-z-]+", line) for line in commands_told()))
    assert told
    assert told <= known, told - known


def commands_told() -> list[str]:
    """The lines of the README that show commands of this program, and its table of commands."""
    lines = README.split("\n")
    return [line for line in lines if line.startswith("    inspect-kit ") or line.startswith("| `")]
