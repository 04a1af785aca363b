"""At which checks of a record something was found, and where one of its readings stands: in it, or in an amendment."""

import datetime as dt

from inspect_kit.errors import Place
from inspect_kit.model.finding import Reading
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord


def found_at(book: Logbook, record: PageRecord) -> set[str]:
    """The checks of which a finding counts for a record: one that stands in it, was open on its day, or came since.

    A finding on an open page came since.
    """
    found = {book.id_now(each.check) for each in record.findings if each.check}
    found |= {book.id_now(entry.id) for page in book.pages for entry in page.checks if entry.findings}
    dates = {each.name: each.date for each in book.records}
    cleared, living_on = _cleared(book), book.living_on()
    for reference, finding in book.findings().items():
        if reference in living_on:
            continue
        last = cleared.get(reference, dt.date.max)
        if finding.check and max(dates[reference.rpartition("#")[0]], last) >= record.date:
            found.add(book.id_now(finding.check))
    return found


def _cleared(book: Logbook) -> dict[str, dt.date]:
    """When each finding that is open no more was corrected."""
    found = {name: each.cleared.date for name, each in book.findings().items() if each.cleared}
    for record in book.of_kind(PageRecord):
        for reference in record.clears:
            how = record.cleared.get(reference)
            found.setdefault(reference, how.date if how else record.date)
    return found


def place_of_reading(book: Logbook, record: PageRecord, reading: Reading) -> Place:
    """The line of a reading, or of the amendment that gave it its value."""
    place = reading.place
    for change in book.amended[record.name].changes if record.name in book.amended else ():
        if change.field[0] == "reads":
            _, check, label = change.field
            if (book.id_now(check), label) == (book.id_now(reading.check), reading.label):
                place = place_of(change.amendment, "instead", "reads")
    return place
