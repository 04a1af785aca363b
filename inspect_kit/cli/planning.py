"""From what is asked on the command line to the question that the planner answers."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from inspect_kit.due import CHECK, IN_GRACE, PAST_DUE, SOON, DueAnswer, due
from inspect_kit.errors import Misused, Refused
from inspect_kit.inspection.start import inspection_checks
from inspect_kit.model.aircraft import Crew, Session, Soon
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Step, Worksheet
from inspect_kit.plan import ENDS, Contradiction, Job, Plan, Wishes, learned_minutes, news, page_order, plan, shifts_of
from inspect_kit.report import Hours
from inspect_kit.text.aircraft import parse_session, parse_soon
from inspect_kit.text.grammar import Unreadable, did_you_mean


def crew_of(logbook: Logbook, people: int | None, inspectors: int | None) -> Crew:
    """The crew that was asked for; what was not said comes from aircraft.yaml."""
    usual = logbook.aircraft.crew
    many = people or max(usual.people, inspectors or 1)
    try:
        return Crew(people=many, inspectors=inspectors or min(usual.inspectors, many))
    except ValueError as reason:
        raise Misused(str(reason)) from None


def chosen(
    logbook: Logbook,
    names: Sequence[str],
    *,
    on: dt.date,
    only: bool = False,
    by: dt.date | None = None,
    within: str = "",
) -> tuple[str, ...]:
    """The checks to plan: those named, those of an inspection that is named, and what falls due with them.

    An inspection takes every item past due, in grace or soon as well, unless `only`. `by` and `within` take what
    falls due until a day, or within hours, days or landings.
    """
    found: dict[str, None] = {}
    takes_more = False
    for name in names:
        current = logbook.id_now(name)
        if name in logbook.aircraft.inspections:
            found |= dict.fromkeys(inspection_checks(logbook, name))
            takes_more = takes_more or not only
        elif current in logbook.checks:
            found[current] = None
        else:
            known = [*logbook.aircraft.inspections, *logbook.checks]
            raise Misused(f"no inspection or check is called `{name}`{did_you_mean(name, known)}")
    if takes_more:
        found |= dict.fromkeys(_pressing(due(logbook, on, expect=False)))
    if by is not None:
        found |= dict.fromkeys(_pressing(due(logbook, on, by=by, expect=False)))
    if within:
        found |= dict.fromkeys(_within(logbook, on, within))
    return tuple(check for check in logbook.checks if check in found and logbook.checks[check].retired is None)


def _pressing(answer: DueAnswer) -> list[str]:
    states = (PAST_DUE, IN_GRACE, SOON)
    return [item.check for item in answer.items if item.kind == CHECK and (item.state in states or item.owed)]


def _within(logbook: Logbook, on: dt.date, words: str) -> list[str]:
    """The checks that have at most so much left: `25 h`, or `25 h, 60 days`."""
    try:
        soon = parse_soon(words)
    except Unreadable as fault:
        raise Misused(f"--within: {fault.message}") from None
    # What is not named is not taken: a limit of nothing, not the customary one.
    given = replace(
        Soon(hours=soon.hours * 0, days=-1, landings=soon.landings * 0),
        **{name: getattr(soon, name) for name in ("hours", "days", "landings") if _names(name, words)},
    )
    return _pressing(due(replace(logbook, aircraft=replace(logbook.aircraft, soon=given)), on, expect=False))


def _names(unit: str, words: str) -> bool:
    return {"hours": " h", "days": " day", "landings": " landing"}[unit] in words


def job_of(
    logbook: Logbook,
    checks: Sequence[str],
    crew: Crew,
    *,
    sheets: Sequence[Worksheet] = (),
    wishes: Wishes | None = None,
    as_listed: bool = False,
) -> Job:
    """The question for the planner. `sheets` are sealed pages, from which the minutes of panels are learned.

    `as_listed`: the minutes of the checklists, whatever it really took in the past.
    """
    return Job(
        panels=logbook.panels,
        checks=logbook.checks,
        chosen=tuple(checks),
        crew=crew,
        gear=logbook.aircraft.gear,
        minutes={} if as_listed else learned_minutes(logbook, sheets),
        wishes=wishes or Wishes(ends=ENDS, news=news(logbook, checks)),
    )


def planned(logbook: Logbook, names: Sequence[str], *, on: dt.date, crew: Crew, only: bool = False) -> Plan:
    """The plan without sessions, or Refused with every contradiction and its cure."""
    checks = chosen(logbook, names, on=on, only=only)
    if not checks:
        raise Refused("nothing is due that would be done")
    return answered(plan(job_of(logbook, checks, crew)))


def page_steps(logbook: Logbook, plan: Plan) -> tuple[Step, ...]:
    """The steps of a plan without sessions in the order of a page: panels together where no time is lost by it."""
    crew = Crew(people=plan.people, inspectors=plan.inspectors)
    return page_order(job_of(logbook, plan.checks, crew), plan)


def sessions_of(logbook: Logbook, given: Sequence[str], *, any_hours: bool) -> tuple[Session, ...]:
    """The sessions named with --session; without any the habit in aircraft.yaml, unless any hours will do."""
    if not given:
        return () if any_hours else logbook.aircraft.sessions
    try:
        return tuple(parse_session(words) for words in given)
    except Unreadable as fault:
        raise Misused(f"--session: {fault.message}") from None


def with_sessions(job: Job, sessions: Sequence[Session], on: dt.date) -> tuple[Job, Hours]:
    """The job in the hours of these sessions from a day on. A session with more people makes the crew larger."""
    crew = job.crew
    people = max([crew.people, *(each.people or 0 for each in sessions)])
    inspectors = max([crew.inspectors, *(each.inspectors or 0 for each in sessions)])
    try:
        job = replace(job, crew=Crew(people=people, inspectors=min(people, inspectors)))
        began, shifts = shifts_of([_peopled(each, crew) for each in sessions], job.crew, on)
    except ValueError as reason:
        raise Misused(f"--session: {reason}") from None
    if sessions and not shifts:
        raise Refused(f"no session is on {on} or later")
    return replace(job, shifts=shifts), Hours(began=began, shifts=shifts)


def _peopled(session: Session, crew: Crew) -> Session:
    """The session with its people said: the usual crew is there where it says nothing."""
    people = session.people or crew.people
    return replace(session, people=people, inspectors=session.inspectors or min(people, crew.inspectors))


def answered(outcome: Plan | tuple[Contradiction, ...]) -> Plan:
    if isinstance(outcome, tuple):
        reasons = "\n".join(f"  {each}" for each in outcome)
        raise Refused(f"there can be no plan, because of\n{reasons}")
    return outcome
