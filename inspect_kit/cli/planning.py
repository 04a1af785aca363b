"""What `plan`, `start`, `sheet` and `visits` ask for on the command line, as the question that the planner answers."""

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType
from typing import NoReturn

from inspect_kit.cli.called import near_or_find
from inspect_kit.cli.findings_beside import off_the_page
from inspect_kit.due import CHECK, IN_GRACE, PAST_DUE, RECHECK, SOON, DueAnswer, due
from inspect_kit.errors import Misused, Place, Refused
from inspect_kit.model.aircraft import Crew, Session, Soon
from inspect_kit.model.checklist import OTHERS, inspection_checks
from inspect_kit.model.interval import DAYS, METER_UNITS
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Step, Worksheet
from inspect_kit.past import said_units
from inspect_kit.plan import (
    ENDS,
    Contradiction,
    Fewest,
    Job,
    OwedHere,
    Plan,
    Wishes,
    fewest,
    learned_minutes,
    news,
    owed_here,
    page_order,
    panels_for,
    panels_for_check,
    plan,
    shifts_of,
    with_names,
    with_owed,
)
from inspect_kit.report import PlanClock, owed_sentences
from inspect_kit.report.naming import with_id
from inspect_kit.report.screens.due import belongs
from inspect_kit.report.words import counted
from inspect_kit.text.grammar import Unreadable


def staffed(
    usual: Crew | None, job: Job, people: int | None, inspectors: int | None, page: Worksheet | None = None
) -> tuple[Job, tuple[str, ...]]:
    """The job with the crew that was asked for, or the `usual` one of aircraft.yaml, and sentences about that.

    Where neither says how many work, it is for the fewest that can do it. Those whom an open `page` names are there.
    """
    least = fewest(job)
    many = people or max(usual.people if usual else least.people, inspectors or 1)
    try:
        crew = Crew(people=many, inspectors=inspectors or min(usual.inspectors if usual else 1, many))
    except ValueError as reason:
        raise Misused(f"{reason}: correct --people or --inspectors") from None
    made = replace(job, crew=crew, names=())
    if page is not None:
        made = with_names(made, page)
    asked = bool(people or usual or made.crew.people > least.people)
    return made, tuple(_crew_words(least, made.crew, asked=asked))


def _crew_words(least: Fewest, crew: Crew, *, asked: bool) -> Iterator[str]:
    """For how few it is planned and what asks for them; or that nobody is there for the second looks."""
    looks = f"a second person for {counted(least.looks, 'look')}"
    if not asked:
        needs = [f"{counted(least.together, 'step takes', 'steps take')} more than one"] if least.together else []
        needs += [looks] if least.looks else []
        why = f" ({', and '.join(needs)})" if needs else ""
        many = counted(crew.people, "person", "people")
        yield f"No crew is given: planned for the fewest that can do it, {many}{why}."
    elif crew.people == 1 and least.looks:
        yield f"Besides the one who works it takes {looks}: nobody looks at their own work."


def refuse_nothing(logbook: Logbook, names: Sequence[str]) -> NoReturn:
    """Why there is no plan of what is named, and what to do about it."""
    bare = [name for name in names if not inspection_checks(logbook.checks, name)]
    if bare and len(bare) == len(names):
        # Whoever named one is not told to name one: it has no checks.
        raise Refused(
            f"no check comes with {bare[0]}: write them under checklists/, each with `every: {bare[0]} inspection`; "
            "`inspect-kit scope` says which codes are missing"
        )
    raise Refused(
        "nothing is due that would be done: name a check or an inspection, or look further with --until DATE"
    )


def chosen(
    logbook: Logbook,
    names: Sequence[str],
    *,
    on: dt.date,
    only: bool = False,
    by: dt.date | None = None,
    within: str = "",
    read: Mapping[str, Decimal] = MappingProxyType({}),
) -> tuple[str, ...]:
    """The checks to plan: those named, those of an inspection that is named, and what falls due with them.

    What is due is told by what the meters `read` on the day, where it is not on record yet.

    An inspection takes every item past due, in grace, soon or owed as well; with `only` what is owed alone. `by` and
    `within` take what falls due until a day, or within so much use (`25 h`, `20 landings`).
    """
    found: dict[str, None] = {}
    inspects = False
    for name in names:
        current = logbook.id_now(name)
        if name in logbook.aircraft.inspections:
            found |= dict.fromkeys(inspection_checks(logbook.checks, name))
            inspects = True
        elif current in logbook.checks:
            found[current] = None
        else:
            known = [*logbook.aircraft.inspections, *logbook.checks]
            raise Misused(f"no inspection or check is called `{name}`{near_or_find(name, known)}")
    if inspects:
        answer = due(_as_read(logbook, on, read), on, expect=False)
        found |= dict.fromkeys(_owed(answer) if only else _pressing(answer))
    if by is not None:
        found |= dict.fromkeys(_pressing(due(logbook, on, by=by, expect=False)))
    if within:
        found |= dict.fromkeys(_pressing(due_within(logbook, on, within)))
    return tuple(check for check in logbook.checks if check in found and logbook.checks[check].retired is None)


def _as_read(logbook: Logbook, on: dt.date, read: Mapping[str, Decimal]) -> Logbook:
    """The logbook as it will be once these readings are written down."""
    if not read:
        return logbook
    place = Place("")
    return logbook.with_records([*logbook.records, Hours(name="read", date=on, entered=on, meters=read, place=place)])


def left_shut(
    logbook: Logbook, job: str, checks: Sequence[str], *, on: dt.date, read: Mapping[str, Decimal], few: int = 4
) -> str:
    """What is past due or soon, not on the page of these checks, and behind what comes off for them anyway, findings
    too; "" if nothing is.

    What an inspection that is due itself will bring is left to it.
    """
    off = {*panels_for(logbook.panels, [logbook.checks[name] for name in checks])}
    answer = due(_as_read(logbook, on, read), on, expect=False)
    found = []
    for item in answer.items:
        check = logbook.checks.get(item.check.partition("/")[0]) if item.state in (PAST_DUE, IN_GRACE, SOON) else None
        needs = panels_for_check(logbook.panels, check) if check and check.who != OTHERS else ()
        if check and needs and {*needs} <= off and check.id not in checks and not belongs(answer, item):
            found.append(with_id(logbook, check.id))
    named = [*dict.fromkeys(found), *off_the_page(logbook, job, checks, off, answer)]
    more = f" and {len(named) - few} more" if len(named) > few else ""
    return f"Not on this page, due or soon, behind what is opened: {', '.join(named[:few])}{more}." if named else ""


def _pressing(answer: DueAnswer) -> list[str]:
    states = (PAST_DUE, IN_GRACE, SOON)
    pressing = [item for item in answer.items if item.state in states or item.owed]
    # What is to be looked at again is looked at by doing its check.
    return [item.check.partition("/")[0] for item in pressing if item.kind in (CHECK, RECHECK)]


def _owed(answer: DueAnswer) -> list[str]:
    return [item.check for item in answer.items if item.kind == CHECK and item.owed]


def due_within(logbook: Logbook, on: dt.date, words: str) -> DueAnswer:
    """The due list in which what has at most so much left is due soon: `25 h`, or `25 h, 60 days`."""
    from inspect_kit.text.aircraft import parse_amounts

    try:
        amounts = parse_amounts(said_units(words))
    except Unreadable as fault:
        raise Misused(f"--within: {fault.message}") from None
    # What is not named is not taken: a limit of nothing, not the customary one.
    given = Soon(days=int(amounts.get(DAYS, -1)), use={unit: amounts.get(unit, Decimal(0)) for unit in METER_UNITS})
    return due(replace(logbook, aircraft=replace(logbook.aircraft, soon=given)), on, expect=False)


def job_of(
    logbook: Logbook,
    checks: Sequence[str],
    *,
    sheets: Sequence[Worksheet] = (),
    wishes: Wishes | None = None,
    as_listed: bool = False,
) -> Job:
    """The question for the planner, for one person. `sheets` are sealed pages, from which minutes are learned.

    `as_listed`: the minutes of the checklists, whatever it really took in the past.
    """
    return Job(
        panels=logbook.panels,
        checks=logbook.checks,
        chosen=tuple(checks),
        gear=logbook.aircraft.tooling,
        minutes={} if as_listed else learned_minutes(logbook, sheets),
        wishes=wishes or Wishes(ends=ENDS, news=news(logbook, checks)),
    )


def whole(
    logbook: Logbook,
    job: Job,
    people: int | None,
    inspectors: int | None,
    page: Worksheet | None = None,
    *,
    few: bool = False,
) -> tuple[Job, OwedHere, tuple[str, ...]]:
    """The job with what its own work makes owed, and staffed; with sentences on both, in `few` words for a screen."""
    owed = owed_here(job)
    taken = with_owed(job)
    if job.wishes.ends:
        taken = replace(taken, wishes=replace(job.wishes, news=news(logbook, taken.chosen)))
    made, said = staffed(logbook.aircraft.crew, taken, people, inspectors, page)
    return made, owed, (*said, *owed_sentences(owed, logbook, few=few))


def planned(
    logbook: Logbook,
    names: Sequence[str],
    sessions: Sequence[Session] = (),
    *,
    on: dt.date,
    people: int | None = None,
    inspectors: int | None = None,
    only: bool = False,
    few: bool = False,
    read: Mapping[str, Decimal] = MappingProxyType({}),
) -> Plan:
    """The plan in these sessions, or in any hours, with what is to be said of it among its notes.

    Said in `few` words for a screen.

    Refused, with every contradiction and its cure, where there can be none.
    """
    checks = chosen(logbook, names, on=on, only=only, read=read)
    if not checks:
        refuse_nothing(logbook, names)
    job, _, said = whole(logbook, job_of(logbook, checks), people, inspectors, few=few)
    made = answered(plan(with_sessions(job, sessions, on)[0] if sessions else job))
    return replace(made, notes=(*said, *made.notes))


def page_steps(logbook: Logbook, plan: Plan) -> tuple[Step, ...]:
    """The steps of a plan without sessions in the order of a page: panels together where no time is lost by it."""
    crew = Crew(people=plan.people, inspectors=plan.inspectors)
    return page_order(replace(job_of(logbook, plan.checks), crew=crew), plan)


def sessions_of(usual: tuple[Session, ...], given: Sequence[str], *, any_hours: bool) -> tuple[Session, ...]:
    """The sessions named with --session; without any the habit in aircraft.yaml, unless any hours will do."""
    if not given:
        return () if any_hours else usual
    from inspect_kit.text.aircraft import parse_session

    try:
        return tuple(parse_session(words) for words in given)
    except Unreadable as fault:
        raise Misused(f"--session: {fault.message}") from None


def with_sessions(job: Job, sessions: Sequence[Session], on: dt.date) -> tuple[Job, PlanClock]:
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
        raise Refused(f"no session is on {on} or later: give one with --session, or plan with --any-hours")
    return replace(job, shifts=shifts), PlanClock(began=began, shifts=shifts)


def _peopled(session: Session, crew: Crew) -> Session:
    """The session with its people said: the usual crew is there where it says nothing."""
    people = session.people or crew.people
    return replace(session, people=people, inspectors=session.inspectors or min(people, crew.inspectors))


def answered(outcome: Plan | tuple[Contradiction, ...]) -> Plan:
    if isinstance(outcome, tuple):
        reasons = "\n".join(f"  {each}" for each in outcome)
        raise Refused(f"there can be no plan, because of\n{reasons}")
    return outcome
