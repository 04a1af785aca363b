"""Every command says what it is for in a line that 80 columns hold, and shows how it is typed."""

import re
import shlex
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from inspect_kit.cli.main import cli
from tests.cli.conftest import Run


def examples(name: str) -> list[str]:
    """The examples of a command's help, without what is said beside them."""
    lines = (line.strip() for line in (cli.commands[name].help or "").splitlines())
    return [re.split(r" {3,}", line)[0] for line in lines if line.split(" ")[0] == name]


@pytest.mark.parametrize("name", cli.commands)
def test_there_is_an_example_and_it_can_be_typed(name: str) -> None:
    found = examples(name)
    assert found
    for each in found:
        # Whether what it names exists is the store's; that its options and arguments are those of the command is here.
        context = cli.commands[name].make_context(name, shlex.split(each)[1:], obj=None)
        assert context.command.name == name
    shown = cli.commands[name].get_help(click.Context(cli.commands[name], info_name=name, max_content_width=100))
    assert all(" ".join(each.split()) in " ".join(shown.split()) for each in found)


@pytest.mark.parametrize("width", [60, 80])
def test_no_line_of_a_help_is_wider_than_the_terminal_and_examples_are_whole(width: int) -> None:
    for name in cli.commands:
        command = cli.commands[name]
        shown = command.get_help(command.context_class(command, info_name=name, terminal_width=width))
        lines = shown.splitlines()
        words = (word for each in examples(name) for word in re.findall(r'(?:--[a-z-]+ )?(?:"[^"]*"|[^\s"])+', each))
        assert max(map(len, lines)) <= max(width, *(len(word) + 6 for word in words)), name
        # As a shell reads it, with the lines put together.
        joined = " ".join(shown.replace("\\\n", " ").split())
        assert all(" ".join(each.split()) in joined for each in examples(name)), name


def test_the_list_of_commands_is_whole_at_80_columns() -> None:
    shown = CliRunner().invoke(cli, ["--help"], terminal_width=80).output
    lines = shown.partition("Commands:\n")[2].splitlines()
    assert [line.split()[0] for line in lines] == [*cli.list_commands(click.Context(cli))]
    for line in lines:
        assert len(line) <= 80
        assert "..." not in line


def test_the_bare_command_says_where_to_begin_where_there_is_no_store(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    said = run(None)
    assert said.code == 0
    first = said.out.splitlines()[:8]
    assert any(line.strip().startswith("inspect-kit new ") for line in first)
    assert any(line.strip().startswith("inspect-kit tour") for line in first)
    assert len(said.out.splitlines()) <= 24


def test_notes_of_examples_stand_in_one_column(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Near them: at 80 columns a note stood 26 blanks away, or below an example that left it room."""
    monkeypatch.setenv("COLUMNS", "80")
    assert "\n  visits --plan 2027-03-14   the plan of the visit of that day\n" in run(tmp_path, "visits", "--help").out
    assert "\n  trend oil   what was added between fillings\n" in run(tmp_path, "trend", "--help").out
    for name in cli.commands:
        text = run(tmp_path, name, "--help").out.partition("\nOptions:")[0]
        noted = [match.start(2) for match in re.finditer(r"(?m)^  (\S.*?) {3,}(\S.*)$", text)]
        columns = {at - text.rfind("\n", 0, at) for at in noted}
        assert len(columns) < 2, (name, columns)
