"""From a limit and what it counts from to a due point: the smallest step of the arithmetic, with its words."""

import datetime as dt
from decimal import Decimal

from inspect_kit.due.answer import IN_GRACE, LATER, PAST_DUE, SOON, UNKNOWN, Line
from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Aircraft, Soon
from inspect_kit.model.interval import CALENDAR_MONTHS, DAYS, Limit, in_days
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """What a limit counts from: a date, and a total for each meter; `words` say what it is (`last done`)."""

    words: str
    date: dt.date | None
    totals: "dict[str, Decimal | None]"
    estimated: frozenset[str] = frozenset()
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class DuePoint:
    """One limit's due point: a date, or a total on a meter. `since` is the day from which a date was counted,
    `grace_date` and `grace_total` are where its grace ends; `lines` say how it came about.
    """

    date: dt.date | None = None
    since: dt.date | None = None
    meter: str | None = None
    unit: str | None = None
    total: Decimal | None = None
    grace_date: dt.date | None = None
    grace_total: Decimal | None = None
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """What due points are judged by: a day, the totals, and how much left counts as soon."""

    day: dt.date
    totals: "dict[str, Decimal]"
    soon: Soon


def grace_of(limit: Limit, grace: tuple[Limit, ...], aircraft: Aircraft) -> Limit | None:
    """The grace of a limit's own kind, of several the least; an interval in calendar months has none."""
    if limit.unit == CALENDAR_MONTHS:
        return None
    own = (each for each in grace if aircraft.counts_with(each, limit))
    return min(own, key=lambda each: in_days(each) if each.is_calendar else float(each.number), default=None)


def point_of(
    limit: Limit, base: Base, aircraft: Aircraft, grace: tuple[Limit, ...] = (), *, told: bool = True
) -> DuePoint | None:
    """The due point of a limit counted from `base`; None where the base does not say what it would count from.

    If it is not to be `told` it has no lines.
    """
    if limit.is_calendar:
        return _by_calendar(limit, base, grace_of(limit, grace, aircraft), told)
    meter = aircraft.meter_of(limit.unit, limit.meter)
    start = base.totals.get(meter) if meter else None
    if meter is None or start is None:
        return None
    total = start + limit.number
    allowed = grace_of(limit, grace, aircraft)
    until = total + allowed.number if allowed is not None else None
    if not told:
        return DuePoint(meter=meter, unit=limit.unit, total=total, grace_total=until)
    estimated = ", estimated from the last reading before" if meter in base.estimated else ""
    text = f"{base.words} at {start} {limit.unit} total on {meter}{estimated}; + {limit} = {total} {limit.unit}"
    lines = [Line(text=text, places=(base.place,))]
    if until is not None:
        lines.append(Line(text=f"{allowed} of grace: until {until} {limit.unit}, taken off the next"))
    return DuePoint(meter=meter, unit=limit.unit, total=total, grace_total=until, lines=tuple(lines))


def _by_calendar(limit: Limit, base: Base, allowed: Limit | None, told: bool) -> DuePoint | None:
    if base.date is None:
        return None
    try:
        date = limit.due_date(base.date)
        grace_date = allowed.due_date(date) if allowed else None
    except OverflowError:
        return None
    if not told:
        return DuePoint(date=date, since=base.date, grace_date=grace_date)
    how = ""
    if limit.unit == "calendar months":
        how = ", to the last day of the month"
    elif limit.unit == DAYS:
        how = ", plain days"
    lines = [Line(text=f"{base.words} on {base.date}; + {limit}{how} = {date}", places=(base.place,))]
    if grace_date is not None:
        lines.append(Line(text=f"{allowed} of grace: until {grace_date}, taken off the next"))
    return DuePoint(date=date, since=base.date, grace_date=grace_date, lines=tuple(lines))


def state_of(point: DuePoint, now: Now) -> str:
    """past-due is past the limit, never at it; in-grace at most `grace` past it; soon with at most `soon` left.

    On a meter that was never read nothing is known.
    """
    if point.date is not None:
        if now.day > point.date:
            return IN_GRACE if point.grace_date and now.day <= point.grace_date else PAST_DUE
        return SOON if (point.date - now.day).days <= now.soon.days else LATER
    assert point.meter is not None
    assert point.total is not None
    assert point.unit is not None
    total = now.totals.get(point.meter)
    if total is None:
        return UNKNOWN
    if total > point.total:
        return IN_GRACE if point.grace_total is not None and total <= point.grace_total else PAST_DUE
    return SOON if point.total - total <= now.soon.of(point.unit) else LATER
