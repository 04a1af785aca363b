"""What the keys of records refer to: ids that nobody ever had, records that are not there."""

from collections.abc import Callable, Iterator, Mapping

from inspect_kit.audit.known import CHECK, PANEL, Known, missing_ever, unknown_inspection, unknown_phase
from inspect_kit.errors import Problem
from inspect_kit.model.kind import RECORD, RECORDS, Key
from inspect_kit.model.kinds import KINDS
from inspect_kit.model.lines import place_of
from inspect_kit.model.record import Record

# What has its names in aircraft.yaml, besides checks, panels and positions.
ELSEWHERE: Mapping[tuple[str, ...], Callable[[Known, str], str | None]] = {
    ("phase",): unknown_phase,
    ("inspection",): unknown_inspection,
}


def kind_references(names: Known) -> Iterator[Problem]:
    """Every key that holds ids or names of records."""
    naming = {kind.noun: tuple(key for key in kind.keys if key.has_names) for kind in KINDS}
    for record in map(names.logbook.as_written, names.logbook.records):
        for key in naming[type(record)]:
            for name in key.names(record):
                fault = _fault(names, record, key, name)
                if fault is not None:
                    yield Problem(place_of(record, key.name, name), f"{key.name}: {fault}")


def _fault(names: Known, record: Record, key: Key, name: str) -> str | None:
    if key.holds not in (RECORD, RECORDS):
        if not key.refers or name in key.words:
            return None
        if names.is_whole(record) and {*key.refers} <= {CHECK, PANEL}:
            # Told once for all that is sealed, in `records.lost`.
            return None
        elsewhere = ELSEWHERE.get(key.refers)
        return elsewhere(names, name) if elsewhere else missing_ever(names, key.refers, name)
    if name == record.name:
        return "names this record itself"
    if name in names.by_name:
        return None
    return names.no_record(name)
