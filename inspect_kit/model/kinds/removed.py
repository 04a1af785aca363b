"""A part that was taken out of a position."""

from decimal import Decimal

from inspect_kit.model.kind import Kind
from inspect_kit.model.kinds.installed import PART_KEYS, POSITION_KEY, WHY_KEYS
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Removed(Record):
    """A part taken out of a position: where it went and why; its times, in hours, if somebody wrote them down."""

    position: str
    serial: str
    part: str = ""
    since_new: Decimal | None = None
    since_overhaul: Decimal | None = None
    where: str = ""
    reason: str = ""
    no_change: str = ""


def _summary(record: Removed) -> str:
    return f"{record.position}: {record.part} serial {record.serial}"


KIND = Kind(
    name="removed",
    noun=Removed,
    title="part removed",
    summary=_summary,
    keys=(POSITION_KEY, *PART_KEYS, *WHY_KEYS),
)
