"""What was written down after a page was sealed, of a day on which that was open.

What stands ticked has no day but that of the signature, and `sign` asks whether it came after whatever was on record
then; of what came to the records later nobody was asked.
"""

import datetime as dt
from bisect import bisect_left
from collections.abc import Iterator, Mapping

from inspect_kit.model.followed import seals_known
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record


def written_since(logbook: Logbook) -> Mapping[str, frozenset[str]]:
    """By the name of a sealed page the records of a day from its beginning to the one before the signature that were
    surely written later than that, or brought into that time by an amendment that was: entered on a later day, or
    knowing its seal. What paper tells is not among them.
    """
    return logbook.once("written since", lambda: dict(_written_since(logbook)))


def _written_since(logbook: Logbook) -> Iterator[tuple[str, frozenset[str]]]:
    for page in logbook.of_kind(PageRecord):
        if page.seal is None or page.begun is None or not page.begun < page.date:
            continue
        first, end = (bisect_left(logbook.records, day, key=_day_of) for day in (page.begun, page.date))
        since = [
            each.name
            for each in logbook.records[first:end]
            if not isinstance(each, BroughtForward | PaperEntry)
            and (_is_later(logbook, each, page) or _is_moved_in(logbook, each, page))
        ]
        if since:
            yield page.name, frozenset(since)


def _day_of(record: Record) -> dt.date:
    return record.date


def _is_moved_in(logbook: Logbook, record: Record, page: PageRecord) -> bool:
    """Whether an amendment of later than the page says its day, and it was written of none that `sign` asks about."""
    if record.name not in logbook.amended or page.begun is None:
        return False
    if page.begun <= logbook.as_written(record).date <= page.date:
        return False
    changes = logbook.amended[record.name].changes
    return any(change.field == ("date",) and _is_later(logbook, change.amendment, page) for change in changes)


def _is_later(logbook: Logbook, record: Record, page: PageRecord) -> bool:
    if record.entered is None or page.entered is None:
        return False
    if record.entered != page.entered:
        return record.entered > page.entered
    return page.seal is not None and page.seal.sha256 in seals_known(logbook, record)
