"""Intervals that a regulation sets, each with its citation. Makers and operating limitations may ask for more."""

import datetime as dt
from decimal import Decimal

from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import CALENDAR_MONTHS, DAYS, HOURS, YEARS, Limit, written
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class RegulatoryInterval:
    """What is due, within which limits (whichever comes first), on which occasion or condition, by which rule."""

    subject: str
    every: tuple[Limit, ...]
    condition: str
    citation: str


def _limit(number: int, unit: str) -> Limit:
    return Limit(number=Decimal(number), unit=unit)


INTERVALS = (
    RegulatoryInterval(
        subject="condition inspection",
        every=(_limit(12, CALENDAR_MONTHS),),
        condition="as the aircraft's operating limitations say; no grace",
        citation="operating limitations; 14 CFR 91.319(i)",
    ),
    RegulatoryInterval(
        subject="static system, altimeter and automatic altitude reporting",
        every=(_limit(24, CALENDAR_MONTHS),),
        condition="flight by instrument rules in controlled airspace",
        citation="14 CFR 91.411(a)(1)",
    ),
    RegulatoryInterval(
        subject="static system leak test",
        every=(),
        condition="after the static system was opened and closed, drains and alternate valves aside",
        citation="14 CFR 91.411(a)(2)",
    ),
    RegulatoryInterval(
        subject="transponder",
        every=(_limit(24, CALENDAR_MONTHS),),
        condition="whenever a transponder is used",
        citation="14 CFR 91.413(a)",
    ),
    RegulatoryInterval(
        subject="emergency locator transmitter, inspection",
        every=(_limit(12, CALENDAR_MONTHS),),
        condition="installation, battery corrosion, controls and crash sensor, radiated signal",
        citation="14 CFR 91.207(d)",
    ),
    RegulatoryInterval(
        subject="emergency locator transmitter, battery",
        every=(_limit(1, HOURS),),
        condition="more than one hour of use altogether, or half the useful life that its maker set: the date is "
        "marked on the transmitter",
        citation="14 CFR 91.207(c)",
    ),
    RegulatoryInterval(
        subject="emergency locator transmitter, taken out",
        every=(_limit(90, DAYS),),
        condition="flight without it, with an entry and a placard",
        citation="14 CFR 91.207(f)(10)",
    ),
    RegulatoryInterval(
        subject="VOR receiver check",
        every=(_limit(30, DAYS),),
        condition="flight by instrument rules with VOR",
        citation="14 CFR 91.171",
    ),
    RegulatoryInterval(
        subject="registration certificate",
        every=(_limit(7, YEARS),),
        condition="counted from the last day of the month of issue; the certificate is marked with its date",
        citation="14 CFR 47.40",
    ),
)


# What a rule that gives grace gives it for.
GRACE = (("91.409(b)", "only to reach a place where the inspection can be done"),)


def grace_purpose(source: str, grace: tuple[tuple[str, str], ...] = GRACE) -> str:
    """What the source of a check allows its grace for, in words that follow "in grace until DATE"."""
    if not source:
        return "no source on record says what for"
    return next((purpose for rule, purpose in grace if rule in source), f"only as its source allows ({source})")


# Any day will do to compare two calendar limits; one early in a long month favours neither kind.
_ANCHOR = dt.date(2025, 1, 1)


def interval_doubt(check: Check, intervals: tuple[RegulatoryInterval, ...] = INTERVALS) -> str:
    """In a sentence, why the interval of a check seems longer than the rule that its source names; "" if it does not.

    Only calendar limits are compared; a check that is due as marked, or that has no interval of its own, raises none.
    """
    rule = _named(check.source, intervals)
    own = [term.due_date(_ANCHOR) for term in check.every if isinstance(term, Limit) and term.is_calendar]
    if rule is None or not own or check.retired is not None:
        return ""
    if min(own) <= min(limit.due_date(_ANCHOR) for limit in rule.every):
        return ""
    return (
        f"{check.id}: {written(check.every)} is longer than {written(rule.every)} ({rule.citation}, {rule.condition})"
    )


def _named(source: str, intervals: tuple[RegulatoryInterval, ...]) -> RegulatoryInterval | None:
    """The rule that a source names: to the paragraph, or by its section where only one interval stands there."""
    dated = [each for each in intervals if any(limit.is_calendar for limit in each.every)]
    exact = [each for each in dated if each.citation in source]
    if exact:
        return exact[0]
    section = [each for each in dated if "CFR" in each.citation and each.citation.partition("(")[0] in source]
    return section[0] if len(section) == 1 else None
