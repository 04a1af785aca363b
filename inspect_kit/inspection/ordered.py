"""The boxes of a page in their order, as they stand numbered on a printed sheet, and the code of that sheet.

A line for each box says what a number on the paper means: its verb and id, and what is to be read there, in the order
of its wells. The code is made of the page and of the lines, so that ticks and values that are typed from a sheet cannot
land in other boxes than those that it showed, or on the page of another year or another aircraft.
"""

import difflib
import hashlib
import re
from collections.abc import Sequence

from inspect_kit.inspection.walk import check_of_box
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.text.grammar import CODE_ALPHABET

LENGTH = 6
SHEET_OF = "sheet of "


def box_lines(logbook: Logbook, page: Worksheet) -> tuple[str, ...]:
    """`remove cowl-lower`, `compression: cylinder 1, psi; cylinder 2, psi`, `2025-11-22-condition-j4jj#F3`."""
    found = []
    for entry in page.entries:
        check = check_of_box(logbook, entry)
        wells = "; ".join(
            f"{label}, {reads.measure}" for reads in (check.reads if check else ()) for label in reads.labels
        )
        found.append(" ".join(filter(None, (entry.verb, entry.id))) + (f": {wells}" if wells else ""))
    return tuple(found)


def sheet_lines(logbook: Logbook, page: Worksheet) -> tuple[str, ...]:
    """What a sheet was printed of, then its boxes: the same boxes stand on the page of every year and of every sister.

    `sheet of 2026-11-27-condition-mjxw, N0XX Sparrow 7`
    """
    aircraft = logbook.aircraft.identity
    head = f"{SHEET_OF}{page.name}, {aircraft.registration} {aircraft.make} {aircraft.serial}"
    return (head, *box_lines(logbook, page))


def code_of(lines: Sequence[str]) -> str:
    """Six characters of the SHA-256 of the lines, each with a line feed behind it, in UTF-8.

    The digest is read as one number, the first byte the highest; the characters are its six lowest digits to the base
    of CODE_ALPHABET, the lowest first. About one order in 390 million has the code of another.
    """
    number = int.from_bytes(hashlib.sha256("".join(f"{line}\n" for line in lines).encode()).digest(), "big")
    code = ""
    for _ in range(LENGTH):
        number, digit = divmod(number, len(CODE_ALPHABET))
        code += CODE_ALPHABET[digit]
    return code


def as_code(typed: str) -> str:
    """A code as it was typed from paper: capitals, blanks and hyphens make no difference."""
    return re.sub(r"[\s-]+", "", typed).casefold()


def changed(before: Sequence[str], now: Sequence[str]) -> tuple[str, ...]:
    """What became of the boxes of a sheet, in a sentence for each stretch; their numbers are those of the sheet."""
    told = []
    for kind, first, last, other, end in difflib.SequenceMatcher(None, before, now, autojunk=False).get_opcodes():
        gone = [f"{number + 1} `{before[number]}`" for number in range(first, last)]
        come = [f"`{line}`" for line in now[other:end]]
        where = f"behind box {first}" if first else "at the top"
        if kind == "delete":
            told.append(f"no longer there: {', '.join(gone)}")
        elif kind == "insert":
            told.append(f"new {where}: {', '.join(come)}")
        elif kind == "replace":
            told.append(f"{', '.join(gone)} became {', '.join(come)}")
    return tuple(told)
