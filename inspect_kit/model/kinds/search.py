"""A search for directives and letters: when, where, for which products, by whom. No list is complete by it."""


from inspect_kit.model.kind import IDS, SOMETHING, TEXT, Key, Kind
from inspect_kit.model.kinds.directive import AIRCRAFT
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Search(Record):
    """What was searched for (`products`: positions, or aircraft), in which `source`, and what was `found`."""

    source: str
    products: tuple[str, ...]
    found: str = ""


def _summary(record: Search) -> str:
    return f"searched for directives in {record.source}: {record.found or 'nothing noted'}"


KIND = Kind(
    name="search",
    noun=Search,
    title="search for directives",
    summary=_summary,
    names_doer="a search names who searched",
    keys=(
        Key(name="source", holds=TEXT, label="Source", required=True, says=SOMETHING),
        Key(name="products", holds=IDS, refers=("position",), words=(AIRCRAFT,), label="Products", required=True),
        Key(name="found", holds=TEXT, label="Found"),
    ),
)
