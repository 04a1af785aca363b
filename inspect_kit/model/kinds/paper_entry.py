"""An entry of a paper logbook, told again so that it counts: the paper stays the original.

It counts like `last` of a brought-forward record: for the checks in `did` and the inspections in `last` that the owner
named; it is never an inspection that was sealed or signed here. Source: 14 CFR 43.9, 43.11 (the entry on paper is the
record that the rule asks for).
"""

from collections.abc import Iterator, Mapping
from dataclasses import field
from decimal import Decimal

from inspect_kit.model.kind import IDS, METERS, NUMBER, ROW, TEXT, Below, Key, Kind
from inspect_kit.model.reason import names_no_page, names_nobody
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """The row that an entry was made from: its file, its line there, its cells, and how it is known again.

    `digest` is the SHA-256 of the cleaned cells (64 lower-case hexadecimal digits), `occurrence` 1 for the first row
    of the file that has these cells, 2 for the second.
    """

    file: str
    line: Decimal
    cells: str
    digest: str
    occurrence: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperEntry(Record):
    """`did` are checks, `last` inspections, `totals` meter totals in the unit of the meter, as the paper gives them."""

    did: tuple[str, ...] = ()
    last: tuple[str, ...] = ()
    totals: Mapping[str, Decimal] = field(default_factory=dict)
    imported: Imported | None = None

    @property
    def leads_to_paper(self) -> bool:
        """Whether it says where the entry stands and who signed it: else it counts for no inspection."""
        named = self.by is not None and not names_nobody(self.by.name)
        return named and not names_no_page(self.paper)


def _faults(record: PaperEntry) -> Iterator[tuple[str, str]]:
    if not (record.text or record.meters or record.totals):
        yield "", "an entry says something: `text`, `meters` or `totals`"
    if record.last and not record.leads_to_paper:
        yield "last", "counts for an inspection signed on paper: `paper` says where it stands, and `by` who signed it"
    for meter in record.totals:
        if meter in record.meters:
            yield "totals", f"{meter} is given as read and as a total: one of the two"


def _summary(record: PaperEntry) -> str:
    said = record.text or "meters read"
    return f"on paper{f', {record.paper}' if record.paper else ''}: {said}"


KIND = Kind(
    name="paper-entry",
    noun=PaperEntry,
    title="entry of the paper logbook",
    summary=_summary,
    faults=_faults,
    keys=(
        Key(name="totals", holds=METERS, label="Totals"),
        Key(name="did", holds=IDS, refers=("check",), label="Counts for"),
        Key(name="last", holds=IDS, refers=("inspection",), label="Counts for the inspection"),
        Key(
            name="imported",
            holds=ROW,
            label="Imported from",
            below=Below(
                noun=Imported,
                keys=(
                    Key(name="file", holds=TEXT, required=True, label="File"),
                    Key(name="line", holds=NUMBER, required=True, label="Line"),
                    Key(name="cells", holds=TEXT, required=True, label="Cells"),
                    Key(name="digest", holds=TEXT, required=True, label="Digest"),
                    Key(name="occurrence", holds=NUMBER, required=True, label="Occurrence"),
                ),
            ),
        ),
    ),
)
