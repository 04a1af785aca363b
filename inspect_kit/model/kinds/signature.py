"""That a record was signed, in ink or by a key. What it is worth is judged by `store.judging`."""

from collections.abc import Iterator

from inspect_kit.model.kind import ARMOUR, PAGE, RECORD, SHA256, Key, Kind
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature(Record):
    """That a record was signed: in ink (logbook and page), or by an SSH signature over the bytes of the record.

    `sha256` is the digest of the bytes that were signed; "" where nobody wrote it, as in
    older records.
    """

    of: str
    ink: str = ""
    ssh: str = ""
    sha256: str = ""


def _gaps(record: Signature) -> Iterator[tuple[tuple[str, ...], str]]:
    if bool(record.ink) == bool(record.ssh):
        yield (), "a signature is in ink (logbook and page) or by ssh: one of the two"


def _summary(record: Signature) -> str:
    return f"signature of {record.of}"


KIND = Kind(
    name="signature",
    noun=Signature,
    title="signature",
    summary=_summary,
    gaps=_gaps,
    of_a_record=True,
    keys=(
        Key(name="of", holds=RECORD, required=True),
        Key(name="ink", holds=PAGE),
        Key(name="ssh", holds=ARMOUR),
        Key(name="sha256", holds=SHA256),
    ),
)
