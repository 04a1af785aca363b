"""A finding that was written down without a worksheet."""

from inspect_kit.model.finding import Finding
from inspect_kit.model.kind import FINDING, Key, Kind
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRecord(Record):
    """A finding outside a worksheet; its reference is NAME#F1."""

    finding: Finding


def _summary(record: FindingRecord) -> str:
    return f"found: {record.finding.text}"


KIND = Kind(
    name="finding",
    noun=FindingRecord,
    title="finding",
    summary=_summary,
    keys=(Key(name="finding", holds=FINDING, required=True),),
)
