"""The months ahead: which items together on which visit, so that every panel comes off as seldom as it can."""

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from inspect_kit.due import PAST_DUE, Chronicle, DueAnswer, Moment, chronicle
from inspect_kit.errors import ProgramFault
from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import DAYS, so_many
from inspect_kit.model.logbook import Logbook
from inspect_kit.replenishment.check import schedule_faults
from inspect_kit.replenishment.later import as_late
from inspect_kit.replenishment.problem import TODAY, JointProblem
from inspect_kit.replenishment.search import effort_for, replenish
from inspect_kit.replenishment.thumb import when_due, with_what_is_near
from inspect_kit.visits.afterwards import Afterwards, afterwards, begun, moved
from inspect_kit.visits.answer import LeftOut, VisitPlan
from inspect_kit.visits.habit import habit_of
from inspect_kit.visits.money import costs_together, is_guarded, money_of
from inspect_kit.visits.outlasted import outlasted
from inspect_kit.visits.outlook import end_of, outlook
from inspect_kit.visits.question import YearQuestion, question
from inspect_kit.visits.renewal import Points
from inspect_kit.visits.subjects import Subject, subjects
from inspect_kit.visits.telling import costs_of, visits_of

MONTHS = 12
# How many names a note has.
NAMED = 3
# Its place among the plan, each when due, and the natural rule.
WHEN_DUE = 1
# What is owed afterwards may ask for a day of its own, and that for another one.
MORE_DAYS = 12
# What the search may take on a small computer; reckoned beforehand from the size of the problem, never timed.
SECONDS = 3.0
NOTHING, NOTHING_ELSE = "Nothing", "Besides what is named here, nothing"
MARGIN = (
    " falls past due with heavy use either: the early dates of the forecast count, which are early enough 9 "
    "times in 10. Flying more than that moves visits forward: ask again after flying much."
)

STANDING = " The likely use has nothing flown in the months with no flying; the heavy use does not rely on that."


def year_ahead(logbook: Logbook, answer: DueAnswer, *, months: int = MONTHS, seconds: float = SECONDS) -> VisitPlan:
    """Which items on which visit from the day of a due list, for so many months.

    Every item of the due list is there or under `left_out` with the reason. Minutes throughout. `seconds` says how much
    to search, reckoned as steps: the answer never depends on the clock. Errors: ValueError for fewer months than one;
    ProgramFault when the checker finds fault with the plan, which is then not shown.
    """
    if months < 1:
        raise ValueError("the months ahead are at least one")
    book = chronicle(answer.seen)
    on, end = answer.on, end_of(answer.on, months)
    planned, left_out = _plannable(book, answer, end)
    ahead = outlook(book, on, end)
    asked = question(book, ahead, planned, on, end)
    stuck = _stuck(asked)
    if any(each.renewal.sequence for each in planned if each.name in stuck):
        # With heavy use what is left of `first` falls due before a doing would count for it.
        planned = tuple(_waiting_for_it(each) if each.name in stuck else each for each in planned)
        asked = question(book, ahead, planned, on, end)
        stuck = _stuck(asked)
    if stuck:
        # What may be due by now is not left out for that: the next time is planned, and nothing after it.
        now = stuck & {item.name for item in asked.problem.items if item.latest[0] <= 0}
        planned = tuple(_once_only(each, _too_soon(book, on)) if each.name in now else each for each in planned)
        asked = question(book, ahead, planned, on, end)
        stuck = _stuck(asked)
    if stuck:
        why = "comes round more often than there are days for it"
        left_out += [LeftOut(item=name, reason=why) for name in sorted(stuck)]
        kept = (replace(each, follows=_without(each.follows, stuck)) for each in planned if each.name not in stuck)
        planned = tuple(kept)
        asked = question(book, ahead, planned, on, end)
    anew = begun(asked, when_due(asked.problem))
    problem = _without_items(asked.problem, anew)
    found = as_late(problem, replenish(problem, effort_for(problem, seconds)))
    if wrong := schedule_faults(problem, found):
        raise ProgramFault("the year ahead contradicts itself: " + "; ".join(wrong[:5]))
    soon = with_what_is_near(problem, {item.name: asked.rules[item.name].near for item in problem.items})
    ways: list[Mapping[str, tuple[int, ...]]] = [found.doings, when_due(problem), soon]
    made = _afterwards(asked, ways, book, anew)
    for _ in range(MORE_DAYS):
        wanted = {day for each in made for day in each.wanted}
        if not wanted:
            break
        again = question(book, ahead, planned, on, end, {*asked.days, *wanted})
        ways, asked = [moved(way, asked, again) for way in ways], again
        made = _afterwards(asked, ways, book, anew)
    _, due, near = made
    # No plan is dearer than a rule of thumb.
    after = min(made, key=lambda each: costs_of(asked, each, book).total)
    habit = habit_of(book, planned, on, end)
    money = money_of(logbook)
    past_due = sum(item.state == PAST_DUE for item in answer.items)
    visits = visits_of(asked, after, book, ahead)
    late, waiting = tuple(outlasted(visits, logbook)), tuple(_waiting(asked, after, logbook.checks))
    standing = STANDING if logbook.aircraft.visits.no_flying else ""
    return VisitPlan(
        on=on,
        end=end,
        months=months,
        visits=visits,
        costs=costs_of(asked, after, book),
        when_due=costs_of(asked, due, book),
        when_soon=costs_of(asked, near, book),
        hour=money.hour,
        currency=money.currency,
        habit=replace(habit, past_due=past_due) if habit is not None else None,
        bound=found.bound,
        margin=(NOTHING_ELSE if late or waiting else NOTHING) + MARGIN + standing,
        left_out=tuple(left_out),
        pressing=(*_stops(answer), *late),
        notes=(*_notes(planned, after, logbook.checks), *waiting, *_unweighed(planned, book)),
    )


def _waiting_for_it(subject: Subject) -> Subject:
    return replace(subject, renewal=replace(subject.renewal, waits=subject.renewal.sequence))


def _once_only(subject: Subject, why: str) -> Subject:
    ends = replace(subject.renewal, after=_nothing, plain=(), ends=why, sequence=False)
    return replace(subject, renewal=ends)


def _nothing(moment: Moment, first: bool) -> Points:
    """No due point."""
    return ()


def _too_soon(book: Chronicle, on: dt.date) -> str:
    """Why what comes after the next time is not planned: of a meter that was not read for long heavy use may have
    run through a whole interval already.
    """
    last = book.last_reading(book.clock)
    age = (on - last.date).days if last is not None else 0
    read = f": the last reading is {so_many(age, DAYS)} old, write the meter down" if age > 0 else ""
    return f"it may come round again before there is a day for it{read}"


def _afterwards(
    asked: YearQuestion, ways: Sequence[Mapping[str, tuple[int, ...]]], book: Chronicle, anew: frozenset[str]
) -> list[Afterwards]:
    """The plan, each item when due, and the natural rule, with what they leave owed later."""
    return [afterwards(asked, way, book, anew, when_due=number == WHEN_DUE) for number, way in enumerate(ways)]


def _stops(answer: DueAnswer) -> Iterator[str]:
    """A finding to be fixed before flight, a panel that is off, is no part of the months ahead: it comes first."""
    if answer.stops:
        many = len(answer.stops)
        things = "One reason not to fly is" if many == 1 else f"{many} reasons not to fly are"
        yield f"{things} on record today, whatever is planned here: see inspect-kit due."


def _notes(planned: tuple[Subject, ...], after: Afterwards, checks: Mapping[str, Check]) -> Iterator[str]:
    """What the plan cannot know, and what its bound leaves out."""
    for subject in planned:
        if subject.renewal.ends and after.doings[subject.name]:
            check = checks.get(subject.name)
            told = check.named if check is not None else subject.name
            yield f"{told}: after the next time {subject.renewal.ends}, so nothing later is planned"
    if after.owed:
        names = "; ".join(checks[name].named for name in sorted({name for name, _ in after.owed}))
        yield f"Owed after other items, and put in last: {names}. The bound of what could be saved leaves these out"


def _waiting(asked: YearQuestion, after: Afterwards, checks: Mapping[str, Check]) -> Iterator[str]:
    """What heavy use brings sooner than a doing would count for it: there the margin is not kept."""
    for name, rule in asked.rules.items():
        if rule.waits.keys() & {TODAY, *after.doings.get(name, ())} and name in checks:
            told = "with heavy use it falls due before a doing counts for it, so read the meter first"
            yield f"{checks[name].named}: {told}; it stands where it counts with the likely use"


def _unweighed(planned: tuple[Subject, ...], book: Chronicle) -> Iterator[str]:
    """What is known of money and cannot be weighed; what is held back because nothing is known of it."""
    checks, money = book.logbook.checks, money_of(book.logbook)
    named = [name for subject in planned for name in subject.checks]
    known, _ = costs_together((checks[name] for name in named), money)
    if known and money.hour is None:
        yield "Costs are known and not weighed: visits: {hour: 25} in aircraft.yaml says what an hour is worth"
    held = [name for name in dict.fromkeys(named) if is_guarded(checks[name], money)]
    if held:
        told = "; ".join(checks[name].named for name in held[:NAMED])
        told += f"; and {len(held) - NAMED} more" if len(held) > NAMED else ""
        yield f"Done when due and no sooner, as nothing says what it costs: {told}"


def _plannable(book: Chronicle, answer: DueAnswer, end: dt.date) -> tuple[tuple[Subject, ...], list[LeftOut]]:
    everything = subjects(book, answer, end)
    left_out = [LeftOut(item=each.name, reason=each.renewal.unplanned) for each in everything if each.renewal.unplanned]
    out = {each.item for each in left_out}
    idle = {
        each.name
        for each in everything
        if not (each.renewal.now or each.renewal.at_once or each.renewal.unplanned or each.follows or each.first)
    }
    gone = out | idle
    kept = tuple(
        each if gone.isdisjoint(each.follows) else replace(each, follows=_without(each.follows, gone))
        for each in everything
        if each.name not in gone
    )
    return kept, left_out


def _without(names: tuple[str, ...], gone: set[str]) -> tuple[str, ...]:
    return tuple(name for name in names if name not in gone)


def _without_items(problem: JointProblem, gone: frozenset[str]) -> JointProblem:
    """The problem without some items, and without the need to be done with them."""
    if not gone:
        return problem
    items = (
        replace(item, follows=tuple(name for name in item.follows if name not in gone))
        for item in problem.items
        if item.name not in gone
    )
    return replace(problem, items=tuple(items))


def _stuck(asked: YearQuestion) -> set[str]:
    """Items that no choice of days keeps within their limits."""
    slots = len(asked.days)
    found = set()
    for item in asked.problem.items:
        # Whatever lies between a doing and its latest next one can be reached, so that one number says what can.
        reached = TODAY
        for last, latest in enumerate(item.latest, TODAY):
            if last <= reached:
                reached = max(reached, latest)
        dead = item.follows and any(item.latest[slot + 1] <= slot for slot in range(slots))
        if reached < slots or dead:
            found.add(item.name)
    return found
