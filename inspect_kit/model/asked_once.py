"""By when a directive asks for something once, in its own words: a day, limits, or what nobody can compare."""

import datetime as dt
import re
from decimal import Decimal

from inspect_kit.model.checklist import Check, decimal
from inspect_kit.model.interval import CALENDAR_UNITS, METER_UNITS, SINGULAR, AtInspection, Limit, in_days
from inspect_kit.model.kinds.directive import Directive

MONTHS = (
    *("", "january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)

# How a directive says by when, besides its number and unit.
BY_WHEN = r"(?i)^(?:within|by|before|prior to|at or before|on or before|not later than|no later than|in|the|next)\s+"
WHICHEVER = r"(?i),? whichever (?:comes|occurs|is) (?:the )?(?:first|sooner|soonest|earlier|earliest)$"
FROM_WHEN = (
    r"(?i) (?:after|from|of|following|since) "
    r"(?:[0-9]{4}-[0-9]{2}-[0-9]{2}|(?:the )?(?:effective |issue )?date\b[^0-9]*)$"
)
IN_HOURS = (
    r"(?i)\b([0-9.]+) ?(?:flight |flying |operating |more )?(?:h|hrs?|hours?)\b"
    r"(?: (?:of )?(?:total time(?:[- ]in[- ]service)?|time[- ]in[- ]service|tis|flight(?: time)?|operation|flying))?"
)
UNIT_OF = {**{unit: unit for unit in (*METER_UNITS, *CALENDAR_UNITS)}, **{one: unit for unit, one in SINGULAR.items()}}
# More than any limit of an aircraft, and days that nobody means: as of every other limit and day.
MOST_USE, MOST_DAYS = Decimal(1_000_000), 200 * 366
FIRST_YEAR, LAST_YEAR = 1900, 2199


def asked_once(words: str) -> dt.date | tuple[Limit, ...] | None:
    """The day or the limits of `by 30 June 2027`, `within 25 hours or 3 months, whichever is first`; None of words that
    give neither.
    """
    plain = " ".join(words.split()).rstrip(". ")
    for told in (WHICHEVER, FROM_WHEN):
        plain = re.sub(told, "", plain)
    while (bare := re.sub(BY_WHEN, "", plain)) != plain:
        plain = bare
    match = re.fullmatch(r"([0-9]{1,2}) ([A-Za-z]+),? ([0-9]{4})", plain)
    if match is None and (named := re.fullmatch(r"([A-Za-z]+) ([0-9]{1,2}),? ([0-9]{4})", plain)):
        match = re.fullmatch(r"([0-9]{1,2}) ([A-Za-z]+) ([0-9]{4})", f"{named[2]} {named[1]} {named[3]}")
    if match is not None:
        month = next((at for at, name in enumerate(MONTHS) if name and match[2].casefold() in (name, name[:3])), 0)
        plain = f"{match[3]}-{month:02}-{int(match[1]):02}" if month else plain
    if re.match(r"[0-9]{4}-", plain):
        return _day(plain)
    limits = [_limit(piece) for piece in re.sub(IN_HOURS, r"\1 h", plain).split(" or ")]
    return tuple(each for each in limits if each is not None) if None not in limits else None


def _day(words: str) -> dt.date | None:
    try:
        day = dt.datetime.strptime(words, "%Y-%m-%d").date()
    except ValueError:
        return None
    return day if FIRST_YEAR <= day.year <= LAST_YEAR else None


def _limit(words: str) -> Limit | None:
    """`25 h`, `3 months`, `25 h on hobbs`; None of what is no limit, or more than any of an aircraft."""
    match = re.fullmatch(r"([0-9.]+) ([a-z ]+?)(?: on (\S+))?", words.strip())
    unit = UNIT_OF.get(match[2]) if match else None
    amount = decimal(match[1]) if match else None
    if match is None or unit is None or amount is None:
        return None
    try:
        limit = Limit(number=amount, unit=unit, meter=match[3])
    except ValueError:
        return None
    return None if limit.number > MOST_USE or (limit.is_calendar and in_days(limit) > MOST_DAYS) else limit


def leaves_when_open(record: Directive, check: Check) -> bool:
    """Whether the words by which a directive that binds asks for something once give neither a day nor a limit.

    Not so where it was done for good, is due at once, or at an inspection with which its check comes.
    """
    with_it = any(isinstance(each, AtInspection) for each in check.every)
    told = with_it and "inspection" in record.once.casefold()
    says_when = told or not record.once or record.says_done or record.asks_at_once
    return record.binds and not says_when and asked_once(record.once) is None
