"""Hours flown: what the meters read on a day, and what was filled up."""

from collections.abc import Mapping
from dataclasses import field

from inspect_kit.model.kind import METERS, TABLE, TEXT, Key, Kind
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours(Record):
    """Meter readings written down; `added` such as {"oil": "1 qt"}; `permit` the special flight permit flown on."""

    added: Mapping[str, str] = field(default_factory=dict)
    permit: str = ""


def _summary(record: Hours) -> str:
    return "; ".join(f"added {amount} {name}" for name, amount in record.added.items())


KIND = Kind(
    name="hours",
    noun=Hours,
    title="meter readings",
    summary=_summary,
    keys=(
        # What any other kind may have; its row among what every record says is shown there.
        Key(name="meters", holds=METERS, required=True, stand_in={}),
        Key(name="added", holds=TABLE, label="Added"),
        Key(name="permit", holds=TEXT, label="Special flight permit"),
    ),
)
