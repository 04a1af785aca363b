"""What a page is made of, before anybody knows on which paper it will stand.

Nine blocks and no more. All text in them is plain text: whatever stands in it is shown, and nothing of it acts.
"""

from dataclasses import replace
from typing import Final

from inspect_kit.noun import dataclass

# How a line or a row is meant. A tone adds to what the words say and never stands for it: no colour is ever needed.
PLAIN: Final = ""
STOP: Final = "stop"
WARN: Final = "warn"
GOOD: Final = "good"
QUIET: Final = "quiet"
STRONG: Final = "strong"
# What presses and what is not known say so in a sign of their own: in a pipe, and in grey, nothing is bold.
SIGNS: Final = ("!!", "?")
TONES: Final = (PLAIN, STOP, WARN, GOOD, QUIET, STRONG)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading inside the page; `level` 2 or 3 (1 is the title). With `new_sheet` it begins a sheet of paper.

    With a `foot` it does so too, and this stands at the foot of its own sheets, up to the next heading of its level.
    """

    text: str
    level: int = 2
    new_sheet: bool = False
    foot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Running text; a line feed in it stays a line feed. One in the tone of a stop says so in its first characters."""

    text: str
    tone: str = PLAIN

    def __post_init__(self) -> None:
        if self.tone == STOP and self.text and not self.text.startswith(SIGNS):
            object.__setattr__(self, "text", f"{SIGNS[0]} {self.text}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What can hurt somebody, printed before the step that it belongs to."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """Words that are not ours and stand as they were written: a statement, an entry to copy by hand."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """A list of short texts."""

    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: `wide` may be wrapped; where paper is narrow, the one of highest `rank` folds below its row first.

    Rank 0 never folds. `right` puts figures under each other. One that is `aside`, a path beside words, folds as soon
    as the words would be wrapped for it.
    """

    name: str = ""
    right: bool = False
    wide: bool = False
    rank: int = 0
    aside: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: as many cells as there are columns, or a band, which is a heading across all of them."""

    cells: tuple[str, ...] = ()
    band: str = ""
    tone: str = PLAIN


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows under columns; without a header where no column has a name."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    def __post_init__(self) -> None:
        if any(len(row.cells) != (0 if row.band else len(self.columns)) for row in self.rows):
            raise ValueError("a row has as many cells as there are columns, a band has none")

    @property
    def cell_rows(self) -> tuple[Row, ...]:
        """The rows that are no bands."""
        return tuple(row for row in self.rows if not row.band)

    @property
    def has_header(self) -> bool:
        return any(column.name for column in self.columns)


# Kinds of marks on a chart; how each looks is said by `drawing` in characters and by `svg` in shapes.
DUE: Final = "due"
LIKELY: Final = "likely"
RANGE: Final = "range"
BEFORE: Final = "before"
BEYOND: Final = "beyond"
VISIT: Final = "visit"
DONE: Final = "done"
PULLED: Final = "pulled"
WORK: Final = "work"
ACCESS: Final = "access"
OFF: Final = "off"
CRITICAL: Final = "critical"
AWAY: Final = "away"

LEGEND: Final = {
    DUE: "due by the calendar",
    LIKELY: "expected, with early to late",
    RANGE: "",
    BEFORE: "due before this strip begins",
    BEYOND: "due after it ends",
    VISIT: "visit",
    DONE: "done on that visit",
    PULLED: "pulled forward: from when it would be due to the visit",
    WORK: "checks",
    ACCESS: "panels and setups, off or on",
    OFF: "off or standing",
    CRITICAL: "steps that set the finish",
    AWAY: "between sessions",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Something on a row of a chart, at `start` or from `start` to `end`, in the chart's own measure."""

    kind: str
    start: float
    end: float | None = None

    def __post_init__(self) -> None:
        if self.kind not in LEGEND or (self.end is not None and self.end < self.start):
            raise ValueError("a mark is of a known kind and ends no earlier than it starts")


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartRow:
    """A row of a chart: a label, its marks (later ones over earlier ones), and a short word at its end.

    Where the label looks like that of another row in the room that it has, `alias` stands in its place.
    """

    label: str
    marks: tuple[Mark, ...] = ()
    value: str = ""
    alias: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Marks along one axis of time. `ticks` are places on the axis with their names, in order.

    With `initials` the first letters of the names will do where there is no room for the whole of them.
    """

    title: str
    start: float
    end: float
    ticks: tuple[tuple[float, str], ...]
    rows: tuple[ChartRow, ...]
    initials: bool = False

    def __post_init__(self) -> None:
        if not self.start < self.end:
            raise ValueError("a chart has a width")

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of marks that stand on it, in the order of the legend."""
        used = {mark.kind for row in self.rows for mark in row.marks}
        return tuple(kind for kind in LEGEND if kind in used and LEGEND[kind])


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """A way across a plot from its first point to its last, known by a letter."""

    letter: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """Outlines and tracks over two axes, named by `across` and `up`; points are (across, up).

    With `lettered` every point of a track bears its letter, not its two ends alone.
    """

    title: str
    across: str
    up: str
    outlines: tuple[tuple[tuple[float, float], ...], ...]
    tracks: tuple[Track, ...]
    lettered: bool = False

    def __post_init__(self) -> None:
        if not any(self.outlines) or not all(track.points for track in self.tracks):
            raise ValueError("a plot has an outline, and a track has points")


@dataclass(frozen=True, slots=True, kw_only=True)
class SignatureLine:
    """Who signs, with kind and number of the certificate, and how that stands; a line to sign on if it does not.

    What is `void`, its seal being broken, is not to be signed either.
    """

    name: str
    kind: str
    certificate: str
    date: str
    state: str
    signed: bool
    void: bool = False


Block = Heading | Paragraph | Caution | Quote | Listing | Table | Chart | Plot | SignatureLine


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A title, blocks from top to bottom, and what stands at the foot of every sheet of paper.

    A `dense` one is for a screen: as text it has neither rules nor empty lines besides those before a heading.
    """

    title: str
    blocks: tuple[Block, ...]
    foot: str = ""
    dense: bool = False


def table(columns: tuple[Column, ...], rows: "tuple[Row, ...] | list[Row]") -> Table:
    """A table without the columns in which nothing stands."""
    used = [place for place in range(len(columns)) if any(row.cells[place] for row in rows if not row.band)]
    kept = tuple(replace(row, cells=tuple(row.cells[place] for place in used if not row.band)) for row in rows)
    return Table(columns=tuple(columns[place] for place in used), rows=kept)


def facts(*pairs: tuple[str, str]) -> Table:
    """A table of names and values; a pair whose value says nothing is left out."""
    rows = tuple(Row(cells=(name, value)) for name, value in pairs if value)
    return Table(columns=(Column(), Column(wide=True)), rows=rows)
