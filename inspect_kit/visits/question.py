"""From items and days to the optimisation: the problem of a year, on the days that the owner is willing to work."""

import datetime as dt
from collections.abc import Iterable, Mapping

from inspect_kit.due import Chronicle
from inspect_kit.model.aircraft import VisitHabit
from inspect_kit.noun import dataclass
from inspect_kit.plan import access_labour
from inspect_kit.replenishment.problem import JointProblem
from inspect_kit.visits.outlook import Outlook, free, visit_days
from inspect_kit.visits.rule import Rule
from inspect_kit.visits.slots import Slots
from inspect_kit.visits.subjects import Subject

# A day that the owner wanted free costs so many times a visit, so that it is taken only where a limit asks for it.
OUTSIDE_FACTOR = 4
# A visit in the flying season counts so many times, so that work is pulled out of it where that gives little away.
SEASON_FACTOR = 3
# So many times at most days are added on which a limit leaves no other: each time adds at least one.
EXTRA_DAYS = 60


@dataclass(frozen=True, kw_only=True, slots=True)
class YearQuestion:
    """The days (one a slot) and the problem over them. `outside` are days that the owner wanted free."""

    days: tuple[dt.date, ...]
    outside: frozenset[dt.date]
    subjects: tuple[Subject, ...]
    rules: Mapping[str, "Rule"]
    problem: JointProblem


def _factor(day: dt.date, habit: VisitHabit) -> int:
    if not free(day, habit):
        return OUTSIDE_FACTOR
    return SEASON_FACTOR if day.month in habit.season else 1


def question(
    book: Chronicle,
    ahead: Outlook,
    planned: tuple[Subject, ...],
    on: dt.date,
    end: dt.date,
    more: Iterable[dt.date] = (),
) -> YearQuestion:
    """The problem of these items from `on` to `end`, on the days that the owner is willing to work, and on `more` days.

    Where a limit leaves an item no such day, the latest day within the limit is added.
    """
    habit = book.logbook.aircraft.visits
    days = tuple(sorted({*(visit_days(habit, on, end) or (on,)), *more}))
    rules: dict[str, Rule] = {}
    for _ in range(EXTRA_DAYS):
        slots = Slots(book, ahead, days, on, end)
        rules = {subject.name: Rule(subject, slots) for subject in planned}
        wanted = {day for rule in rules.values() if (day := rule.missing(on)) is not None} - set(days)
        if not wanted:
            break
        days = tuple(sorted({*days, *wanted}))
    panels = book.logbook.panels
    outside = frozenset(day for day in days if not free(day, habit))
    problem = JointProblem(
        items=tuple(rules[subject.name].item for subject in planned),
        setups={
            name: float(access_labour(panels, [name]))
            for name in sorted({name for subject in planned for name in subject.panels})
        },
        visit=tuple(float(habit.minutes * _factor(day, habit)) for day in days),
    )
    return YearQuestion(days=days, outside=outside, subjects=planned, rules=rules, problem=problem)
