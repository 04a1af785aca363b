"""The boxes of a page by what they are called: a page may be changed by hand meanwhile, and then numbers shift."""

from typing import NamedTuple

from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet


class Box(NamedTuple):
    """A box by its name: verb and id as they stand on the page, and the how-manieth of these it is (from 0)."""

    verb: str
    id: str
    time: int = 0


def box_at(page: Worksheet, at: int) -> Box:
    """The name of the box at a place (from 0) of the page."""
    entry = page.entries[at]
    same = [other for other in page.entries[:at] if (other.verb, other.id) == (entry.verb, entry.id)]
    return Box(entry.verb, entry.id, len(same))


def index_of(page: Worksheet, box: Box) -> int | None:
    """Where a box stands on the page (from 0); None when it stands there no more."""
    same = [at for at, entry in enumerate(page.entries) if (entry.verb, entry.id) == (box.verb, box.id)]
    return same[box.time] if box.time < len(same) else None


def called(logbook: Logbook, page: Worksheet, words: str) -> tuple[int, ...]:
    """The boxes that a number, or part of an id, of a text or of a panel's name may mean, in the order of the page.

    A number means the box of that number, from 1. All of the words must be found, in any order and case.
    """
    if words.isascii() and words.isdigit():
        return (int(words) - 1,) if 0 < int(words[:9]) <= len(page.entries) else ()
    parts = words.casefold().split()
    found = []
    for at, entry in enumerate(page.entries):
        panel = logbook.panel_in(entry)
        named = " ".join((entry.verb, entry.id, entry.text, panel.id if panel else "", panel.name if panel else ""))
        if parts and all(part in named.casefold() for part in parts):
            found.append(at)
    return tuple(found)
