"""A file being read: its lines, and the problems found in it so far."""

import re
from collections.abc import Callable
from dataclasses import field
from typing import TypeVar

from inspect_kit.errors import Place, Problem
from inspect_kit.noun import dataclass
from inspect_kit.text.grammar import Unreadable

T = TypeVar("T")

# Control characters and the breaks that some programs take for the end of a line (a CR before LF is none of them).
CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff]")
# Embeddings, overrides and isolates of Unicode TR9: what follows them is shown in another order than it is written.
TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")


@dataclass(frozen=True, slots=True)
class Value:
    """Some characters of a file: `line` from 1; `column` from 0 in that line, or -1 when they stand there other than
    they are read, over several lines or in quotes: then `begins` and `ends` are the columns of what does, or -1.
    """

    text: str
    line: int
    column: int = -1
    begins: int = -1
    ends: int = -1


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
        # A value that is quoted in a message may run over several lines; the message is one line.
        message = message.replace("\n", " ")
        if start is None or not 0 < line <= len(self.lines):
            self.problems.append(Problem(where, message))
            return
        excerpt = self.lines[line - 1]
        start = max(0, min(start, len(excerpt)))
        self.problems.append(Problem(where, message, excerpt, start, max(start + 1, end or start + 1)))

    def parse(self, parser: Callable[[str], T], value: Value, name: str) -> T | None:
        """The parsed value, or None with a problem that names the key and underlines the fault."""
        try:
            return parser(value.text)
        except Unreadable as fault:
            self.refuse(fault, value, name)
            return None

    def refuse(self, fault: Unreadable, value: Value, name: str) -> None:
        """Note what is wrong with a value, with the name of its key, and underline it."""
        message = f"{name}: {fault.message}" if name else fault.message
        if value.column < 0:
            width = len(self.lines[value.line - 1]) if 0 < value.line <= len(self.lines) else 0
            begins = value.begins if value.begins >= 0 else None
            self.problem(value.line, message, begins, value.ends if value.ends >= 0 else width)
        else:
            end = fault.end if fault.end is not None else len(value.text)
            self.problem(value.line, message, value.column + fault.start, value.column + end)


def split_lines(text: str) -> list[str]:
    """The lines of a text without their endings; a CR before LF belongs to the ending."""
    *lines, last = text.split("\n")
    return [*(line.removesuffix("\r") for line in lines), last]


def odd_character(line: str) -> str | None:
    """What is wrong with a line that holds a character no text file needs; None for all others."""
    if line.isprintable():
        # As nearly all are.
        return None
    if match := CONTROL.search(line):
        kind = "a control character"
        if match.group() in "\r\x0b\x0c\x85\u2028\u2029":
            kind = "a line break of another kind than the rest"
    elif match := TURNING.search(line):
        kind = "a character that turns the direction of writing"
    else:
        return None
    return f"{kind} (U+{ord(match.group()):04X}) stands in column {match.start() + 1}: take it out"


def one_line(value: str) -> str:
    """A value that stays on its line: line breaks and other control characters become blanks, the indent stays."""
    indent = value[: len(value) - len(value.lstrip(" "))]
    return indent + " ".join("".join(c if c.isprintable() else " " for c in value).split())
