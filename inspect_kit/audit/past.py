"""The past brought forward, against itself and against the records that are older than it.

Records of an earlier date are history and no problem in themselves; where one of them says otherwise, both are named.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Final

from inspect_kit.audit.known import Known
from inspect_kit.errors import Place, Problem
from inspect_kit.model.held import had_then, kind_apart, no_signer, other_number
from inspect_kit.model.interval import MONTHS, Limit
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.noun import dataclass

# An aircraft is inspected before its first certificate, but not for years.
BEFORE_CERTIFICATE: Final = Limit(number=Decimal(12), unit=MONTHS)


def past(names: Known) -> Iterator[Problem]:
    """Everything in a `brought-forward` that cannot be, or that an older record contradicts."""
    for start in names.logbook.of_kind(BroughtForward):
        yield from _dates(names, start)
        yield from _totals(names.logbook, start)
        yield from _done_later(names.logbook, start)
        yield from _fitted(names.logbook, start)
        yield from _too_young(names.logbook, start)
        yield from _read_more(start)


def _dates(names: Known, start: BroughtForward) -> Iterator[Problem]:
    for name, last in start.last.items():
        place = place_of(start, "last", name)
        if last.paper_is_none:
            told = f"paper: `{last.paper[:40]}` leads to no paper: write where it stands, or leave it out"
            yield Problem(place, f"{name}: {told}")
        if last.date is None:
            continue
        if last.date > start.date:
            yield Problem(place, f"{name}: {last.date} is after {start.date}, when the past was brought forward")
        if name in names.aircraft.inspections and too_long_before(last.date, names.aircraft.certificate_date):
            told = f"{name}: {last.date} is more than 12 months before {names.aircraft.certificate_date}"
            yield Problem(place, f"{told}, the date of the certificate")


def too_long_before(inspected: dt.date, certificate: dt.date) -> bool:
    """Whether an inspection is dated more than 12 months before the airworthiness certificate."""
    return BEFORE_CERTIFICATE.due_date(inspected) < certificate


@dataclass(frozen=True, slots=True)
class _Said:
    """A total of a meter on a day, and who says so; `words` begin a sentence about it."""

    date: dt.date
    total: Decimal
    words: str
    place: Place


def _totals(logbook: Logbook, start: BroughtForward) -> Iterator[Problem]:
    """A total under `last` that is above today's or a later one, or below an earlier one."""
    for meter, today in start.reads.items():
        read = [
            _Said(point.date, point.total, f"the total on {point.date}", point.place)
            for point in logbook.meter_history(meter).points
            if point.date < start.date
        ]
        told = [
            _Said(last.date, last.totals[meter], f"{name} on {last.date}", place_of(start, "last", name))
            for name, last in start.last.items()
            if last.date is not None and meter in last.totals
        ]
        for name, last in start.last.items():
            if last.totals.get(meter, today.total) > today.total:
                above = f"{name}: {meter} {last.totals[meter]} is above the total today, {today.total}"
                yield Problem(place_of(start, "last", name), above)
        for one in told:
            for other in (*read, *told):
                # The later of two `last` is told, so that each pair is named once.
                if other.date < one.date and other.total > one.total:
                    below = f"{one.words}: {meter} {one.total} is below {other.words}, {other.total}"
                    yield Problem(one.place, f"{below} ({other.place})")
                elif other in read and other.date > one.date and other.total < one.total:
                    above = f"{one.words}: {meter} {one.total} is above {other.words}, {other.total}"
                    yield Problem(one.place, f"{above} ({other.place})")


def _done_later(logbook: Logbook, start: BroughtForward) -> Iterator[Problem]:
    """Something last done on a day, or at a total, which an older record says was done again after it."""
    clock = logbook.aircraft.time_in_service
    reached = logbook.meter_history(clock).at_record
    for name, last in start.last.items():
        now = logbook.id_now(name)
        for record in logbook.records:
            if not isinstance(record, PageRecord | PaperEntry) or record.date >= start.date:
                continue
            did = {logbook.id_now(check) for check in record.did}
            did |= {record.inspection} if isinstance(record, Inspection) else set()
            did |= {*record.last} if isinstance(record, PaperEntry) and not record.counts_for_none else set()
            if now not in did:
                continue
            when = f"done on {record.date} as well ({record.place})"
            if last.date is not None and last.date < record.date:
                yield Problem(place_of(start, "last", name), f"{name}: last done {last.date}, but {when}")
            elif last.date is None and clock in last.totals and record.name in reached:
                total = reached[record.name].total
                if total > last.totals[clock]:
                    told = f"{name}: last done at {last.totals[clock]} h, but {when} at {total} h"
                    yield Problem(place_of(start, "last", name), told)


def _fitted(logbook: Logbook, start: BroughtForward) -> Iterator[Problem]:
    """A part fitted later than an older record says, or with other hours than follow from it."""
    clock = logbook.aircraft.time_in_service
    history = logbook.meter_history(clock)
    for part in start.fitted:
        before = [
            record
            for record in logbook.records
            if isinstance(record, Installed | Removed)
            and logbook.id_now(record.position) == logbook.id_now(part.position)
            and record.date < start.date
        ]
        fitted = before[-1] if before else None
        if not isinstance(fitted, Installed) or fitted.serial != part.serial:
            continue
        if part.fitted_on is not None and part.fitted_on > fitted.date:
            told = f"fitted-on: {part.fitted_on} is after {fitted.date}, when it was installed ({fitted.place})"
            yield Problem(part.place, told)
        then, now = history.at_record.get(fitted.name), history.at_record.get(start.name)
        if part.since_new is not None and fitted.since_new is not None and then and now:
            follows = fitted.since_new + now.total - then.total
            if follows != part.since_new:
                told = f"since-new: {part.since_new}, but {fitted.since_new} h on {fitted.date} make it {follows}"
                yield Problem(part.place, f"{told} ({fitted.place})")


def _read_more(start: BroughtForward) -> Iterator[Problem]:
    """A note on a meter that reads more than was flown: one that was used before, or a slip in the total."""
    for meter, told in start.reads.items():
        if told.total < told.reads:
            words = f"{meter} reads {told.reads}, and the total is {told.total}, less than that"
            asked = "had it run before, or has a digit slipped?"
            yield Problem(place_of(start, "meters"), f"meters: {words}: {asked}", note=True)


def _too_young(logbook: Logbook, start: BroughtForward) -> Iterator[Problem]:
    """A note on a part fitted since the certificate with less than half of the hours that were flown since."""
    flown = start.reads.get(logbook.aircraft.time_in_service)
    for part in start.fitted if flown is not None else ():
        first = part.fitted_on is not None and part.fitted_on <= logbook.aircraft.certificate_date
        if flown is not None and first and part.since_new is not None and 2 * part.since_new < flown.total:
            told = f"since-new: {part.since_new} h, fitted on {part.fitted_on}, where {flown.total} h were flown"
            yield Problem(part.place, f"{told}: has a digit slipped, or was it out for so long?", note=True)


def papers(names: Known) -> Iterator[Problem]:
    """Inspections that an entry on paper is to count for, signed by somebody of a kind that signs none, or, a note,
    under another number than is known.
    """
    for record in names.logbook.of_kind(PaperEntry):
        if record.by is None:
            continue
        by = kind_apart(record.by)
        by = replace(by, kind=names.aircraft.kind_of(by))
        for name in record.last:
            if (refusal := no_signer(names.aircraft, by, name, record.date)) is not None:
                yield Problem(place_of(record, "last"), f"last: counts for no {name} inspection: {refusal}")
            elif not record.counts_for_none and (number := other_number(names.aircraft, by)):
                told = f"the number of {by.name} is {by.certificate} there and {number} in {names.aircraft.place.file}"
                told = f"{told}: is one of them a slip? {had_then(names.aircraft, by)}"
                yield Problem(place_of(record, "by"), f"by: {told}", note=True)
