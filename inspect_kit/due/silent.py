"""A meter that nobody writes down any more, while the clock for time in service goes on: it runs on with the clock."""

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal

from inspect_kit.due.chronicle import Chronicle
from inspect_kit.due.forecast import Forecast


def by_the_clock(
    book: Chronicle, forecasts: Mapping[str, Forecast], meter: str, total: Decimal
) -> tuple[dt.date, dt.date, dt.date] | None:
    """Early, likely and late date at which a meter has a total if it gains as much by the hour as it did while it was
    read; None where it was read as lately as the clock, or what it gains is not on record.
    """
    own, clock = book.histories[meter].points, book.histories[book.clock].points
    if meter == book.clock or not own or not clock or clock[-1].date <= own[-1].date:
        return None
    first, last = own[0], own[-1]
    then, begun = book.histories[book.clock].by(last.date), book.histories[book.clock].by(first.date)
    if then is None or begun is None:
        return None
    gained, ran = last.total - first.total, then - begun
    if gained <= 0 or ran <= 0:
        # Of one reading alone: both began with the aircraft.
        brought = book.histories[meter].starts or book.histories[book.clock].starts
        gained, ran = (Decimal(0), Decimal(0)) if brought else (last.total, then)
    if gained <= 0 or ran <= 0:
        return None
    reached = then + (total - last.total) * ran / gained
    passed = next((point.date for point in clock if point.date > last.date and point.total >= reached), None)
    return (passed, passed, passed) if passed is not None else forecasts[book.clock].when(reached)
