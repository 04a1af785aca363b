"""What a kind of record is: its noun, its keys, and what it says. One table for reading, writing, audit and pages.

A kind that is told here needs no other module: `text.kinds` reads and writes it by its keys, `audit.kinds` looks up
what they refer to, `report` shows them under their labels. What a key holds may have a grammar of its own (the results
of a page, what an amendment says instead): then that grammar is one more line of the tables of `text.kinds`.
"""

from collections.abc import Callable, Iterator
from functools import cached_property
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
DATES: Final = "dates"  # checks with a date each
LABEL_DATE: Final = "date of a label"  # which may be a month, or a quarter
PAGE: Final = "page"  # where ink stands
SHA256: Final = "sha-256"
ARMOUR: Final = "armour"  # of a signature; what cannot be read is a wrong one
IDENTITY: Final = "identity"  # registration, make, model, serial
OUTCOME: Final = "outcome"  # of an inspection: True is passed
FINDING: Final = "finding"  # its keys stand among those of the record
FINDINGS: Final = "findings"  # by their numbers
RESULTS: Final = "results"  # the answer of each check
BOXES: Final = "boxes"  # what was said under boxes of which `results` do not tell
READINGS: Final = "readings"  # of each check, by their labels
PARTS: Final = "parts"  # what was used, in its own words
CLEARS: Final = "clears"  # references to findings, each with how it was put right where that was said
UNRECORDED: Final = "unrecorded"  # hours flown without a meter, and how they are known
READS_TOTALS: Final = "reads and totals"  # of each meter
LAST_DONE: Final = "last done"  # of each check or inspection
FITTED: Final = "fitted"  # in each position
INSTEAD: Final = "instead"  # what an amendment replaces, by field


# What words may not be, where `n/a` or `tbd` would let something pass that nobody said.
SOMETHING: Final = "something"  # words that say nothing
SOMETHING_OR_NONE: Final = "something or none"  # the same, but that there is none says something
REASON: Final = "reason"  # no reason


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenWord:
    """One word of a few, with a reason where the word asks for one: `no: another serial`."""

    word: str
    reason: str = ""

    def __str__(self) -> str:
        return f"{self.word}: {self.reason}" if self.reason else self.word


@dataclass(frozen=True, kw_only=True)
class Key:
    """One key of a record: what it holds, what it refers to (check, panel, position), how a page calls it.

    `stand_in` takes the place of what must be there and is not, so that the record counts once its fault is told;
    without one the record is lost. `fills` are the fields of the noun where they are not called like the key. `label`
    is empty where the kind has a page of its own, which does not go by the keys.
    `says` is what its words are to say: SOMETHING, SOMETHING_OR_NONE, REASON, or "" where any will do. `empty` is the
    word that a list says which stands there with nothing in it; "" where that is no list at all.
    """

    name: str
    holds: str
    label: str = ""
    required: bool = False
    stand_in: Any = None
    fills: tuple[str, ...] = ()
    refers: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    below: "Below | None" = None
    says: str = ""
    empty: str = ""

    @cached_property
    def attribute(self) -> str:
        """The field of the noun: a word that Python keeps for itself ends with an underscore."""
        if self.fills:
            return self.fills[0]
        name = self.name.replace("-", "_").replace(" ", "_")
        return f"{name}_" if iskeyword(name) else name

    @property
    def attributes(self) -> tuple[str, ...]:
        """All fields that it fills; most fill one."""
        return self.fills or (self.attribute,)

    @property
    def has_names(self) -> bool:
        """Whether ids or names of records stand under it."""
        return self.holds in (ID, IDS, RECORD, RECORDS, DATES)

    def names(self, record: Record) -> tuple[str, ...]:
        """The ids or the names of records that stand under it; none where it holds something else."""
        value = getattr(record, self.attribute)
        if self.holds in (ID, RECORD):
            return (value,) if value else ()
        return tuple(value) if self.has_names else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Below:
    """A mapping below a key: the noun it becomes, and its keys."""

    noun: type[Any]
    keys: tuple[Key, ...]


def nothing_wrong(record: Any) -> Iterator[tuple[str, str]]:
    """No key of such a record can contradict another one."""
    yield from ()


def nothing_missing(record: Any) -> Iterator[tuple[tuple[str, ...], str]]:
    """No key of such a record is wanted because of what another one says."""
    yield from ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of record: the word after `kind:`, its noun, what a page calls it, its keys in the order of the file.

    `gaps` gives what is missing in one record because of what it says, told even where it is lost: the keys of which
    one would do, and the words for it, "" where the key alone says it. One whose key is there and cannot be read is
    told already. `faults` gives what is wrong with a record all of whose own keys could be read, each with the key it
    stands under ("" for the whole). `names_doer` says, where it must have a `by`, who that is; `summary` what the
    record says in one line, "" where its `text` says all; `of_a_record` that it speaks of another record, and not of
    the aircraft.
    """

    name: str
    noun: type[Record]
    title: str
    keys: tuple[Key, ...]
    summary: Callable[[Any], str]
    gaps: Callable[[Any], Iterator[tuple[tuple[str, ...], str]]] = nothing_missing
    faults: Callable[[Any], Iterator[tuple[str, str]]] = nothing_wrong
    names_doer: str = ""
    of_a_record: bool = False
