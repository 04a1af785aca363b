"""Whether the hours at hand can hold the work at all; dates turned into minutes from the first session, and minutes
into those at hand.
"""

import datetime as dt
from collections.abc import Iterator, Sequence

from inspect_kit.model.aircraft import Crew, Session
from inspect_kit.model.checklist import duration
from inspect_kit.plan.answer import Contradiction
from inspect_kit.plan.request import Job, Shift
from inspect_kit.scheduling.network import ProjectNetwork
from inspect_kit.scheduling.problem import Project

MINUTES_A_DAY = 24 * 60


def shifts_of(
    sessions: Sequence[Session], crew: Crew, since: dt.date, weeks: int = 60
) -> tuple[dt.datetime | None, tuple[Shift, ...]]:
    """Sessions from `since` on as shifts, and the moment from which their minutes count (None without sessions).

    A weekly habit comes round for so many weeks. People default to the crew's.
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
    for day, session in days:
        offset = (day - first_day).days * MINUTES_A_DAY - opening.start
        start = offset + session.start
        if shifts:
            start = max(start, shifts[-1].end)
        if start < offset + session.end:
            people = min(crew.people, session.people if session.people is not None else crew.people)
            inspectors = session.inspectors if session.inspectors is not None else crew.inspectors
            shifts.append(
                Shift(
                    start=start,
                    end=offset + session.end,
                    people=people,
                    inspectors=min(people, inspectors, crew.inspectors),
                )
            )
    return base, tuple(shifts)


def too_long(job: Job, problem: Project) -> Iterator[Contradiction]:
    """Steps that fit into no session with the people they take."""
    network = ProjectNetwork(problem)
    for activity, slots in zip(problem.activities, network.mode_calendars, strict=True):
        if activity.duration and all(
            slot >= 0 and all(end - start < activity.duration for start, end in network.calendars[slot])
            for slot in slots
        ):
            yield Contradiction(
                about=(activity.name,),
                reason=f"{job.named(activity.name)} takes {duration(activity.duration)} without a break "
                "and fits into no session with its people",
                cure="add a longer session, or one with more people",
            )
