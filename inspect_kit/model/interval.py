"""Limits by meter and by calendar, and the units of both. The only door to dateutil."""

import calendar
import datetime as dt
from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Final

from dateutil.relativedelta import relativedelta

from inspect_kit.noun import dataclass

HOURS: Final = "h"
DAYS: Final = "days"
MONTHS: Final = "months"
YEARS: Final = "years"
CALENDAR_MONTHS: Final = "calendar months"
# Nothing on a light aircraft is dated further ahead, and none has flown longer (common practice, no source): batteries
# of transmitters have 5 to 10 years, parachutes 10 to 12, bottles 12, hoses up to 8.
MOST_YEARS: Final = 40
# What a part carries: 12 years at most, and a rescue system 25 (common practice, no source).
MOST_MARKED: Final = 25


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterUnit:
    """What a meter counts: its word, and the word for one of them; all that is peculiar to it stands here.

    `smallest` is the step in which totals are told. `soon`: an item counts as soon with so much left. More than
    `most_a_day` (or a multiple of the usual use) is asked back; `a_year` is usual where little was read yet. What is
    guarded is never pulled forward by more than `given_away`. No aircraft of this kind comes to `most_ever` (40 years
    of 1,250 h). More than `on_ground` was flown, ground runs and taxiing included; None where it may all have been on
    the ground. The figures are common practice, no source.
    """

    word: str
    one: str
    smallest: Decimal = Decimal(1)
    soon: Decimal = Decimal(10)
    most_a_day: float = 30.0
    a_year: int = 240
    given_away: Decimal = Decimal(50)
    most_ever: Decimal = Decimal(200_000)
    on_ground: Decimal | None = None


UNITS: Final[Mapping[str, MeterUnit]] = {
    unit.word: unit
    for unit in (
        MeterUnit(
            word=HOURS,
            one=HOURS,
            smallest=Decimal("0.1"),
            most_a_day=10.0,
            a_year=60,
            given_away=Decimal(25),
            most_ever=Decimal(50_000),
            on_ground=Decimal(5),
        ),
        MeterUnit(word="landings", one="landing", on_ground=Decimal(0)),
        MeterUnit(word="cycles", one="cycle"),
    )
}
METER_UNITS: Final = tuple(UNITS)
CALENDAR_UNITS: Final = (DAYS, MONTHS, YEARS, CALENDAR_MONTHS)

# What a life counts from: the part's first fitting, its making, or its last overhaul.
FROM_FITTED: Final = "fitted"
FROM_MADE: Final = "made"
FROM_OVERHAUL: Final = "overhaul"
STARTS: Final = (FROM_FITTED, FROM_MADE, FROM_OVERHAUL)

# About how many days each is.
DAYS_OF: Final = {DAYS: 1.0, MONTHS: 30.4375, CALENDAR_MONTHS: 30.4375, YEARS: 365.25}

# What people write in the singular.
SINGULAR: Final = {unit.word: unit.one for unit in UNITS.values()} | {
    DAYS: "day",
    MONTHS: "month",
    YEARS: "year",
    CALENDAR_MONTHS: "calendar month",
}


def so_many(value: Decimal | int, unit: str | None) -> str:
    """`12.5 h`, `3 landings`, `1 landing`, `1 day`."""
    word = unit or ""
    return f"{Decimal(value):f} {SINGULAR.get(word, word) if value == 1 else word}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """An amount of use or of time, such as `50 h`, `4 months` or `500 h on hobbs`.

    `number` is exact. Calendar units take whole numbers. `meter` is the meter named by `on`; without one a limit in
    hours counts on the meter that stands for time in service, one in another unit on the only meter of that unit.
    `start` is what a life counts from (one of STARTS); every other limit says its own beginning.
    """

    number: Decimal
    unit: str
    meter: str | None = None
    start: str = FROM_FITTED

    def __post_init__(self) -> None:
        if self.unit not in METER_UNITS + CALENDAR_UNITS:
            raise ValueError(f"`{self.unit}` is no unit of a limit")
        if self.start not in STARTS:
            raise ValueError(f"a limit counts from {', '.join(STARTS)}, not from `{self.start}`")
        if not self.number.is_finite() or self.number <= 0:
            raise ValueError("a limit is more than zero")
        if self.is_calendar and self.number != self.number.to_integral_value():
            raise ValueError(f"{self.unit} take a whole number")
        if self.is_calendar and self.meter is not None:
            raise ValueError(f"{self.unit} count on no meter: only {', '.join(METER_UNITS)} do")

    @property
    def is_calendar(self) -> bool:
        return self.unit in CALENDAR_UNITS

    @property
    def never_comes(self) -> bool:
        """Whether it is more than anybody lives to see, or any aircraft of this kind comes to."""
        if not self.is_calendar:
            return self.number > UNITS[self.unit].most_ever
        try:
            return self.due_date(dt.date(2000, 1, 1)) > dt.date(2000 + MOST_YEARS, 1, 31)
        except OverflowError:
            return True

    def outlasts(self, others: Iterable["Limit"]) -> bool:
        """Whether it is as long as one of these in the same unit: no grace may be."""
        return any(self.unit == other.unit and self.number >= other.number for other in others)

    def due_date(self, anchor: dt.date) -> dt.date:
        """The last day on which it is not past due, for a calendar limit counted from `anchor`.

        `12 calendar months` ends on the last day of the month, `12 months` on the same day of the month or its last.
        Months are always counted from the anchor, never stepped: 31 January + 2 months is 31 March.
        Source: 14 CFR 91.409, 91.411, 91.413 ("within the preceding 24 calendar months"); 91.171 (plain days).
        A date past the year 9999 raises OverflowError.
        """
        amount = int(self.number)
        try:
            if self.unit == DAYS:
                return anchor + dt.timedelta(days=amount)
            if self.unit == YEARS:
                return anchor + _months(12 * amount)
            moved = anchor + _months(amount)
        except (ValueError, OverflowError) as reason:
            raise OverflowError(f"{self} from {anchor} is past the end of the calendar") from reason
        if self.unit == CALENDAR_MONTHS:
            return moved.replace(day=calendar.monthrange(moved.year, moved.month)[1])
        if self.unit == MONTHS:
            return moved
        raise ValueError(f"{self} counts on a meter, not on the calendar")

    def before(self, day: dt.date) -> dt.date:
        """The same time before a day: 2 months before 30 April is the last day of February."""
        amount = int(self.number)
        if self.unit == DAYS:
            return day - dt.timedelta(days=amount)
        return day - _months(12 * amount if self.unit == YEARS else amount)

    def __str__(self) -> str:
        unit = SINGULAR.get(self.unit, self.unit) if self.number == 1 else self.unit
        on = f" on {self.meter}" if self.meter else ""
        start = f" from {self.start}" if self.start != FROM_FITTED else ""
        return f"{self.number} {unit}{on}{start}"


def in_days(limit: Limit) -> float:
    """About how many days a limit of the calendar is."""
    return float(limit.number) * DAYS_OF[limit.unit]


# The same few amounts are counted from a thousand days.
@lru_cache(maxsize=64)
def _months(amount: int) -> relativedelta:
    return relativedelta(months=amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class AtInspection:
    """A term `NAME inspection`: whenever that inspection is due."""

    name: str

    def __str__(self) -> str:
        return f"{self.name} inspection"


@dataclass(frozen=True, slots=True, kw_only=True)
class AsMarked:
    """A term `as marked`: the part itself carries its next date."""

    def __str__(self) -> str:
        return "as marked"


Term = Limit | AtInspection | AsMarked


def written(terms: tuple[Term, ...]) -> str:
    """The terms as a checklist writes them: `100 h or condition inspection`."""
    return " or ".join(str(term) for term in terms)


def may_be_marked(until: dt.date, day: dt.date) -> bool:
    """Whether a part can carry that date on a day: one for a lifetime has a slip in its year."""
    return until.year - day.year <= MOST_MARKED
