"""What follows from a reading that an amendment replaces: values reckoned from it, and limits read off a table at it.

A record keeps both as they were on the day, with their arithmetic, whatever becomes of the checklist. So an amendment
says them too, beside the reading that it replaces: they are reckoned when it is written, by the check of that day.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from inspect_kit.model.amended import AmendedField, newest
from inspect_kit.model.checklist import Check
from inspect_kit.model.finding import Reading
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import Judged, judged
from inspect_kit.model.page_record import PageRecord
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Anew:
    """A reading of a record as it follows from what was amended by `amendment`, or why it does not (`refused`)."""

    reading: Reading
    amendment: Amendment
    refused: str = ""


def anew(book: Logbook, name: str) -> tuple[Anew, ...]:
    """The readings of a record that follow from amended ones, and that no amendment as new as those says."""
    record = book.record(name)
    if not isinstance(record, PageRecord) or name not in book.amended:
        return ()
    changes: dict[str, dict[str, AmendedField]] = {}
    for change in book.amended[name].changes:
        if change.field[0] == "reads":
            changes.setdefault(book.id_now(change.field[1]), {})[change.field[2]] = change
    return tuple(
        each
        for check, own in changes.items()
        if check in book.checks
        for each in _of_check(book, record, book.checks[check], own)
    )


def _of_check(book: Logbook, record: PageRecord, check: Check, changes: Mapping[str, AmendedField]) -> Iterator[Anew]:
    """Of one check: what was reckoned, and what has a limit off a table, where something that it rests on changed."""
    own = {each.label: each for each in record.readings if book.id_now(each.check) == check.id}
    asked = {label for reads in check.reads for label in reads.labels}
    numbers = {label: each.number for label, each in own.items() if label in asked}
    values = {label: number for label, number in numbers.items() if number is not None}
    for one in judged(check, values, book.aircraft):
        rests_on = [changes[label] for label in one.rests_on if label in changes]
        if one.label in own and rests_on:
            last = max(rests_on, key=_order)
            said = changes.get(one.label)
            if said is None or _order(said) < _order(last):
                made = _made(own[one.label], one)
                if one.refused or made != own[one.label]:
                    yield Anew(reading=made, amendment=last.amendment, refused=one.refused)


def _order(change: AmendedField) -> tuple[object, ...]:
    return *newest(change.amendment), change.amendment.name


def _made(old: Reading, one: Judged) -> Reading:
    """The reading as it follows: a reckoned one with its value and arithmetic, one that was read with its limit."""
    if not one.words:
        return replace(old, bound=one.bound)
    return replace(old, value=str(one.value), measure=one.measure, bound=one.bound, again=(), reckoned=one.words)
