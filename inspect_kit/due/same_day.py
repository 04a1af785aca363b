"""Which records of the same day it matters to have come after, where no reading says which of two came first."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace

from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.listing import due
from inspect_kit.model.checklist import DID
from inspect_kit.model.kinds.change import Change
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record

# What is done to the aircraft: of all else the order within a day decides nothing.
DONE_TO_IT = (PageRecord, Installed, Removed, Setting, Change)


def order_matters(logbook: Logbook, record: Record, on: dt.date, along: Iterable[Record] = ()) -> tuple[str, ...]:
    """The records of its day that a new one came after, or before, so that another thing is due or owed by it.

    `along` are those that are written with it, of which the order is known. What it says by `follows` stands.
    """
    if not isinstance(record, DONE_TO_IT) or not _decides(logbook, record):
        return ()
    others = [each for each in logbook.records if each.date == record.date and isinstance(each, DONE_TO_IT)]
    if not others:
        return ()
    with_it = logbook.with_records((*logbook.records, *along, record))
    book = chronicle(with_it)
    new = book.moments[record.name]
    did = {*book.sequences.get(record.name, ())}
    open_ones = [
        each.name
        for each in others
        if not book.moments[each.name].clearly_before(new, book.clock)
        and not new.clearly_before(book.moments[each.name], book.clock)
        # One thing written down twice came after nothing.
        and not (did and did <= {*book.sequences.get(each.name, ())} and book.moments[each.name].totals == new.totals)
    ]

    def told(names: Iterable[str]) -> tuple[object, ...]:
        after = replace(record, follows=(*record.follows, *names))
        return _what_follows(logbook.with_records((*logbook.records, *along, after)), on)

    if not open_ones or (last := told(open_ones)) == _what_follows(with_it, on):
        return ()
    for name in [*open_ones] if len(open_ones) > 1 else ():
        fewer = [each for each in open_ones if each != name]
        if fewer and told(fewer) == last:
            open_ones = fewer
    return tuple(open_ones)


def _decides(logbook: Logbook, record: Record) -> bool:
    """Whether the order can decide anything: where it touches nothing owed, fitted, marked or flown it cannot."""
    if not isinstance(record, PageRecord) or record.flight_check is not None:
        return True
    if record.next or record.disturbed or record.opened or any(each.disturbed for each in record.results):
        return True
    now = logbook.id_now
    did = {now(check) for check in (*record.did, *(each.check for each in record.results))}
    awaited = {now(why.what) for check in logbook.checks.values() for why in check.owed_after if why.verb == DID}
    own = (logbook.checks[name] for name in did if name in logbook.checks)
    return bool(did & awaited) or any(each.disturbs or each.owed_after or each.counts_on for each in own)


def _what_follows(logbook: Logbook, on: dt.date) -> tuple[object, ...]:
    """All that is due, owed and barred by the records of a logbook, without the places where it stands."""
    answer = due(logbook, on, expect=False)
    items = sorted((each.check, each.state, each.owed, each.due, each.grace, each.bars) for each in answer.items)
    stops = sorted((each.kind, each.text) for each in answer.stops)
    barred = answer.no_passengers
    unflown = sorted((each.record.name, each.text) for each in barred.unflown)
    return items, stops, unflown, [(each.name, each.lacks) for each in barred.phases]
