"""Nouns as plain JSON and back, for what is kept of files that were read before.

    value  = null | true | false | number | string | list
    list   = ["D", text] a Decimal | ["d", text] a date | ["p", line] a place in the own file
           | ["t", value…] a tuple | ["l", value…] a list | ["f", value…] a set | ["m", key, value…] a mapping
           | ["T", string…] a tuple of strings | ["L", key, value, line…] where the keys of a noun stand (`model.lines`)
           | [class, mask, value…] a noun: the number of its class in `classes`, and the fields that are not their
             defaults, by the bits of `mask`

Only nouns of `model` and what `errors` defines are made, whatever a file says. They were checked by their constructors
when they were first made; here their fields are put in place without asking anew.
"""

import dataclasses
import datetime as dt
import importlib
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from inspect_kit.errors import Place

# The rooms of which a noun may be.
ROOMS = ("inspect_kit.errors", "inspect_kit.model.")
Setter = Callable[[Any, Any], None]


class NotKept(Exception):
    """A value that has no form here; what holds it is read anew each time."""


class Packer:
    """Packs the nouns of files; `classes` grows by what it meets, and is the same for all files kept together."""

    def __init__(self, classes: list[str]) -> None:
        self.classes = classes
        self.numbers = {name: number for number, name in enumerate(classes)}

    def pack(self, value: Any, file: str) -> Any:
        """The value as JSON; errors: NotKept."""
        kind = type(value)
        if value is None or kind in (str, int, bool):
            return value
        if kind is Decimal:
            return ["D", str(value)]
        if kind is dt.date:
            return ["d", str(value)]
        if isinstance(value, Place) and value.file == file:
            return ["p", value.line]
        if kind is dict and value and all(map(_is_line, value.items())):
            return ["L", *(each for (key, own), line in value.items() for each in (key, own, line))]
        if isinstance(value, Mapping):
            return ["m", *(self.pack(each, file) for pair in value.items() for each in pair)]
        if kind is tuple and value and all(type(each) is str for each in value):
            return ["T", *value]
        if kind in _LETTERS:
            return [_LETTERS[kind], *(self.pack(each, file) for each in value)]
        if not dataclasses.is_dataclass(kind) or not _is_noun(kind.__module__):
            raise NotKept(kind.__name__)
        mask, values = 0, []
        for bit, each in enumerate(dataclasses.fields(kind)):
            own = getattr(value, each.name)
            if not _is_default(each, own):
                mask |= 1 << bit
                values.append(self.pack(own, file))
        return [self._number(kind), mask, *values]

    def _number(self, kind: type) -> int:
        name = f"{kind.__module__}:{kind.__qualname__}"
        if name not in self.numbers:
            self.numbers[name] = len(self.classes)
            self.classes.append(name)
        return self.numbers[name]


class Unpacker:
    """Makes nouns of what was packed with these `classes`; whatever is no such thing raises one of FAULTS."""

    FAULTS = (LookupError, TypeError, ValueError, AttributeError, ArithmeticError, RecursionError, ImportError)

    def __init__(self, classes: list[str]) -> None:
        self.classes = classes
        self.plans: dict[tuple[int, int], Assembly] = {}

    def unpack(self, packed: Any, file: str) -> Any:
        """The value that was packed, of the file of this name."""
        plans = self.plans

        def value(packed: list[Any]) -> Any:
            head = packed[0]
            if head.__class__ is int:
                plan = plans.get((head, packed[1])) or self._plan(head, packed[1])
                noun = _NEW(plan.kind)
                for put, default in plan.defaults:
                    put(noun, default)
                for put, make in plan.made:
                    put(noun, make())
                at = 2
                for put in plan.given:
                    own = packed[at]
                    put(noun, value(own) if own.__class__ is list else own)
                    at += 1
                return noun
            if head == "p":
                return Place(file, packed[1])
            if head == "T":
                return tuple(packed[1:])
            if head == "L":
                return dict(zip(zip(packed[1::3], packed[2::3], strict=True), packed[3::3], strict=True))
            if head == "m":
                flat = [value(each) if each.__class__ is list else each for each in packed]
                return dict(zip(flat[1::2], flat[2::2], strict=True))
            if head == "D":
                return Decimal(packed[1])
            if head == "d":
                return dt.date.fromisoformat(packed[1])
            return _KINDS[head]([value(each) if each.__class__ is list else each for each in packed[1:]])

        return value(packed) if packed.__class__ is list else packed

    def _plan(self, number: int, mask: int) -> "Assembly":
        module, _, name = self.classes[number].partition(":")
        if number < 0 or not _is_noun(module):
            raise TypeError(module)
        plan = Assembly(getattr(importlib.import_module(module), name), mask)
        self.plans[number, mask] = plan
        return plan


class Assembly:
    """How a noun is made: its fields that are given, that have their default, and whose default is made each time."""

    def __init__(self, kind: type, mask: int) -> None:
        self.kind = kind
        self.given: list[Setter] = []
        self.defaults: list[tuple[Setter, object]] = []
        self.made: list[tuple[Setter, Callable[[], object]]] = []
        for bit, each in enumerate(dataclasses.fields(kind)):
            put: Setter = getattr(kind, each.name).__set__
            if mask >> bit & 1:
                self.given.append(put)
            elif each.default is not dataclasses.MISSING:
                self.defaults.append((put, each.default))
            elif each.default_factory is not dataclasses.MISSING:
                self.made.append((put, each.default_factory))
            else:
                raise TypeError(each.name)


_NEW: Any = object.__new__
_KINDS: dict[str, Callable[[list[Any]], object]] = {"t": tuple, "l": list, "f": frozenset}
_LETTERS: dict[type, str] = {tuple: "t", list: "l", frozenset: "f"}


def _is_line(item: tuple[Any, Any]) -> bool:
    """Whether this is one of `model.lines`: by two strings, the number of a line."""
    key, line = item
    return type(line) is int and type(key) is tuple and len(key) == 2 and all(type(each) is str for each in key)


def _is_noun(module: str) -> bool:
    return module == ROOMS[0] or module.startswith(ROOMS[1])


def _is_default(each: "dataclasses.Field[Any]", own: object) -> bool:
    """Whether a field holds its default to the letter: of equal decimals only the one that is written alike."""
    default = each.default
    if default is dataclasses.MISSING:
        if each.default_factory is dataclasses.MISSING:
            return False
        default = each.default_factory()
    return own is default or (type(own) is type(default) and own == default and repr(own) == repr(default))
