"""What the words of a command line can be: dates, names, references, and files for an answer, by click's types.

Every command reads this module, and help and completion too: what only some of them use is imported where it is used.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from pathlib import Path

import click

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.errors import Misused

DAYS_AGO = {"today": 0, "yesterday": 1}


class PaperType(click.ParamType[Path]):
    """Where an answer is written: looked at before it is worked out, which may take a while."""

    name = "file"

    def __init__(self, endings: Collection[str]) -> None:
        self.endings = endings

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        target = Path(str(value))
        store.refuse_kept(target)
        store.refuse_root(target)
        if target.suffix not in self.endings:
            raise Misused(
                f"{target.name or target}: give a name that ends as this answer is written, {one_of(self.endings)}"
            )
        return target


def one_of(words: Collection[str]) -> str:
    """`.html, .md or .txt`"""
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last


class DateType(click.ParamType[dt.date]):
    """A date such as 2026-05-31, in any form that can be one day only, or `yesterday`."""

    name = "date"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> dt.date:
        from inspect_kit.past import parse_said_date
        from inspect_kit.text.grammar import Unreadable, parse_date

        desk = ctx.find_object(Desk) if ctx is not None else None
        ago = DAYS_AGO.get(str(value).casefold())
        if desk is not None and ago is not None:
            return desk.today - dt.timedelta(days=ago)
        try:
            if isinstance(value, dt.date):
                return value
            return parse_said_date(str(value), desk.today) if desk is not None else parse_date(str(value))
        except Unreadable as fault:
            self.fail(fault.message, param, ctx)


class WordsType(click.ParamType[str]):
    """Words that a parser of `text.page_values` takes, or refuses with what is wrong; nothing given stays nothing."""

    def __init__(self, name: str, parser: str) -> None:
        self.name, self.parser = name, parser

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> str:
        from inspect_kit.text import page_values
        from inspect_kit.text.grammar import Unreadable

        try:
            return str(getattr(page_values, self.parser)(str(value))) if value else ""
        except Unreadable as fault:
            self.fail(fault.message, param, ctx)


DATE = DateType()
NAME, REFERENCE = WordsType("name", "parse_typed_name"), WordsType("reference", "parse_reference")
PAGE_OF_LOG = WordsType("page", "parse_logbook_page")
REASON = WordsType("words", "parse_reason")
