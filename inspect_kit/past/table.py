"""A table as spreadsheets save it (RFC 4180 and its relatives): bytes to rows of cleaned cells. The only door to csv.

    cells are parted by a comma, a semicolon, a tab or a bar: the one that makes the most rows equally wide
    a row of the file may stand over several lines where a cell is quoted
    bytes are UTF-8, UTF-16 with its mark, or else Windows-1252, which is said
"""

import csv
import hashlib
import io
import unicodedata
from collections import Counter

from inspect_kit.errors import Misused
from inspect_kit.noun import dataclass
from inspect_kit.text.cells import unguarded

DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
# More lines than any remark has: a quotation mark was opened there and never closed.
LONGEST = 60
# A remark of several lines has a comma or two of its own; rows of so few cells cannot be told from it.
FEW_CELLS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class LogbookRow:
    """A row of the file: the line it begins on, from 1, and its cells, cleaned."""

    line: int
    cells: tuple[str, ...]

    @property
    def empty(self) -> bool:
        return not any(self.cells)

    @property
    def digest(self) -> str:
        """SHA-256 of the cleaned cells, empty ones at the end left out; 64 lower-case hexadecimal digits."""
        return hashlib.sha256("\x1f".join(_trimmed(self.cells)).encode()).hexdigest()

    @property
    def text(self) -> str:
        """The cells as one line of CSV."""
        out = io.StringIO()
        csv.writer(out, lineterminator="").writerow(_trimmed(self.cells))
        return out.getvalue()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogbookTable:
    """The rows of a file, and the word for what parts their cells."""

    delimiter: str
    rows: tuple[LogbookRow, ...]


def cells_of(text: str) -> tuple[str, ...]:
    """The cells of a row that was kept as one line of CSV (`LogbookRow.text`)."""
    return tuple(next(csv.reader([text]), ()))


def _trimmed(cells: tuple[str, ...]) -> tuple[str, ...]:
    last = max((number for number, cell in enumerate(cells, 1) if cell), default=0)
    return cells[:last]


def decode_table(data: bytes) -> tuple[str, str]:
    """The text and the name of its encoding."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encoding = "utf-16"
    else:
        try:
            return data.decode("utf-8-sig"), "UTF-8"
        except UnicodeDecodeError:
            encoding = "cp1252"
    try:
        return data.decode(encoding), {"utf-16": "UTF-16", "cp1252": "Windows-1252"}[encoding]
    except UnicodeDecodeError:
        raise Misused("this is no table of text: save the sheet as CSV, in UTF-8") from None


def read_table(text: str, delimiter: str = "") -> LogbookTable:
    """The rows of a table; Misused with the line where a quotation mark is never closed."""
    if "\0" in text:
        raise Misused("this is no table of text: save the sheet as CSV, in UTF-8")
    if delimiter:
        return LogbookTable(delimiter=delimiter, rows=_rows(text, DELIMITERS[delimiter]))
    tried = [LogbookTable(delimiter=name, rows=_rows(text, sign)) for name, sign in DELIMITERS.items()]
    return max(tried, key=_evenness)


def _evenness(table: LogbookTable) -> int:
    """How many cells stand in rows of the commonest width above one."""
    widths = Counter(len(row.cells) for row in table.rows if len(row.cells) > 1)
    return max((width * count for width, count in widths.items()), default=0)


def _rows(text: str, sign: str) -> tuple[LogbookRow, ...]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign)
    found, line, last = [], 1, 1
    try:
        for cells in reader:
            if reader.line_num - line >= LONGEST:
                raise Misused(
                    f"line {line}: a quotation mark is opened here and not closed within {LONGEST} lines: close it, or "
                    "take it away"
                )
            if any(_holds_rows(cell, sign, len(cells)) for cell in cells):
                told = "a quotation mark is opened here, and other rows stand before it is closed: close it"
                raise Misused(f"line {line}: {told}")
            found.append(LogbookRow(line=line, cells=tuple(clean(cell) for cell in cells)))
            last, line = line, reader.line_num + 1
    except csv.Error as fault:
        raise Misused(f"line {line}: {fault}; mend that line") from None
    if _is_open(text.splitlines(keepends=True)[last - 1 :], sign):
        raise Misused(f"line {last}: a quotation mark is opened here and never closed: close it, or take it away")
    return tuple(found)


def _holds_rows(cell: str, sign: str, width: int) -> bool:
    """Whether a cell of several lines has swallowed whole rows: lines with as many cells as the row itself."""
    return width > FEW_CELLS and any(line.count(sign) >= width - 1 for line in cell.splitlines()[1:])


def _is_open(lines: list[str], sign: str) -> bool:
    """Whether the file ends before a quotation mark of these lines is closed."""
    try:
        list(csv.reader(lines, delimiter=sign, strict=True))
    except csv.Error as fault:
        return "unexpected end" in str(fault)
    return False


def clean(cell: str) -> str:
    """A cell on one line: composed characters, single blanks, nothing that acts, no guard against formulas."""
    plain = unicodedata.normalize("NFC", unguarded(cell))
    return " ".join("".join(sign if sign.isprintable() else " " for sign in plain).split())
