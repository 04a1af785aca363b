"""What a kind of record is: its noun, its keys, and what it says. One table for reading, writing, audit and pages.

A kind that is told here needs no other module: `text.kinds` reads and writes it by its keys, `audit.kinds` looks up
what they refer to, `report` shows them under their labels.
"""

from collections.abc import Callable, Iterator
from keyword import iskeyword
from typing import Any, Final

from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

# What a key may hold.
TEXT: Final = "text"
TEXTS: Final = "texts"  # a list
DATE: Final = "date"
NUMBER: Final = "number"
MONEY: Final = "money"  # in the owner's currency, no less than 0
QUANTITY: Final = "quantity"  # of the measure in `words`
LIMITS: Final = "limits"  # what an `every` of a check may say
ID: Final = "id"  # of something of the kinds in `refers`
IDS: Final = "ids"
RECORD: Final = "record"  # the name of another record
RECORDS: Final = "records"
CHOICE: Final = "choice"  # one of `words`
ANSWER: Final = "answer"  # one of `words`, those that end with a colon followed by a reason
TABLE: Final = "table"  # names of the owner's own with a text each
METERS: Final = "meters"  # meters with a number each
ROW: Final = "row"  # keys and values of their own, by `below`
ROWS: Final = "rows"  # a list of them


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenWord:
    """One word of a few, with a reason where the word asks for one: `no: another serial`."""

    word: str
    reason: str = ""

    def __str__(self) -> str:
        return f"{self.word}: {self.reason}" if self.reason else self.word


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key of a record: what it holds, what it refers to (check, panel, position), how a page calls it."""

    name: str
    holds: str
    label: str
    required: bool = False
    refers: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    below: "Below | None" = None

    @property
    def attribute(self) -> str:
        """The field of the noun: a word that Python keeps for itself ends with an underscore."""
        name = self.name.replace("-", "_").replace(" ", "_")
        return f"{name}_" if iskeyword(name) else name


    def names(self, record: Record) -> tuple[str, ...]:
        """The ids or the names of records that stand under it; none where it holds something else."""
        value = getattr(record, self.attribute)
        if self.holds in (ID, RECORD):
            return (value,) if value else ()
        return tuple(value) if self.holds in (IDS, RECORDS) else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Below:
    """A mapping below a key: the noun it becomes, and its keys."""

    noun: type[Any]
    keys: tuple[Key, ...]


def nothing_wrong(record: Any) -> Iterator[tuple[str, str]]:
    """No key of such a record can contradict another one."""
    yield from ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of record: the word after `kind:`, its noun, what a page calls it, its keys in the order of the file.

    `faults` gives what is wrong with one record by itself, each with the key it stands under ("" for the whole);
    `names_doer` says, where it must have a `by`, who that is; `summary` what the record says in one line.
    """

    name: str
    noun: type[Record]
    title: str
    keys: tuple[Key, ...]
    summary: Callable[[Any], str]
    faults: Callable[[Any], Iterator[tuple[str, str]]] = nothing_wrong
    names_doer: str = ""
