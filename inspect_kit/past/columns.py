"""The file beside a table that says what is what: `logbook.csv` has `logbook.columns.yaml`, to be edited by hand.

    format: 1
    cells: comma | semicolon | tab | bar      what parts the cells
    names: LINE                               the line of the file with the names of the columns
    dates: day first | month first | year first
    dates-with: {slash | dot | hyphen: day first | month first}       those that this sign parts, where they differ
    decimals: point | comma
    carry: [NAME ...]                         columns where an empty cell means the cell above, as of merged cells
    paper: TEXT                               what the pages belong to, such as `airframe log`
    columns: {NAME: date | reads METER | total METER | text | by | certificate | page | at | left out}
    did: {WORDS: [CHECK ...]}                 what rows with exactly these words, case aside, count for
    last: {WORDS: [INSPECTION ...]}           likewise
    meter-changed: [{date, meter, old, new [unrecorded] [how-known]}]
    people: {WORDS: NAME}                     who is meant by a signature such as `RS`
    leave-out: {LINE: WORDS}                  rows that are none of the logbook's, each with words that stand in it
"""

import datetime as dt
import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field, replace
from decimal import Decimal
from typing import Any

from inspect_kit.noun import dataclass
from inspect_kit.past.table import DELIMITERS, LogbookRow, LogbookTable
from inspect_kit.past.typed import COMMA, ORDERS, POINT, YEAR_FIRST, decimals_of, orders_of, sign_of
from inspect_kit.text.fields import Plain, Scalar, read_yaml, write_yaml
from inspect_kit.text.grammar import Unreadable, did_you_mean, parse_id, parse_number
from inspect_kit.text.mapping import Fields
from inspect_kit.text.source import Source, split_lines

DATE, READS, TOTAL, TEXT, BY = "date", "reads", "total", "text", "by"
CERTIFICATE, PAGE, AT, LEFT_OUT = "certificate", "page", "at", "left out"
# So many cells of an entry are filled at least: a day, and what was done.
CELLS_OF_AN_ENTRY = 2
PLAIN = (DATE, TEXT, BY, CERTIFICATE, PAGE, AT, LEFT_OUT)
# Words that people write over the columns of their logbooks. Common practice, no source.
HEADINGS = {
    DATE: ("date", "day", "when"),
    READS: ("tach", "tacho", "tachometer", "hobbs", "recorder", "meter"),
    TOTAL: ("total", "totals", "ttaf", "tt", "tsn", "ttsn", "airframe"),
    TEXT: (
        *("remarks", "remark", "description", "work", "entry", "text"),
        *("maintenance", "notes", "performed", "details", "done", "what"),
    ),
    BY: (
        *("by", "signed", "signature", "sig", "sign", "sgd", "signatory", "initials", "init"),
        *("mechanic", "engineer", "name", "who", "inspector"),
    ),
    CERTIFICATE: ("certificate", "cert", "number"),
    PAGE: ("page", "pg", "ref", "reference", "folio"),
    AT: ("place", "at", "where", "airport", "location", "field"),
}

# Two kinds of meter that read two figures: a column of the one is none of the other.
OF_ONE_KIND = (frozenset(("tach", "tacho", "tachometer")), frozenset(("hobbs",)))


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterChanged:
    """A meter that was changed between two rows: last reading of the old one, first of the new one."""

    date: dt.date
    meter: str
    old: Decimal
    new: Decimal
    unrecorded: Decimal | None = None
    how_known: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """What is what. `names` is the line with the names of the columns, 0 if there is none; `roles` by those names."""

    cells: str
    names: int
    dates: str = YEAR_FIRST
    dates_with: Mapping[str, str] = field(default_factory=dict)
    decimals: str = POINT
    carry: tuple[str, ...] = ()
    paper: str = ""
    roles: Mapping[str, str] = field(default_factory=dict)
    did: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    last: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    meter_changed: tuple[MeterChanged, ...] = ()
    people: Mapping[str, str] = field(default_factory=dict)
    leave_out: Mapping[int, str] = field(default_factory=dict)

    def with_role(self, role: str) -> list[str]:
        """The columns taken as that, in the order of the file."""
        return [name for name, each in self.roles.items() if each == role]

    def order_of(self, cell: str) -> str:
        """The order in which a date is written."""
        return self.dates_with.get(sign_of(cell), self.dates)


def column_names(table: LogbookTable, line: int) -> tuple[str, ...]:
    """The names of the columns, each once: one without a name is `column 4`, a second `Hours` is `Hours (2)`.

    Right of the last name there is a column where half of the rows have a cell; else those rows have a comma too many.
    """
    row = next((row for row in table.rows if row.line == line), None)
    width = max((len(row.cells) for row in table.rows), default=0)
    if row is not None:
        named = max((number for number, cell in enumerate(row.cells, 1) if cell), default=0)
        filled = Counter(number for each in rows_below(table, line) for number, cell in enumerate(each.cells) if cell)
        half = (len(rows_below(table, line)) + 1) // 2
        width = max([named, *(number + 1 for number, count in filled.items() if count >= half)])
    found: list[str] = []
    for number in range(width):
        name = (row.cells[number] if row and number < len(row.cells) else "") or f"column {number + 1}"
        again = sum(each == name or each.startswith(f"{name} (") for each in found)
        found.append(f"{name} ({again + 1})" if again else name)
    return tuple(found)


def rows_below(table: LogbookTable, line: int) -> list[LogbookRow]:
    """The rows under the names, empty ones left out, and the names themselves where a new page says them again."""
    names = next((row.cells for row in table.rows if row.line == line), ())
    return [row for row in table.rows if row.line > line and not row.empty and row.cells != names]


def rows_above(table: LogbookTable, line: int) -> list[LogbookRow]:
    """The rows over the names that have as many cells as an entry: most titles have one."""
    return [row for row in table.rows if row.line < line and sum(map(bool, row.cells)) >= CELLS_OF_AN_ENTRY]


def column(table: LogbookTable, columns: Columns, name: str) -> list[str]:
    """The cells of a column that are not empty."""
    place = column_names(table, columns.names).index(name)
    cells = [row.cells[place] for row in rows_below(table, columns.names) if place < len(row.cells)]
    return [cell for cell in cells if cell]


def guess(table: LogbookTable, meters: Iterable[str], clock: str) -> Columns:
    """What a table seems to say of itself: where the names stand, and what each column is by its name."""
    line = next((row.line for row in table.rows if _is_names(row)), 0)
    roles = {name: _role(name, tuple(meters), clock) for name in column_names(table, line)}
    counted = [role for role in roles.values() if role.split()[0] in (READS, TOTAL)]
    for single in dict.fromkeys((DATE, PAGE, CERTIFICATE, *counted)):
        # Of two that seem to be one meter's the one that has its name is, else the first.
        alike = [name for name, role in roles.items() if role == single]
        own = [name for name in alike if single.partition(" ")[2].casefold() in name.casefold()] or alike
        for name in alike:
            if name != own[0]:
                roles[name] = LEFT_OUT
    made = Columns(cells=table.delimiter, names=line, roles=roles)
    unnamed = [name for name, role in roles.items() if role == LEFT_OUT and _is_words(column(table, made, name))]
    if TEXT in roles.values() or len(unnamed) != 1:
        return made
    # The only column of words says what was done, whatever it is called.
    return replace(made, roles={**roles, unnamed[0]: TEXT})


def _is_words(cells: Sequence[str]) -> bool:
    """Whether most cells of a column say something in several words, as what was done is said."""
    return sum(len(re.findall(r"[^\W\d_]{2,}", cell)) > 1 for cell in cells) * 2 > len(cells)


def _is_names(row: LogbookRow) -> bool:
    words = [cell for cell in row.cells if cell]
    return len(words) > 1 and not any(character.isdigit() for cell in words for character in cell)


def _role(name: str, meters: tuple[str, ...], clock: str) -> str:
    words = "".join(sign if sign.isalnum() else " " for sign in name.lower()).split()
    for meter in meters:
        if meter.lower() in words:
            return f"{TOTAL if set(words) & set(HEADINGS[TOTAL]) else READS} {meter}"
    for role, known in HEADINGS.items():
        if set(words) & set(known):
            others = {word for kind in OF_ONE_KIND if clock not in kind for word in kind}
            if role == READS and any(clock in kind for kind in OF_ONE_KIND) and not others.isdisjoint(words):
                return LEFT_OUT
            return f"{role} {clock}" if role in (READS, TOTAL) else role
    return LEFT_OUT


def known_orders(
    table: LogbookTable, columns: Columns, today: dt.date
) -> tuple[dict[str, tuple[str, list[str]]], list[str]]:
    """For each sign that parts dates an example and the orders, and then the signs for decimals, that the cells leave
    open: another sign may be another hand's.
    """
    found: dict[str, tuple[str, list[str]]] = {}
    by_sign: dict[str, list[str]] = {}
    for name in columns.with_role(DATE):
        for cell in column(table, columns, name):
            by_sign.setdefault(sign_of(cell), []).append(cell)
    for sign, cells in by_sign.items():
        if (orders := orders_of(cells, today)) != [YEAR_FIRST]:
            found[sign] = next(cell for cell in cells if orders_of([cell], today) != [YEAR_FIRST]), orders
    hours = [name for name, role in columns.roles.items() if role.split()[0] in (READS, TOTAL)]
    numbers = [cell for name in hours for cell in column(table, columns, name)]
    return found, decimals_of(numbers)


def read_columns(text: str, file: str, meters: Iterable[str]) -> tuple[Columns | None, Source]:
    """What the file says, or None when it cannot be read; problems are in the source."""
    source = Source(file, split_lines(text))
    node, problems = read_yaml(text, file)
    source.problems += problems
    if node is None:
        return None, source
    fields = Fields(node, source)
    known = tuple(meters)
    if fields.text("format", required=True) != "1":
        fields.problem("format", "expected 1")
    roles = fields.mapping("columns", required=True)
    columns = Columns(
        cells=fields.parsed("cells", _one_of(tuple(DELIMITERS)), required=True) or "comma",
        names=int(fields.parsed("names", _line, required=True) or 0),
        dates=fields.parsed("dates", _one_of(ORDERS), required=True) or YEAR_FIRST,
        dates_with=_parsed_of(fields, "dates-with", _one_of(ORDERS)),
        decimals=fields.parsed("decimals", _one_of((POINT, COMMA)), required=True) or POINT,
        carry=fields.texts("carry"),
        paper=fields.text("paper"),
        roles=roles.each_parsed(lambda value: parse_role(value, known)) if roles else {},
        did=_words(fields, "did"),
        last=_words(fields, "last"),
        meter_changed=tuple(
            change for each in fields.mappings("meter-changed") if (change := _change(each)) is not None
        ),
        people=_parsed_of(fields, "people", str),
        leave_out=_left_out(fields),
    )
    fields.finish()
    if not columns.with_role(DATE) and not source.problems:
        fields.problem("columns", "no column is taken as the date")
    return (None if source.problems else columns), source


def parse_role(value: str, meters: Iterable[str]) -> str:
    """ROLE = "date" | "reads " METER | "total " METER | "text" | "by" | "certificate" | "page" | "at" | "left out" """
    word, _, meter = value.partition(" ")
    known = tuple(meters)
    if word in (READS, TOTAL):
        if meter in known:
            return value
        hint = did_you_mean(meter, known)
        raise Unreadable(f"`{meter}` is no meter of this aircraft (meters: {', '.join(known)}){hint}")
    if value not in PLAIN:
        told = f"date, text, by, certificate, page, at, reads {known[0]}, total {known[0]} or left out"
        near = f"; did you mean `reads {value}` or `total {value}`?" if value in known else did_you_mean(value, PLAIN)
        raise Unreadable(f"expected {told}, not `{value[:40]}`{near}")
    return value


def _one_of(words: tuple[str, ...]) -> Any:
    def parse(value: str) -> str:
        if value not in words:
            raise Unreadable(f"expected {' or '.join(words)}, not `{value[:40]}`{did_you_mean(value, words)}")
        return value

    return parse


def _line(value: str) -> int:
    if not value.isdecimal() or len(value) > 7:
        raise Unreadable(f"expected the number of a line, not `{value[:40]}`")
    return int(value)


def _parsed_of(fields: Fields, key: str, parse: Callable[[str], str]) -> dict[str, str]:
    found = fields.mapping(key)
    return found.each_parsed(parse) if found else {}


def _words(fields: Fields, key: str) -> dict[str, tuple[str, ...]]:
    found = fields.mapping(key)
    if found is None:
        return {}
    words: dict[str, tuple[str, ...]] = {}
    for name, _ in [*found.each()]:
        if (same := as_compared(name.text)) in words:
            fields.problem(key, f"`{name.text[:40]}` stands there twice, case aside: write all that it counts for once")
        words[same] = found.list_of(name.text, parse_id)
    return words


def as_compared(words: str) -> str:
    """Words as they are compared: case and blanks aside."""
    return " ".join(words.casefold().split())


def _change(fields: Fields) -> MeterChanged | None:
    date, meter = fields.date("date", required=True), fields.text("meter", required=True)
    old = fields.parsed("old", parse_number, required=True)
    new = fields.parsed("new", parse_number, required=True)
    unrecorded, how = fields.number("unrecorded"), fields.text("how-known")
    fields.finish()
    if date is None or not meter or old is None or new is None:
        return None
    return MeterChanged(date=date, meter=meter, old=old, new=new, unrecorded=unrecorded, how_known=how)


def _left_out(fields: Fields) -> dict[int, str]:
    found = fields.mapping("leave-out")
    told: dict[int, str] = {}
    for name, value in found.each() if found else ():
        try:
            line = _line(name.text)
        except Unreadable as fault:
            fields.source.problem(name.line, f"leave-out: {fault.message}", name.column, name.column + len(name.text))
            continue
        if isinstance(value, Scalar) and value.text.strip():
            told[line] = value.text
        else:
            fields.source.problem(name.line, f"leave-out: line {line} wants words that stand in it", name.column)
    return told


HEAD = """\
# What the columns of {file} are. Edit it as you like and run `inspect-kit import` again.
# A column is: date, text, by, certificate, page, at, reads METER, total METER, or left out.
# Words of a row count for a check only if you say so here:
#   did: {{"oil and filter changed": [oil-change]}}      last: {{"annual inspection": [condition]}}
# A meter that was changed:  meter-changed: [{{date: 2014-03-02, meter: tach, old: 1234.5, new: 0}}]
# Dates that a slash parts are of another hand:  dates-with: {{slash: month first}}
# Who signed with initials:  people: {{RS: Robin Swift}}
# A row that is no entry:    leave-out: {{17: carried forward}}      the line, and words that stand in it
"""


def write_columns(columns: Columns, file: str) -> str:
    """The text of the file beside the table `file`: what was asked; what the owner adds by hand is not written."""
    keys: dict[str, Any] = {
        "format": Plain("1"),
        "cells": columns.cells,
        "names": Plain(str(columns.names)),
        "dates": columns.dates,
        "dates-with": dict(columns.dates_with),
        "decimals": columns.decimals,
        "carry": list(columns.carry),
        "paper": columns.paper,
        "columns": dict(columns.roles),
        "leave-out": {Plain(str(line)): words for line, words in columns.leave_out.items()},
    }
    return HEAD.format(file=file) + write_yaml({key: value for key, value in keys.items() if value})
