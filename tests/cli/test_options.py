"""Same option, same name, same words, same order everywhere; what a command alone has stands before what it shares."""

import itertools
import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
import yaml

from inspect_kit.cli.main import cli
from inspect_kit.cli.options import FORMER, OF_CHECKS, SHARED, by_todays_names
from tests.cli.conftest import Run

# What `new` asks of an aircraft (`--serial`, `--name`) is no option of a command about one.
COMPARED = {name: command for name, command in cli.commands.items() if name != "new"}
# `--to` says itself what it writes, and `--strict` what the answer is strict about.
OWN_WORDS = {"to": "Write ", "strict": "Exit 1 "}


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
    mine = [option for _, option in everywhere() if named(option) == name]
    # Which check it is of is left out where it is of none, or of the one that is named.
    own = [(option.metavar or "").replace(OF_CHECKS, "").replace("CHECK=", "") for option in mine]
    words = {(option.help, word, option.name) for option, word in zip(mine, own, strict=True)}
    if name in OWN_WORDS:
        assert all(help_ and help_.startswith(OWN_WORDS[name]) for help_, _, _ in words)
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


def test_what_stands_behind_an_option_is_a_word_of_the_trade() -> None:
    """`INTEGER RANGE` and `TEXT` are words of programmers."""
    for name, command in cli.commands.items():
        for each in options(command):
            named_so = each.is_flag or each.metavar or isinstance(each.type, click.Choice)
            assert named_so, (name, each.opts)
            assert each.metavar not in ("TEXT", "INTEGER", "READS", "H"), (name, each.opts)
    text = cli.commands["start"].get_help(click.Context(cli.commands["start"], info_name="start"))
    assert "--people N How many work. [1 to 4]" in " ".join(text.split())


def test_no_two_options_differ_by_one_letter() -> None:
    """`--part` was what a part is, `--parts` what was used."""
    names = {named(option) for _, option in everywhere()}
    assert not {name for name in names if f"{name}s" in names}


def test_what_entries_have_in_common() -> None:
    """Whatever is written down by hand at the command line can say by whom; work also where and on which paper."""
    has = {name: {named(option) for option in options(command)} for name, command in COMPARED.items()}
    told = ("setting", "change", "equipment", "stock", "directive", "search")
    done = ("work", "finding", "install", "remove", "meter", *told)
    for name in (*done, "amend", "attach", "withdraw", "start", "walk"):
        assert "by" in has[name], name
    for name in (*done, "hours", "amend"):
        assert {"at", "paper"} <= has[name], name
    for name in (*told, "hours", "work", "install", "remove", "meter", "attach", "finding"):
        assert "text" in has[name], name
    for name in ("install", "remove", "setting", "finding", "amend", "withdraw"):
        assert "reason" in has[name], "a reason is one option"
    for one, two in itertools.pairwise(("to", "force")):
        assert all(two in each for name, each in has.items() if one in each and name != "handover")


@pytest.mark.parametrize(("command", "old", "new"), [(each, *pair) for each in FORMER for pair in FORMER[each].items()])
def test_what_an_option_was_called_before_is_read_for_ever(command: str, old: str, new: str) -> None:
    today = new.split()
    assert {each.removeprefix("--") for each in today} <= {named(option) for option in options(COMPARED[command])}
    told = cli.commands[command].get_help(click.Context(cli.commands[command], info_name=command))
    assert not re.search(rf"{old}(?![\w-])", told)
    given = ["a", old, "b", f"{old}=c", "--", old]
    assert by_todays_names(command, given) == ["a", *today, "b", *today[:-1], f"{today[-1]}=c", "--", old]
    assert by_todays_names("history", given) == given


def test_hours_say_by_whom_where_and_on_which_paper(run: Run, hangar: Path) -> None:
    done = run(hangar, "hours", "tach=412.0", "--by", "Ada Bellcrank", "--at", "Far Reach", "--paper", "log p. 3")
    assert done.code == 0, done.err
    record = yaml.safe_load((hangar / done.out.splitlines()[0]).read_text(encoding="utf-8"))
    assert (record["by"]["name"], record["at"], record["paper"]) == ("Ada Bellcrank", "Far Reach", "log p. 3")


def test_the_order_in_which_it_is_asked() -> None:
    """README's order of a magneto that is changed; the help lists it in the same."""
    mine = [named(option) for option in options(COMPARED["install"])]
    asked = ("serial", "part", "since-new", "since-overhaul", "made", "from", "where", "reason")
    assert [each for each in mine if each in asked] == [*asked]


@pytest.mark.parametrize("said", [("--paper", "log p. 9"), ("--log-entry", "log p. 9"), ("--entered", "log p. 9")])
def test_where_a_change_is_entered_is_one_option(run: Run, hangar: Path, said: tuple[str, ...]) -> None:
    """Of a major one it is the entry before the flight, of a minor one the paper of any entry."""
    aircraft = hangar / "records/aircraft.yaml"
    phases = "phases: {after-change: {hours: 5, statement: I certify that the test is complete.}}\n"
    aircraft.write_text(aircraft.read_text(encoding="utf-8") + phases, encoding="utf-8")
    common = ("--asked", "nobody", "--came-with", "", "--flight-check", "required", "--by", "Ada Bellcrank")
    for answer, key, other in (("minor", "paper", "entry"), ("major", "entry", "paper")):
        done = run(hangar, "change", f"{answer} one", "tach=405.9", "--answer", answer, *common, *said)
        assert done.code == 0, done.err
        record = yaml.safe_load((hangar / done.out.splitlines()[0]).read_text(encoding="utf-8"))
        assert (record[key], record.get(other)) == ("log p. 9", None)
        assert "the entry made before the flight" not in done.err
