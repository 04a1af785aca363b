"""The owner's present habit as the records show it: how often it was opened, and how early things were done."""

import datetime as dt
from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from inspect_kit.due import Chronicle, Moment
from inspect_kit.due.limits import DuePoint
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.page_record import PageRecord
from inspect_kit.plan import access_labour, behind, panels_for
from inspect_kit.visits.answer import Costs, Habit
from inspect_kit.visits.money import costs_together, labour, money_of
from inspect_kit.visits.renewal import Points, is_past
from inspect_kit.visits.subjects import Subject

Turn = tuple[Subject, Points, Moment, Moment]

LOOK_BACK_DAYS = 730
LEAST_DAYS = 180


def habit_of(book: Chronicle, planned: tuple[Subject, ...], on: dt.date, end: dt.date) -> Habit | None:
    """What was spent over the last two years of records, and the same spread over the outlook; None if too short.

    A visit is a day with work on record. Its panels are those written as opened and those that the checks done need by
    today's checklists, so that both sides of the comparison are measured alike.
    """
    # Of the years that came in from paper nobody knows which panels were off on which days.
    dates = [record.date for record in book.logbook.records if not isinstance(record, PaperEntry)]
    since = max(min(dates, default=on), on - dt.timedelta(days=LOOK_BACK_DAYS))
    days = (on - since).days
    if days < LEAST_DAYS:
        return None
    logbook = book.logbook
    opened: dict[dt.date, set[str]] = {}
    done: dict[dt.date, set[str]] = {}
    for record in logbook.of_kind(PageRecord):
        if since < record.date <= on:
            opened.setdefault(record.date, set()).update(logbook.id_now(name) for name in record.opened)
            done.setdefault(record.date, set())
    for name, moments in book.done.items():
        if name in logbook.checks:
            for moment in moments:
                if moment.date in done:
                    done[moment.date].add(name)
    minutes = checks = unpriced = 0
    money, known = money_of(logbook), Decimal(0)
    for date, off in opened.items():
        there = [logbook.checks[name] for name in sorted(done[date])]
        minutes += access_labour(logbook.panels, {*panels_for(logbook.panels, there), *behind(logbook.panels, off)})
        checks += sum(labour(check) for check in there)
        costs, unknown = costs_together(there, money)
        known, unpriced = known + costs, unpriced + len(unknown)
    turns = [turn for subject in planned for turn in _turns(book, subject, since)]
    seen = Costs(
        number=len(opened),
        visits=float(len(opened) * logbook.aircraft.visits.minutes),
        panels=float(minutes),
        checks=float(checks),
        given_away=sum(_given_away(*turn) for turn in turns),
        money=known,
        unpriced=unpriced,
    )
    part = (end - on).days / days
    scaled = Costs(
        number=seen.number * part,
        visits=seen.visits * part,
        panels=seen.panels * part,
        checks=seen.checks * part,
        given_away=seen.given_away * part,
        money=seen.money * (end - on).days / days,
        unpriced=seen.unpriced * part,
    )
    late = sum(any(is_past(point, after) for point in points) for _, points, _, after in turns)
    return Habit(since=since, days=days, seen=seen, scaled=scaled, done=len(turns), late=late)


def _turns(book: Chronicle, subject: Subject, since: dt.date) -> Iterator[Turn]:
    """Each doing of one item since a day, with the one before it and what was due after that by today's rule."""
    moments = book.done.get(subject.name, ()) or book.inspections.get(subject.name, ())
    for before, after in pairwise(moments):
        if after.date is not None and after.date > since:
            yield subject, subject.renewal.after(before, False), before, after


def _given_away(subject: Subject, points: Points, before: Moment, after: Moment) -> float:
    """What was given away of one interval."""
    if subject.renewal.once:
        return 0.0
    shares = [share for point in points if (share := _share_left(point, before, after)) is not None]
    return subject.value * min(shares, default=0.0)


def _share_left(point: DuePoint, before: Moment, after: Moment) -> float | None:
    """The share of one limit's interval that was left when it was done again."""
    if point.date is not None and before.date is not None and after.date is not None:
        whole = (point.date - before.date).days
        return max(0.0, (point.date - after.date).days / whole) if whole > 0 else None
    start, end = before.totals.get(point.meter or ""), after.totals.get(point.meter or "")
    if point.total is None or start is None or end is None or point.total <= start:
        return None
    return max(0.0, float((point.total - end) / (point.total - start)))
