"""Typed reading of a YAML mapping: every key is asked for by name and type, what is left over is unknown."""

import datetime as dt
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import TypeVar

from inspect_kit.text.fields import Mapping, Node, Scalar, Sequence
from inspect_kit.text.grammar import Unreadable, did_you_mean, parse_date, parse_number, split_at
from inspect_kit.text.source import Source, Value
from inspect_kit.text.spelling import Keys, flat, spellings

T = TypeVar("T")


def _split(node: Node, parser: Callable[[str], object]) -> tuple[Node, ...]:
    """The words of `a, b` where the parser takes no commas; else the node itself."""
    if isinstance(node, Scalar) and node.plain and "," in node.text and node.end[0] == node.line:
        try:
            parser(node.text)
        except Unreadable:
            words = split_at(node.text, ",")
            return tuple(Scalar(word, node.line, node.column + at, "", node.end) for word, at in words)
    return (node,)


def _texts(node: Node) -> Iterator[Scalar]:
    """Every value below a node that stands over several lines without quotes."""
    match node:
        case Scalar():
            if node.end[0] > node.line and node.style not in ("'", '"'):
                yield node
        case Sequence():
            for item in node.items:
                yield from _texts(item)
        case Mapping():
            for _, value in node.pairs:
                yield from _texts(value)


class Fields:
    """One mapping while it is read; `path` leads to it in messages (`meters`, `people[2]`).

    Each getter returns None, or an empty value, both for an absent key and for one that cannot be read; the latter
    has left a problem in the source. `finish` reports the keys that nobody asked for.
    """

    def __init__(self, node: Mapping, source: Source, path: str = "") -> None:
        self.node, self.source, self.path = node, source, path
        self.asked: set[str] = set()
        self.values = {name.text: value for name, value in node.pairs}

    @property
    def line(self) -> int:
        return self.node.line

    def has(self, key: str) -> bool:
        return self.values.get(key) is not None

    def name(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def problem(self, key: str, message: str) -> None:
        """A problem with the value of a key, with the key itself where that is no plain value, or with the whole."""
        name = self._key(key)
        node = self.values.get(key)
        if name is None:
            self.source.problem(self.node.line, f"{self.name(key)}: {message}")
        elif isinstance(node, Scalar) and node.line == name.line and node.text:
            self.source.problem(name.line, f"{self.name(key)}: {message}", node.column, node.column + len(node.text))
        else:
            self.problem_with(name, f"{self.name(key)}: {message}")

    def problem_with(self, name: Scalar, message: str) -> None:
        """A problem with a key, underlined."""
        self.source.problem(name.line, message, name.column, name.column + len(name.text))

    def missing(self, key: str) -> None:
        """A problem: the mapping does not have this key; with a caret under one that may have been meant for it."""
        known = Keys((key,))
        for name, _ in self.node.pairs:
            for spelled in spellings(flat(name.text) + ":"):
                if name.text not in self.asked and (known.meant(spelled.key) or known.near(spelled.key)):
                    self.problem_with(name, f"{self.name(key)} is missing: is `{name.text[:60]}` meant for it?")
                    return
        self.source.problem(self.node.line, f"{self.name(key)} is missing")

    def _key(self, key: str) -> Scalar | None:
        return next((name for name, _ in self.node.pairs if name.text == key), None)

    def _is_left_out(self, key: str) -> bool:
        """Whether the mapping does not have this key, as most have few of those that it may; it is known by now."""
        self.asked.add(key)
        return key not in self.values

    def node_of(self, key: str, *, required: bool = False) -> Node | None:
        self.asked.add(key)
        node = self.values.get(key)
        if node is None and required:
            self.missing(key)
        return node

    def parsed(self, key: str, parser: Callable[[str], T], *, required: bool = False) -> T | None:
        """The value of a key as `parser` reads it."""
        if self._is_left_out(key) and not required:
            return None
        node = self.node_of(key, required=required)
        if node is None:
            return None
        if not isinstance(node, Scalar):
            self.problem(key, "expected one value, not a list or a mapping")
            return None
        return self.parse_scalar(node, parser, self.name(key))

    def parse_scalar(self, node: Scalar, parser: Callable[[str], T], name: str) -> T | None:
        text = node.text.strip()
        if not text:
            self.source.problem(node.line, f"{name} has no value", node.column)
            return None
        try:
            return parser(text)
        except Unreadable as fault:
            # A quoted or folded value does not stand in the line as it is read: no caret then.
            column = node.column if node.plain and "\n" not in node.text else -1
            if column >= 0 and self.source.lines[node.line - 1][column : column + len(text)] != text:
                column = -1
            ends = node.end[1] if node.end[0] == node.line else -1
            self.source.refuse(fault, Value(text, node.line, column, node.column, ends), name)
            return None

    def text(self, key: str, *, required: bool = False) -> str:
        if self._is_left_out(key) and not required:
            return ""
        return self.parsed(key, str, required=required) or ""

    def date(self, key: str, *, required: bool = False) -> dt.date | None:
        return self.parsed(key, parse_date, required=required)

    def number(self, key: str, *, required: bool = False) -> Decimal | None:
        return self.parsed(key, parse_number, required=required)

    def list_of(self, key: str, parser: Callable[[str], T], *, required: bool = False) -> tuple[T, ...]:
        """A list of values; a single value counts as a list of one, and one with commas as items write a list."""
        if self._is_left_out(key) and not required:
            return ()
        node = self.node_of(key, required=required)
        if node is None:
            return ()
        items = node.items if isinstance(node, Sequence) else _split(node, parser)
        found = []
        for index, item in enumerate(items):
            name = f"{self.name(key)}[{index + 1}]" if isinstance(node, Sequence) else self.name(key)
            if isinstance(item, Scalar):
                value = self.parse_scalar(item, parser, name)
                if value is not None:
                    found.append(value)
            else:
                told = f"{name}: expected one value, not a list or a mapping"
                self.source.problem(item.line, told, item.column)
        return tuple(found)

    def texts(self, key: str, *, required: bool = False) -> tuple[str, ...]:
        return self.list_of(key, str, required=required)

    def on_one_line(self, key: str) -> None:
        """A problem where a value of a key goes on below its line: what stands there would be read as part of it."""
        for each in _texts(self.values[key]) if key in self.values else ():
            told = f"{self.name(key)}: goes on below, which would be read as part of it: write it on one line"
            self.source.problem(each.line, told, each.column)

    def mapping(self, key: str, *, required: bool = False) -> "Fields | None":
        """The mapping under a key, to be read and finished by the caller."""
        node = self.node_of(key, required=required)
        if node is None:
            return None
        if not isinstance(node, Mapping):
            self.problem(key, "expected keys and values")
            return None
        return Fields(node, self.source, self.name(key))

    def mappings(self, key: str, *, required: bool = False) -> "tuple[Fields, ...]":
        """A list of mappings under a key."""
        node = self.node_of(key, required=required)
        if node is None:
            return ()
        if not isinstance(node, Sequence):
            self.problem(key, "expected a list")
            return ()
        found = []
        for index, item in enumerate(node.items):
            name = f"{self.name(key)}[{index + 1}]"
            if isinstance(item, Mapping):
                found.append(Fields(item, self.source, name))
            else:
                self.source.problem(item.line, f"{name}: expected keys and values", item.column)
        return tuple(found)

    def each(self) -> Iterator[tuple[Scalar, Node]]:
        """Every key with its value, for a mapping whose keys are names of the owner's own."""
        for name, value in self.node.pairs:
            self.asked.add(name.text)
            yield name, value

    def each_parsed(self, parser: Callable[[str], T]) -> dict[str, T]:
        """Name and parsed value for a mapping of names of the owner's own to plain values."""
        found: dict[str, T] = {}
        for name, value in self.each():
            if not isinstance(value, Scalar):
                self.problem_with(name, f"{self.name(name.text)}: expected one value")
                continue
            parsed = self.parse_scalar(value, parser, self.name(name.text))
            if parsed is not None:
                found[name.text] = parsed
        return found

    def each_mapping(self) -> "Iterator[tuple[Scalar, Fields]]":
        """Name and mapping for a mapping of names of the owner's own to mappings; an empty value counts as {}."""
        for name, value in self.each():
            if isinstance(value, Mapping):
                yield name, Fields(value, self.source, self.name(name.text))
            elif isinstance(value, Scalar) and value.plain and not value.text:
                yield name, Fields(Mapping((), value.line), self.source, self.name(name.text))
            else:
                self.problem_with(name, f"{self.name(name.text)}: expected keys and values")

    def look_into_texts(self) -> None:
        """Keys of this mapping at the beginning of a line over which a text goes on: YAML takes them for the text."""
        if not self.node.has_texts:
            return
        keys = Keys(self.asked)
        for text in _texts(self.node):
            last = text.end[0] if text.plain else text.end[0] - 1
            for number in range(text.line + 1, min(last, len(self.source.lines)) + 1):
                for spelled in spellings(flat(self.source.lines[number - 1])):
                    # Who writes `|` or `>` says that it is a text: there only what is a key to the letter is doubted.
                    to_the_letter = spelled.key in self.asked and spelled.colon == ":"
                    # What was sealed was folded by the program, at a semicolon perhaps, and read back.
                    folded = "seal" in self.values and spelled.colon in ";="
                    meant = keys.meant(spelled.key) or keys.near(spelled.key)
                    if to_the_letter or (text.plain and meant and not folded):
                        told = f"`{spelled.key}` stands inside a text of several lines: move it out, or quote the text"
                        self.source.problem(number, told, spelled.start, spelled.end)
                        break

    def lines(self) -> dict[tuple[str, str], int]:
        """Where each key stands, and each plain value of its list or key below it; see `model.lines`."""
        found: dict[tuple[str, str], int] = {}
        for name, value in self.node.pairs:
            found[name.text, ""] = name.line
            match value:
                case Sequence():
                    below: tuple[Node, ...] = value.items
                case Mapping():
                    below = tuple(key for key, _ in value.pairs)
                case _:
                    below = ()
            for item in below:
                if isinstance(item, Scalar):
                    found.setdefault((name.text, item.text.strip()), item.line)
        return found

    def finish(self) -> None:
        """Report every key that nobody asked for, with the nearest one that is known, and keys inside a text."""
        self.look_into_texts()
        for name, _ in self.node.pairs:
            if name.text not in self.asked:
                hint = did_you_mean(name.text, self.asked)
                where = f" in {self.path}" if self.path else ""
                self.problem_with(name, f"unknown key `{name.text[:60]}`{where}{hint}")
