"""A file being read: its lines, and the problems found in it so far."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from inspect_kit.errors import Place, Problem
from inspect_kit.text.grammar import Unreadable

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Value:
    """Some characters of a file: `line` from 1; `column` from 0 in that line, or -1 when it spans several lines."""

    text: str
    line: int
    column: int = -1


@dataclass(slots=True)
class Source:
    """One file while it is read. Problems are collected; reading goes on."""

    file: str
    lines: list[str]
    problems: list[Problem] = field(default_factory=list)

    def place(self, line: int) -> Place:
        return Place(self.file, line)

    def problem(self, line: int, message: str, start: int | None = None, end: int | None = None) -> None:
        """Note a problem at a line; with `start` and `end` the line is shown with a caret under those columns."""
        where = Place(self.file, line)
        if start is None or not 0 < line <= len(self.lines):
            self.problems.append(Problem(where, message))
            return
        excerpt = self.lines[line - 1].rstrip("\r")
        start = min(start, len(excerpt))
        self.problems.append(Problem(where, message, excerpt, start, max(start + 1, end or start + 1)))

    def parse(self, parser: Callable[[str], T], value: Value, name: str) -> T | None:
        """The parsed value, or None with a problem that names the key and underlines the fault."""
        try:
            return parser(value.text)
        except Unreadable as fault:
            message = f"{name}: {fault.message}" if name else fault.message
            if value.column < 0:
                self.problem(value.line, message)
            else:
                end = fault.end if fault.end is not None else len(value.text)
                self.problem(value.line, message, value.column + fault.start, value.column + end)
            return None


def split_lines(text: str) -> list[str]:
    """The lines of a text without their endings; a CR before LF belongs to the ending."""
    return [line.removesuffix("\r") for line in text.split("\n")]


def one_line(value: str) -> str:
    """A value that stays on its line: line breaks and other control characters become blanks, the indent stays."""
    indent = value[: len(value) - len(value.lstrip(" "))]
    return indent + " ".join("".join(c if c.isprintable() else " " for c in value).split())
