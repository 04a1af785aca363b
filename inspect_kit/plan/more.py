"""What an hour more in one session, or a helper more in it, would save."""

from dataclasses import replace

from inspect_kit.model.aircraft import Crew
from inspect_kit.noun import dataclass
from inspect_kit.plan.answer import Plan
from inspect_kit.plan.make import plan
from inspect_kit.plan.request import Job, Shift, Wishes, worked

HOUR = 60
# Each of these is a plan of its own; a short search says enough of what it would save.
SCHEDULES = 40
MOST_SESSIONS = 4
MOST_PEOPLE = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class More:
    """One session with an hour (`helper` False) or a helper more: when all would be done, in minutes from the start.

    `session` is the place of the session. `saves` is by how many hours at hand, in minutes, the end comes earlier; what
    lies between sessions is left out. It is what a short search finds, so at least so much.
    """

    session: int
    helper: bool
    elapsed: int
    saves: int


def what_more(job: Job, made: Plan) -> tuple[More, ...]:
    """For the first sessions of a plan, up to the one in which it ends: what an hour or a helper more would save.

    Only what saves anything is told. An hour is added at the end of a session, as far as the next one leaves room.
    """
    found = []
    for place, shift in enumerate(job.shifts[:MOST_SESSIONS]):
        if shift.start >= made.elapsed:
            break
        for helper in (False, True):
            other = _with_helper(job, place) if helper else _with_hour(job, place)
            if other is None:
                continue
            outcome = plan(replace(other, wishes=Wishes()), SCHEDULES)
            if isinstance(outcome, Plan) and outcome.elapsed < made.elapsed:
                saves = worked(job.shifts, made.elapsed) - worked(job.shifts, min(outcome.elapsed, made.elapsed))
                found.append(More(session=place, helper=helper, elapsed=outcome.elapsed, saves=saves))
    return tuple(found)


def _with_hour(job: Job, place: int) -> Job | None:
    shift = job.shifts[place]
    end = shift.end + HOUR
    if place + 1 < len(job.shifts):
        end = min(end, job.shifts[place + 1].start)
    return None if end == shift.end else _changed(job, place, replace(shift, end=end))


def _with_helper(job: Job, place: int) -> Job | None:
    """One more in that session who need not inspect; the crew grows if all of it is there already."""
    shift = job.shifts[place]
    helpers = max(each.people - each.inspectors for each in (*job.shifts, shift))
    if shift.people >= MOST_PEOPLE:
        return None
    grown = _changed(job, place, replace(shift, people=shift.people + 1))
    if shift.people - shift.inspectors < min(helpers, job.crew.people - job.crew.inspectors):
        return grown
    if job.crew.people >= MOST_PEOPLE:
        return None
    names = (*job.people_names(), "one more helper") if job.names else ()
    return replace(grown, crew=Crew(people=job.crew.people + 1, inspectors=job.crew.inspectors), names=names)


def _changed(job: Job, place: int, shift: Shift) -> Job:
    return replace(job, shifts=(*job.shifts[:place], shift, *job.shifts[place + 1 :]))
