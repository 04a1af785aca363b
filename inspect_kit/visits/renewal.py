"""How one thing comes round: its due points today, and those that it will have when it is next done on some day."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from inspect_kit.due import Chronicle, Moment
from inspect_kit.due.fitting import Fittings
from inspect_kit.due.limits import Base, Point, point_of
from inspect_kit.due.reckoning import Reckoned, reckon
from inspect_kit.model.aircraft import Aircraft, InspectionRule
from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import Limit

Points = tuple[Point, ...]
After = Callable[[Moment], Points]


@dataclass(frozen=True, kw_only=True, slots=True)
class Renewal:
    """`now` are the due points today (none: nothing falls due until it has been done), `after` those after a doing.

    `at_once` says that it is to be done at the first visit, and why; `unplanned` why it cannot be planned at all.
    `ends` that no further due point can be known after the next doing, and why.
    """

    now: Points = ()
    after: After
    at_once: str = ""
    unplanned: str = ""
    ends: str = ""


def of_check(check: Check, book: Chronicle, fittings: Fittings) -> Renewal:
    """The renewal of a check, asked of the arithmetic that makes the due list."""
    found = reckon(check, book, fittings)
    aircraft = book.logbook.aircraft
    limits = tuple(term for term in check.every if isinstance(term, Limit))

    def after(moment: Moment) -> Points:
        if check.life:
            return points_from(check.life, moment, aircraft)
        if check.first or check.grace:
            # What counts then depends on all that was done before: the due list's own arithmetic says.
            asked = replace(check, every=limits) if check.marked else check
            return tuple(_after(asked, moment, book, fittings).points)
        # What a part is marked with next is not known before it is there.
        return () if check.once or check.once_date else points_from(limits, moment, aircraft)

    ends = ""
    if check.marked and not limits:
        ends = "the date that the next part carries is not known yet"
    if found.owed is not None:
        return Renewal(after=after, at_once="owed already", ends=ends)
    if found.points:
        return Renewal(now=tuple(found.points), after=after, unplanned=found.unknown, ends=ends)
    if found.unknown and limits and _after_any(check, book, fittings):
        return Renewal(after=after, at_once=found.unknown, ends=ends)
    return Renewal(after=after, unplanned=found.unknown)


def _after(check: Check, moment: Moment, book: Chronicle, fittings: Fittings) -> Reckoned:
    done = {**book.done, check.id: (*book.done.get(check.id, ()), moment)}
    return reckon(check, replace(book, done=done), fittings)


def _after_any(check: Check, book: Chronicle, fittings: Fittings) -> bool:
    """Whether doing it would give it a due point: not so where what is missing is the part."""
    last = max(book.moments.values(), key=lambda moment: moment.order, default=None)
    return last is not None and bool(_after(check, last, book, fittings).points)


def of_inspection(rule: InspectionRule, now: Points, aircraft: Aircraft) -> Renewal:
    """The renewal of an inspection: early or late, the next one counts from the day on which it is done."""
    limits = tuple(term for term in rule.every if isinstance(term, Limit))
    return Renewal(
        now=now,
        after=lambda moment: points_from(limits, moment, aircraft),
        unplanned="" if now else "no inspection is on record, and nothing says from what to count",
    )


def points_from(limits: tuple[Limit, ...], moment: Moment, aircraft: Aircraft) -> Points:
    """The due points of limits that count from a moment."""
    base = Base(words="done", date=moment.date, totals=dict(moment.totals), place=moment.place)
    points = (point_of(limit, base, aircraft) for limit in limits)
    return tuple(point for point in points if point is not None)
