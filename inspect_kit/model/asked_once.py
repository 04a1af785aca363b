"""By when a directive asks for something once, in its own words: a day, limits, or what nobody can compare."""

import datetime as dt
import re
from collections.abc import Iterator
from decimal import Decimal

from inspect_kit.model.checklist import Check, decimal
from inspect_kit.model.interval import CALENDAR_UNITS, METER_UNITS, SINGULAR, AtInspection, Limit, in_days
from inspect_kit.model.kinds.directive import Directive

MONTHS = (
    *("", "january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)

# How a directive says by when, besides its number and unit.
BY_WHEN = (
    r"(?i)^(?:within|by|before|prior to|at or before|on or before|not later than|no later than|in|at|during|the|next)"
    r"\s+"
)
WHICHEVER = r"(?i),? whichever (?:comes|occurs|is) (?:the )?(?:first|sooner|soonest|earlier|earliest)$"
FROM_WHEN = (
    r"(?i) (?:after|from|of|following|since) "
    r"(?:([0-9]{4}-[0-9]{2}-[0-9]{2})|(?:the )?(?:effective |issue )?date\b[^0-9]*)$"
)
IN_HOURS = (
    r"(?i)\b([0-9.]+) ?(?:flight |flying |operating |more )?(?:h|hrs?|hours?)\b"
    r"(?: (?:of )?(?:total time(?:[- ]in[- ]service)?|time[- ]in[- ]service|tis|flight(?: time)?|operation|flying))?"
)
# What stands between two of which the first one counts, not within `at or before`.
OR = r"(?i)(?<!\bat)(?<!\bon),? or "
AN_INSPECTION = r"(?i)(?:(?:scheduled|each|every) )?(\S+) inspection"
# The inspection of an amateur-built aircraft that a directive calls the annual one.
YEARLY = "condition"
UNIT_OF = {**{unit: unit for unit in (*METER_UNITS, *CALENDAR_UNITS)}, **{one: unit for unit, one in SINGULAR.items()}}
# More than any limit of an aircraft, and days that nobody means: as of every other limit and day.
MOST_USE, MOST_DAYS = Decimal(1_000_000), 200 * 366
FIRST_YEAR, LAST_YEAR = 1900, 2199


def asked_once(words: str, check: Check | None = None) -> dt.date | tuple[Limit, ...] | None:
    """The day or the limits of `by 30 June 2027`, `within 25 hours or 3 months, whichever is first`; None of words that
    give neither.

    An inspection with which a check comes is kept by it: of `within 25 h or at the next condition inspection` the hours
    are left, and nothing where only that is asked.
    """
    pieces = [piece for piece in _pieces(words) if not _comes_with(check, piece)]
    if not pieces:
        return () if words.strip() else None
    days = [day for piece in pieces if (day := _day(piece)) is not None]
    if days:
        return days[0] if len(pieces) == 1 else None
    limits = [_limit(re.sub(IN_HOURS, r"\1 h", piece)) for piece in pieces]
    return tuple(each for each in limits if each is not None) if None not in limits else None


def counted_from(words: str) -> dt.date | None:
    """The day from which such words say that they count, `within 30 days of 2027-01-15`; of several the first one."""
    found = (re.search(FROM_WHEN, piece) for piece in _split(words))
    return min((day for match in found if match and match[1] and (day := _day(match[1]))), default=None)


def _split(words: str) -> list[str]:
    """What is asked, the soonest of which counts: `25 h` and `3 months after 2027-01-15`."""
    plain = re.sub(WHICHEVER, "", " ".join(words.split()).rstrip(". "))
    return [piece.strip(" ,") for piece in re.split(OR, plain)]


def _pieces(words: str) -> Iterator[str]:
    """The same without what says only that it is a time, and from when it counts."""
    for piece in _split(words):
        plain = re.sub(FROM_WHEN, "", piece)
        while (bare := re.sub(BY_WHEN, "", plain)) != plain:
            plain = bare
        if plain:
            yield plain


def _comes_with(check: Check | None, piece: str) -> bool:
    """Whether words name nothing but an inspection with which a check comes."""
    match = re.fullmatch(AN_INSPECTION, piece)
    name = match[1].casefold() if match else ""
    names = {each.name.casefold() for each in check.every if isinstance(each, AtInspection)} if check else set()
    return bool(name) and (name in names or (name == "annual" and YEARLY in names))


def _day(words: str) -> dt.date | None:
    """`2027-06-30`, `30 June 2027` and `June 30, 2027`; None of any other words."""
    match = re.fullmatch(r"([0-9]{1,2}) ([A-Za-z]+),? ([0-9]{4})", words)
    if match is None and (named := re.fullmatch(r"([A-Za-z]+) ([0-9]{1,2}),? ([0-9]{4})", words)):
        match = re.fullmatch(r"([0-9]{1,2}) ([A-Za-z]+) ([0-9]{4})", f"{named[2]} {named[1]} {named[3]}")
    if match is not None:
        month = next((at for at, name in enumerate(MONTHS) if name and match[2].casefold() in (name, name[:3])), 0)
        words = f"{match[3]}-{month:02}-{int(match[1]):02}"
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

    Not so where it was done for good, is due at once, or at nothing but an inspection with which its check comes.
    """
    says_when = not record.once or record.says_done or record.asks_at_once
    return record.binds and not says_when and asked_once(record.once, check) is None
