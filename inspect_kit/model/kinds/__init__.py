"""The kinds of record that are told by a table of their keys, one module each; a new kind is a module and a line here.

The older kinds, whose pages and parts have grammars of their own, are in `model.record`, `text.record` and
`text.record_out`.
"""

from inspect_kit.model.kind import Kind
from inspect_kit.model.kinds import change, directive, equipment, paper_entry, phase, search, setting, stock, weighing
from inspect_kit.model.record import Record

KINDS: tuple[Kind, ...] = (
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


def kind_of(record: Record) -> Kind | None:
    """The kind of a record, None for one of the older kinds."""
    return next((kind for kind in KINDS if kind.noun is type(record)), None)
