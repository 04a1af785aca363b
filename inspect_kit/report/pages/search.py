"""What was found by its words: where it stands, and the line that says it."""

import re
from collections.abc import Sequence

from inspect_kit.errors import Problem
from inspect_kit.report.blocks import Block, Listing, Page, Paragraph
from inspect_kit.report.screens.fit import cut, more, one_screen, problems_first
from inspect_kit.report.words import counted
from inspect_kit.text.searching import Found

# Characters of the line that has the words: with its place two lines of the screen at most.
OF_A_LINE = 100


def search_page(found: Sequence[Found], words: str, registration: str, problems: Sequence[Problem]) -> Page:
    """Everything that has the words, with its whole line."""
    return _page(found, words, registration, problems, len(found), whole=True)


def search_screen(found: Sequence[Found], words: str, registration: str, problems: Sequence[Problem]) -> Page:
    """The best of it on one screen."""
    return one_screen(lambda rows: _page(found, words, registration, problems, rows, whole=False), len(found))


def _page(
    found: Sequence[Found], words: str, registration: str, problems: Sequence[Problem], rows: int, *, whole: bool
) -> Page:
    shown = found[:rows]
    made: list[Block] = [*problems_first(problems), Paragraph(text=_told(found, words))]
    if shown:
        made.append(Listing(items=tuple(f"{each.place}: {_said(each, whole=whole)}" for each in shown)))
    if len(shown) < len(found):
        left = counted(len(found) - len(shown), "more place")
        made += [Paragraph(text=f"and {left}", tone="quiet"), more(f"find {words} --all")]
    return Page(title=f"Find: {words}, {registration}", blocks=tuple(made), dense=not whole)


def _said(each: Found, *, whole: bool) -> str:
    """The line that has the words, after what it belongs to where it does not say that itself."""
    line = re.sub(r"^(?:- \[.?\] |- |#+ )", "", each.text)
    text = line if each.title in line or each.title in str(each.place) else f"{each.title}: {line}"
    return text if whole else cut(text, OF_A_LINE)


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
