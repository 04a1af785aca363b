"""Pages on a terminal: the same text, nothing acts, no colour needed."""

import io
import re
from typing import Literal

import pytest
from hypothesis import given, settings
from rich.console import Console

from inspect_kit.report import plain, terminal
from inspect_kit.report.blocks import STOP, Page, Paragraph
from tests.report.strategies import PAGES

STYLE = re.compile(r"\x1b\[[0-9;]*m")


def shown(page: Page, room: int, *, colour: bool = True, encoding: str = "utf-8") -> str:
    buffer = io.TextIOWrapper(io.BytesIO(), encoding=encoding, newline="")
    system: Literal["standard"] | None = "standard" if colour else None
    console = Console(
        file=buffer, width=room, force_terminal=colour, color_system=system, legacy_windows=False, _environ={}
    )
    terminal.show(page, console)
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
def test_without_style_it_is_the_plain_text(page: Page) -> None:
    without = "\n".join(line.rstrip() for line in STYLE.sub("", shown(page, 80)).split("\n"))
    assert without == plain.render(page, 80)


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


def test_stops_are_set_off() -> None:
    page = Page(title="x", blocks=(Paragraph(text="stop", tone=STOP),))
    assert "\x1b[1;31mstop" in shown(page, 80)


@pytest.mark.parametrize("text", ["a\x1b[31mb", "\x9b2J", "x\u202ey"])
def test_messages_outside_pages_are_safe(text: str) -> None:
    assert terminal.safe(text).isprintable()
    assert terminal.safe("two\nlines") == "two\nlines"
