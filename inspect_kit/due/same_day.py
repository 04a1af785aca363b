"""Which records of the same day it matters to have come after, where no reading says which of two came first."""

import datetime as dt
import json
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from inspect_kit.due.check_history import CheckHistory
from inspect_kit.due.chronicle import Chronicle, chronicle
from inspect_kit.due.fitting import Fittings, all_fittings, own_position, present
from inspect_kit.due.listing import due
from inspect_kit.due.moments import Moment
from inspect_kit.due.owed import unordered_answers
from inspect_kit.due.phases import flown_unordered
from inspect_kit.errors import Place, Problem
from inspect_kit.model.checklist import DID, Check
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.change import Change
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.opened import panels_opened
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

DONE_TO_IT = (PageRecord, Installed, Removed, Setting, Change)
PLAIN_NAME = re.compile(r"\w[\w-]*")


def order_matters(logbook: Logbook, record: Record, on: dt.date, along: Iterable[Record] = ()) -> tuple[str, ...]:
    """The records of its day that a new one came after, or before, so that another thing is due or owed by it, now or
    by what was on record on that day: what answers it later may be taken back.

    `along` are those that are written with it, of which the order is known. What it says by `follows` stands.
    """
    if not _has_its_place(record) or not _decides(logbook, record):
        return ()
    along = [*along]
    found = _matters(logbook, record, on, along)
    if any(_has_its_place(each) and each.date > record.date for each in logbook.records):
        then = logbook.up_to(lambda each: each.date <= record.date or kind_of(each).of_a_record)
        found += tuple(name for name in _matters(then, record, record.date, along) if name not in found)
    return found


def _matters(logbook: Logbook, record: Record, on: dt.date, along: Sequence[Record]) -> tuple[str, ...]:
    with_it = logbook.with_records((*logbook.records, *along, record))
    all_open = open_ones = [*_unordered(logbook, record, with_it)]
    if not open_ones:
        return ()
    book = chronicle(with_it)
    new = book.moments[record.name]

    def told(names: Iterable[str], without: Collection[str] = ()) -> WhatFollows:
        after = replace(record, follows=(*record.follows, *names))
        kept = (each for each in logbook.records if each.name not in without)
        return _what_follows(logbook.with_records((*kept, *along, after)), on)

    first = _what_follows(with_it, on)
    did = {*book.sequences.get(record.name, ())}
    again = [name for name in open_ones if did and did <= {*book.sequences.get(name, ())} and _as_read(book, name, new)]
    if again and told(again).asks_no_more_than(first):
        # One thing written down twice, which came after nothing: it answers nothing that the first time left.
        open_ones = [name for name in open_ones if name not in again]
    found = [*open_ones]
    if not found or (last := told(found)) == first:
        found = []
    for name in [*found] if len(found) > 1 else ():
        fewer = [each for each in found if each != name]
        if fewer and told(fewer) == last:
            found = fewer
    # What another entry of the day hides is open again once that is taken back, of one thing written down twice too.
    for name in all_open if len(all_open) > 1 else ():
        others = {*all_open} - {name}
        if name in found or (alone := told((name,), others)) == (without := told((), others)):
            continue
        if name in open_ones or not alone.asks_no_more_than(without):
            found.append(name)
    return tuple(name for name in all_open if name in found)


def unordered(logbook: Logbook, record: Record, along: Iterable[Record] = ()) -> Iterator[str]:
    """What was done to the aircraft on the day of a new record, and nothing says whether before it or after."""
    yield from _unordered(logbook, record, logbook.with_records((*logbook.records, *along, record)))


def taken_after(logbook: Logbook, record: Record, along: Iterable[Record] = ()) -> tuple[str, ...]:
    """The records of its day that what a new one did, or flew, counts as done after, only because nothing says so."""
    with_it = logbook.with_records((*logbook.records, *along, record))
    return tuple(dict.fromkeys(before for _, done, before, _ in _silent(with_it) if done == record.name))


def order_unsaid(logbook: Logbook) -> tuple[Problem, ...]:
    """A note for each check and each flight that counts as done after another record of its day only because nothing
    says otherwise.
    """
    return tuple(dict.fromkeys(_unsaid(place, check, before) for check, _, before, place in _silent(logbook)))


def _silent(logbook: Logbook) -> Iterator[tuple[str, str, str, Place]]:
    """What counts as done after another record of its day by nothing but silence: the check, or "" of a flight, the
    record that did it, that other one, and the place of the first.
    """
    if len({record.date for record in logbook.records}) == len(logbook.records):
        return
    book = chronicle(logbook)
    fittings = all_fittings(book)
    for check in logbook.checks.values():
        if check.retired is None and (check.owed_after or check.counts_on):
            for done, before in unordered_answers(CheckHistory(check, book, fittings)):
                yield check.id, done.record, before.record, done.place
        if check.retired is None and check.marked and not check.counts_on:
            for read, before in _unordered_marks(check, book, fittings):
                yield check.id, read.record, before.record, read.place
    for flight, asking in flown_unordered(book):
        yield "", flight.name, asking.name, flight.place


def _unordered_marks(check: Check, book: Chronicle, fittings: Fittings) -> Iterator[tuple[Moment, Moment]]:
    """The date that a part carries, read on the day on which that part came in, though nothing says which was first."""
    part = present(fittings.get(own_position(check, book.logbook), ()))
    if part is None or part.brought:
        return
    reads = [mark.read for mark in book.marks.get(check.id, ())]
    ties = [read for read in reads if part.start.is_tied(read, book.clock)]
    if ties and not any(part.start.clearly_before(read, book.clock) for read in reads):
        yield ties[-1], part.start


def _unsaid(place: Place, check: str, before: str) -> Problem:
    what, done = (f"`{check}`", "done") if check else ("the flight check", "flown")
    # A name that was given by hand may hold what parts the names of a list.
    listed = before if PLAIN_NAME.fullmatch(before) else json.dumps(before, ensure_ascii=False)
    told = (
        f"{what} is taken as {done} after {before} of the same day, and nothing says so: `follows: [{listed}]` "
        f"here does; where it was {done} before, `precedes: [{listed}]` says that, and it is to be {done} again"
    )
    return Problem(place, told, note=True)


def _unordered(logbook: Logbook, record: Record, with_it: Logbook) -> Iterator[str]:
    others = [each for each in logbook.records if each.date == record.date and _has_its_place(each)]
    if not others:
        return
    book = chronicle(with_it)
    new = book.moments[record.name]
    for each in others:
        if book.moments[each.name].is_tied(new, book.clock):
            yield each.name


def _has_its_place(record: Record) -> bool:
    """Whether its place within a day can decide anything: it was done to the aircraft, or waits for an inspection."""
    waits = isinstance(record, FindingRecord) and record.finding.fix.at_inspection is not None
    return waits or isinstance(record, DONE_TO_IT)


def _decides(logbook: Logbook, record: Record) -> bool:
    """Whether the order can decide anything: where it touches nothing owed, fitted, marked or flown it cannot."""
    if not isinstance(record, PageRecord) or record.flight_check is not None:
        return True
    if any((record.next, record.readings, record.disturbed, panels_opened(record))):
        return True
    if any(each.disturbed for each in record.results):
        return True
    now = logbook.id_now
    did = {now(check) for check in (*record.did, *(each.check for each in record.results))}
    awaited = {now(why.what) for check in logbook.checks.values() for why in check.owed_after if why.verb == DID}
    own = (logbook.checks[name] for name in did if name in logbook.checks)
    back = {now(name) for each in logbook.amended.values() for name in each.taken_back()}
    return bool(did & (awaited | back)) or any(each.disturbs or each.owed_after or each.counts_on for each in own)


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
