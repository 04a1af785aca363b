"""Visits whose work outlasts a limit: it takes more than the sessions that are left until then."""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from inspect_kit.due import CHECK, INSPECTION
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import OTHERS
from inspect_kit.model.interval import Limit
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import Job, Shift, fewest, in_no_session, shifts_of
from inspect_kit.visits.answer import Doing, Visit


def outlasted(visits: Iterable[Visit], logbook: Logbook) -> Iterator[str]:
    """A sentence for each limit, of an inspection or of what bars something, that the work of a visit outlasts.

    The labour of a visit needs so many hours of people: before it has had them in the owner's sessions it cannot be
    done, whoever does what. Nobody flies meanwhile, so only limits by the calendar are looked at. Of one that cannot be
    planned in them at all no day is told, but why, once for all visits of which that is so.
    """
    never: dict[str, Visit] = {}
    for visit in visits:
        job, began = _job(visit, logbook)
        if began is None:
            continue
        if none := in_no_session(job):
            if str(none[0]) not in never:
                yield f"There is no plan of the work of {visit.on} in your sessions: {none[0]}."
            never.setdefault(str(none[0]), visit)
            continue
        end = _earliest_end(visit, job.shifts, began)
        for doing in visit.doings:
            if end is not None and doing.due is not None and doing.due < end and _binds(doing, logbook):
                what = f"the {doing.item} inspection runs out"
                if doing.kind == CHECK:
                    what = f"{logbook.checks[doing.item].named} is due"
                days = (end - doing.due).days
                yield (
                    f"The work of {visit.on} is done on {end} at the earliest, in your sessions: "
                    f"{days} {'day' if days == 1 else 'days'} after {what} ({doing.due})."
                )


def _job(visit: Visit, logbook: Logbook) -> tuple[Job, dt.datetime | None]:
    """The work of a visit in the owner's sessions, and when the first of these begins; None without sessions."""
    job = Job(panels=logbook.panels, checks=logbook.checks, chosen=visit.checks, gear=logbook.aircraft.tooling)
    crew = logbook.aircraft.crew or Crew(people=fewest(job).people)
    began, shifts = shifts_of(logbook.aircraft.sessions, crew, visit.on)
    return replace(job, crew=crew, shifts=shifts), began


def _earliest_end(visit: Visit, shifts: Sequence[Shift], began: dt.datetime) -> dt.date | None:
    """The day on which a visit's labour can be done at the earliest; None where the sessions end before that."""
    left = visit.labour
    for shift in shifts:
        left -= (shift.end - shift.start) * shift.people
        if left <= 0:
            return (began + dt.timedelta(minutes=shift.start)).date()
    return None


def _binds(doing: Doing, logbook: Logbook) -> bool:
    """Whether an item is an inspection, or bars something once past due, by the calendar alone."""
    if doing.kind == INSPECTION:
        terms = logbook.aircraft.inspections[doing.item].every
    elif doing.kind == CHECK:
        check = logbook.checks[doing.item]
        if check.who == OTHERS or not (check.bars_past_due.flight or check.bars_past_due.what):
            return False
        terms = check.every
    else:
        return False
    return bool(terms) and all(isinstance(term, Limit) and term.is_calendar for term in terms)
