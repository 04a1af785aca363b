"""One visit of the year ahead as a job: who does what when, in the sessions at hand from its day on."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

from inspect_kit.cli.ending import Ending, ending
from inspect_kit.cli.planning import answered, job_of, whole
from inspect_kit.errors import Misused, Refused
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import Plan, Spread, behind, plan, shifts_of
from inspect_kit.report.naming import panel_name
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.visits import Visit, VisitPlan


def visit_on(ahead: VisitPlan, day: dt.date) -> Visit:
    """The visit of a day, or Misused with the days on which there are visits."""
    found = next((visit for visit in ahead.visits if visit.on == day), None)
    if found is None:
        known = ", ".join(str(visit.on) for visit in ahead.visits) or "on no day"
        raise Misused(f"no visit is planned on {day}; choose one of {known}, or look further with --months N")
    return found


def visit_plan(logbook: Logbook, visit: Visit, people: int | None, inspectors: int | None, strayed: Spread) -> Ending:
    """The plan of a visit in the owner's sessions, and when it ends; Refused where only findings are to be fixed."""
    if not visit.checks:
        raise Refused(
            f"on {visit.on} there are only findings to be fixed, each cleared with `finding F1 --cleared HOW`: "
            f"{', '.join(visit.findings)}"
        )
    asked, _, said = whole(logbook, job_of(logbook, visit.checks), people, inspectors)
    began, shifts = shifts_of(logbook.aircraft.sessions, asked.crew, visit.on)
    job = replace(asked, shifts=shifts)
    made = answered(plan(job))
    notes = (f"The visit planned on {visit.on}.", *said, *made.notes, *_findings(logbook, visit, made))
    hours = PlanClock(began=began, shifts=shifts)
    return ending(logbook, job, replace(made, notes=notes), hours, names=visit.names, on=visit.on, strayed=strayed)


def _findings(logbook: Logbook, visit: Visit, made: Plan) -> Iterator[str]:
    """What is to be fixed on the visit: no checklist says how long that takes."""
    for doing in visit.doings:
        if doing.item not in visit.findings:
            continue
        shut = set(behind(logbook.panels, [doing.panel] if doing.panel else [])) - set(made.panels)
        where = f", behind {panel_name(logbook, doing.panel)}" if doing.panel else ""
        more = ": to be opened for it besides" if shut else ""
        yield f"To be fixed as well, in no minutes here: {doing.words} ({doing.item}){where}{more}."
