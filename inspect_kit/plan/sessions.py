"""Sessions as minutes from the first one, a weekly one for 60 weeks."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby, pairwise

from inspect_kit.model.aircraft import Crew, Session
from inspect_kit.plan.request import Shift

MINUTES_A_DAY = 24 * 60


def shifts_of(
    sessions: Sequence[Session], crew: Crew, since: dt.date, weeks: int = 60
) -> tuple[dt.datetime | None, tuple[Shift, ...]]:
    """Sessions from `since` on as shifts, and the moment from which their minutes count (None without sessions).

    A weekly habit comes round for so many weeks. People default to the crew's; where two sessions overlap, those of
    the one with more.
    """
    days: list[tuple[dt.date, Session]] = []
    for session in sessions:
        if session.date is not None:
            days.append((session.date, session))
        else:
            first = since + dt.timedelta(days=((session.weekday or 0) - since.weekday()) % 7)
            days.extend((first + dt.timedelta(weeks=week), session) for week in range(weeks))
    days = sorted(((day, session) for day, session in days if day >= since), key=lambda pair: (pair[0], pair[1].start))
    if not days:
        return None, ()
    first_day, opening = days[0]
    base = dt.datetime.combine(first_day, dt.time()) + dt.timedelta(minutes=opening.start)
    shifts: list[Shift] = []
    for day, of_day in groupby(days, key=lambda pair: pair[0]):
        offset = (day - first_day).days * MINUTES_A_DAY - opening.start
        shifts += _one_at_a_time([_shift(session, crew, offset) for _, session in of_day])
    return base, tuple(shifts)


def _shift(session: Session, crew: Crew, offset: int) -> Shift:
    people = min(crew.people, session.people if session.people is not None else crew.people)
    inspectors = session.inspectors if session.inspectors is not None else crew.inspectors
    return Shift(
        start=offset + session.start,
        end=offset + session.end,
        people=people,
        inspectors=min(people, inspectors, crew.inspectors),
    )


def _one_at_a_time(shifts: Sequence[Shift]) -> list[Shift]:
    """Shifts of which none overlaps another: while several last, there are as many people as in any of them."""
    found: list[Shift] = []
    edges = sorted({edge for each in shifts for edge in (each.start, each.end)})
    for start, end in pairwise(edges):
        if here := [each for each in shifts if each.start <= start and end <= each.end]:
            staff = (max(each.people for each in here), max(each.inspectors for each in here))
            goes_on = any(each.start < start for each in here)
            if goes_on and (found[-1].people, found[-1].inspectors) == staff:
                found[-1] = replace(found[-1], end=end)
            else:
                found.append(Shift(start=start, end=end, people=staff[0], inspectors=staff[1]))
    return found
