"""Rows of a table as entries, and what their words count for (compared as `columns` says); or bad rows, and why."""

import contextlib
import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from itertools import product

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Person, plain_name
from inspect_kit.model.kinds.paper_entry import Imported, PaperEntry
from inspect_kit.model.reason import names_no_page, names_nobody
from inspect_kit.noun import dataclass
from inspect_kit.past.columns import (
    AT,
    BY,
    CELLS_OF_AN_ENTRY,
    CERTIFICATE,
    DATE,
    PAGE,
    READS,
    TEXT,
    TOTAL,
    Columns,
    as_compared,
    column_names,
    rows_above,
    rows_below,
)
from inspect_kit.past.table import LogbookRow, LogbookTable
from inspect_kit.past.typed import ORDERS, parse_typed_date, parse_typed_number
from inspect_kit.text.grammar import Unreadable


@dataclass(frozen=True, slots=True, kw_only=True)
class BadRow:
    """A row that cannot be an entry: its line, every reason, its cells as one line, and what was done by its `words`.

    `counts` is the reason of one that is an entry, and that its owner said counts for an inspection.
    """

    line: int
    reasons: tuple[str, ...]
    text: str
    words: str = ""
    counts: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entries:
    """All rows of a table, in the order of the file. `left_out` are those that the owner took for no entries.

    The entries have no name yet; their place is the line of the table. `stated` are the totals that stand beside a
    reading: line, meter and total.
    """

    entries: tuple[PaperEntry, ...]
    bad: tuple[BadRow, ...]
    left_out: tuple[LogbookRow, ...]
    stated: tuple[tuple[int, str, Decimal], ...] = ()


def entries_of(table: LogbookTable, columns: Columns, file: str, today: dt.date) -> Entries:
    """Every row as an entry, a bad row or one left out; `file` is the table's name, as it is kept in the entries."""
    names = column_names(table, columns.names)
    above: dict[str, str] = {}
    seen: Counter[str] = Counter()
    entries, bad, left_out, stated = [], [], [], []
    over = [
        row
        for row in rows_above(table, columns.names)
        if row.line in columns.leave_out or _has_date(_where_a_date_may_be(row, names, columns), today)
    ]
    for row in (*over, *rows_below(table, columns.names)):
        cells = dict(zip(names, row.cells, strict=False))
        for name in columns.carry:
            cells[name] = above[name] = cells.get(name) or above.get(name, "")
        seen[row.digest] += 1
        if row.line in columns.leave_out:
            words = columns.leave_out[row.line]
            if any(as_compared(words) in as_compared(each) for each in (row.text, *row.cells)):
                left_out.append(row)
            else:
                told = f"`leave-out` names this line for `{words[:60]}`, and those words do not stand in it"
                bad.append(BadRow(line=row.line, reasons=(told,), text=row.text))
            continue
        if row.line < columns.names:
            told = f"stands above the names of the columns, in line {columns.names}: no entry is read there"
            bad.append(BadRow(line=row.line, reasons=(told,), text=row.text))
            continue
        reader = _Reader(cells, columns, today)
        source = Imported(
            file=file,
            line=Decimal(row.line),
            cells=row.text,
            digest=row.digest,
            occurrence=Decimal(seen[row.digest]),
        )
        entry = reader.entry(source, Place(file, row.line), too_many=row.cells[len(names) :])
        if entry is None:
            faults, words = tuple(reader.faults), reader.joined(TEXT, "; ")
            bad.append(BadRow(line=row.line, reasons=faults, text=row.text, words=words, counts=reader.counts))
        else:
            entries.append(entry)
            stated += [(row.line, meter, total) for meter, total in reader.stated.items()]
    return Entries(entries=tuple(entries), bad=tuple(bad), left_out=tuple(left_out), stated=tuple(stated))


def _where_a_date_may_be(row: LogbookRow, names: Sequence[str], columns: Columns) -> Sequence[str]:
    """The cells of a row above the names that make an entry of it if one is a date: of two cells that in the column of
    dates, for `Printed` and a day are a title.
    """
    if sum(map(bool, row.cells)) > CELLS_OF_AN_ENTRY:
        return row.cells
    dates = columns.with_role(DATE)
    return [cell for name, cell in zip(names, row.cells, strict=False) if name in dates]


def _has_date(cells: Iterable[str], today: dt.date) -> bool:
    """Whether a cell is a day in any order: by what stands below the names it is not known yet, or another's."""
    for cell, order in product(cells, ORDERS):
        with contextlib.suppress(Unreadable):
            parse_typed_date(cell, order, today)
            return True
    return False


# What the trade calls whoever works on an aircraft; `Swift, R.` is a name, and so is `R. Swift, A&P`.
TRADES = frozenset(("mechanic", "repairman", "repairwoman", "pilot", "helper", "student", "apprentice"))


def _with_kind(cell: str) -> tuple[str, str, str]:
    """Name, kind and number of `R. Swift, mechanic (airframe), 1234567`; the whole as a name where no kind is said."""
    name, kind, number = (part.strip() for part in [*cell.split(",", 2), "", ""][:3])
    if TRADES.isdisjoint(re.findall(r"[^\W\d_]+", kind.casefold())):
        return cell, "", ""
    return name, kind, number


# Two or three letters that say what somebody is, not who.
NO_INITIALS = frozenset(("ap", "ia", "ame", "lame"))


def is_initials(words: str) -> bool:
    """Whether a signature is two or three initials, `RS` or `R. S.`"""
    letters = re.fullmatch(r"(?:[^\W\d_][\W_]*){2,3}", words)
    return letters is not None and words.isupper() and _letters(words) not in NO_INITIALS


def may_stand_for(words: str, name: str) -> bool:
    """Whether a signature is a name of which some words, or all, are initials: `RS` or `R. Swift` of Robin Swift."""
    whole, told = plain_name(name).split(), plain_name(words).split()
    if is_initials(words):
        return [*_letters(words)] == [word[0] for word in whole]
    pairs = [*zip(told, whole, strict=False)]
    alike = all(short == long or short == long[0] for short, long in pairs)
    return len(told) == len(whole) > 1 and told != whole and alike and told[-1] == whole[-1]


def _letters(words: str) -> str:
    return plain_name(words).replace(" ", "")


class _Reader:
    """One row, by the roles of its columns; `faults` is everything that is wrong with it."""

    def __init__(self, cells: dict[str, str], columns: Columns, today: dt.date) -> None:
        self.cells, self.columns, self.today = cells, columns, today
        self.faults: list[str] = []
        self.counts = ""
        self.stated: dict[str, Decimal] = {}

    def of(self, role: str) -> Iterator[tuple[str, str]]:
        """Name and cell of the columns taken as that, empty cells left out."""
        for name in self.columns.with_role(role):
            if self.cells.get(name):
                yield name, self.cells[name]

    def joined(self, role: str, between: str) -> str:
        return between.join(cell for _, cell in self.of(role))

    def entry(self, source: Imported, place: Place, too_many: tuple[str, ...]) -> PaperEntry | None:
        date = self._date()
        meters, totals = self._numbers(READS), self._numbers(TOTAL)
        for meter in meters.keys() & totals.keys():
            # What the meter showed is the fact; a total beside it was reckoned from it.
            self.stated[meter] = totals.pop(meter)
        text = self.joined(TEXT, "; ")
        if any(too_many):
            self.faults.append("has more cells than there are columns: a comma or a quotation mark too many?")
        if not (text or meters or totals) and not self.faults:
            self.faults.append("says nothing but a date")
        paper, last = self._paper(), self.columns.last.get(as_compared(text), ())
        unsaid = [
            told
            for told, is_unsaid in (
                ("who signed that", names_nobody(self.joined(BY, ", "))),
                ("on which page it stands", names_no_page(paper)),
            )
            if is_unsaid
        ]
        if last and unsaid:
            self.counts = f"counts for the {' and the '.join(last)} inspection, and does not say {' or '.join(unsaid)}"
            self.faults.append(self.counts)
        if self.faults or date is None:
            return None
        name, kind, number = _with_kind(self.joined(BY, ", "))
        name = self.columns.people.get(name, name)
        certificate = self.joined(CERTIFICATE, ", ") or number
        return PaperEntry(
            name="",
            date=date,
            entered=self.today,
            meters=meters,
            totals=totals,
            text=text,
            by=Person(name=name, kind=kind, certificate=certificate) if name else None,
            at=self.joined(AT, ", "),
            paper=paper,
            did=self.columns.did.get(as_compared(text), ()),
            last=last,
            imported=source,
            place=place,
        )

    def _date(self) -> dt.date | None:
        cell = self.joined(DATE, " ")
        try:
            date = parse_typed_date(cell, self.columns.order_of(cell), self.today)
        except Unreadable as fault:
            self.faults.append(fault.message)
            return None
        if date > self.today:
            self.faults.append(f"`{cell}` is in the future")
        return date

    def _numbers(self, verb: str) -> dict[str, Decimal]:
        found: dict[str, Decimal] = {}
        for role in dict.fromkeys(role for role in self.columns.roles.values() if role.split()[0] == verb):
            first, meter = "", role.partition(" ")[2]
            for name, cell in self.of(role):
                try:
                    number = parse_typed_number(cell, self.columns.decimals)
                except Unreadable as fault:
                    self.faults.append(f"{name}: {fault.message}")
                    continue
                if found.setdefault(meter, number) != number:
                    told = f"`{first}` and `{name}` are both `{role}`, and say {found[meter]} and {number}"
                    self.faults.append(f"{told}: one of the columns is something else, or left out")
                first = first or name
        return found

    def _paper(self) -> str:
        page = self.joined(PAGE, ", ")
        between = " p. " if page.isdigit() else " "
        return (between.join((self.columns.paper, page)) if page else self.columns.paper).strip()
