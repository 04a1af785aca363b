"""What the program reads before it answers: little, and nothing that the command does not use."""

import subprocess
import sys
from pathlib import Path

import click
import pytest

from inspect_kit.cli.commands import COMMANDS
from inspect_kit.cli.main import cli

ROOT = Path(__file__).parents[2]
# What only some commands use, and what takes long to read.
SEARCHES = {"inspect_kit.scheduling.solve", "inspect_kit.replenishment.search", "inspect_kit.plan.make"}
SLOW = {"rich.console", "yaml", "dateutil.relativedelta"}
SHOW = "import sys; from inspect_kit.cli.main import main; main(sys.argv[1:]); print(*sys.modules, file=sys.stderr)"


def read(*words: str) -> set[str]:
    """The modules that a command had read when it was done, its output in a pipe."""
    done = subprocess.run(
        [sys.executable, "-c", SHOW, "--store", str(ROOT), "--on", "2026-11-26", *words],
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stderr.split())


@pytest.mark.parametrize("words", [("--version",), ("--help",)])
def test_no_command_is_read_for_what_is_said_of_all(words: tuple[str, ...]) -> None:
    found = read(*words)
    assert not found & {*SEARCHES, *SLOW}
    assert not {name for name in found if name.startswith(("inspect_kit.report.pages", "inspect_kit.due."))}
    assert not {f"inspect_kit.cli.{module}" for module, _ in COMMANDS.values()} & found


def test_an_answer_in_a_pipe_reads_neither_searches_nor_rich() -> None:
    assert not read("due") & {*SEARCHES, "rich.console"}
    assert "yaml" not in read("due"), "everything was kept by the first of the two"
    assert not read("status") & {*SEARCHES, "rich.console"}


def test_what_searches_reads_no_file_readers_when_all_is_kept() -> None:
    """A tenth of what `visits` and `plan` took before their search were readers of YAML and writers of records."""
    readers = {"yaml", "inspect_kit.text.kinds", "inspect_kit.cli.entries", "inspect_kit.audit.records"}
    assert not read("trend") & SEARCHES, "and it keeps what the two below read"
    assert not read("visits", "--months", "1") & {*readers, "inspect_kit.scheduling.solve"}
    assert not read("plan", "oil-change") & {*readers, "inspect_kit.replenishment.search"}


@pytest.mark.parametrize("name", COMMANDS)
def test_the_summary_fits_eighty_columns(name: str) -> None:
    """In the list of commands each has one line: no summary is cut, and none goes on in a second line."""
    # What click leaves free of a terminal of 80.
    listed = cli.get_help(click.Context(cli, info_name="inspect-kit", terminal_width=78))
    (line,) = [line for line in listed.splitlines() if line.startswith(f"  {name} ")]
    assert line.endswith(COMMANDS[name][1])
    assert len(line) <= 78
