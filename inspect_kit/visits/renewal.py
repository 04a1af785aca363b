"""How one thing comes round: its due points today, and those that it will have when it is next done on some day."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from inspect_kit.due import Chronicle, Moment, all_fittings
from inspect_kit.due.check_history import CheckHistory
from inspect_kit.due.fitting import Fittings
from inspect_kit.due.limits import Base, DuePoint, point_of
from inspect_kit.due.reckoning import Reckoned, reckon, reckoned
from inspect_kit.due.sequences import has_done_first
from inspect_kit.model.aircraft import Aircraft, InspectionRule
from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import Limit
from inspect_kit.noun import dataclass

Points = tuple[DuePoint, ...]
After = Callable[[Moment, bool], Points]
"""The due points after a doing; the flag says that it is the first one from today on, which may be late."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Renewal:
    """`now` are the due points today (none: nothing falls due until it has been done), `after` those after a doing.

    `at_once` says that it is to be done at the first visit, and why; `unplanned` why it cannot be planned at all.
    `ends` that no further due point can be known after the next doing, and why. `once` says that it never comes round
    again, so that nothing is given away by doing it early; `since` when what a part is marked with began to run.
    `plain` are the limits that alone say what is due after any doing but the first from today on. `sequence`: something
    of `first` is left, which a doing answers only where its point is reached, or nearly; it `waits` for that where no
    other days keep it within its limits.
    """

    now: Points = ()
    after: After
    at_once: str = ""
    unplanned: str = ""
    ends: str = ""
    once: bool = False
    since: dt.date | None = None
    plain: tuple[Limit, ...] | None = None
    sequence: bool = False
    waits: bool = False


def of_check(name: str, book: Chronicle) -> Renewal:
    """The renewal of a check, asked of the arithmetic that makes the due list."""
    check, found = book.logbook.checks[name], reckoned(name, book)
    fittings, aircraft = all_fittings(book), book.logbook.aircraft
    limits = (*(term for term in check.every if isinstance(term, Limit)), *check.directed)
    once = bool(check.once or check.once_date) and not check.directed
    life = check.life and (*check.life, *check.directed)
    # What a part is marked with next is not known before it is there.
    asked = replace(check, every=limits) if check.marked else check
    in_time = replace(asked, grace=()) if asked.grace else asked
    sequence = bool(check.first) and not (not check.marked and has_done_first(check, book, fittings))

    def after(moment: Moment, first: bool) -> Points:
        if life:
            return points_from(life, moment, aircraft)
        if once:
            return ()
        # A doing that may be late is the business of the due list's own arithmetic. All later ones are in time, so
        # that each counts from its own day; what is left of `first` is asked of that arithmetic each time.
        if sequence or (first and check.grace):
            return tuple(_after(asked if first else in_time, moment, book, fittings).points)
        return points_from(limits, moment, aircraft)

    ends = ""
    if check.marked and not limits:
        ends = "the date that the next part carries is not known yet"
    marks = CheckHistory(check, book, fittings).marks if check.marked else ()
    plain = life or (() if once else None if sequence else limits)
    since = marks[-1].moment.date if marks else None
    renewal = partial(Renewal, after=after, ends=ends, once=once, since=since, plain=plain, sequence=sequence)
    if found.owed is not None:
        return renewal(at_once="owed already")
    if found.points:
        return renewal(now=tuple(found.points))
    unknown = found.unknown or found.brought
    only_owed = bool(check.owed_after) and not (limits or check.first or once or check.life or check.marked)
    if unknown and (only_owed or (limits and _after_any(check, book, fittings))):
        return renewal(at_once=unknown)
    return Renewal(after=after, unplanned=unknown)


def _after(check: Check, moment: Moment, book: Chronicle, fittings: Fittings) -> Reckoned:
    done = {**book.done, check.id: (*book.done.get(check.id, ()), moment)}
    return reckon(check, replace(book, done=done), fittings)


def is_past(point: DuePoint, at: Moment) -> bool:
    """Whether a due point has been passed; on the day, or at the total itself, it is not."""
    if point.date is not None:
        return at.date is not None and at.date > point.date
    total = at.totals.get(point.meter or "")
    return total is not None and point.total is not None and total > point.total


def _last_moment(book: Chronicle) -> Moment | None:
    return max(book.moments.values(), key=lambda moment: moment.order, default=None)


def _after_any(check: Check, book: Chronicle, fittings: Fittings) -> bool:
    """Whether the check would have a due point once it is done; it has none while no part is known to be fitted."""
    last = _last_moment(book)
    return last is not None and bool(_after(check, last, book, fittings).points)


def of_inspection(rule: InspectionRule, now: Points, aircraft: Aircraft) -> Renewal:
    """The renewal of an inspection: early or late, the next one counts from the day on which it is done."""
    limits = tuple(term for term in rule.every if isinstance(term, Limit))
    return Renewal(
        now=now,
        after=lambda moment, first: points_from(limits, moment, aircraft),
        plain=limits,
        unplanned="" if now else "no inspection is on record, and nothing says from what to count",
    )


def points_from(limits: tuple[Limit, ...], moment: Moment, aircraft: Aircraft) -> Points:
    """The due points of limits that count from a moment."""
    base = Base(words="done", date=moment.date, totals=dict(moment.totals), place=moment.place)
    points = (point_of(limit, base, aircraft, told=False) for limit in limits)
    return tuple(point for point in points if point is not None)
