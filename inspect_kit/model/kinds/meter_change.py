"""Another meter in the place of one: what each read, and what was flown without one."""

from decimal import Decimal

from inspect_kit.model.kind import ID, NUMBER, UNRECORDED, Key, Kind
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterChange(Record):
    """A meter changed: last reading of the old one, first of the new; hours flown without one and how known."""

    meter: str
    old: Decimal
    new: Decimal
    unrecorded: Decimal | None = None
    how_known: str = ""


def _summary(record: MeterChange) -> str:
    return ""


KIND = Kind(
    name="meter-change",
    noun=MeterChange,
    title="meter changed",
    summary=_summary,
    keys=(
        Key(name="meter", holds=ID, required=True),
        Key(name="old", holds=NUMBER, required=True),
        Key(name="new", holds=NUMBER, required=True),
        Key(name="unrecorded", holds=UNRECORDED, fills=("unrecorded", "how_known")),
    ),
)
