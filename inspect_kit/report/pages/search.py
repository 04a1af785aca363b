"""What was found by its words: where it stands, and the line that says it."""

import re
from collections.abc import Sequence

from inspect_kit.errors import Problem
from inspect_kit.report.blocks import Block, Listing, Page, Paragraph
from inspect_kit.report.screens.fit import LINES, ROOM, cut, more, one_screen, problems_first
from inspect_kit.report.words import counted
from inspect_kit.text.searching import Found, plain_words

# Characters of the line that has the words, and cells of each line of the screen that are not theirs.
OF_A_LINE, BESIDE_A_LINE = 100, 8


def search_page(found: Sequence[Found], words: str, registration: str, problems: Sequence[Problem]) -> Page:
    """Everything that has the words, with its whole line."""
    return _page(found, words, registration, problems, len(found), None)


def search_screen(
    found: Sequence[Found], words: str, registration: str, problems: Sequence[Problem], room: int = ROOM
) -> Page:
    """The best of it on one screen of `room` cells."""
    # Each place takes a line or more.
    most = min(len(found), LINES)
    return one_screen(lambda rows: _page(found, words, registration, problems, rows, room), most, room)


def _page(
    found: Sequence[Found], words: str, registration: str, problems: Sequence[Problem], rows: int, room: int | None
) -> Page:
    """So many of them; with lines that are cut for a screen of `room` cells."""
    shown = found[:rows]
    wanted = plain_words(words).split()
    made: list[Block] = [*problems_first(problems), Paragraph(text=_told(found, words))]
    if shown:
        made.append(Listing(items=tuple(f"{each.place}: {_said(each, wanted, room)}" for each in shown)))
    if len(shown) < len(found):
        left = counted(len(found) - len(shown), "more place")
        made += [Paragraph(text=f"and {left}", tone="quiet"), more(f"find {words} --all")]
    return Page(title=f"Find: {words}, {registration}", blocks=tuple(made), dense=room is not None)


def _said(each: Found, wanted: Sequence[str], room: int | None) -> str:
    """The line that has the words, after what it belongs to where it does not say that itself."""
    line = re.sub(r"^(?:- \[.?\] |- |#+ |> )", "", each.text)
    text = line if each.title in line or each.title in str(each.place) else f"{each.title}: {line}"
    if room is None:
        return text
    # Two lines, each with what stands before it, less what breaking between words may leave empty.
    return _around(text, wanted, min(OF_A_LINE, 2 * (min(room, ROOM) - BESIDE_A_LINE) - len(str(each.place))))


def _around(text: str, wanted: Sequence[str], most: int) -> str:
    """The text, cut so that a word that was looked for is left: `Placards and marks … oil temperature, …`."""
    told = cut(text, most)
    if told == text or any(word in plain_words(told) for word in wanted):
        return told
    pieces = text.split(" ")
    at = next((at for at, piece in enumerate(pieces) if any(word in plain_words(piece) for word in wanted)), 0)
    head = cut(text, most // 2)
    return f"{head} {cut(' '.join(pieces[at:]), most - len(head) - 1)}"


def _told(found: Sequence[Found], words: str) -> str:
    if not found:
        return f"Nothing in the checklists and records of this aircraft has all of: {words}"
    return f"{counted(len(found), 'place')}, what is called so first, then by the words, the newest first."


def search_json(found: Sequence[Found], words: Sequence[str]) -> dict[str, object]:
    """format 2: the words; of each place file, line, its text, what it belongs to, and how it fits (`Found.rank`)."""
    return {
        "format": 2,
        "words": list(words),
        "found": [
            {
                "file": each.place.file,
                "line": each.place.line,
                "title": each.title,
                "text": each.text,
                "fits": each.rank,
                "date": str(each.date) if each.date else None,
            }
            for each in found
        ],
    }
