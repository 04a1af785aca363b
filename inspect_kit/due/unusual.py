"""Meter readings that may be a slip of the finger: what is asked back before they are written down."""

import datetime as dt
from bisect import bisect_left
from collections.abc import Collection, Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Final

from inspect_kit.errors import Problem
from inspect_kit.model.interval import HOURS, UNITS
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import Point

# So many times the usual use is unusual, if it is more than a long day's flying (`most_a_day` of the unit).
MANY: Final = 5
# Usual use is that of the year before the last reading; a builder's aeroplane flies some 60 h a year, with four
# landings in each, which weighs as much as 30 days of one's own readings.
YEAR: Final = 365
PRIOR_DAYS: Final = 30


def unusual_readings(logbook: Logbook, date: dt.date, meters: Mapping[str, Decimal]) -> Iterator[str]:
    """A question for each reading of a day that is below another of that day, or many times the usual use above it.

    `meters` are readings as the meters show them. A reading below that of an earlier day is no question but a
    contradiction, which is not told here.
    """
    for meter, reads in meters.items():
        # What the old one may still have read is not asked about on the day of a change: either may be meant.
        of_the_day = [each for each in logbook.of_kind(MeterChange) if each.meter == meter and each.date == date]
        changed = any(reads <= each.old for each in of_the_day)
        history = logbook.meter_history(meter)
        before = [point for point in history.points if point.date <= date]
        if changed or not before:
            continue
        last = before[-1]
        if last.date == date and reads < last.reads:
            told = f"{meter} {reads} is below {last.reads}, which {last.place.file} has for the same day."
            yield f"{told} Was it read earlier that day?"
        unit = logbook.aircraft.meters[meter].unit
        # Both were read off the meter of that day, whichever is fitted now.
        more = reads - last.reads
        if too_much := _too_much(before, len(before) - 1, date, more, unit):
            yield f"{meter} {reads} is {more} {unit} more than {last.reads} on {last.date}; {too_much}. Is it right?"


def either_meter(logbook: Logbook, date: dt.date, meters: Mapping[str, Decimal]) -> Iterator[tuple[str, str]]:
    """Each meter changed on a day whose reading the old one and the new one can both have shown, and a question: it
    counts as the old one's, and what was flown with the new one would not count that day.
    """
    for change in logbook.of_kind(MeterChange):
        reads = meters.get(change.meter)
        if reads is None or change.date != date or not change.new < reads < change.old:
            continue
        earlier = [point.reads for point in logbook.meter_history(change.meter).points if point.date < date]
        unit = logbook.aircraft.meters[change.meter].unit
        if float(reads - change.new) > UNITS[unit].most_a_day or (earlier and reads < earlier[-1]):
            continue
        told = f"{change.meter} {reads} can be of either: {change.old} was changed for {change.new} that day."
        counts = "It counts as the old meter's, and what the new one read is written on the day after."
        yield f"{told} {counts} Is it the old meter's?", change.meter


def unusual_totals(logbook: Logbook, names: Collection[str]) -> Iterator[Problem]:
    """What speaks for a slip in the totals that the records called `names` add to a logbook, by a reading or on paper:
    many times the usual use above the total before.
    """
    on_paper = [record for record in logbook.of_kind(PaperEntry) if record.totals]
    for meter in logbook.aircraft.meters.values():
        points = list(logbook.meter_history(meter.name).points)
        for record in on_paper:
            if (said := record.totals.get(meter.name)) is not None:
                line = place_of(record, "totals", meter.name)
                points.append(Point(date=record.date, reads=said, total=said, record=record.name, place=line))
        points.sort(key=lambda point: (point.date, point.total))
        for place, (last, point) in enumerate(pairwise(points)):
            more = point.total - last.total
            if point.record in names and (too_much := _too_much(points, place, point.date, more, meter.unit)):
                told = f"the total of {meter.name}, {point.total}, is {more} {meter.unit} more than on {last.date}"
                yield Problem(point.place, f"{told}; {too_much}")


def _too_much(points: Sequence[Point], last: int, date: dt.date, more: Decimal, unit: str) -> str:
    """What is usual from the point at `last` to a date, where `more` is many times that; else nothing."""
    days = max(1, (date - points[last].date).days)
    if float(more) <= UNITS[unit].most_a_day:
        return ""
    usual = _usual(points, last, unit) * days
    return f"usual in {'a day' if days == 1 else f'{days} days'} is {usual:.1f} {unit}" if more > MANY * usual else ""


def unusual_since(hours: Decimal, since: dt.date, today: dt.date) -> str:
    """What speaks against so many hours in all since a day: that they are many times the usual ones; "" if nothing.

    The first year counts whole: what was flown in a few weeks says nothing yet.
    """
    usual = UNITS[HOURS].a_year * max(1.0, (today - since).days / YEAR)
    return f"{hours} h since {since}, where {usual:.0f} h are usual." if hours > MANY * usual else ""


def _usual(points: Sequence[Point], place: int, unit: str) -> float:
    """Use a day in the year before the point at a place."""
    last = points[place]
    year = last.date - dt.timedelta(days=YEAR)
    first = points[bisect_left(points, year, hi=place, key=lambda point: point.date)]
    days, used = (last.date - first.date).days, float(last.total - first.total)
    return (used + UNITS[unit].a_year * PRIOR_DAYS / YEAR) / (days + PRIOR_DAYS)
