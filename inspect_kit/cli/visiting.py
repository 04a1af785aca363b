"""`visits`: the year ahead, and the plan of one visit of it."""

import datetime as dt
from pathlib import Path

import click

from inspect_kit import report as reports
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import AHEAD, shared
from inspect_kit.cli.shown import across, give, is_whole, print_json
from inspect_kit.cli.typed import DATE
from inspect_kit.due import due as due_of
from inspect_kit.errors import Misused
from inspect_kit.visits import year_ahead


@click.command()
@click.option("--plan", "plan_on", type=DATE, metavar="DATE", help="The plan of the visit on that day.")
@shared("people", "inspectors", "months", "all", "to", "force", "json", months={"default": AHEAD})
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
        from inspect_kit.cli.sheets import sealed_pages
        from inspect_kit.cli.visit_planned import visit_on, visit_plan
        from inspect_kit.plan import spread

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
