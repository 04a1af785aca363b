"""What can go wrong, and how it is told.

    InspectKitError            going on is impossible; str() is a sentence for people
    |-- Refused                the answer is no (exit 1): may not be signed, broken seal
    |-- Misused                the command cannot be understood as given (exit 2)
    |-- StoreUnreadable        the store cannot be found, read or written (exit 3)
    '-- ProgramFault           the program contradicts itself (exit 4)

Whatever is wrong *inside* a file is not an exception: it is a Problem, a value that is collected with all others.
"""

import dataclasses
import re
from dataclasses import replace

from inspect_kit.noun import dataclass

# Characters of a line that is shown with a caret.
WIDEST = 240
YES, NO, USAGE, UNREADABLE, FAULT, INTERRUPTED = 0, 1, 2, 3, 4, 130


def is_interrupt(fault: BaseException | None) -> bool:
    """Whether this is Ctrl-C, or what Python made of it: before 3.12 a class that is being made tells whatever one of
    its names raises as a RuntimeError with that for its cause (python/cpython issue 77757)."""
    while fault is not None:
        if isinstance(fault, KeyboardInterrupt):
            return True
        fault = fault.__cause__
    return False


# In slots, as thousands of them are made of facts that were kept: `store.packed` fills these by the column.
@dataclasses.dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something stands: `file` relative to the store, with forward slashes; `line` from 1 (0: the whole file)."""

    file: str
    line: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}" if self.line else self.file


@dataclass(frozen=True, slots=True, order=True)
class Fallen:
    """A reading of `meter` that is lower than one before it, which `earlier` holds."""

    meter: str
    earlier: Place


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """Something that cannot be read or contradicts itself.

    `excerpt` is the line of the file it stands on (without its ending); `start` and `end` are the character columns
    in it, from 0, that the caret underlines. A `note` is what a sealed record says wrongly: nobody can change it any
    more, so `verify` tells it, and no answer is incomplete by it. `fallen` is what is wrong, where it is that. `unless`
    is the end of the message that names the key whose words would make it right.
    """

    place: Place
    message: str
    excerpt: str | None = None
    start: int = 0
    end: int = 0
    note: bool = False
    fallen: Fallen | None = None
    unless: str = ""

    def pointing(self, line: str) -> "Problem":
        """The same with its line, and the caret under the first word it quotes, or the key it begins with, that stands
        there, else under the whole line; what is said of a file as a whole, in its first line, stays as it is.
        """
        key, colon, _ = self.message.partition(": ")
        for word in (*re.findall(r"`([^`]+)`", self.message), key.partition("[")[0] if colon else ""):
            if word and (at := line.find(word)) >= 0:
                return replace(self, excerpt=line, start=at, end=at + len(word))
        if self.place.line == 1 or not line.strip():
            return self
        return replace(self, excerpt=line, start=len(line) - len(line.lstrip()), end=len(line.rstrip()))

    def __str__(self) -> str:
        head = f"{self.place}: {self.message}"
        if self.excerpt is None:
            return head
        # Of a line that fills screens only what stands round the caret is shown.
        begin = max(0, self.start - WIDEST // 2) if len(self.excerpt) > WIDEST else 0
        shown = self.excerpt[begin : begin + WIDEST]
        start, end = self.start - begin, min(self.end - begin, len(shown))
        # A tab keeps its width under the tab above it, so the caret lands on the right character.
        lead = "".join("\t" if character == "\t" else " " for character in shown[:start])
        mark = "~" * max(0, end - start - 1) + "^"
        return f"{head}\n    {shown}\n    {lead}{mark}"


class InspectKitError(Exception):
    """Going on is impossible; `code` is the exit code."""

    code = FAULT


class Refused(InspectKitError):
    """The answer is no."""

    code = NO


class Misused(InspectKitError):
    """The command cannot be understood as given."""

    code = USAGE


class StoreUnreadable(InspectKitError):
    """The store cannot be found, read or written."""

    code = UNREADABLE


class ProgramFault(InspectKitError):
    """The program contradicts itself: a fault to report."""

    code = FAULT
