"""Dates and numbers as people type them in logbooks.

    date    Y-M-D | D-M-Y | M-D-Y | D Month Y | Month D Y, parted by - . / , or blanks; a day of the week before it and
            a time of midnight behind it are passed over; a year of two digits never comes first, and is the latest one
            that is not in the future
    number  digits, with a point or a comma for the decimals, the other one, a blank or an apostrophe between thousands;
            a unit of hours behind it is passed over
"""

import calendar
import contextlib
import datetime as dt
import re
from collections.abc import Iterable
from decimal import Decimal

from inspect_kit.model.checklist import decimal
from inspect_kit.model.quantity import Quantity
from inspect_kit.text.grammar import Unreadable, parse_date, parse_label_date, parse_number, said_decimals
from inspect_kit.text.quantities import parse_quantity

YEAR_FIRST, DAY_FIRST, MONTH_FIRST = "year first", "day first", "month first"
ORDERS = (DAY_FIRST, MONTH_FIRST, YEAR_FIRST)
POINT, COMMA = "point", "comma"
MONTHS = (
    *("january", "february", "march", "april", "may", "june", "july"),
    *("august", "september", "october", "november", "december"),
)
# What a refusal names besides DATE.
OTHER_FORMS = "31.5.2026, 31 May 2026 or May 31, 2026"
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
PLACES = {YEAR_FIRST: (0, 1, 2), DAY_FIRST: (2, 1, 0), MONTH_FIRST: (2, 0, 1)}


def parse_typed_date(cell: str, order: str, today: dt.date) -> dt.date:
    """The day that a cell names; Unreadable if it names none in that order."""
    words = re.sub(r"[ T]0{1,2}:00(:00(\.0+)?)?$", "", cell).replace(",", " ")
    parts = [part for part in re.split(r"[\s./\-]+", words) if part]
    if parts and parts[0][:3].lower() in WEEKDAYS and parts[0].isalpha():
        parts = parts[1:]
    if len(parts) == 1 and re.fullmatch(r"[1-9][0-9]{4}", parts[0]):
        raise Unreadable(f"`{cell}` is the number by which a spreadsheet counts days: give the column a date format")
    if len(parts) != 3:
        raise Unreadable(f"`{cell[:40]}` is no date" if cell else "has no date")
    named = [place for place, part in enumerate(parts) if part.isalpha()]
    if len(named) == 1:
        month = _month(parts.pop(named[0]), cell)
        year_first = len(parts[0]) == 4
        day, year = (parts[1], parts[0]) if year_first else (parts[0], parts[1])
        day = re.sub(r"(?<=[0-9])(st|nd|rd|th)$", "", day)
    elif named or not all(re.fullmatch("[0-9]{1,4}", part) for part in parts):
        raise Unreadable(f"`{cell[:40]}` is no date")
    else:
        order = YEAR_FIRST if len(parts[0]) == 4 else order
        if order == YEAR_FIRST and len(parts[0]) != 4:
            raise Unreadable(f"`{cell[:40]}` does not begin with a year of four digits")
        year, month, day = (parts[place] for place in PLACES[order])
    return _day(year, month, day, cell, today)


def parse_said_date(words: str, today: dt.date) -> dt.date:
    """The day that a person types: DATE, or any form above with a year of four digits, if it can be one day only."""
    try:
        return parse_date(words)
    except Unreadable as plain:
        whole = re.search(r"(?<![0-9])[0-9]{4}(?![0-9])", words)
        days = sorted({day for order in ORDERS if (day := _or_none(words, order, today)) is not None})
        if whole is None:
            raise Unreadable(f"`{words}`: write the year in four digits" if days else plain.message) from None
        if len(days) == 1:
            return days[0]
        if not days:
            raise Unreadable(f"{plain.message}; {OTHER_FORMS} would do too") from None
        raise Unreadable(f"`{words}` is {' or '.join(map(str, days))}: write the one that is meant") from None


# What people call the units that files write in one way.
SAID_UNITS = {
    r"hours?|hrs?": "h",
    r"lbs|pounds?": "lb",
    r"kgs|kilos?|kilograms?": "kg",
    r"inches|inch": "in",
}


def said_units(words: str) -> str:
    """Limits and weights as a person types them, `50 hours` and `50h`, with their units as files have them."""
    # Before its unit a number with a comma is one, wherever it stands.
    words = re.sub(r"(?<![0-9.,])([0-9]+),([0-9]{1,2})(?= ?[a-z])", r"\1.\2", said_decimals(words))
    for said, unit in SAID_UNITS.items():
        words = re.sub(rf"(?<=[0-9]) ?(?:{said}|{unit})\b\.?", f" {unit}", words)
    return words


def parse_said_number(words: str) -> Decimal:
    """NUMBER, with a decimal comma too."""
    return parse_number(said_decimals(words))


def parse_said_quantity(measure: str, unit: str, words: str) -> Quantity:
    """A quantity as a person types it; a number alone is in `unit`, where there is one."""
    words = said_decimals(words)
    alone = bool(unit) and decimal(words) is not None
    return parse_quantity(measure)(f"{words} {unit}" if alone else said_units(words))


def said_names(words: str) -> list[str]:
    """Names as a person lists them, with commas, semicolons or `and` between."""
    parted = re.split(r"[,;]|\s(?:and|&)\s", words, flags=re.IGNORECASE)
    # After a comma `and` parts nothing more.
    bare = (re.sub(r"^and\s", "", each.strip(), flags=re.IGNORECASE) for each in parted)
    return [name for each in bare if (name := " ".join(each.split()))]


def said_parts(words: str) -> str:
    """Parts used as a person lists them, `1 oil filter, 5qt engine oil`, with semicolons between: a comma before an
    amount parts two where every piece begins with one and goes on as a name."""
    # The comma of an amount parts nothing.
    words = re.sub(r"(?<![0-9.,])([0-9]+),([0-9]{1,2})(?= *(?:qt|l|gal|ml|oz|kg|g|lb|ft|m)\b)", r"\1.\2", words)
    pieces = [words] if ";" in words else re.split(r",\s*(?=[0-9])|\s+and\s+(?=[0-9])", words)
    if len(pieces) > 1 and not all(re.match(r"\s*[0-9].*[^\W\d_]{3}", piece) for piece in pieces):
        pieces = [words]
    return "; ".join(re.sub(r"^([0-9./]+)(qt|l|gal|ml|oz)\b", r"\1 \2", piece.strip()) for piece in pieces)


def parse_said_label_date(words: str, today: dt.date) -> dt.date:
    """The day that a label says, as typed; a month alone is its first day, so that nothing lasts longer by it."""
    try:
        return parse_label_date(_month_alone(words) or words)
    except Unreadable:
        return parse_said_date(words, today)


def parse_said_last_day(words: str, today: dt.date) -> dt.date:
    """Until when something is good. A month alone has no day, and nobody guesses which is meant."""
    if month := _month_alone(words):
        last = calendar.monthrange(*map(int, month.split("-")))[1]
        raise Unreadable(f"`{words}` has no day: {month}-{last} is its last, {month}-01 the safe one")
    return parse_said_date(words, today)


def _month_alone(words: str) -> str:
    """`2030-05` of a month as it stands on a part: 2030-05, 05/2030, 5.2030, May 2030; "" for anything else."""
    if match := re.fullmatch(r"([0-9]{4})[-/.](0?[1-9]|1[0-2])|(0?[1-9]|1[0-2])[-/.]([0-9]{4})", words):
        year, month = match[1] or match[4], match[2] or match[3]
        return f"{year}-{int(month):02d}"
    if match := re.fullmatch(r"([A-Za-z]{3,}).?[ -]+([0-9]{4})", words):
        with contextlib.suppress(Unreadable):
            return f"{match[2]}-{int(_month(match[1], words)):02d}"
    return ""


def _month(word: str, cell: str) -> str:
    meant = [number for number, name in enumerate(MONTHS, 1) if len(word) >= 3 and name.startswith(word.lower())]
    if word.lower() == "sept":
        meant = [9]
    if len(meant) != 1:
        raise Unreadable(f"`{cell[:40]}`: no month is called `{word}`")
    return str(meant[0])


def _day(year: str, month: str, day: str, cell: str, today: dt.date) -> dt.date:
    if not (year.isdecimal() and day.isdecimal()) or len(day) > 2 or len(month) > 2 or len(year) not in (2, 4):
        raise Unreadable(f"`{cell[:40]}` is no date")
    if len(year) == 2:
        century = today.year // 100 * 100
        ahead = (century + int(year), int(month)) > (today.year, today.month)
        year = str(century + int(year) - (100 if ahead else 0))
    try:
        return parse_date(f"{year}-{int(month):02d}-{int(day):02d}")
    except Unreadable:
        raise Unreadable(f"`{cell[:40]}` is a day that does not exist") from None


# What parts day and month: a logbook in which two of them stand may be of two hands, each with an order of its own.
SIGNS = {"/": "slash", ".": "dot", "-": "hyphen"}


def sign_of(cell: str) -> str:
    """The name of the sign that parts the numbers of a date; "" where a blank or a month in words does."""
    return next((SIGNS[each] for each in cell if each in SIGNS), "")


def orders_of(cells: Iterable[str], today: dt.date) -> list[str]:
    """The orders in which the most of these dates are days: one where they tell, several where they do not."""
    count = dict.fromkeys(ORDERS, 0)
    differ = False
    for cell in cells:
        days = {order: _or_none(cell, order, today) for order in ORDERS}
        for order, day in days.items():
            count[order] += day is not None
        differ = differ or len(set(days.values())) > 1
    if not differ:
        return [YEAR_FIRST]
    best = max(count.values())
    return [order for order in ORDERS if count[order] == best]


def _or_none(cell: str, order: str, today: dt.date) -> dt.date | None:
    try:
        return parse_typed_date(cell, order, today)
    except Unreadable:
        return None


def parse_typed_number(cell: str, decimals: str) -> Decimal:
    """The number in a cell; Unreadable if it is none with that sign for decimals."""
    digits = re.sub(r"\s*(h|hr|hrs|hours?)\.?$", "", cell, flags=re.IGNORECASE)
    sign, other = (".", ",") if decimals == POINT else (",", ".")
    grouped = rf"[0-9]{{1,3}}(?:[ '’{re.escape(other)}][0-9]{{3}})+|[0-9]+"
    if not re.fullmatch(rf"(?:{grouped})(?:{re.escape(sign)}[0-9]+)?", digits):
        if ":" in cell:
            raise Unreadable(f"`{cell[:40]}` is hours and minutes: write it as a decimal")
        raise Unreadable(f"`{cell[:40]}` is no number with a decimal {decimals}")
    return parse_number(re.sub(rf"[ '’{re.escape(other)}]", "", digits).replace(",", "."))


def decimals_of(cells: Iterable[str]) -> list[str]:
    """The signs for decimals with which the most of these numbers can be read, and which give different ones."""
    count, differ = {POINT: 0, COMMA: 0}, False
    for cell in cells:
        read: dict[str, Decimal | None] = {}
        for sign in count:
            try:
                read[sign] = parse_typed_number(cell, sign)
            except Unreadable:
                read[sign] = None
            count[sign] += read[sign] is not None
        differ = differ or read[POINT] != read[COMMA]
    best = max(count.values())
    return [sign for sign in count if count[sign] == best] if differ else [POINT]
