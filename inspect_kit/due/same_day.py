"""Which records of the same day it matters to have come after, where no reading says which of two came first."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace

from inspect_kit.due.chronicle import Chronicle, Moment, chronicle
from inspect_kit.due.listing import due
from inspect_kit.model.checklist import DID
from inspect_kit.model.kinds.change import Change
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

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
    open_ones = [
        each.name
        for each in others
        if not book.moments[each.name].clearly_before(new, book.clock)
        and not new.clearly_before(book.moments[each.name], book.clock)
    ]
    if not open_ones:
        return ()

    def told(names: Iterable[str]) -> WhatFollows:
        after = replace(record, follows=(*record.follows, *names))
        return _what_follows(logbook.with_records((*logbook.records, *along, after)), on)

    first = _what_follows(with_it, on)
    did = {*book.sequences.get(record.name, ())}
    again = [name for name in open_ones if did and did <= {*book.sequences.get(name, ())} and _as_read(book, name, new)]
    if again and told(again).asks_no_more_than(first):
        # One thing written down twice, which came after nothing: it answers nothing that the first time left.
        open_ones = [name for name in open_ones if name not in again]
    if not open_ones or (last := told(open_ones)) == first:
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
    if any((record.next, record.readings, record.disturbed, record.opened)):
        return True
    if any(each.disturbed for each in record.results):
        return True
    now = logbook.id_now
    did = {now(check) for check in (*record.did, *(each.check for each in record.results))}
    awaited = {now(why.what) for check in logbook.checks.values() for why in check.owed_after if why.verb == DID}
    own = (logbook.checks[name] for name in did if name in logbook.checks)
    return bool(did & awaited) or any(each.disturbs or each.owed_after or each.counts_on for each in own)


def _as_read(book: Chronicle, name: str, new: Moment) -> bool:
    return book.moments[name].totals == new.totals


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatFollows:
    """All that is due, owed and barred by the records of a logbook, without the places where it stands."""

    items: Mapping[str, tuple[object, ...]]
    owed: frozenset[str]
    stops: frozenset[tuple[str, str]]
    unflown: frozenset[tuple[str, str]]
    phases: tuple[tuple[str, tuple[str, ...]], ...]

    def asks_no_more_than(self, other: "WhatFollows") -> bool:
        """Whether nothing is owed, barred or to be flown by it that is not by another one."""
        return self.owed <= other.owed and self.stops <= other.stops and self.unflown <= other.unflown


def _what_follows(logbook: Logbook, on: dt.date) -> WhatFollows:
    answer = due(logbook, on, expect=False)
    barred = answer.no_passengers
    return WhatFollows(
        items={each.check: (each.state, each.due, each.grace, each.bars) for each in answer.items},
        owed=frozenset(each.check for each in answer.items if each.owed),
        stops=frozenset((each.kind, each.text) for each in answer.stops),
        unflown=frozenset((each.record.name, each.text) for each in barred.unflown),
        phases=tuple((each.name, each.lacks) for each in barred.phases),
    )
