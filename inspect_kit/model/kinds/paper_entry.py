"""An entry of a paper logbook, told again so that it counts: the paper stays the original.

It counts like `last` of a brought-forward record: for the checks in `did` and the inspections in `last` that the owner
named; it is never an inspection that was sealed or signed here. Source: 14 CFR 43.9, 43.11 (the entry on paper is the
record that the rule asks for).
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import field
from decimal import Decimal

from inspect_kit.model.kind import IDS, METERS, NUMBER, ROW, TEXT, Below, Key, Kind
from inspect_kit.model.reason import in_doubt, is_no_number, names_no_page, names_nobody, says_undone
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

# Of an entry that is to count for an inspection: it was not ended, or not passed. Common practice; the list of what is
# wrong is that of 14 CFR 43.11(b), which the owner is given where an aircraft does not pass.
FAILED_ON_PAPER = (
    r"\bnot (?:(?:yet|been|fully|found|considered|deemed|to be|in an?) ){0,3}"
    r"(?:completed?|finished|passed|airworth\w*|signed|safe|(?:airworth\w* )?condition|returned to service)\b"
    r"|\b(?:un-?airworth\w*|incomplete|did not pass)\b"
    r"|\blist of (?:\w+ ){0,2}(?:discrepanc|item|defect|fault)\w*\b(?!: n)"
    r"|\binspection (?:was |has )?(?:failed|refused|abandoned|broken off|interrupted|postponed|deferred|begun)\b"
    r"|\bfailed (?:the |its )?(?:\w+ )?inspection\b"
)
# It was passed after that, all the same.
THEN_GOOD = (
    r"\b(?:corrected|completed|(?:returned|released) to service|found (?:to be )?(?:airworth\w*|in an? )|then passed)\b"
)
# It speaks of one that is to come, and of none that was made.
ONLY_DUE = r"^(?:\S+ ){0,3}(?:inspection|annual)(?: is| was| now)? (?:over)?due\b"
MADE_ON_PAPER = r"\b(?:completed|performed|done|made|passed|carried out|inspected|certif\w+|airworth\w*)\b"


def tells_not_passed(words: str) -> bool:
    """Whether an entry says of an inspection that it was not passed, or leaves it open."""
    plain = " ".join(words.casefold().split())
    if failed := [*re.finditer(FAILED_ON_PAPER, plain)]:
        return re.search(THEN_GOOD, plain[failed[-1].end() :]) is None
    if re.search(ONLY_DUE, plain) is not None and re.search(MADE_ON_PAPER, plain) is None:
        return True
    return bool(words) and (in_doubt(words) or says_undone(words))


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
    def counts_for_none(self) -> str:
        """Why it counts for no inspection: it does not say where it stands and who signed it, or that it was passed."""
        if self.by is None or names_nobody(self.by.name) or names_no_page(self.paper):
            return "`paper` says where it stands, and `by` who signed it"
        if self.by.certificate and is_no_number(self.by.certificate, self.date):
            return f"`{self.by.certificate[:40]}` is the number of no certificate"
        if tells_not_passed(self.text):
            return f"`{self.text[:60]}` does not say that it was passed; leave `last` out where it was not"
        return ""


def _faults(record: PaperEntry) -> Iterator[tuple[str, str]]:
    if not (record.text or record.meters or record.totals):
        yield "", "an entry says something: `text`, `meters` or `totals`"
    if record.last and record.counts_for_none:
        yield "last", f"counts for an inspection signed on paper: {record.counts_for_none}"
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
