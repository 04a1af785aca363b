"""Pages on a terminal: the same text, nothing acts, no colour needed."""

import io
import re
from collections import Counter
from typing import Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.console import Console

from inspect_kit.report import plain, terminal
from inspect_kit.report.blocks import (
    GOOD,
    QUIET,
    STOP,
    Caution,
    Chart,
    Column,
    Heading,
    Page,
    Paragraph,
    Plot,
    Row,
    SignatureLine,
    Table,
)
from inspect_kit.report.inert import inert
from inspect_kit.report.measure import width
from tests.report.strategies import PAGES

STYLE = re.compile(r"\x1b\[[0-9;]*m")


def shown(page: Page, room: int, *, colour: bool = True, encoding: str = "utf-8") -> str:
    buffer = io.TextIOWrapper(io.BytesIO(), encoding=encoding, newline="")
    system: Literal["standard"] | None = "standard" if colour else None
    console = Console(
        file=buffer, width=room, force_terminal=colour, color_system=system, legacy_windows=False, _environ={}
    )
    terminal.print_page(page, console)
    buffer.flush()
    return buffer.buffer.getvalue().decode(encoding)  # type: ignore[attr-defined, no-any-return]


@given(PAGES)
@settings(max_examples=40)
def test_nothing_but_style_reaches_the_terminal(page: Page) -> None:
    text = STYLE.sub("", shown(page, 80) + shown(page, 40))
    assert "\x1b" not in text
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", text)


@given(PAGES)
@settings(max_examples=40)
def test_nothing_that_the_plain_text_says_is_lost(page: Page) -> None:
    drawn = "".join(STYLE.sub("", shown(page, 80)).split())
    for block in page.blocks:
        if not isinstance(block, Table | Chart | Plot):
            said = plain.render(Page(title="", blocks=(block,)), 80 - terminal.BORDER)
            missing = Counter(re.findall(r"\w", said)) - Counter(drawn)
            assert not missing, block
        elif isinstance(block, Table):
            written = Counter("".join(inert(cell) for row in block.cell_rows for cell in row.cells).split())
            assert not Counter("".join(written)) - Counter(drawn)


@given(PAGES, st.sampled_from([40, 60, 80, 120]))
@settings(max_examples=60)
def test_no_line_is_wider_than_the_terminal(page: Page, room: int) -> None:
    lines = STYLE.sub("", shown(page, room)).split("\n")
    # Characters of which no two programs agree how wide they are may stand out.
    assert all(cell_len(line) <= room for line in lines if line.isascii() or cell_len(line) == width(line))


@given(PAGES)
@settings(max_examples=20)
def test_its_lines_can_be_counted_before_it_is_shown(page: Page) -> None:
    console = Console(file=io.StringIO(), width=80, force_terminal=True, legacy_windows=False, _environ={})
    count = terminal.lines_of(page, console)
    terminal.print_page(page, console)
    assert console.file.getvalue().count("\n") == count  # type: ignore[attr-defined]


def test_tables_rules_and_panels() -> None:
    page = Page(
        title="Report",
        blocks=(
            Heading(text="Checks"),
            Table(
                columns=(Column(name="check"), Column(name="h", right=True)),
                rows=(
                    Row(cells=("oil", "8.0")),
                    Row(band="CAUTION: hot oil", tone=STOP),
                    Row(cells=("exhaust", "102.5")),
                ),
            ),
            Caution(text="Let it cool."),
            SignatureLine(name="Ada", kind="repairman", certificate="1", date="2026-11-25", state="", signed=False),
        ),
    )
    assert (
        shown(page, 40, colour=False)
        == """\
Report
════════════════════════════════════════

Checks
────────────────────────────────────────

check        h
──────────────
oil        8.0
─── CAUTION: hot oil
exhaust  102.5

╭─ CAUTION ────────────────────────────╮
│ Let it cool.                         │
╰──────────────────────────────────────╯

╭─ Not signed yet ─────────────────────╮
│ Name           Ada                   │
│ Certificate    repairman, number 1   │
│ Date           2026-11-25            │
│ Signature                            │
│ Signed in ink  _____________________ │
╰──────────────────────────────────────╯
"""
    )


def test_what_is_quiet_is_not_dim() -> None:
    """Dim text has a contrast of 3.3 to 1 on dark and 4.0 to 1 on light grounds, and 4.5 to 1 is asked."""
    page = Page(title="x", blocks=(Paragraph(text="quiet", tone=QUIET),), foot="foot")
    assert "\x1b[2m" not in shown(page, 80)
    assert not any("dim" in style for style in terminal.STYLES.values())


@given(PAGES)
@settings(max_examples=20)
def test_a_terminal_without_our_characters_gets_others(page: Page) -> None:
    shown(page, 80, encoding="ascii").encode("ascii")


def test_markup_of_records_is_text() -> None:
    page = Page(title="x", blocks=(Paragraph(text="[bold red]not bold[/] :warning: [link=http://x.invalid]y[/link]"),))
    assert "[bold red]not bold[/] :warning: [link=http://x.invalid]y[/link]" in shown(page, 100)


def test_a_wide_terminal_is_not_filled_beyond_what_can_be_read() -> None:
    page = Page(title="x", blocks=(Paragraph(text="word " * 200),))
    assert max(map(len, shown(page, 300, colour=False).splitlines())) <= terminal.WIDEST


def test_what_presses_is_set_off_and_its_words_stand_in_the_terminals_own_ink() -> None:
    """On the grounds that terminals come with red has a contrast of 2.7 to 3.8 to 1 on dark, green of 1.6 on light."""
    rows = (Row(band="CAUTION: hot oil", tone=STOP), Row(cells=("!!", "Spinner"), tone=STOP))
    blocks = (
        Paragraph(text="!! Not decided: letter 8, in which so many words stand that they take two lines", tone=STOP),
        Table(columns=(Column(), Column(wide=True)), rows=rows),
        Caution(text="Let it cool."),
        Paragraph(text="whole", tone=GOOD),
        SignatureLine(name="Ada", kind="repairman", certificate="1", date="2026-11-25", state="", signed=False),
    )
    drawn = shown(Page(title="x", blocks=blocks), 40)
    coloured = {said for code, said in re.findall(r"\x1b\[([0-9;]*)m([^\x1b]*)", drawn) if re.search(r"3[1-7]", code)}
    assert {mark.strip("╭╮╰╯─│ ") for mark in coloured} == {"!!", ""}
    assert len(re.findall(r"\x1b\[1;7(?:;39)?mCAUTION", drawn.replace("1;7;39", "1;7"))) == 2
    assert not any("dim" in style or re.search("red|green", style) for style in terminal.STYLES.values())


@pytest.mark.parametrize("text", ["a\x1b[31mb", "\x9b2J", "x\u202ey"])
def test_messages_outside_pages_are_safe(text: str) -> None:
    assert terminal.safe(text).isprintable()
    assert terminal.safe("two\nlines") == "two\nlines"


@pytest.mark.parametrize(("lines", "times"), [(3, 1), (40, 2)])
def test_the_title_stands_once_where_it_is_still_in_sight_at_the_end(lines: int, times: int) -> None:
    page = Page(title="Of a day", blocks=tuple(Paragraph(text="more") for _ in range(lines)), foot="Of a day")
    console = Console(file=io.StringIO(), width=60)
    terminal.print_page(page, console)
    assert console.file.getvalue().count("Of a day") == times  # type: ignore[attr-defined]
