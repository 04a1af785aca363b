from inspect_kit.past.columns import Columns, MeterChanged, guess, known_orders, read_columns, write_columns
from inspect_kit.past.entries import BadRow, Entries, entries_of, is_initials, may_stand_for
from inspect_kit.past.match import Matched, Otherwise, entered_otherwise, match, still_otherwise
from inspect_kit.past.table import LogbookRow, LogbookTable, decode_table, read_table
from inspect_kit.past.typed import (
    parse_said_date,
    parse_said_label_date,
    parse_said_last_day,
    parse_said_number,
    parse_said_quantity,
    said_names,
    said_parts,
    said_units,
)

__all__ = [
    "BadRow",
    "Columns",
    "Entries",
    "LogbookRow",
    "LogbookTable",
    "Matched",
    "MeterChanged",
    "Otherwise",
    "decode_table",
    "entered_otherwise",
    "entries_of",
    "guess",
    "is_initials",
    "known_orders",
    "match",
    "may_stand_for",
    "parse_said_date",
    "parse_said_label_date",
    "parse_said_last_day",
    "parse_said_number",
    "parse_said_quantity",
    "read_columns",
    "read_table",
    "said_names",
    "said_parts",
    "said_units",
    "still_otherwise",
    "write_columns",
]
