"""The past comes in: a table that a spreadsheet saved, read as entries of a paper logbook."""

from inspect_kit.past.columns import Columns, guess, known_orders, read_columns, write_columns
from inspect_kit.past.entries import BadRow, Entries, entries_of
from inspect_kit.past.match import Matched, match
from inspect_kit.past.table import Row, Table, decode_table, read_table

__all__ = [
    "BadRow",
    "Columns",
    "Entries",
    "Matched",
    "Row",
    "Table",
    "decode_table",
    "entries_of",
    "guess",
    "known_orders",
    "match",
    "read_columns",
    "read_table",
    "write_columns",
]
