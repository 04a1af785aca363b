"""The year ahead, and one visit of it as a job: who does what when, in the sessions at hand from its day on."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import click

from inspect_kit import report as reports
from inspect_kit.cli.desk import DATE, Desk, across, give, is_whole, print_json
from inspect_kit.cli.ending import Ending, ending
from inspect_kit.cli.options import shared
from inspect_kit.cli.planning import answered, job_of, whole
from inspect_kit.cli.sheets import sealed_pages
from inspect_kit.due import due as due_of
from inspect_kit.errors import Misused, Refused
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import Plan, Spread, behind, plan, shifts_of, spread
from inspect_kit.report.naming import panel_name
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.visits import Visit, VisitPlan, year_ahead


@click.command()
@click.option("--plan", "plan_on", type=DATE, metavar="DATE", help="The plan of the visit on that day.")
@shared("people", "inspectors", "months", "all", "to", "force", "json", months={"default": 12})
@click.pass_obj
def visits(
    desk: Desk,
    months: int,
    plan_on: dt.date | None,
    people: int | None,
    inspectors: int | None,
    target: Path | None,
    force: bool,
    everything: bool,
    as_json: bool,
) -> int:
    """The months ahead: which items on which visit, and what it saves.

    \b
    visits
    visits --months 24 --to ../ahead.html
    visits --plan 2027-03-14               the plan of the visit of that day
    """
    loaded, logbook = desk.loaded()
    if plan_on is None and (people or inspectors):
        raise Misused("--people and --inspectors go with --plan DATE")
    answer = year_ahead(logbook, due_of(logbook, desk.on), months=months)
    in_full = is_whole(everything, target)
    if plan_on is not None:
        strayed = spread(logbook, sealed_pages(desk, loaded))
        end = visit_plan(logbook, visit_on(answer, plan_on), people, inspectors, strayed)
        made, hours, said = end.plan, end.hours, tuple(end.sentences(few=not in_full))
        if as_json:
            print_json(reports.plan_json(made, logbook, hours) | end.facts())
            return desk.code(0)
        page = reports.plan_page(made, logbook, hours=hours, said=said)
        if not in_full:
            asked = f"visits --plan {plan_on}"
            what = f"the visit of {plan_on}"
            page = reports.plan_screen(made, logbook, hours, what=what, ask=asked, said=said, room=across())
    elif as_json:
        print_json(reports.visits_json(answer))
        return desk.code(0)
    else:
        page = reports.visits_page(answer, logbook) if in_full else reports.visits_screen(answer, logbook, across())
    give(page, target, logbook, force=force)
    return desk.code(0)


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
