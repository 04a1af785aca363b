"""A part that sat on what came out, such as a magneto on an engine: whether it stayed, as records say."""

import re
from collections.abc import Iterator

from inspect_kit.due.chronicle import Chronicle, chronicle
from inspect_kit.due.fitting import Fitting, all_fittings, present
from inspect_kit.errors import Problem
from inspect_kit.model.aircraft import Position
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.installed import NO_SERIAL, Installed
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.noun import dataclass

# The word by which an entry says it of the positions or serials beside it, up to the next semicolon or full stop.
STAYED = "stayed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsaid:
    """A part that is fitted, and the record by which what it sat on came out of `below` with no word of it."""

    part: Fitting
    below: str
    record: Installed | Removed

    @property
    def words(self) -> str:
        part = self.part
        named = "the part" if part.serial.casefold() == NO_SERIAL else f"serial {part.serial}"
        told = f"whether {named} stayed in {part.position} when {self.below} was changed on {self.record.date}"
        return f"{told} is not on record ({self.record.place})"


def sat_unsaid(book: Chronicle) -> dict[str, tuple[Unsaid, ...]]:
    """What is unsaid of the part in each position, by position."""
    return book.logbook.once("sat unsaid", lambda: {each: tuple(_unsaid(book, each)) for each in all_fittings(book)})


def stay_unsaid(logbook: Logbook) -> tuple[Problem, ...]:
    """A note for each record of what came out that is silent of what sat on it, with the line to write."""
    silent: dict[str, list[Unsaid]] = {}
    for own in sat_unsaid(chronicle(logbook)).values():
        for each in own:
            silent.setdefault(each.record.name, []).append(each)
    return tuple(_note(own) for own in silent.values())


def _note(silent: list[Unsaid]) -> Problem:
    record, positions = silent[0].record, [each.part.position for each in silent]
    own, they = ", ".join(positions), "it" if len(positions) == 1 else "they"
    line = f"`text: \"{STAYED}: {own}\"`" if not record.text else f"`; {STAYED}: {own}` at the end of its `text`"
    told = f"nothing says whether what is in {own} stayed when {silent[0].below} was changed, and what counts there"
    gone = f"what went out with it has a `removed` of its own: inspect-kit --on {record.date} remove {positions[0]}"
    words = f"text: {told} is unknown: {line} says that {they} stayed; {gone}"
    return Problem(place_of(record, "text"), words, note=True)


def _unsaid(book: Chronicle, name: str) -> Iterator[Unsaid]:
    """Of the part in a position by what it sits on, or sits on in its turn where that is a position always empty."""
    fittings, positions = all_fittings(book), book.logbook.aircraft.positions
    part = present(fittings.get(name, ()))
    on, seen = positions.get(name), {name}
    while part is not None and on is not None and on.retired is None and on.on not in (None, *seen):
        below = positions.get(book.logbook.id_now(on.on or ""))
        for stay in fittings.get(below.id, ()) if below is not None else ():
            record = book.logbook.record(stay.end.record) if stay.end is not None else None
            if below is not None and isinstance(record, Installed | Removed) and _is_silent(book, part, below, record):
                yield Unsaid(part=part, below=below.id, record=record)
        if below is None or below.id in fittings:
            return
        seen.add(below.id)
        on = below


def _is_silent(book: Chronicle, part: Fitting, below: Position, record: Installed | Removed) -> bool:
    """Whether a part was there before what it sat on came out, and nothing since says that it stayed."""
    logbook, day = book.logbook, record.date
    if part.start.date is not None and part.start.date >= day and not part.brought:
        return False
    for start in logbook.of_kind(BroughtForward):
        if start.date >= day and any(logbook.id_now(each.position) == part.position for each in start.fitted):
            return False
    nameless = part.serial.casefold() == NO_SERIAL
    names = [part.position, *logbook.aircraft.positions[part.position].was, *([] if nameless else [part.serial])]
    later = (each for each in logbook.of_kind(Installed) if each.date > day)
    again = [each for each in later if logbook.id_now(each.position) == below.id]
    told = (*(each for each in logbook.records if each.date == day), *again[:1])
    own = {each.casefold() for each in names}
    return not any(own & _said_to_stay(book, each.text) for each in told)


def _said_to_stay(book: Chronicle, text: str) -> set[str]:
    """The positions and serials of which a text says that what is there stayed, and nothing else: `stayed: A, B`, or
    `A and B stayed`. In any other sentence the word may be said of another part, or with a `not`.
    """
    if STAYED not in (text := text.casefold()):
        return set()
    fittings = all_fittings(book)
    known = {each.casefold() for name, own in book.logbook.aircraft.positions.items() for each in (name, *own.was)}
    for position, stays in fittings.items():
        for serial, part in {(each.serial.casefold(), each.part.casefold()) for each in stays}:
            named = f"{part or 'the part'} without a serial number" if serial == NO_SERIAL else f"serial {serial}"
            text = text.replace(f"{named} in {position}", position)
            known |= {serial} - {NO_SERIAL}
    found: set[str] = set()
    for piece in re.split(r"[;\n]|\.(?:\s|$)", text):
        told = re.fullmatch(rf"\s*(?:{STAYED}\s*:(.+)|(.+?)\s+{STAYED})\s*[.!]?\s*", piece)
        listed = re.split(r"[,()&]|\b(?:and|in)\b", told[1] or told[2]) if told else []
        names = {re.sub(r"^\s*(?:(?:both|the|serial)\s+)?|\s+$", "", each) for each in listed} - {""}
        found |= names if names <= known else set()
    return found
