"""Which part came to a position since a day, so that what was ticked before it came was done to another one."""

import datetime as dt
from collections.abc import Iterable, Iterator

from inspect_kit.due.chronicle import chronicle, seen_on
from inspect_kit.due.fitting import Fitting, all_fittings, own_position, present, stays_in
from inspect_kit.model.checklist import Check
from inspect_kit.model.logbook import Logbook


def fitted_since(
    logbook: Logbook, on: dt.date, begun: dt.date, checks: Iterable[str]
) -> Iterator[tuple[Fitting, list[str]]]:
    """The parts that are there on a day and came on the day `begun` or later, with those of the checks that count on
    them by what was done, or read on the part; not one that was there before, and was put back.
    """
    book = chronicle(seen_on(logbook, on)[0])
    fittings = all_fittings(book)
    found: dict[str, tuple[Fitting, list[str]]] = {}
    for name in checks:
        check = logbook.checks.get(name)
        part = present(fittings.get(_position_of(check, logbook), ())) if check is not None else None
        if part is not None and not _was_there(part, begun):
            found.setdefault(part.position, (part, []))[1].append(name)
    yield from found.values()


def _position_of(check: Check, logbook: Logbook) -> str:
    """The position on whose part counts what is done; "" where none is, as for a life, which a new part ends."""
    if check.marked:
        return own_position(check, logbook)
    return logbook.id_now(check.counts_on) if check.counts_on and not check.life else ""


def _was_there(part: Fitting, begun: dt.date) -> bool:
    """Whether a part was in its position when a day began; what was brought forward always was."""
    return any(_begins(stay, begun) and not _ended(stay, begun) for stay in stays_in(part))


def _begins(stay: Fitting, day: dt.date) -> bool:
    return stay.brought or stay.start.date is None or stay.start.date < day


def _ended(stay: Fitting, day: dt.date) -> bool:
    return stay.end is not None and stay.end.date is not None and stay.end.date < day
