"""The README is held to the truth: its pictures are golden files, its commands exist, its set-up blocks are two."""

import datetime as dt
import io
import itertools
import re
from pathlib import Path

import click
import pytest
from rich.console import Console, Group
from rich.text import Text

from inspect_kit import store
from inspect_kit.cli.main import cli
from inspect_kit.cli.planning import planned
from inspect_kit.due import due
from inspect_kit.model.logbook import Logbook
from inspect_kit.report import Hours, Page, due_screen, item_page, missing_page, plan_screen, terminal
from tests.conftest import GOLDEN

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DAY = dt.date(2026, 11, 25)
# The frame of a picture, with the fonts of whoever looks at it: nothing is fetched.
FRAME = """<svg class="rich-terminal" viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg">
<style>
.{unique_id}-matrix {{ font-family: ui-monospace, Menlo, Consolas, "DejaVu Sans Mono", monospace;
font-size: {char_height}px; line-height: {line_height}px; font-variant-east-asian: full-width; }}
.{unique_id}-title {{ font-size: 18px; font-weight: bold; font-family: sans-serif; }}
{styles}
</style>
<defs>
<clipPath id="{unique_id}-clip-terminal">
<rect x="0" y="0" width="{terminal_width}" height="{terminal_height}" />
</clipPath>
{lines}
</defs>
{chrome}
<g transform="translate({terminal_x}, {terminal_y})" clip-path="url(#{unique_id}-clip-terminal)">
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</g>
</svg>
"""


def picture(page: Page, command: str, most: int) -> str:
    """The first lines of a page as a terminal of 100 columns shows them."""
    console = Console(
        record=True,
        width=100,
        file=io.StringIO(),
        force_terminal=True,
        color_system="truecolor",
        legacy_windows=False,
        _environ={},
    )
    drawn = Console(width=100, file=io.StringIO(), force_terminal=True, color_system="truecolor", _environ={})
    with drawn.capture() as captured:
        drawn.print(Group(*terminal.renderables(page, 100)))
    lines = captured.get().rstrip("\n").split("\n")
    console.print(Text.from_ansi("\n".join(lines[:most])), soft_wrap=True, highlight=False)
    if len(lines) > most:
        console.print(f"... and {len(lines) - most} lines more", style="italic", highlight=False)
    return console.export_svg(title=command, code_format=FRAME, unique_id="terminal")


@pytest.fixture(scope="module")
def sample() -> Logbook:
    loaded = store.load(store.at(ROOT))
    assert loaded.logbook is not None
    assert not loaded.problems
    return loaded.logbook


def missing_rows(sample: Logbook) -> Page:
    """What a page says whose pen has missed three things; the rows are those of `test_missing`."""
    from inspect_kit.inspection import edit
    from inspect_kit.inspection.missing import missing
    from tests.inspection.conftest import filled, request_for, sheet_of

    small = sheet_of(("remove cowl", "stacks", "compression", "refit cowl", "stick-bolt", "stick-travel"))
    sheet = filled(small.sheet)
    refit, stacks = sheet.box("cowl", "refit"), sheet.box("stacks")
    assert refit is not None
    assert stacks is not None
    sheet = edit.untick(edit.untick(sheet, refit), stacks)
    line = next(number for number, text in enumerate(sheet.text.split("\n"), 1) if "cylinder 2" in text)
    sheet = edit.replace_line(sheet, line, "  - cylinder 2: 58 psi (at least 60)")
    gaps = missing(request_for(small, sheet))
    return missing_page(sheet.page.place.file, gaps, {panel.id: panel.name for panel in small.logbook.panels.values()})


@pytest.mark.parametrize("name", ["due", "due-item", "plan", "missing"])
def test_the_pictures_are_what_a_person_sees(name: str, sample: Logbook, golden) -> None:  # type: ignore[no-untyped-def]
    answer = due(sample, DAY)
    item = answer.item("oil-change")
    assert item is not None
    plan = planned(sample, ["oil-change", "spark-plugs"], on=DAY, people=2, inspectors=1)
    asked = "plan oil-change spark-plugs"
    page, command, most = {
        "due": (due_screen(answer), "inspect-kit due", 24),
        "due-item": (item_page(answer, item), "inspect-kit due oil-change", 40),
        "plan": (
            plan_screen(plan, sample, Hours(), what=f"Oil change, Spark plugs, {DAY}", ask=asked),
            f"inspect-kit {asked}",
            24,
        ),
        "missing": (missing_rows(sample), 'inspect-kit sign --as "Ada Bellcrank"', 30),
    }[name]
    golden(f"pictures/{name}.svg", picture(page, command, most))


def test_nothing_in_a_picture_is_fetched() -> None:
    for path in (GOLDEN / "pictures").glob("*.svg"):
        text = path.read_text(encoding="utf-8")
        assert not re.findall(r"(?:href|src|url)\s*[=(]\s*[\"']?(?!#|\"#)[a-z]+:", text), path


def test_every_picture_of_the_readme_is_a_golden_file() -> None:
    shown = set(re.findall(r"!\[[^]]*\]\(([^)]+)\)", README))
    assert shown
    assert shown == {path.relative_to(ROOT).as_posix() for path in (GOLDEN / "pictures").glob("*.svg")}


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
