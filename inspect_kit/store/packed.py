"""Nouns as plain JSON and back, for what is kept of files that were read before: many at once, in columns.

    column = ["s", value…] null, true, false, numbers and strings as they are
           | ["=", value] the same one for all | ["S", text] strings, one behind the other, `|` between them
           | ["D", text] decimals | ["d", text] dates, written so
           | ["p", column] places in the own file, by their lines
           | ["t", [length…], column] tuples: how many values each has, and those of all of them; so ["l", …] lists
             and ["f", …] sets
           | ["m", [length…], column, column] mappings: keys, and values
           | ["L", number] pieces from this one on: where the keys of a noun stand (`model.lines`)
           | [class, mask, column…] nouns of one class: its number in `classes`, and the fields that are not their
             defaults, by the bits of `mask`
           | ["g", [group…], column…] values of several sorts: from which of the columns each next one is taken
    piece  = [key, value, line…] read only when somebody asks; all of them stand together, compressed

Only nouns of `model` and what `errors` defines are made, whatever a file says. They were checked by their constructors
when they were first made; here their fields are put in place without asking anew.
"""

import binascii
import dataclasses
import datetime as dt
import importlib
import json
import zlib
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from functools import cache, cached_property
from itertools import chain, islice, repeat
from operator import attrgetter
from typing import Any, NamedTuple

from inspect_kit.errors import Place
from inspect_kit.model.finding import Result
from inspect_kit.model.page_record import MADE_LATER, PageRecord

# The rooms of which a noun may be.
ROOMS = ("inspect_kit.errors", "inspect_kit.model.")


class NotKept(Exception):
    """A value that has no form here; what holds it is read anew each time."""


class Packer:
    """Packs values of files; `classes` grows by the nouns that it meets, and `pieces` by what is put aside."""

    def __init__(self) -> None:
        self.classes: list[str] = []
        self.pieces: list[list[Any]] = []
        self.numbers: dict[type, int] = {}

    def pack(self, values: Sequence[Any], files: Sequence[str]) -> list[Any]:
        """The values, each of the file of this name, as a column. Errors: NotKept."""
        kinds = {*map(type, values)}
        if kinds <= _PLAIN:
            return plain_column(values)
        if len(kinds) == 1 and (letter := _LETTERS.get(*kinds)):
            return self._column(letter, values, files)
        which: list[int] = []
        groups: dict[object, tuple[int, list[Any], list[str]]] = {}
        for value, file in zip(values, files, strict=True):
            sort, told = _sort(value, file)
            number, own, named = groups.setdefault(sort, (len(groups), [], []))
            which.append(number)
            own.append(told)
            named.append(file)
        columns = [self._column(sort, own, named) for sort, (_, own, named) in groups.items()]
        return columns[0] if len(columns) == 1 else ["g", which, *columns]

    def _column(self, sort: Any, values: Sequence[Any], files: Sequence[str]) -> list[Any]:
        if sort == "s":
            return plain_column(values)
        if sort == "p":
            return [sort, plain_column(values)]
        if sort in ("D", "d"):
            return [sort, BETWEEN.join(map(str, values))]
        if sort == "L":
            begin = len(self.pieces)
            self.pieces += values
            return [sort, begin]
        if isinstance(sort, tuple):
            kind, mask = sort
            given = (column for bit, column in enumerate(zip(*values, strict=True)) if mask >> bit & 1)
            return [self._number(kind), mask, *(self.pack(column, files) for column in given)]
        lengths = list(map(len, values))
        inner = _spread(files, lengths)
        if sort == "m":
            keys = self.pack([*chain.from_iterable(values)], inner)
            return [sort, lengths, keys, self.pack([each for value in values for each in value.values()], inner)]
        return [sort, lengths, self.pack([*chain.from_iterable(values)], inner)]

    def _number(self, kind: type) -> int:
        if kind not in self.numbers:
            self.numbers[kind] = len(self.classes)
            self.classes.append(f"{kind.__module__}:{kind.__qualname__}")
        return self.numbers[kind]


class Unpacker:
    """Makes values of what was packed with these `classes` and `pieces`; whatever is no such thing raises FAULTS."""

    FAULTS = (
        LookupError,
        TypeError,
        ValueError,
        AttributeError,
        ArithmeticError,
        RecursionError,
        ImportError,
        StopIteration,
    )

    def __init__(self, classes: Sequence[str], pieces: "Pieces") -> None:
        self.classes, self.pieces = classes, pieces

    def unpack(self, column: Sequence[Any], files: Sequence[str]) -> list[Any]:
        """The values that were packed, each of the file of this name."""
        found = self._values(column, files)
        if len(found) != len(files):
            raise ValueError(column[0])
        return found

    def _values(self, column: Sequence[Any], files: Sequence[str]) -> list[Any]:
        sort = column[0]
        if sort.__class__ is int:
            return self._nouns(column, files)
        if sort in PLAIN_SORTS:
            return plain_values(column, len(files))
        if sort == "p":
            lines = plain_values(column[1], len(files))
            return _in_slots(_plan("inspect_kit.errors", "Place", 3), [files, lines], len(files))
        if sort == "D":
            return list(map(Decimal, column[1].split(BETWEEN)))
        if sort == "d":
            return list(map(dt.date.fromisoformat, column[1].split(BETWEEN)))
        if sort == "L":
            return [KeptLines(self.pieces, number) for number in range(column[1], column[1] + len(files))]
        if sort == "g":
            which = column[1]
            values = []
            for group, each in enumerate(column[2:]):
                own = [file for file, wanted in zip(files, which, strict=True) if wanted == group]
                values.append(iter(self.unpack(each, own)))
            return [next(values[group]) for group in which]
        lengths = column[1]
        inner = _spread(files, lengths)
        flat = iter(self.unpack(column[2], inner))
        if sort == "m":
            pairs = zip(flat, self.unpack(column[3], inner), strict=True)
            if len(inner) == len(files) and all(lengths):
                # One each, as most have that have any.
                return [{key: value} for key, value in pairs]
            return [dict(islice(pairs, length)) for length in lengths]
        make = _KINDS[sort]
        return [make(islice(flat, length)) for length in lengths]

    def _nouns(self, column: Sequence[Any], files: Sequence[str]) -> list[Any]:
        number, mask, *columns = column
        module, _, name = self.classes[number].partition(":")
        if number < 0 or not _may_be_noun(module):
            raise TypeError(module)
        plan = _plan(module, name, mask)
        names = plan.given
        if len(names) != len(columns):
            raise ValueError(mask)
        values = [self.unpack(each, files) for place, each in enumerate(columns) if place != plan.later]
        if plan.later is not None:
            names = (*names[: plan.later], *names[plan.later + 1 :], MADE_LATER)
            values.append(_Later(self, columns[plan.later], files).each())
        if plan.has_slots:
            return _in_slots(plan, values, len(files))
        rows = zip(*values, strict=True) if values else repeat((), len(files))
        # Rows are as long as the names: that was just asked.
        return _made(plan, (dict(zip(names, row)) for row in rows))  # noqa: B905


class Assembly(NamedTuple):
    """How a noun is made: its class, the fields that are given, those whose default is made each time, and the rest;
    whether it has slots, as the commonest have; which of the given ones is made when it is asked for."""

    kind: type
    given: tuple[str, ...]
    made: tuple[tuple[str, Callable[[], object]], ...]
    rest: tuple[tuple[str, object], ...]
    has_slots: bool
    later: int | None


class _Later:
    """The results of many records, made when those of one are asked for."""

    def __init__(self, unpacker: Unpacker, column: Sequence[Any], files: Sequence[str]) -> None:
        sort, self._lengths, self._column = column
        self._unpacker, self._files = unpacker, files
        self._checks = list(_checks_only_done(self._column, sum(self._lengths)))
        if sort != "t" or len(files) != len(self._lengths) or len(self._checks) != sum(self._lengths):
            raise ValueError(sort)

    def each(self) -> list["_OfOne"]:
        """What stands in each record for its results."""
        found, begin = [], 0
        for length in self._lengths:
            own = self._checks[begin : begin + length]
            checks = tuple(each for each in own if each is not None)
            found.append(_OfOne(self, begin, length, checks if len(checks) == length else None))
            begin += length
        return found

    @cached_property
    def all(self) -> list[Any]:
        return self._unpacker.unpack(self._column, _spread(self._files, self._lengths))


class _OfOne:
    """The results of one record among those of many: `model.page_record.ResultsLater`."""

    def __init__(self, later: _Later, begin: int, length: int, only_done: tuple[str, ...] | None) -> None:
        self._later, self._begin, self._length, self.only_done = later, begin, length, only_done

    def make(self) -> tuple[Result, ...]:
        return tuple(self._later.all[self._begin : self._begin + self._length])


def _checks_only_done(column: Sequence[Any], many: int) -> Iterator[str | None]:
    """Of each of so many results in a column its check; None where it says more than that this was done."""
    if column[0] == "g":
        which = column[1]
        groups = [_checks_only_done(each, which.count(group)) for group, each in enumerate(column[2:])]
        return (next(groups[group]) for group in which)
    _, mask, checks, *_ = column
    return repeat(None, many) if mask & _SAYS_MORE else iter(plain_values(checks, many))


# The fields of a result that say more than `PageRecord.only_done`, as bits.
_SAYS_MORE = sum(
    1 << bit
    for bit, each in enumerate(dataclasses.fields(Result))
    if each.name not in ("check", "reason", "took", "by", "second_look", "paper", "notes", "place")
)


class Pieces:
    """What was put aside of many files, compressed, and read when the first of it is asked for: most never is."""

    def __init__(self, text: str) -> None:
        self._text = text

    @staticmethod
    def packed(pieces: Sequence[Sequence[Any]]) -> str:
        return binascii.b2a_base64(zlib.compress(as_json(pieces).encode(), 1), newline=False).decode() if pieces else ""

    @cached_property
    def all(self) -> Any:
        return read_json(zlib.decompress(binascii.a2b_base64(self._text)).decode())


class KeptLines(Mapping[tuple[str, str], int]):
    """`model.lines.Lines` as they were kept, read when the first of them is asked for."""

    def __init__(self, pieces: Pieces, number: int) -> None:
        self._pieces, self._number = pieces, number

    @cached_property
    def _lines(self) -> dict[tuple[str, str], int]:
        flat = self._pieces.all[self._number]
        return dict(zip(zip(flat[::3], flat[1::3], strict=True), flat[2::3], strict=True))

    def __getitem__(self, key: tuple[str, str]) -> int:
        return self._lines[key]

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return iter(self._lines)

    def __len__(self) -> int:
        return len(self._lines)


# Between strings that stand one behind the other: JSON has it as it is, and hardly any of them has it.
BETWEEN = "|"
PLAIN_SORTS = ("s", "S", "=")


def plain_column(values: Sequence[Any]) -> list[Any]:
    """A column of what JSON has itself: many strings are read in a tenth of the time where they are one."""
    kinds = {*map(type, values)}
    if len(kinds) == 1 and values.count(values[0]) == len(values):
        return ["=", values[0]]
    if kinds == {str} and BETWEEN not in "".join(values):
        return ["S", BETWEEN.join(values)]
    return ["s", *values]


def plain_values(column: Sequence[Any], many: int) -> list[Any]:
    """What `plain_column` packed, so many values; ValueError where it is another column."""
    sort, *values = column
    if sort == "s":
        return values
    if sort == "S":
        return list(values[0].split(BETWEEN))
    if sort == "=":
        return values * many
    raise ValueError(sort)


def as_json(value: object) -> str:
    """The shortest JSON of a value: all of it is ASCII, and no line break and no tab is in it."""
    return json.dumps(value, separators=(",", ":"))


def read_json(text: str) -> Any:
    """What `as_json` wrote; ValueError or StopIteration where it is nothing of the kind."""
    value, end = _SCAN(text, 0)
    if end != len(text):
        raise ValueError(text)
    return value


_SCAN: Callable[[str, int], tuple[Any, int]] = json.JSONDecoder().scan_once  # type: ignore[attr-defined]


_NEW: Any = object.__new__
_SET: Any = object.__setattr__
_KINDS: dict[str, Callable[[Iterator[Any]], object]] = {"t": tuple, "l": list, "f": frozenset}
_PLAIN = frozenset((type(None), str, int, bool))
_LETTERS: dict[type, str] = {
    **dict.fromkeys(_PLAIN, "s"),
    Decimal: "D",
    dt.date: "d",
    tuple: "t",
    list: "l",
    frozenset: "f",
}


def _made(plan: Assembly, facts: Iterator[dict[str, Any]]) -> list[Any]:
    """Nouns with these fields; of a field that is not among them the class has the default."""
    kind, found = plan.kind, []
    for own in facts:
        for name, make in plan.made:
            own[name] = make()
        noun = _NEW(kind)
        _SET(noun, "__dict__", own)
        found.append(noun)
    return found


def _in_slots(plan: Assembly, columns: Sequence[Sequence[Any]], many: int) -> list[Any]:
    """So many nouns that have slots, filled column by column."""
    found = [_NEW(plan.kind) for _ in range(many)]
    told: list[tuple[str, Iterable[Any]]] = [*zip(plan.given, columns, strict=True)]
    told += [(name, [make() for _ in found]) for name, make in plan.made]
    told += [(name, repeat(default)) for name, default in plan.rest]
    for name, values in told:
        deque(map(getattr(plan.kind, name).__set__, found, values), 0)
    return found


def _spread(files: Sequence[str], lengths: Sequence[int]) -> list[str]:
    """The file of each value of many that hold so many."""
    return [file for file, length in zip(files, lengths, strict=True) for _ in range(length)]


@cache
def _plan(module: str, name: str, mask: int) -> Assembly:
    """How nouns of this class are made of these fields: the same for all that is kept."""
    kind: Any = getattr(importlib.import_module(module), name)
    given, made, rest = [], [], []
    for bit, each in enumerate(dataclasses.fields(kind)):
        if mask >> bit & 1:
            given.append(each.name)
        elif each.default_factory is not dataclasses.MISSING:
            made.append((each.name, each.default_factory))
        elif each.default is dataclasses.MISSING:
            raise TypeError(each.name)
        else:
            rest.append((each.name, each.default))
    is_late = issubclass(kind, PageRecord) and "results" in given
    later = given.index("results") if is_late else None
    return Assembly(kind, tuple(given), tuple(made), tuple(rest), "__slots__" in vars(kind), later)


def _flat(lines: Mapping[tuple[str, str], int]) -> list[Any]:
    return [each for (key, own), line in lines.items() for each in (key, own, line)]


def _sort(value: Any, file: str) -> tuple[object, Any]:
    """What may stand in one column: the letter of its form, of a noun its class and mask; and what of it stands there.

    Of a place in its own file that is the line, of a noun the values of all its fields.
    """
    kind: Any = type(value)
    if kind in _LETTERS:
        return _LETTERS[kind], value
    if kind is Place and value.file == file:
        return "p", value.line
    if kind is KeptLines or (kind is dict and value and _are_lines(value)):
        return "L", _flat(value)
    if isinstance(value, Mapping):
        return "m", value
    if not _is_noun(kind):
        raise NotKept(kind.__name__)
    values, defaults = _fields_of(kind)
    row = values(value)
    return (kind, _mask(row, defaults)), row


def _are_lines(value: dict[Any, Any]) -> bool:
    """Whether this is `model.lines`: by two strings, the number of a line."""
    return (
        {*map(type, value)} == {tuple}
        and {*map(len, value)} == {2}
        and {*map(type, chain.from_iterable(value))} == {str}
        and {*map(type, value.values())} == {int}
    )


@cache
def _is_noun(kind: Any) -> bool:
    return dataclasses.is_dataclass(kind) and _may_be_noun(kind.__module__)


def _may_be_noun(module: str) -> bool:
    return module == ROOMS[0] or module.startswith(ROOMS[1])


def _mask(values: Sequence[Any], defaults: Sequence[object]) -> int:
    """The fields of a noun that are not their defaults, as bits.

    A default is that to the letter: of equal decimals only the one that is written alike.
    """
    mask, bit = 0, 1
    for own, default in zip(values, defaults, strict=True):
        if own is not default and (type(own) is not type(default) or own != default or repr(own) != repr(default)):
            mask |= bit
        bit <<= 1
    return mask


@cache
def _fields_of(kind: Any) -> tuple[Callable[[Any], Sequence[Any]], tuple[object, ...]]:
    """What gives the values of all fields of a class of nouns, and the default of each, `_NONE` where it has none."""
    defaults: list[object] = []
    for each in dataclasses.fields(kind):
        default = each.default
        if default is dataclasses.MISSING:
            default = _NONE if each.default_factory is dataclasses.MISSING else each.default_factory()
        defaults.append(default)
    names = [each.name for each in dataclasses.fields(kind)]
    if len(names) > 1:
        return attrgetter(*names), tuple(defaults)
    return (lambda noun: [getattr(noun, name) for name in names]), tuple(defaults)


# No value is of its class.
_NONE = object()
