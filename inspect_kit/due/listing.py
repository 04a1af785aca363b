"""The due list: reasons not to fly and every item on a day, worst first, and the totals that it rests on."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from inspect_kit.due.answer import (
    STATES,
    DueAnswer,
    Item,
)
from inspect_kit.due.chronicle import chronicle, seen_on
from inspect_kit.due.directives import undecided_stops, with_directives
from inspect_kit.due.either import either
from inspect_kit.due.fitting import emptied
from inspect_kit.due.items import Items
from inspect_kit.due.limits import Now
from inspect_kit.due.moments import ZERO
from inspect_kit.due.oil import oil_added
from inspect_kit.due.phases import no_passengers
from inspect_kit.due.stops import change_stops, not_to_be_used, not_without, passenger_seats, stops
from inspect_kit.errors import Place
from inspect_kit.model.interval import HOURS
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.late_clock import past_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import meter_history


def due(
    logbook: Logbook, on: dt.date, *, by: dt.date | None = None, flying: Decimal = Decimal(0), expect: bool = True
) -> DueAnswer:
    """Reasons not to fly and every item, on a day; with `by` and `flying` what will have come due by then.

    States and due points come from recorded readings only; the forecast fills `expected` and never moves a state.
    Without `expect` it is left out.
    """
    seen, left_out = seen_on(logbook, on)
    # As it was recorded something may be of a later day than as it is amended.
    readings = (seen_on(reading, on)[0] for reading in seen.readings())
    answers = [_answer(reading, on, by, flying, expect, left_out) for reading in readings]
    answer = either(answers)
    past = past_of(logbook)
    forward = past.date if past is not None and past.date > on else None
    return replace(answer, items=tuple(sorted(answer.items, key=order)), forward=forward)


def _answer(
    seen: Logbook,
    on: dt.date,
    by: dt.date | None,
    flying: Decimal,
    expect: bool,
    left_out: tuple[Place, ...],
) -> DueAnswer:
    """The answer of one reading of the records."""
    seen = with_directives(seen)
    book = chronicle(seen)
    offsets = {name: history.offset for name, history in book.histories.items()}
    flown = {name: flying if meter.unit == HOURS else ZERO for name, meter in seen.aircraft.meters.items()}
    read = {name: book.highest_reading(name) for name in seen.aircraft.meters}
    totals = {name: point.total + flown[name] for name, point in read.items() if point is not None}
    maker = Items(book, Now(day=by or on, totals=totals, soon=seen.aircraft.soon), offsets, on if expect else None)
    items = tuple(sorted(maker.items(), key=order))
    barred = no_passengers(book)
    empty = emptied(seen, maker.fittings, on)
    return DueAnswer(
        on=on,
        by=by or on,
        flying=flying,
        meters=read,
        totals=totals,
        offsets=offsets,
        stops=(*stops(book, items, empty, on), *undecided_stops(book), *change_stops(barred)),
        not_to_be_used=(*passenger_seats(barred), *not_to_be_used(items), *not_without(seen, empty)),
        items=items,
        left_out=left_out,
        problems=seen.problems,
        seen=seen,
        no_passengers=barred,
        emptied=empty,
        trends=maker.trends,
        oil=oil_added(book),
    )


def totals_before(logbook: Logbook, on: dt.date) -> tuple[dict[str, Decimal], dict[str, Decimal]]:
    """The last recorded total of each meter on a day, and what turns its present readings into totals."""
    book = chronicle(seen_on(logbook, on)[0])
    totals = {name: book.total_now(name) for name in logbook.aircraft.meters}
    known = {name: total for name, total in totals.items() if total is not None}
    return known, {name: history.offset for name, history in book.histories.items()}


def totals_with(logbook: Logbook, on: dt.date, reads: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """The total of each meter with what it reads on a day; of those that are not read then the last recorded one."""
    totals, offsets = totals_before(logbook, on)
    offsets |= offsets_of_day(logbook, on, reads)
    return totals | {name: value + offsets.get(name, ZERO) for name, value in reads.items()}


def offsets_of_day(logbook: Logbook, on: dt.date, reads: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """What turns a reading of a day on which its meter was changed into a total: it may be the old meter's yet."""
    changed = {change.meter for change in logbook.of_kind(MeterChange) if change.date == on} & {*reads}
    return {name: total_read(logbook, on, name, reads[name]) - reads[name] for name in changed}


def total_read(logbook: Logbook, on: dt.date, meter: str, reads: Decimal) -> Decimal:
    """The total at which a meter reads this on a day, before its total was brought forward too."""
    read = Hours(name="read-now", date=on, meters={meter: reads}, place=Place(""))
    return meter_history(meter, (*logbook.records, read)).at_record[read.name].total


def order(item: Item) -> tuple[int, dt.date, str]:
    """Worst first, then what comes first: the calendar limit or the likely date, whichever is earlier."""
    dates = [item.due.date, item.expected.likely if item.expected else None]
    known = [date for date in dates if date is not None]
    return (0 if item.owed else 1 + STATES.index(item.state)), min(known, default=dt.date.max), item.check
