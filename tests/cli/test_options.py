"""Same option, same name, same words, same order everywhere; what a command alone has stands before what it shares."""

import itertools
from collections.abc import Iterator

import click
import pytest

from inspect_kit.cli.main import cli
from inspect_kit.cli.options import SHARED

# What `new` asks of an aircraft (`--serial`, `--name`) is no option of a command about one.
COMPARED = {name: command for name, command in cli.commands.items() if name != "new"}
# `--to` says itself what it writes.
OWN_WORDS = ("to",)


def options(command: click.Command) -> list[click.Option]:
    return [each for each in command.params if isinstance(each, click.Option)]


def named(option: click.Option) -> str:
    (name,) = option.opts
    return name.removeprefix("--")


def everywhere() -> Iterator[tuple[str, click.Option]]:
    for name, command in COMPARED.items():
        yield from ((name, option) for option in options(command))


def test_what_two_commands_have_is_in_the_table() -> None:
    often = [named(option) for _, option in everywhere()]
    assert {name for name in often if often.count(name) > 1} <= {*SHARED}
    assert {*SHARED} <= {*often}, "an option that no command has"


@pytest.mark.parametrize("name", SHARED)
def test_the_same_words_everywhere(name: str) -> None:
    words = {(option.help, option.metavar, option.name) for _, option in everywhere() if named(option) == name}
    if name in OWN_WORDS:
        assert all(help_ and help_.startswith("Write ") for help_, _, _ in words)
    else:
        assert len(words) == 1


@pytest.mark.parametrize("command", COMPARED)
def test_the_same_order_everywhere(command: str) -> None:
    mine = [named(option) for option in options(COMPARED[command])]
    shared = [name for name in mine if name in SHARED]
    assert shared == [name for name in SHARED if name in mine]
    assert mine[len(mine) - len(shared) :] == shared, "what it has alone stands first"


@pytest.mark.parametrize("command", cli.commands)
def test_help_shows_every_option_with_words(command: str) -> None:
    text = cli.commands[command].get_help(click.Context(cli.commands[command], info_name=command))
    for option in options(cli.commands[command]):
        assert option.help, option
        assert f"--{named(option)}" in text


def test_what_entries_have_in_common() -> None:
    """Whatever is written down by hand at the command line can say by whom; work also where and on which paper."""
    has = {name: {named(option) for option in options(command)} for name, command in COMPARED.items()}
    told = ("setting", "change", "equipment", "stock", "directive", "search")
    done = ("work", "finding", "install", "remove", "meter", *told)
    for name in (*done, "amend", "attach", "withdraw", "start", "walk"):
        assert "by" in has[name], name
    for name in done:
        assert {"at", "paper"} <= has[name], name
    for name in (*told, "hours", "work", "install", "remove", "meter", "amend", "attach", "withdraw"):
        assert "text" in has[name], name
    for one, two in itertools.pairwise(("to", "force")):
        assert all(two in each for name, each in has.items() if one in each and name != "handover")
