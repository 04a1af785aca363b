"""Walking a page at the aircraft: which box comes next, what it asks, and which may be answered together."""

from collections.abc import Collection
from dataclasses import dataclass

from inspect_kit.model.checklist import OTHERS, Check
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Entry, Worksheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """Something a box still asks to be written: a reading by its label, `good until`, `paper`, `used` or
    `second look by`."""

    key: str
    measure: str = ""
    is_reading: bool = False


def blanks(entry: Entry, check: Check | None) -> tuple[Blank, ...]:
    """What is still to be written under a box, in the order in which it is asked."""
    if entry.answer:
        return ()
    found = []
    written = {reading.label for reading in entry.readings if reading.value}
    for reads in check.reads if check else ():
        for label in reads.labels:
            if label not in written:
                found.append(Blank(key=label, measure=reads.measure, is_reading=True))
    if ((check and check.marked) or entry.good_until is not None) and not entry.good_until:
        found.append(Blank(key="good until"))
    if ((check and check.who == OTHERS) or entry.paper is not None) and not entry.paper:
        found.append(Blank(key="paper"))
    if ((check and check.uses) or entry.used is not None) and not entry.used:
        found.append(Blank(key="used"))
    if ((check and check.second_look) or entry.second_look is not None) and not entry.second_look:
        found.append(Blank(key="second look by"))
    return tuple(found)


def is_settled(entry: Entry, check: Check | None) -> bool:
    """Whether a box needs no more of the person: answered, and nothing left blank."""
    return entry.answered and not blanks(entry, check)


def asked_alone(entry: Entry, check: Check | None) -> bool:
    """Whether a box is always asked one by one: panels, standing findings, readings, cautions, a second look."""
    return not entry.is_check or check is None or bool(check.cautions or blanks(entry, check) or entry.findings)


def next_box(logbook: Logbook, page: Worksheet, later: Collection[int] = (), start: int = 0) -> int | None:
    """The first box from `start` on that is not settled and was not left for later; None when there is none."""
    for at in range(start, len(page.entries)):
        if at not in later and not is_settled(page.entries[at], check_of(logbook, page.entries[at])):
            return at
    return None


def together(logbook: Logbook, page: Worksheet, box: int) -> tuple[int, ...]:
    """The boxes from `box` on that one answer may tick together: simple checks of one panel, one after another."""
    first = check_of(logbook, page.entries[box])
    found = []
    for at in range(box, len(page.entries)):
        entry = page.entries[at]
        check = check_of(logbook, entry)
        if asked_alone(entry, check) or check is None or first is None or check.panel != first.panel:
            break
        if not entry.answered:
            found.append(at)
    return tuple(found)


def check_of(logbook: Logbook, entry: Entry) -> Check | None:
    """The check of a box; None for a panel, a standing finding, or a check that the checklists no longer hold."""
    return logbook.checks.get(logbook.id_now(entry.id)) if entry.is_check else None


def progress(logbook: Logbook, page: Worksheet) -> tuple[int, int]:
    """How many boxes are settled, and how many there are."""
    settled = sum(is_settled(entry, check_of(logbook, entry)) for entry in page.entries)
    return settled, len(page.entries)
