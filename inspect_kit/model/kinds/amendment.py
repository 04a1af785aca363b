"""A correction of a record that stays as it was written; laid over it by `model.amended`."""

from collections.abc import Iterator, Mapping
from dataclasses import field

from inspect_kit.model.kind import IDS, INSTEAD, RECORD, Key, Kind
from inspect_kit.model.record import Field, Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Amendment(Record):
    """A correction: a new record that names the old one and says what is put right.

    `instead` are the fields that it replaces, with their new values in the form in which the record has them;
    `not_done` the checks whose ticks are taken back. Laid over the original by `model.amended`.
    """

    of: str
    instead: Mapping[Field, object] = field(default_factory=dict)
    not_done: tuple[str, ...] = ()


def _gaps(record: Amendment) -> Iterator[tuple[tuple[str, ...], str]]:
    if not record.text:
        yield ("text",), ""
    # What is said instead wants a name even while it cannot be read.
    if (record.instead or ("instead", "") in record.lines or record.not_done) and record.by is None:
        yield ("by",), ""


def _summary(record: Amendment) -> str:
    return f"amends {record.of}"


KIND = Kind(
    name="amendment",
    noun=Amendment,
    title="amendment",
    summary=_summary,
    gaps=_gaps,
    of_a_record=True,
    keys=(
        Key(name="of", holds=RECORD, required=True),
        Key(name="instead", holds=INSTEAD),
        # Whether the record named says that they were done is looked up by `audit.amendments`.
        Key(name="not-done", holds=IDS),
    ),
)
