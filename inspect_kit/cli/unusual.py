"""What is asked before an entry is written: what was not given, and readings that may be a slip of the finger."""

import datetime as dt
import sys
from collections.abc import Callable, Mapping
from decimal import Decimal

import click

from inspect_kit.due import unusual_readings
from inspect_kit.errors import Misused
from inspect_kit.model.logbook import Logbook
from inspect_kit.report import terminal


class NotSure(Exception):
    """Readings of an entry that want a yes; nothing was written."""

    def __init__(self, questions: tuple[str, ...]) -> None:
        super().__init__(*questions)
        self.questions = questions


def sure_of(logbook: Logbook, date: dt.date, meters: Mapping[str, Decimal], sure: bool) -> None:
    """NotSure if a reading is unusual and nobody said yes."""
    questions = () if sure else tuple(unusual_readings(logbook, date, meters))
    if questions:
        raise NotSure(questions)


def asking(write: Callable[[bool], str], sure: bool) -> str:
    """What `write` gives; it is told whether the readings are sure, and asked again once a person said yes.

    The question is put while nobody is kept from writing.
    """
    try:
        return write(sure)
    except NotSure as unsure:
        for question in unsure.questions:
            if not confirmed(question):
                raise Misused("nothing was written; --yes takes a reading as it is") from None
        return write(True)


def answer(given: str, question: str, option: str, default: str | None = None) -> str:
    """What was given, else what is answered to a question; Misused where there is nobody to ask."""
    try:
        return given.strip() or str(click.prompt(question, default=default, show_default=False, err=True)).strip()
    except click.Abort:
        if sys.stdin.isatty():
            raise
        raise Misused(f"{option} is missing, and nobody answers: {question}") from None


def confirmed(question: str) -> bool:
    """A yes to a question; no is what Enter says, and the end of the input."""
    try:
        return click.confirm(terminal.safe(question), default=False, err=True)
    except click.Abort:
        click.echo(err=True)
        return False
