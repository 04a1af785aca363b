"""The oil that an engine takes between two fillings, and whether it has begun to take much more."""

import datetime as dt
from bisect import bisect_left
from collections.abc import Iterable, Iterator
from decimal import Decimal

from inspect_kit.due.chronicle import Chronicle
from inspect_kit.model.alike import all_said
from inspect_kit.model.kinds.hours import Hours, is_oil, quarts
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Oil:
    """The oil added between two fillings: hours flown, quarts added."""

    start: dt.date
    end: dt.date | None
    hours: Decimal
    quarts: Decimal

    @property
    def hours_per_quart(self) -> Decimal | None:
        return self.hours / self.quarts if self.quarts else None


def oil_added(book: Chronicle) -> tuple[Oil, ...]:
    """The oil added between fillings, in quarts; the last one is still running.

    A filling is the doing of a check that uses oil by the quart: with the oil change, or after other work on the
    engine. What is added in no measure of volume is left out.
    """
    logbook = book.logbook
    changes = sorted(
        {
            (moment.date, moment.totals.get(book.clock))
            for check in logbook.checks.values()
            if any("oil" in part.name.split() and (quarts(part.amount) or 0) >= 1 for part in check.uses)
            for moment in book.done.get(check.id, ())
            if moment.date is not None
        },
        key=lambda each: each[0],
    )
    flights: dict[dt.date, list[Hours]] = {}
    for record in logbook.of_kind(Hours):
        if not record.added:
            continue
        same_day = flights.setdefault(record.date, [])
        # A flight written down twice, in two clones, was one; words that set two apart make them two.
        if all(all_said(each) != all_said(record) for each in same_day):
            same_day.append(record)
    added = [
        (day, poured)
        for day, records in flights.items()
        for record in records
        for what, told in record.added.items()
        if is_oil(what) and (poured := quarts(told)) is not None
    ]
    return tuple(_between(changes, added, book))


def oil_left_out(records: Iterable[Hours]) -> tuple[str, ...]:
    """What was filled up of the oil in a measure that nobody can reckon in quarts, `2 cans on DATE`."""
    told = ((record.date, each) for record in records for what, each in record.added.items() if is_oil(what))
    return tuple(f"{each} on {date}" for date, each in told if quarts(each) is None)


def _between(
    changes: list[tuple[dt.date, Decimal | None]], added: list[tuple[dt.date, Decimal]], book: Chronicle
) -> Iterator[Oil]:
    added = sorted(added, key=lambda each: each[0])
    days = [day for day, _ in added]
    ends: list[tuple[dt.date | None, Decimal | None]] = [*changes[1:], (None, book.total_now(book.clock))]
    for (start, then), (end, now) in zip(changes, ends, strict=True) if changes else ():
        if then is None or now is None or now <= then:
            continue
        # What is added on the day of an oil change is poured in after it.
        until = bisect_left(days, end) if end is not None else len(days)
        quarts = sum((each for _, each in added[bisect_left(days, start) : until]), Decimal(0))
        yield Oil(start=start, end=end, hours=now - then, quarts=quarts)


def oil_doubt(oil: tuple[Oil, ...]) -> tuple[Oil, Decimal] | None:
    """The last whole interval and the median of all before it, where it has fallen below half of that."""
    rates = [(each, rate) for each in oil if each.end is not None and (rate := each.hours_per_quart) is not None]
    if len(rates) < 4:
        return None
    from statistics import median

    last, rate = rates[-1]
    usual = median(each for _, each in rates[:-1])
    return (last, usual) if rate < usual / 2 else None
