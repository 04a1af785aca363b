"""Nouns as plain JSON and back, for what is kept of files that were read before.

    value  = null | true | false | number | string | list
    list   = ["D", text] a Decimal | ["d", text] a date | ["p", line] a place in the own file
           | ["t", value…] a tuple | ["l", value…] a list | ["f", value…] a set | ["m", key, value…] a mapping
           | ["T", string…] a tuple of strings | ["L", number] a piece: where the keys of a noun stand (`model.lines`)
           | [class, mask, value…] a noun: the number of its class in `classes`, and the fields that are not their
             defaults, by the bits of `mask`
           | ["c", class, mask, column…] a tuple of nouns of one class, field by field
    column = ["p", line…] places in the own file | ["s", string or number…] | ["v", value…]
    piece  = [key, value, line…] JSON of its own, which is read only when somebody asks

Only nouns of `model` and what `errors` defines are made, whatever a file says. They were checked by their constructors
when they were first made; here their fields are put in place without asking anew.
"""

import dataclasses
import datetime as dt
import importlib
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from functools import cached_property
from typing import Any, NamedTuple

from inspect_kit.errors import Place

# The rooms of which a noun may be.
ROOMS = ("inspect_kit.errors", "inspect_kit.model.")


class NotKept(Exception):
    """A value that has no form here; what holds it is read anew each time."""


class Packer:
    """Packs the nouns of files; `classes` grows by what it meets, and is the same for all files kept together."""

    def __init__(self, classes: list[str]) -> None:
        self.classes = classes
        self.numbers = {name: number for number, name in enumerate(classes)}

    def pack(self, value: Any, file: str, pieces: list[str]) -> Any:
        """The value as JSON; `pieces` grows by what is put aside. Errors: NotKept."""
        kind = type(value)
        if value is None or kind in (str, int, bool):
            return value
        if kind is Decimal:
            return ["D", str(value)]
        if kind is dt.date:
            return ["d", str(value)]
        if isinstance(value, Place) and value.file == file:
            return ["p", value.line]
        if kind is KeptLines or (kind is dict and value and all(map(_is_line, value.items()))):
            pieces.append(as_json([each for (key, own), line in value.items() for each in (key, own, line)]))
            return ["L", len(pieces) - 1]
        if isinstance(value, Mapping):
            return ["m", *(self.pack(each, file, pieces) for pair in value.items() for each in pair)]
        if kind is tuple and value and all(type(each) is str for each in value):
            return ["T", *value]
        if kind is tuple and len(value) > 1 and len(alike := {*map(type, value)}) == 1 and _is_noun(*alike):
            return self._alike(value, file, pieces)
        if kind in _LETTERS:
            return [_LETTERS[kind], *(self.pack(each, file, pieces) for each in value)]
        if not _is_noun(kind):
            raise NotKept(kind.__name__)
        mask, fields = _told([value])
        return [self._number(kind), mask, *(self.pack(getattr(value, name), file, pieces) for name in fields)]

    def _alike(self, nouns: Sequence[Any], file: str, pieces: list[str]) -> Any:
        mask, fields = _told(nouns)
        columns = []
        for name in fields:
            values = [getattr(noun, name) for noun in nouns]
            if all(isinstance(each, Place) and each.file == file for each in values):
                columns.append(["p", *(each.line for each in values)])
            elif all(each is None or type(each) in (str, int, bool) for each in values):
                columns.append(["s", *values])
            else:
                columns.append(["v", *(self.pack(each, file, pieces) for each in values)])
        return ["c", self._number(type(nouns[0])), mask, *columns]

    def _number(self, kind: type) -> int:
        name = f"{kind.__module__}:{kind.__qualname__}"
        if name not in self.numbers:
            self.numbers[name] = len(self.classes)
            self.classes.append(name)
        return self.numbers[name]


class Unpacker:
    """Makes nouns of what was packed with these `classes`; whatever is no such thing raises one of FAULTS."""

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

    def __init__(self, classes: list[str]) -> None:
        self.classes = classes
        self.plans: dict[tuple[int, int], Assembly] = {}

    def unpack(self, packed: Any, file: str, pieces: Sequence[str]) -> Any:
        """The value that was packed, of the file of this name, with the pieces that were put aside of it."""
        plans = self.plans

        def value(packed: list[Any]) -> Any:
            head = packed[0]
            if head.__class__ is int:
                kind, names, made = plans.get((head, packed[1])) or self._plan(head, packed[1])
                noun = _NEW(kind)
                values = [value(each) if each.__class__ is list else each for each in packed[2:]]
                own = dict(zip(names, values, strict=True))
                for name, make in made:
                    own[name] = make()
                _SET(noun, "__dict__", own)
                return noun
            if head == "p":
                return place(packed[1])
            if head == "T":
                return tuple(packed[1:])
            if head == "L":
                return KeptLines(pieces[packed[1]])
            if head == "c":
                return tuple(alike(packed[1], packed[2], packed[3:]))
            if head == "m":
                flat = [value(each) if each.__class__ is list else each for each in packed]
                return dict(zip(flat[1::2], flat[2::2], strict=True))
            if head == "D":
                return Decimal(packed[1])
            if head == "d":
                return dt.date.fromisoformat(packed[1])
            return _KINDS[head]([value(each) if each.__class__ is list else each for each in packed[1:]])

        def place(line: Any) -> Place:
            found: Place = _NEW(Place)
            _SET(found, "__dict__", {"file": file, "line": line})
            return found

        def column(packed: list[Any]) -> list[Any]:
            head, *values = packed
            if head == "s":
                return values
            if head == "p":
                return [place(line) for line in values]
            return [value(each) if each.__class__ is list else each for each in values]

        def alike(number: int, mask: int, columns: list[list[Any]]) -> Iterator[Any]:
            kind, names, made = plans.get((number, mask)) or self._plan(number, mask)
            if len(names) != len(columns):
                raise ValueError(mask)
            for values in zip(*map(column, columns), strict=True):
                noun = _NEW(kind)
                own = dict(zip(names, values))  # noqa: B905
                for name, make in made:
                    own[name] = make()
                _SET(noun, "__dict__", own)
                yield noun

        return value(packed) if packed.__class__ is list else packed

    def _plan(self, number: int, mask: int) -> "Assembly":
        module, _, name = self.classes[number].partition(":")
        if number < 0 or not _may_be_noun(module):
            raise TypeError(module)
        plan = _PLANS.get((module, name, mask))
        if plan is None:
            kind = getattr(importlib.import_module(module), name)
            plan = _PLANS[module, name, mask] = self._assembly(kind, mask)
        self.plans[number, mask] = plan
        return plan

    @staticmethod
    def _assembly(kind: Any, mask: int) -> "Assembly":
        given, made = [], []
        for bit, each in enumerate(dataclasses.fields(kind)):
            if mask >> bit & 1:
                given.append(each.name)
            elif each.default_factory is not dataclasses.MISSING:
                made.append((each.name, each.default_factory))
            elif each.default is dataclasses.MISSING:
                raise TypeError(each.name)
        # Of a field that is not given the class has the default.
        return Assembly(kind, tuple(given), tuple(made))


class Assembly(NamedTuple):
    """How a noun is made: its class, the fields that are given, and those whose default is made each time."""

    kind: type
    given: tuple[str, ...]
    made: tuple[tuple[str, Callable[[], object]], ...]


class KeptLines(Mapping[tuple[str, str], int]):
    """`model.lines.Lines` as they were kept, read when the first of them is asked for: most never are."""

    def __init__(self, piece: str) -> None:
        self._piece = piece

    @cached_property
    def _lines(self) -> dict[tuple[str, str], int]:
        flat = read_json(self._piece)
        return dict(zip(zip(flat[::3], flat[1::3], strict=True), flat[2::3], strict=True))

    def __getitem__(self, key: tuple[str, str]) -> int:
        return self._lines[key]

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return iter(self._lines)

    def __len__(self) -> int:
        return len(self._lines)


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


# By module, class and mask: the same for all that is kept.
_PLANS: dict[tuple[str, str, int], Assembly] = {}
_NEW: Any = object.__new__
_SET: Any = object.__setattr__
_KINDS: dict[str, Callable[[list[Any]], object]] = {"t": tuple, "l": list, "f": frozenset}
_LETTERS: dict[type, str] = {tuple: "t", list: "l", frozenset: "f"}


def _is_line(item: tuple[Any, Any]) -> bool:
    """Whether this is one of `model.lines`: by two strings, the number of a line."""
    key, line = item
    return type(line) is int and type(key) is tuple and len(key) == 2 and all(type(each) is str for each in key)


def _is_noun(kind: type) -> bool:
    return dataclasses.is_dataclass(kind) and _may_be_noun(kind.__module__)


def _may_be_noun(module: str) -> bool:
    return module == ROOMS[0] or module.startswith(ROOMS[1])


def _told(nouns: Sequence[Any]) -> tuple[int, list[str]]:
    """The fields of nouns of one class in which any of them is not its default, as bits and by name."""
    mask, names = 0, []
    for bit, each in enumerate(dataclasses.fields(nouns[0])):
        if not all(_is_default(each, getattr(noun, each.name)) for noun in nouns):
            mask |= 1 << bit
            names.append(each.name)
    return mask, names


def _is_default(each: "dataclasses.Field[Any]", own: object) -> bool:
    """Whether a field holds its default to the letter: of equal decimals only the one that is written alike."""
    default = each.default
    if default is dataclasses.MISSING:
        if each.default_factory is dataclasses.MISSING:
            return False
        default = each.default_factory()
    return own is default or (type(own) is type(default) and own == default and repr(own) == repr(default))
