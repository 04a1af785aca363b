"""`plan`: of checks, of what an open page has left, beside other crews, and why a step is in it."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import click

from inspect_kit import report as reports
from inspect_kit.cli.called import CHECK, INSPECTION, PANEL, id_meant
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.ending import ending
from inspect_kit.cli.findings_beside import beside_words, of_page, of_plan
from inspect_kit.cli.options import Count, shared
from inspect_kit.cli.planning import (
    answered,
    chosen,
    due_within,
    job_of,
    refuse_nothing,
    sessions_of,
    whole,
    with_sessions,
)
from inspect_kit.cli.sheets import find_page, sealed_pages
from inspect_kit.cli.shown import across, dated, give, is_whole, print_json, show
from inspect_kit.due import due as due_of
from inspect_kit.errors import Misused, Refused
from inspect_kit.model.aircraft import Crew, Session
from inspect_kit.model.checklist import inspection_checks
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.plan import (
    ENDS,
    Job,
    OwedHere,
    Plan,
    Wishes,
    news,
    panels_for,
    remaining_job,
    spread,
    unplanned,
    ways_to_serve,
    what_more,
    why,
)
from inspect_kit.plan import plan as plan_of
from inspect_kit.report import PlanClock
from inspect_kit.report.blocks import Block
from inspect_kit.report.naming import check_title
from inspect_kit.report.pages.due import left_clause
from inspect_kit.report.pages.owed import after_words
from inspect_kit.text.grammar import did_you_mean

COMPARED = (1, 2, 3)


@click.command()
@click.argument("names", metavar="[INSPECTION|CHECK...]", nargs=-1)
@click.option("--within", default="", metavar='"25 h"', help="Also what falls due within this.")
@click.option("--any-hours", is_flag=True, help="Without the sessions of aircraft.yaml.")
@click.option(
    "--serve",
    "ends",
    default=",".join(ENDS),
    show_default=True,
    metavar="ENDS",
    help="What the order serves where the time is the same: news (likely bad news first), walking, panels; or none.",
)
@click.option(
    "--zone-change",
    type=Count(0, 60),
    default=2,
    show_default=True,
    metavar="N",
    help="Minutes to go from one zone to another.",
)
@click.option("--as-listed", is_flag=True, help="The minutes of the checklists, whatever it took in the past.")
@click.option("--compare", is_flag=True, help="One, two and three people side by side.")
@click.option("--why", "reason_of", default="", metavar="CHECK|PANEL", help="Why this is in the plan, and why there.")
@click.option("--for", "person", default="", metavar="NAME", help="The share of one person, with what all must know.")
@shared("page", "session", "people", "inspectors", "only", "until", "all", "to", "force", "json")
@click.pass_obj
def plan(
    desk: Desk,
    names: tuple[str, ...],
    until: dt.date | None,
    within: str,
    people: int | None,
    inspectors: int | None,
    only: bool,
    page: str,
    sessions: tuple[str, ...],
    any_hours: bool,
    ends: str,
    zone_change: int,
    as_listed: bool,
    compare: bool,
    reason_of: str,
    person: str,
    everything: bool,
    target: Path | None,
    force: bool,
    as_json: bool,
) -> int:
    """Panels off, checks, panels on: in order, by person and clock.

    Without a name: what is left of the open page.

    \b
    plan condition
    plan condition --session "Saturday 09:00-17:00" --session "Sunday 13:00-17:00"
    plan condition --why exhaust-stacks    why it stands where it stands
    plan oil-change --within "10 h"
    """
    loaded, logbook = desk.loaded()
    if names and page:
        raise Misused("name an inspection or checks, or an open page with --page, not both")
    names = tuple(id_meant(logbook, name, INSPECTION, CHECK) for name in names)
    hours_at_hand = sessions_of(logbook.aircraft.sessions, sessions, any_hours=any_hours)
    checks = chosen(logbook, names, on=desk.on, only=only, by=until, within=within) if names else ()
    if names and not checks:
        refuse_nothing(logbook, names)
    if not (names or page or logbook.pages or logbook.unread):
        of = ", ".join(f"`plan {each}`" for each in [*logbook.aircraft.inspections][:1])
        raise Misused(f"no page is open: name an inspection or a check{f', such as {of}' if of else ''}")
    wishes = Wishes(ends=_ends(ends), walking=zone_change, news=news(logbook, checks))
    sheets = sealed_pages(desk, loaded)
    asked = job_of(logbook, checks, sheets=sheets, wishes=wishes, as_listed=as_listed)
    said: list[str] = []
    sheet = None
    if not names:
        sheet = find_page(loaded, logbook, page)[0].page
        asked = remaining_job(asked, sheet)
        said += _left_out(asked, sheet)
        if not asked.chosen and not asked.off:
            rest = "".join(f"\n  {each}" for each in said)
            told = f"nothing is left to plan on {sheet.place.file}; `inspect-kit sign` says what is missing"
            raise Refused(told + rest)
    in_full = is_whole(everything, target) or bool(person) or as_json
    asked, owed, of_work = whole(logbook, asked, people, inspectors, sheet, few=not in_full)
    if compare:
        job_named = _what(logbook, names) if names else sheet.job if sheet is not None else ""
        _give_compared(desk, asked, hours_at_hand, job_named, target, force, as_json)
        return desk.code(0)
    job, hours = with_sessions(asked, hours_at_hand, desk.on)
    if person and person not in (crew := job.people_names()):
        named_so = "" if logbook.aircraft.person(person) is None else ": a plan names people by what they do"
        told = f"--for: nobody in this plan is called `{person}`{named_so}"
        raise Misused(f"{told}; name one of {', '.join(crew)}")
    named = id_meant(logbook, reason_of, CHECK, PANEL) if reason_of else ""
    # Before the search, which takes its time.
    reach = [*job.chosen, *panels_for(job.panels, [job.checks[name] for name in job.chosen], job.off)]
    if named and named not in reach:
        raise Misused(_not_in_it(reason_of, reach))
    made = answered(plan_of(job))
    made = replace(made, notes=(*of_work, *made.notes))
    if reason_of:
        if (facts := why(job, made, named)) is None:
            raise Misused(_not_in_it(reason_of, [*made.checks, *made.panels]))
        asked_for = _asked_for(logbook, desk.on, names, facts.name, owed)
        if as_json:
            print_json(reports.why_json(facts, asked_for, logbook))
        else:
            give(dated(reports.why_page(facts, asked_for, logbook, hours), desk.on), target, logbook, force=force)
        return desk.code(0)
    # What it would cost to do more is asked of the year ahead, which is read when the plan is made.
    from inspect_kit.visits import worth_doing

    today = due_of(logbook, desk.on)
    offers = worth_doing(logbook, today, panels=made.panels, chosen=made.checks)
    answers = [today, *([due_of(logbook, desk.on, by=until, expect=False)] if until is not None else [])]
    answers += [due_within(logbook, desk.on, within)] if within else []
    seen = today.seen
    found = of_page(seen, sheet) if sheet is not None else of_plan(seen, names, made.checks, made.panels, answers)
    job_of_page = [sheet.job] if sheet is not None else []
    strayed = spread(logbook, sheets)
    end = ending(logbook, job, made, hours, names=(*names, *job_of_page), on=desk.on, strayed=strayed)
    if as_json:
        more_facts = {"worth_doing": reports.worth_json(offers), "owed": reports.owed_json(owed)}
        beside = {"findings": reports.findings_json(found)}
        print_json(reports.plan_json(made, logbook, hours) | end.facts() | more_facts | beside)
        return desk.code(0)
    said += end.sentences(few=not in_full)
    said += filter(None, [beside_words(logbook, found, few=not in_full)])
    what = f"{_what(logbook, names)}, {desk.on}"
    if not in_full:
        ask = " ".join(("plan", *names))
        worth = [each.what for each in offers]
        show(reports.plan_screen(made, logbook, hours, what=what, said=said, worth=worth, ask=ask, room=across()))
        return desk.code(0)
    if person:
        shown = reports.share_page(made, logbook, person, hours, job=what)
    else:
        more = [*reports.order_blocks(ways_to_serve(job, made))]
        more += reports.more_blocks(what_more(job, made) if hours.shifts else (), hours)
        more += _why_alone(logbook, desk.on, names, job, made, hours, owed)
        worth = [each.sentence for each in offers]
        shown = reports.plan_page(made, logbook, worth, hours, job=what, said=said, more=more)
    give(shown, target, logbook, force=force)
    return desk.code(0)


def _give_compared(
    desk: Desk, asked: Job, at_hand: Sequence[Session], named: str, target: Path | None, force: bool, as_json: bool
) -> None:
    """The same job with one, two and three people."""
    logbook = desk.logbook()
    plans, own = _compared(desk, asked, at_hand)
    if as_json:
        crews = [{"crew": name, **_plan_facts(each, logbook, own[name])} for name, each in plans.items()]
        print_json({"format": 2, "plans": crews})
        return
    give(dated(reports.compare_page(plans, logbook, own), desk.on, named), target, logbook, force=force)


def _what(logbook: Logbook, names: Sequence[str]) -> str:
    """What a plan is of: `condition inspection`, `Oil change, Spark plugs`, or what an open page has left."""
    if not names:
        return "what is left of the open page"
    inspections = logbook.aircraft.inspections
    return ", ".join(f"{name} inspection" if name in inspections else check_title(logbook, name) for name in names)


def _ends(words: str) -> tuple[str, ...]:
    named = [word.strip() for word in words.split(",") if word.strip()]
    if named == ["none"]:
        return ()
    for word in named:
        if word not in ENDS:
            raise Misused(f"--serve: write {', '.join(ENDS)} or none, not `{word}`{did_you_mean(word, ENDS)}")
    return tuple(end for end in ENDS if end in named)


def _left_out(job: Job, sheet: Worksheet) -> Iterator[str]:
    """What is open on the page and not in the plan, as a sentence."""
    rest = unplanned(job, sheet)
    if rest:
        words = ", ".join(f"{entry.verb} {entry.id}".strip() for entry in rest)
        yield f"Also open on the page, and not planned here: {words}."


def _compared(
    desk: Desk, asked: Job, sessions: Sequence[Session]
) -> tuple[dict[str, Plan | Sequence[str]], dict[str, PlanClock]]:
    """The plans of one, two and three people, or why there is none, and their sessions, by the name of the crew."""
    plans: dict[str, Plan | Sequence[str]] = {}
    hours: dict[str, PlanClock] = {}
    for people in COMPARED:
        inspectors = min(people, asked.crew.inspectors)
        name = "1 person" if people == 1 else f"{people} people, {inspectors} inspecting"
        crew = Crew(people=people, inspectors=inspectors)
        own = [_at_most(each, crew) for each in sessions]
        job, hours[name] = with_sessions(replace(asked, crew=crew, names=()), own, desk.on)
        outcome = plan_of(replace(job, wishes=Wishes()))
        plans[name] = outcome if isinstance(outcome, Plan) else [str(each) for each in outcome]
    return plans, hours


def _plan_facts(made: Plan | Sequence[str], logbook: Logbook, hours: PlanClock) -> dict[str, object]:
    if isinstance(made, Plan):
        return {"reasons": [], "plan": reports.plan_json(made, logbook, hours)}
    return {"reasons": list(made), "plan": None}


def _at_most(session: Session, crew: Crew) -> Session:
    people = min(crew.people, session.people or crew.people)
    return replace(session, people=people, inspectors=min(people, session.inspectors or crew.inspectors))


def _asked_for(logbook: Logbook, on: dt.date, names: Sequence[str], name: str, owed: OwedHere) -> list[str]:
    """Why a check was taken into the job: it was named, comes with what was named, is owed by the work, falls due."""
    if name not in logbook.checks:
        return []
    said = []
    if name in [logbook.id_now(each) for each in names]:
        said.append("It was named.")
    for inspection in names:
        if inspection in logbook.aircraft.inspections and name in inspection_checks(logbook.checks, inspection):
            check = logbook.checks[name]
            covers = f", and covers {', '.join(check.covers)} of its scope" if check.covers else ""
            said.append(f"It belongs to the {inspection} inspection{covers}.")
    if name in owed.taken:
        said.append(f"This work itself makes it owed, {after_words(logbook, owed.taken[name])}.")
    item = due_of(logbook, on).item(name)
    if item is not None:
        left = left_clause(item)
        said.append(f"By itself it is {item.state.replace('-', ' ')}{f', {left}' if left else ''}.")
    return said


def _not_in_it(name: str, names: Sequence[str]) -> str:
    return f"`{name}` is not in this plan{did_you_mean(name, names) or '; --all shows what is'}"


def _why_alone(
    logbook: Logbook,
    on: dt.date,
    names: Sequence[str],
    job: Job,
    made: Plan,
    hours: reports.PlanClock,
    owed: OwedHere,
) -> Iterator[Block]:
    """With a single check named: why it and every panel are in the plan."""
    if len(names) != 1 or logbook.id_now(names[0]) not in made.checks:
        return
    for name in (logbook.id_now(names[0]), *made.panels):
        facts = why(job, made, name)
        if facts is not None:
            yield from reports.why_blocks(facts, _asked_for(logbook, on, names, name, owed), logbook, hours)
