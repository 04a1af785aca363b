"""Readings and terms so far from everything that a digit or a point must have slipped; limits are judged elsewhere."""

import datetime as dt
from collections.abc import Iterable, Iterator

from inspect_kit.audit.known import MOST_YEARS, Known
from inspect_kit.errors import Place, Problem
from inspect_kit.model.interval import CALENDAR_UNITS, UNITS, Limit
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.lines import place_of
from inspect_kit.model.measured import NEVER, times_too_far
from inspect_kit.model.page_record import PageRecord

RECHECK = "recheck"


def terms(names: Known) -> Iterator[Problem]:
    """A `recheck` that nobody who wrote it will see: in decades, or after more use than any aircraft has."""
    for record in names.logbook.records:
        if isinstance(record, FindingRecord):
            yield from _terms(record.finding.recheck, place_of(record, RECHECK))
        elif isinstance(record, PageRecord):
            for finding in record.findings:
                yield from _terms(finding.recheck, finding.place)
            for result in record.results:
                yield from _terms(result.recheck, result.place)
    for page in names.logbook.pages:
        for entry in page.entries:
            yield from _terms(entry.recheck, entry.place)
            for finding in entry.findings:
                yield from _terms(finding.recheck, finding.place)


def _terms(limits: Iterable[Limit], place: Place) -> Iterator[Problem]:
    for limit in limits:
        if limit.unit in CALENDAR_UNITS:
            day = dt.date(2000, 1, 1)
            if limit.due_date(day).year - day.year > MOST_YEARS:
                yield Problem(place, f"{RECHECK}: {limit} is more than {MOST_YEARS} years: is the number right?")
        elif limit.number > UNITS[limit.unit].most_ever:
            told = "is more than any aircraft of this kind has flown"
            yield Problem(place, f"{RECHECK}: {limit} {told}: is the number right?")


def far_readings(names: Known) -> Iterator[Problem]:
    """A number a thousand times its limit and more: within an open limit such as `at least 60` nothing else tells."""
    book = names.logbook
    written = [(reading, reading.check) for record in book.of_kind(PageRecord) for reading in record.readings]
    written += [(reading, entry.id) for page in book.pages for entry in page.checks for reading in entry.readings]
    for reading, of in written:
        check = book.checks.get(book.id_now(of))
        asked = next((each for each in check.reads if reading.label in each.labels), None) if check else None
        if reading.number is not None and times_too_far(reading.number, asked.bound if asked else None) >= NEVER:
            told = f"{reading.label} of `{of}` is {reading.last[:40]}: has a digit or a point slipped?"
            yield Problem(reading.place, f"readings: {told}")
