"""Readings out of their limits under which nobody has written what was found."""

import datetime as dt
from collections.abc import Iterator

from inspect_kit.audit.known import Known
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import WORDS
from inspect_kit.model.finding import Reading
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Page, Record


def readings(names: Known) -> Iterator[Problem]:
    """Of every record as amended; told at the amendment, where that is what brought the reading out of its limit."""
    book = names.logbook
    for record in book.of_kind(Page):
        for reading in unfound(book, record):
            place = reading.place
            for change in book.amended[record.name].changes if record.name in book.amended else ():
                if change.field[0] == "reads" and _same(book, change.field[1:], reading):
                    place = place_of(change.amendment, "instead", "reads")
            told = f"{reading.label} of `{reading.check}` is {reading.last}, the limit is {reading.bound}"
            yield Problem(place, f"readings: {told}, and no finding says so")


def numbers(names: Known) -> Iterator[Problem]:
    """A word where the check of today asks for a number: it would be in no trend, and kept to no limit."""
    book = names.logbook
    for record in book.of_kind(Page):
        for reading in record.readings:
            check = book.checks.get(book.id_now(reading.check))
            asked = next((each for each in check.reads if reading.label in each.labels), None) if check else None
            if asked is None or asked.in_words or reading.measure == WORDS or not reading.last:
                continue
            if reading.number is None:
                told = f"{reading.label} of `{reading.check}` is a number of {asked.measure}, not `{reading.last[:40]}`"
                yield Problem(reading.place, f"readings: {told}")


def unfound(book: Logbook, record: Record | None) -> tuple[Reading, ...]:
    """The readings of a record out of the limit that stands beside them, without a finding at their check.

    A finding counts that stands in the record, that was open on its day, or that was raised since, on an open page too.
    """
    out = [each for each in record.readings if each.out_of_limits] if isinstance(record, Page) else []
    if not isinstance(record, Page) or not out:
        return ()
    found = found_at(book, record)
    return tuple(reading for reading in out if book.id_now(reading.check) not in found)


def found_at(book: Logbook, record: Page) -> set[str]:
    """The checks of which a finding counts for a record: one that stands in it, was open on its day, or came since."""
    found = {book.id_now(each.check) for each in record.findings if each.check}
    found |= {book.id_now(entry.id) for page in book.pages for entry in page.checks if entry.findings}
    dates = {each.name: each.date for each in book.records}
    cleared = _cleared(book)
    for reference, finding in book.findings().items():
        last = cleared.get(reference, dt.date.max)
        if finding.check and max(dates[reference.rpartition("#")[0]], last) >= record.date:
            found.add(book.id_now(finding.check))
    return found


def _same(book: Logbook, names: tuple[str, ...], reading: Reading) -> bool:
    return (book.id_now(names[0]), names[1]) == (book.id_now(reading.check), reading.label)


def _cleared(book: Logbook) -> dict[str, dt.date]:
    """When each finding that is open no more was corrected."""
    found = {name: each.cleared.date for name, each in book.findings().items() if each.cleared}
    for record in book.of_kind(Page):
        for reference in record.clears:
            how = record.cleared.get(reference)
            found.setdefault(reference, how.date if how else record.date)
    return found
