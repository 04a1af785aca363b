"""Intervals that a regulation sets, by their paragraphs (14 CFR, read in the eCFR as issued in 2026)."""

import datetime as dt

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import written
from inspect_kit.rules import INTERVALS, interval_doubt
from inspect_kit.text.limits import parse_every

BY_RULE = {interval.citation.removeprefix("14 CFR "): interval for interval in INTERVALS}


@pytest.mark.parametrize(
    ("rule", "every"),
    [
        ("91.411(a)(1)", "24 calendar months"),
        ("91.413(a)", "24 calendar months"),
        ("91.207(d)", "12 calendar months"),
        ("91.207(c)", "1 h"),
        ("91.207(f)(10)", "90 days"),
        ("91.171", "30 days"),
        ("47.40", "7 years"),
    ],
)
def test_regulatory_interval(rule: str, every: str) -> None:
    assert written(BY_RULE[rule].every) == every


@pytest.mark.parametrize(
    ("rule", "done", "due"),
    [
        # A day in the month does not matter, and the period ends with the month (91.411, 91.413).
        ("91.411(a)(1)", dt.date(2025, 8, 15), dt.date(2027, 8, 31)),
        ("91.413(a)", dt.date(2026, 2, 3), dt.date(2028, 2, 29)),
        # Plain days, never calendar months (91.171, 91.207(f)).
        ("91.171", dt.date(2026, 2, 10), dt.date(2026, 3, 12)),
        ("91.171", dt.date(2028, 2, 10), dt.date(2028, 3, 11)),
        ("91.207(f)(10)", dt.date(2026, 6, 1), dt.date(2026, 8, 30)),
    ],
)
def test_regulatory_due_date(rule: str, done: dt.date, due: dt.date) -> None:
    [limit] = BY_RULE[rule].every
    assert not isinstance(limit, str)
    assert limit.due_date(done) == due


def test_every_interval_has_a_citation() -> None:
    assert all(interval.citation and interval.condition for interval in INTERVALS)


def check(every: str, source: str) -> Check:
    return Check(id="x", panel="p", text="x", every=parse_every(every), source=source, place=Place("c.md", 1))


@pytest.mark.parametrize(
    ("every", "source"),
    [
        ("36 calendar months", "14 CFR 91.411, part 43 appendix E"),
        ("25 calendar months", "14 CFR 91.413(a)"),
        ("2 years", "14 CFR 91.207(d)"),
        ("1 months", "14 CFR 91.171"),
        ("100 h or 30 calendar months", "14 CFR 91.411"),
    ],
)
def test_an_interval_longer_than_its_rule_is_doubted(every: str, source: str) -> None:
    assert source.partition("(")[0].removeprefix("14 CFR ")[:6] in interval_doubt(check(every, source))


@pytest.mark.parametrize(
    ("every", "source"),
    [
        ("24 calendar months", "14 CFR 91.411, part 43 appendix E"),
        ("12 calendar months", "14 CFR 91.411"),
        ("24 months", "14 CFR 91.413"),
        ("12 calendar months", "14 CFR 91.207(d)"),
        ("30 days", "14 CFR 91.171"),
        ("as marked", "14 CFR 47.40"),
        ("60 months", "common practice"),
        # The section alone does not say which of its intervals is meant.
        ("5 years", "14 CFR 91.207"),
    ],
)
def test_an_interval_within_its_rule_is_not(every: str, source: str) -> None:
    assert interval_doubt(check(every, source)) == ""
