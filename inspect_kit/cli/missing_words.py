"""What a command is about is asked, like every other fact, where its line does not say it.

The answer is taken as if it had been typed behind the command, so that it is read, and refused, in one way.
"""

from __future__ import annotations

import shlex
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import click

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.questions import Question, answers
from inspect_kit.errors import InspectKitError, Misused
from inspect_kit.noun import dataclass
from inspect_kit.text.grammar import Unreadable

if TYPE_CHECKING:
    from inspect_kit.model.logbook import Logbook

# So many names are shown beside a question.
SHOWN = 6


@dataclass(frozen=True, slots=True)
class MissingWord:
    """How a word is asked for: what is `offered` beside it, and what refuses an answer that cannot be.

    With `split` every word of the answer is one of its own, unless it stands in quotes.
    """

    words: str
    offered: Callable[[Logbook], Iterator[str]] | None = None
    refuses: Callable[[Logbook, str], object] | None = None
    split: bool = False


def _positions(logbook: Logbook) -> Iterator[str]:
    yield from (each.id for each in logbook.aircraft.positions.values() if each.retired is None)


def _position(logbook: Logbook, typed: str) -> object:
    from inspect_kit.cli.fitted import position_of

    return position_of(logbook, typed)


def _records(logbook: Logbook) -> Iterator[str]:
    yield from (each.name for each in reversed(logbook.records[-SHOWN // 2 :]))


def _record(logbook: Logbook, typed: str) -> object:
    from inspect_kit.cli.records_named import find_record

    return find_record(logbook, typed)


def _inspections(logbook: Logbook) -> Iterator[str]:
    yield from logbook.aircraft.inspections


def _clock(logbook: Logbook) -> Iterator[str]:
    yield f"{logbook.aircraft.time_in_service}=412.6"


def _readings(logbook: Logbook, typed: str) -> object:
    from inspect_kit.cli.entries import said_readings

    return said_readings(shlex.split(typed), logbook.aircraft)


# By the word that the help shows for it.
ASKED = {
    "POSITION": MissingWord("Which position", _positions, _position),
    "METER": MissingWord("Which meter", lambda logbook: iter(logbook.aircraft.meters)),
    "RECORD": MissingWord("Which record, a part of its name is enough", _records, _record),
    "RECORD|PAGE": MissingWord("Which record or open page, a part of its name is enough", _records),
    "ID": MissingWord("Which panel, check or position"),
    "NAME": MissingWord("Who helps"),
    "FILE...": MissingWord("Which files", split=True),
    "FILE.csv": MissingWord("Which file, such as logbook.csv"),
    "DIR": MissingWord("Which folder is to be made, such as my-plane"),
    "WORDS...": MissingWord("Which words", split=True),
    "INSPECTION|CHECK... [METER=READING...]": MissingWord("Which inspection or checks", _inspections, split=True),
    "METER=READING...": MissingWord("Which reading", _clock, _readings, split=True),
    "[CHECK|PANEL|FINDING] [WHAT] [METER=READING...]": MissingWord(
        "Where: a check or a panel; or a finding such as F1; or what was found, in words"
    ),
}


# The same for an option that a command cannot do without.
OPTIONS = {
    "--to FILE": MissingWord("Into which file, outside the store"),
    "--to FOLDER": MissingWord("Into which new folder, outside the store"),
}


def words_for(desk: Desk, missing: click.MissingParameter) -> list[str]:
    """What is typed for a word that a command wants; Misused where nobody answers, its own fault if none is asked."""
    param, metavar = missing.param, (missing.param.metavar or "") if missing.param else ""
    option = param.opts[0] if isinstance(param, click.Option) else ""
    word = metavar or ((param.name or "").upper() if param else "")
    asked = OPTIONS.get(f"{option} {metavar}") if option else ASKED.get(word)
    if asked is None or param is None or missing.ctx is None:
        raise missing
    names = [*_names(desk, asked)]
    offered = f": {', '.join(names[:SHOWN])}{' ...' if len(names) > SHOWN else ''}" if names else ""

    def read(typed: str) -> list[str]:
        if typed.startswith("-"):
            raise Unreadable(f"`{typed}` begins as an option does: say what is meant, or stop with Ctrl-C")
        try:
            if asked.refuses is not None:
                asked.refuses(desk.logbook(), typed)
            return shlex.split(typed) if asked.split else [typed]
        except ValueError:
            raise Unreadable("a quotation mark has no second one") from None
        except Misused as fault:
            raise Unreadable(str(fault)) from None

    question = Question(name="word", words=f"{asked.words}{offered}", read=read, required=True)
    try:
        found: list[str] = answers({}, [question])["word"]
    except Misused:
        shown = f"{option} {metavar}" if option else param.make_metavar(missing.ctx)
        raise Misused(f"nobody answers `{asked.words}`. Give it: {missing.ctx.command_path} {shown}") from None
    return [option, *found] if option else found


def _names(desk: Desk, asked: MissingWord) -> Iterator[str]:
    # Whatever is wrong with the store is told by the command itself.
    try:
        yield from asked.offered(desk.logbook()) if asked.offered is not None else ()
    except InspectKitError:
        return
