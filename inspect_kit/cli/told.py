"""What is asked of one kind of record told at the command line: its questions, and what each of them wants to know.

The kinds are in `cli.told_kinds` and `cli.told_directives`, how they are asked in `cli.telling`.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from inspect_kit.model.kind import Kind
from inspect_kit.model.logbook import Logbook
from inspect_kit.noun import dataclass

Facts = Mapping[str, Any]
When = Callable[[Facts, Logbook], bool]


def always(facts: Facts, logbook: Logbook) -> bool:
    return True


def never(facts: Facts, logbook: Logbook) -> bool:
    """Told by its option alone."""
    return False


def nothing_usual(facts: Facts, logbook: Logbook) -> str:
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What is asked for one key of the record, where its option does not say it.

    `option` is the option's name where that of the key means something else elsewhere; `when` it is asked, by what was
    answered before; `usual` the answer that Enter takes; `required` whether there must be one,
    `several` whether there may be more, `early` whether it is read before all others where it was given;
    `meant` what is kept of an answer, Unreadable where it cannot stand; `none_yet` what to do where there is nothing of
    the sort to be named yet.
    """

    key: str
    words: str
    help: str
    metavar: str = "WORDS"
    option: str = ""
    when: When = always
    usual: Callable[[Facts, Logbook], str] = nothing_usual
    required: bool | When = False
    otherwise: str = "not known"
    several: bool = False
    early: bool = False
    none_yet: str = ""
    meant: Callable[[Any, Logbook], Any] = lambda answer, logbook: answer

    @property
    def name(self) -> str:
        return self.option or self.key


def nothing_touched(facts: Facts, logbook: Logbook) -> Sequence[str]:
    return ()


def nothing_doubted(facts: Facts, logbook: Logbook) -> Iterable[str]:
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Then:
    """`asks` takes the facts, the logbook, the day and what the option gave; it gives facts and words of the entry."""

    option: str
    help: str
    asks: Callable[[dict[str, Any], Logbook, dt.date, str | None], tuple[dict[str, Any], str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One command: its kind, its help, what the word behind it says, and what is asked after that.

    `who` is asked where it is not "", `clock` whether the meter is that times are counted by. `flight` are the ids that
    were touched, for which a flight check may be wanted; None where it is asked of every such record. `then` is what
    is asked once the rest is known, with an option of its own that fills no key: the facts, and words for the entry.
    `doubts` is what speaks for a slip, and wants a yes; `ending` is what is said once it is written.
    """

    kind: Kind
    help: str
    first: Ask
    asks: tuple[Ask, ...]
    who: str = ""
    clock: bool = False
    flight: Callable[[Facts, Logbook], Sequence[str]] | None = nothing_touched
    then: Then | None = None
    doubts: Callable[[Facts, Logbook], Iterable[str]] = nothing_doubted
    ending: Callable[[Facts, Logbook], Sequence[str]] = lambda facts, logbook: ()
