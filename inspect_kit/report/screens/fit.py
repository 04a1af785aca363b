"""How much of an answer fits a screen of 24 lines (23 and the prompt), 80 cells wide or what it is shown on.

What may be cut is cut to the room there is: a caution that is cut beside an empty half of the line is read by nobody.

What is never cut (reasons, past due, not to be used) is each screen's to say: `due.reason_lines`, which serves `status`
too, `due._head` and `due._pressing`, and for several aircraft `hangar`.
"""

from collections.abc import Callable, Iterator, Sequence

from inspect_kit.errors import Problem
from inspect_kit.report import plain
from inspect_kit.report.blocks import QUIET, STOP, Block, Listing, Page, Paragraph, Table
from inspect_kit.report.measure import words_together
from inspect_kit.report.words import counted

ROOM = 80
# The last line of a screen is where the next command is typed.
LINES = 23
DEFERS = "Operating limitations, makers' instructions and current rules prevail."


def one_screen(make: Callable[[int], Page], most: int, room: int = ROOM) -> Page:
    """The page with as many rows as fit, from `most` down to none; with none it may be longer: the rest is never cut.

    `make` gives the page with so many rows beside what always stands there; `room` is how many cells a line has.
    """
    for rows in range(most, 0, -1):
        page = make(rows)
        # Each row takes a line or more: where there are too many of them nothing needs to be laid out.
        if sum(map(_rows, page.blocks)) <= LINES and screen_lines(page, room) <= LINES:
            return page
    return make(0)


def _rows(block: Block) -> int:
    return len(block.rows) if isinstance(block, Table) else len(block.items) if isinstance(block, Listing) else 1


def screen_lines(page: Page, room: int = ROOM) -> int:
    return sum(1 for _ in plain.lines(page, room))


def so_many_at(most: int, room: int) -> int:
    """How many characters of what may be cut, where there are `most` on a screen of 80 cells."""
    return most * room // ROOM


def problems_first(problems: Sequence[Problem]) -> Iterator[Block]:
    """That problems were told, first of all; nothing where there are none."""
    if problems:
        text = f"INCOMPLETE: {counted(len(problems), 'problem')} in the files; `inspect-kit verify` lists them."
        yield Paragraph(text=text, tone=STOP)


def more(*ways: str) -> Paragraph:
    """Where the rest is: `More: due --all; due ITEM`."""
    return Paragraph(text=f"More: {'; '.join(ways)}", tone=QUIET)


def cut(text: str, most: int) -> str:
    """The text, cut between words where it is longer than `most` characters, with a sign that it goes on.

    A number is not left alone at the end: `3 …` says nothing.
    """
    if len(text) <= most:
        return text
    kept = ""
    for words in words_together(text):
        if len(kept) + len(words) + 1 > most - 2:
            break
        kept = f"{kept} {words}" if kept else words
    if kept:
        return f"{kept.rstrip(',;:')} …"
    return f"{text[: most - 2].rsplit(' ', 1)[0].rstrip(',;:')} …"
