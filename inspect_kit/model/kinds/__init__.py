"""The kinds of record, one module each: its noun, its keys, what they refer to, what is wrong with it, what it says.

A new kind is a module and a line here, and stands in README; tests/text/test_kinds.py says what a module must have.
"""

from inspect_kit.model.kind import Kind
from inspect_kit.model.kinds import (
    amendment,
    brought_forward,
    change,
    directive,
    equipment,
    finding,
    hours,
    inspection,
    installed,
    meter_change,
    paper_entry,
    phase,
    removed,
    search,
    setting,
    signature,
    stock,
    weighing,
    work,
)
from inspect_kit.model.record import Record

KINDS: tuple[Kind, ...] = (
    hours.KIND,
    work.KIND,
    finding.KIND,
    inspection.KIND,
    signature.KIND,
    installed.KIND,
    removed.KIND,
    meter_change.KIND,
    brought_forward.KIND,
    amendment.KIND,
    weighing.KIND,
    equipment.KIND,
    setting.KIND,
    phase.KIND,
    change.KIND,
    directive.KIND,
    search.KIND,
    paper_entry.KIND,
    stock.KIND,
)
_BY_NOUN = {kind.noun: kind for kind in KINDS}


def kind_of(record: Record) -> Kind:
    """The kind of a record."""
    return _BY_NOUN[type(record)]
