"""Which limits the end of some work lies past: those of inspections, and of whatever bars something once past due."""

import datetime as dt

from inspect_kit.due.answer import INSPECTION, PAST_DUE, Item
from inspect_kit.due.listing import due
from inspect_kit.model.logbook import Logbook


def limits_passed(logbook: Logbook, on: dt.date, end: dt.date) -> tuple[Item, ...]:
    """The items, as known on a day, whose calendar limit lies before the day on which some work ends.

    Nobody flies while the work goes on, so what counts hours or landings stands still. What is still in grace then is
    not among them, nor what is owed already.
    """
    later = due(logbook, on, by=max(on, end), expect=False)
    return tuple(
        item
        for item in later.items
        if item.state == PAST_DUE
        and not item.owed
        and item.due.date is not None
        and item.due.date < end
        and (item.kind == INSPECTION or item.bars.flight or item.bars.what)
    )
