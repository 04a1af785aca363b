"""Limits as they are written: `50 h`, `12 calendar months`, `100 h or condition inspection`.

    every = term { " or " term }            term = limit | NAME " inspection" | "as marked"
    once  = limits | DATE                   limits = limit { " or " limit }
    life  = lived { " or " lived }          lived = limit [ " from " ( "fitted" | "made" | "overhaul" ) ]
    first = limit { "," limit }
    limit = NUMBER " " unit [ " on " METER ]
    unit  = "h" | "landings" | "cycles" | "days" | "months" | "years" | "calendar months", singular too
"""

import datetime as dt
import re
from dataclasses import replace

from inspect_kit.model.checklist import decimal
from inspect_kit.model.interval import (
    CALENDAR_UNITS,
    FROM_FITTED,
    METER_UNITS,
    SINGULAR,
    STARTS,
    AsMarked,
    AtInspection,
    Limit,
    Term,
)
from inspect_kit.text.grammar import (
    ID_PATTERN,
    Unreadable,
    did_you_mean,
    parse_at,
    parse_date,
    parse_id,
    parse_list,
    split_at,
)

UNITS = METER_UNITS + CALENDAR_UNITS
FULL_UNIT = {**{unit: unit for unit in UNITS}, **{one: unit for unit, one in SINGULAR.items()}}
# What is typed for them, and can be nothing else.
SAID_UNIT = {"hour": "h", "hours": "h"}
# Years of a calendar limit, so much use of another: more than any part lasts. It keeps due dates in the calendar.
MOST_YEARS = 200
MOST_USE = 1_000_000
PER_YEAR = {"days": 366, "months": 12, "years": 1, "calendar months": 12}


def parse_limit(value: str) -> Limit:
    """limit = NUMBER " " unit [ " on " METER ]

    unit = "h" | "landings" | "cycles" | "days" | "months" | "years" | "calendar months", singular too
    """
    words = value.split()
    number = words[0] if words else ""
    amount = decimal(number)
    if amount is None:
        raise Unreadable(f"expected a limit such as `50 h` or `12 calendar months`, not `{value[:60]}`", 0, len(number))
    meter = words[-1] if len(words) >= 4 and words[-2] == "on" else None
    unit = " ".join(words[1:-2] if meter is not None else words[1:])
    unit = SAID_UNIT.get(unit, unit)
    if not unit:
        raise Unreadable(f"`{number}` needs a unit: {', '.join(UNITS)}", 0, len(number))
    if " from " in f" {unit} ":
        raise Unreadable("only a `life` counts `from` something", value.index(" from") + 1, len(value))
    if unit not in FULL_UNIT:
        start = value.index(words[1], len(number))
        end = value.rindex(" on ") if meter is not None and " on " in value else len(value)
        hint = did_you_mean(unit, FULL_UNIT)
        raise Unreadable(f"`{unit[:40]}` is no unit of a limit{hint}", start, len(value[:end].rstrip()))
    if meter is not None:
        parse_at(parse_id, meter, len(value) - len(meter))
    try:
        limit = Limit(number=amount, unit=FULL_UNIT[unit], meter=meter)
    except ValueError as reason:
        raise Unreadable(str(reason), 0, len(value)) from None
    if limit.number > (MOST_YEARS * PER_YEAR[limit.unit] if limit.is_calendar else MOST_USE):
        raise Unreadable("is more than any limit of an aircraft", 0, len(value))
    return limit


def parse_limits(value: str) -> tuple[Limit, ...]:
    """limits = limit { " or " limit }: whichever comes first"""
    return tuple(parse_at(parse_limit, piece, offset) for piece, offset in split_at(value, " or "))


def parse_life(value: str) -> tuple[Limit, ...]:
    """life = lived { " or " lived }; lived = limit [ " from " ( "fitted" | "made" | "overhaul" ) ]

    One `from` counts for its limit and for those before it that have none of their own.
    """
    found: list[Limit] = []
    told: str | None = None
    for piece, offset in reversed(split_at(value, " or ")):
        head, _, start = piece.rpartition(" from ")
        if head:
            parse_at(_start, start.strip(), offset + piece.rindex(start))
            told = start.strip()
        limit = parse_at(parse_limit, (head or piece).rstrip(), offset)
        found.append(replace(limit, start=told or FROM_FITTED))
    return tuple(reversed(found))


def _start(word: str) -> str:
    if word not in STARTS:
        told = f"expected `from fitted`, `from made` or `from overhaul`, not `from {word[:40]}`"
        raise Unreadable(f"{told}{did_you_mean(word, STARTS)}", 0, len(word))
    return word


def parse_every(value: str) -> tuple[Term, ...]:
    """every = term { " or " term }; term = limit | NAME " inspection" | "as marked" """

    def term(piece: str) -> Term:
        if piece == "as marked":
            return AsMarked()
        if re.fullmatch(ID_PATTERN, piece):
            told = f"expected a limit such as `50 h`, or an inspection such as `condition inspection`, not `{piece}`"
            raise Unreadable(told, 0, len(piece))
        match = re.fullmatch(rf"({ID_PATTERN}) inspection", piece)
        return AtInspection(name=match.group(1)) if match else parse_limit(piece)

    return tuple(parse_at(term, piece, offset) for piece, offset in split_at(value, " or "))


def parse_first(value: str) -> tuple[Limit, ...]:
    """first = limit { "," limit }: the first limits one after another, each counted from the fitting or the trigger"""
    return tuple(parse_at(parse_limit, word, offset) for word, offset in parse_list(value))


def parse_once(value: str) -> tuple[Limit, ...] | dt.date:
    """once = limits | DATE"""
    return parse_date(value) if re.match(r"[0-9]{4}-", value) else parse_limits(value)
