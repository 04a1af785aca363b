"""Readings that went further from those before them than their check lets them go, without a finding that says so.

`work`, a page and `amend` ask what was found before they write; what was written by hand nobody was asked about.
"""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.trends import readings_in_turn
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import ChangeLimit, Check
from inspect_kit.model.finding import Reading
from inspect_kit.model.found import found_at, place_of_reading
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import Judged, went_too_far
from inspect_kit.model.page_record import PageRecord
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class TooFar:
    """A reading of a record, by today's id of its check; and how far it went, `cylinder 3 fell by 12 psi since ...`."""

    record: PageRecord
    check: str
    reading: Reading
    told: str


def change_problems(logbook: Logbook) -> tuple[Problem, ...]:
    """A problem for each, at its line; a note where the record is sealed and whole, as for all that it says wrongly."""
    return tuple(
        Problem(
            place_of_reading(logbook, each.record, each.reading),
            f"readings: {each.told.replace(each.reading.label, _named(each), 1)}, and no finding says so",
            note=each.record.seal is not None and each.record.name not in logbook.broken,
        )
        for each in gone_too_far(logbook)
    )


def _named(each: TooFar) -> str:
    return f"{each.reading.label} of `{each.reading.check}`"


def gone_too_far(logbook: Logbook) -> tuple[TooFar, ...]:
    """Every reading that went further from those before it than it may, by check and label in order of time."""
    changes = _may_have(logbook)
    return tuple(_gone(logbook, changes)) if changes else ()


def _may_have(logbook: Logbook) -> dict[tuple[str, str], tuple[str, ChangeLimit]]:
    """The labels of which two readings lie further apart than one may go from another; others need no look."""
    limits = dict(_changes(logbook.checks))
    found: dict[tuple[str, str], tuple[Decimal, Decimal]] = {}
    if not limits:
        return {}
    for record in logbook.of_kind(PageRecord):
        for reading in record.readings:
            key = (logbook.id_now(reading.check), reading.label)
            number = reading.number if key in limits else None
            if number is not None and reading.is_in(limits[key][0]):
                low, high = found.get(key, (number, number))
                found[key] = (min(low, number), max(high, number))
    return {key: limits[key] for key, (low, high) in found.items() if high - low > limits[key][1].amount}


def _changes(checks: Mapping[str, Check]) -> Iterator[tuple[tuple[str, str], tuple[str, ChangeLimit]]]:
    """What a value may change by, and the measure that this is in, by check and label."""
    for check in checks.values():
        asked = [(label, reads.measure, reads.bound) for reads in check.reads for label in reads.labels]
        asked += [(reckons.label, reckons.measure, reckons.bound) for reckons in check.reckons]
        for label, measure, bound in asked:
            if bound is not None and bound.change is not None:
                yield (check.id, label), (measure, bound.change)


def _gone(logbook: Logbook, changes: Mapping[tuple[str, str], tuple[str, ChangeLimit]]) -> Iterator[TooFar]:
    records = {record.name: record for record in logbook.of_kind(PageRecord)}
    for each in readings_in_turn(chronicle(logbook), changes):
        label, record = each.reading.label, records[each.record]
        measure, change = changes[each.check, label]
        if not each.reading.is_in(measure):
            continue
        one = Judged(label=label, measure=measure, value=each.value)
        told = went_too_far(one, change, logbook.aircraft, each.when, each.earlier)
        if told and each.check not in found_at(logbook, record):
            yield TooFar(record=record, check=each.check, reading=each.reading, told=told)
