"""How an answer leaves: at a terminal by rich and its pager, in a pipe as plain text, to a file as a paper, as JSON."""

from __future__ import annotations

import importlib
import os
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from inspect_kit import store
from inspect_kit.cli.desk import Desk

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from rich.console import Console

    from inspect_kit.model.aircraft import Identity
    from inspect_kit.model.logbook import Logbook
    from inspect_kit.report import Page

NARROWEST, WIDEST = 40, 1000
# By the ending of a file, the module of `report` that writes such a paper.
PAPERS = {".html": "html", ".md": "markdown", ".txt": "plain"}


def show(page: Page, *, paged: bool = True) -> None:
    """Print a page to the terminal; to a pipe or a file as plain text of COLUMNS, or 80, in signs that it can hold.

    What is longer than the screen goes through the pager (PAGER, else less), where somebody sits at both ends; not
    with --no-pager, and not where `paged` says that a question follows.
    """
    from inspect_kit.report import plain

    desk = _desk()
    if desk is not None:
        desk.signs.end()
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    if not _may_be_terminal():
        click.echo(plain.render(page, piped_columns(), plain.signs_of(encoding)), nl=False)
        return
    from rich.console import Console

    from inspect_kit.report import terminal

    console = Console(highlight=False, markup=False, emoji=False, soft_wrap=False)
    if console.is_terminal:
        if paged and _wants_pager(page, console):
            # less shows styles, and nothing that fits, only when it is told to.
            os.environ.setdefault("LESS", "-RFX")
            with console.pager(styles=True):
                terminal.print_page(page, console)
        else:
            terminal.print_page(page, console)
    else:
        click.echo(plain.render(page, piped_columns(), plain.signs_of(encoding)), nl=False)


def across() -> int:
    """How wide what `show` prints is: the terminal's columns, or those of a pipe."""
    if not _may_be_terminal():
        return piped_columns()
    from rich.console import Console

    from inspect_kit.report import terminal

    console = Console()
    return terminal.room_of(console) if console.is_terminal else piped_columns()


def _desk() -> Desk | None:
    context = click.get_current_context(silent=True)
    return context.find_object(Desk) if context is not None else None


def _may_be_terminal() -> bool:
    """Whether rich has anything to say to it: it also obeys words of the environment, and is slow to begin."""
    try:
        at_hand = sys.stdout.isatty()
    except ValueError:
        return False
    return at_hand or any(os.environ.get(word) is not None for word in ("TTY_COMPATIBLE", "FORCE_COLOR"))


def at_both_ends() -> bool:
    """Whether a terminal is where it is typed and where the answer goes."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))


def _wants_pager(page: Page, console: Console) -> bool:
    from inspect_kit.report import terminal

    context = click.get_current_context(silent=True)
    if context is not None and context.find_root().params.get("no_pager"):
        return False
    return at_both_ends() and terminal.lines_of(page, console) >= console.height


def piped_columns() -> int:
    """How wide text is that goes to no terminal: COLUMNS, where it says a width, else 80."""
    said = os.environ.get("COLUMNS", "")
    return max(NARROWEST, min(int(said), WIDEST)) if said.isascii() and said.isdigit() else 80


def dated(page: Page, on: dt.date, job: str = "") -> Page:
    """The page with its job and the day in its title and its foot, where they do not stand there yet."""

    def told(words: str) -> str:
        if not words:
            return ""
        with_job = f"{words}: {job}" if job and job not in words else words
        return with_job if str(on) in words else f"{with_job}, {on}"

    return replace(page, title=told(page.title), foot=told(page.foot))


def is_whole(everything: bool, target: Path | None) -> bool:
    """Whether an answer is given whole: with --all, and wherever it is written to a file; else one screen of it."""
    return everything or target is not None


def give(page: Page, target: Path | None, logbook: Logbook, *, force: bool) -> None:
    """Show a page, or write it where --to says."""
    if target is None:
        show(page)
    else:
        to_file(page, target, logbook, force=force)


def to_file(page: Page, target: Path, *logbooks: Logbook, force: bool) -> None:
    """Write a page as HTML, Markdown or text, by the ending of the file's name, and say where."""
    paper = importlib.import_module(f"inspect_kit.report.{PAPERS[target.suffix]}")
    to_outside(paper.render(page), target, *logbooks, force=force)


def to_outside(text: str, target: Path, *logbooks: Logbook, force: bool) -> None:
    """Write an answer to a file, with the mark by which this command knows its own, and say where."""
    store.write_outside(target, text.encode(), mark_of(*(each.aircraft.identity for each in logbooks)), force=force)
    click.echo(str(target))


def mark_of(*aircraft: Identity) -> store.AnswerMark:
    """By what the command that runs knows its own answers about this aircraft, or these: one of several is another."""
    words = store.one_word(" and ".join(sorted(f"{each.registration} {each.make} {each.serial}" for each in aircraft)))
    return store.AnswerMark(command=click.get_current_context().info_name or "", aircraft=words)


def print_json(facts: dict[str, object]) -> None:
    from inspect_kit.report import json_text

    click.echo(json_text(facts))
