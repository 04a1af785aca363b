"""Dates and hours of the rules, each with its source.

Calendar months: FAA practice, "within the preceding N calendar months" (14 CFR 91.409, 91.411, 91.413): a period runs
to the last day of the month. Plain days: 14 CFR 91.171 (30 days), 91.207(f)(10) (90 days).
"""

import datetime as dt
import json
import re
from decimal import Decimal
from pathlib import Path

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import DAILY, MONTHLY, rrule

from inspect_kit.model.interval import Limit
from tests.cli.conftest import Run, calm, hangar, run  # noqa: F401

CALENDAR_MONTHS = [
    ("2026-03-01", 12, "2027-03-31"),
    ("2026-03-31", 12, "2027-03-31"),
    ("2027-02-01", 12, "2028-02-29"),
    ("2027-02-28", 12, "2028-02-29"),
    ("2028-02-29", 12, "2029-02-28"),
    ("2024-02-29", 12, "2025-02-28"),
    ("2026-02-03", 24, "2028-02-29"),
    ("2025-08-15", 24, "2027-08-31"),
    ("2026-12-31", 12, "2027-12-31"),
    ("2026-11-30", 3, "2027-02-28"),
    ("2026-04-03", 12, "2027-04-30"),
    ("2024-03-14", 12, "2025-03-31"),
    ("2023-02-10", 12, "2024-02-29"),
    ("2024-03-14", 24, "2026-03-31"),
]
PLAIN_DAYS = [
    ("2026-02-10", 30, "2026-03-12"),  # 14 CFR 91.171
    ("2028-02-10", 30, "2028-03-11"),
    ("2026-06-01", 90, "2026-08-30"),  # 14 CFR 91.207(f)(10)
    ("2024-01-15", 30, "2024-02-14"),
]


@pytest.mark.parametrize(("done", "months", "due"), CALENDAR_MONTHS)
def test_calendar_months_run_to_the_end_of_the_month(done: str, months: int, due: str) -> None:
    limit = Limit(number=Decimal(months), unit="calendar months")
    assert limit.due_date(dt.date.fromisoformat(done)) == dt.date.fromisoformat(due)


@pytest.mark.parametrize(("done", "days", "due"), PLAIN_DAYS)
def test_plain_days_are_never_calendar_months(done: str, days: int, due: str) -> None:
    limit = Limit(number=Decimal(days), unit="days")
    assert limit.due_date(dt.date.fromisoformat(done)) == dt.date.fromisoformat(due)


def test_months_are_counted_from_the_anchor_never_stepped() -> None:
    """dateutil's documented behaviour: 2024-01-31 + 1 month + 1 month = 03-29, but + 2 months = 03-31."""
    start = dt.date(2024, 1, 31)
    assert start + relativedelta(months=1) + relativedelta(months=1) == dt.date(2024, 3, 29)
    assert Limit(number=Decimal(2), unit="months").due_date(start) == dt.date(2024, 3, 31)


DAYS = [day.date() for day in rrule(DAILY, dtstart=dt.datetime(2000, 1, 1), until=dt.datetime(2040, 12, 31))]


def test_every_day_of_forty_years_was_walked() -> None:
    assert len(DAYS) == 14976  # 41 years of 365 days and 11 leap days: 2000, 2004, ... 2040


@pytest.mark.parametrize("months", [3, 4, 12, 24])
def test_calendar_months_against_rrule(months: int) -> None:
    """dateutil's rrule, BYMONTHDAY=-1: the last day of the month that lies N months on (RFC 5545)."""
    last_days = [
        day.date()
        for day in rrule(MONTHLY, bymonthday=-1, dtstart=dt.datetime(2000, 1, 1), until=dt.datetime(2045, 1, 1))
    ]
    place = {(day.year, day.month): index for index, day in enumerate(last_days)}
    limit = Limit(number=Decimal(months), unit="calendar months")
    for day in DAYS:
        assert limit.due_date(day) == last_days[place[day.year, day.month] + months]


@pytest.mark.parametrize("months", [1, 2, 3, 4, 6, 12, 24, 36])
def test_months_against_rrule(months: int) -> None:
    """RFC 5545 by rrule: the same day N months on; BYSETPOS=-1 over days 28 to the day itself gives its last."""
    limit = Limit(number=Decimal(months), unit="months")
    for day in DAYS[::7] + DAYS[30::31]:
        days = list(range(28, day.day + 1)) if day.day > 28 else [day.day]
        rule = rrule(
            MONTHLY,
            interval=months,
            count=2,
            bymonthday=days,
            bysetpos=-1,
            dtstart=dt.datetime(day.year, day.month, day.day),
        )
        assert limit.due_date(day) == rule[1].date()


@pytest.mark.parametrize("years", [1, 2, 5, 7])
def test_a_year_is_twelve_months(years: int) -> None:
    one, other = Limit(number=Decimal(years), unit="years"), Limit(number=Decimal(12 * years), unit="months")
    for day in [*DAYS[::11], dt.date(2000, 2, 29), dt.date(2024, 2, 29)]:
        assert one.due_date(day) == other.due_date(day)


def hundred_hours(hangar: Path, *done: str) -> Path:  # noqa: F811
    """An item of 100 h with 10 h of grace, done at these totals; the meter shows the totals."""
    cowl = hangar / "checklists/nose/cowl.md"
    text = cowl.read_text(encoding="utf-8") + "- [ ] `hundred` Hundred hours\n  - every: 100 h\n  - grace: 10 h\n"
    cowl.write_text(text, encoding="utf-8")
    past = hangar / "records/2026/2026-09-01-past.yaml"
    past.write_text(
        "format: 1\nkind: brought-forward\ndate: 2026-09-01\nmeters: {tach: {reads: 1000.0, total: 1000.0}}\n"
        "last:\n  hundred: {date: 2026-08-01, tach: 1000.0}\n",
        encoding="utf-8",
    )
    for number, total in enumerate(done, start=2):
        (hangar / f"records/2026/2026-09-{number:02d}-x.yaml").write_text(
            f"format: 1\nkind: work\ndate: 2026-09-{number:02d}\nmeters: {{tach: {total}}}\ndid: [hundred]\n",
            encoding="utf-8",
        )
    return hangar


@pytest.mark.parametrize(
    ("done", "due"), [(("1106.0",), 1200.0), (("1095.0",), 1195.0), (("1106.0", "1201.5"), 1300.0)]
)
def test_the_excess_counts_against_the_next(run: Run, hangar: Path, done: tuple[str, ...], due: float) -> None:  # noqa: F811
    """14 CFR 91.409(b): due 1100.0, done 1106.0, next 1200.0; done early at 1095.0, next 1195.0."""
    answer = json.loads(run(hundred_hours(hangar, *done), "due", "--json").out)
    item = next(item for item in answer["items"] if item["check"] == "hundred")
    assert item["due"]["total"] == due


@pytest.mark.parametrize(
    ("total", "state"), [("1100.0", "soon"), ("1100.1", "in-grace"), ("1110.0", "in-grace"), ("1110.1", "past-due")]
)
def test_at_the_limit_is_not_past_it(run: Run, hangar: Path, total: str, state: str) -> None:  # noqa: F811
    """14 CFR 91.409(b): 'may be exceeded by not more than 10 hours'."""
    store = hundred_hours(hangar)
    assert run(store, "hours", f"tach={total}", "--yes", on="2026-10-01").code == 0
    answer = json.loads(run(store, "due", "--json").out)
    item = next(item for item in answer["items"] if item["check"] == "hundred")
    assert item["state"] == state


def test_completion_governs_not_the_start(run: Run, hangar: Path) -> None:  # noqa: F811
    """Started 03-28, signed 04-03: due 04-30 a year on (the date in the statement is that of completion)."""
    page = (
        hangar / run(hangar, "start", "condition", "tach=400.0", "--by", "Ada Bellcrank", on="2026-10-28").out.strip()
    )
    page.write_text(page.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("____", "75"), encoding="utf-8")
    words = ("sign", "--as", "Ada Bellcrank", "--ink", "p. 1")
    assert run(hangar, *words, typed=("Ada Bellcrank",), on="2026-11-03").code == 0
    answer = json.loads(run(hangar, "due", "--json").out)
    item = next(item for item in answer["items"] if item["check"] == "condition")
    assert item["due"]["date"] == "2027-11-30"


# What each rule asks, in the sample's own checklists. Sources: 14 CFR 91.411(a)(1), 91.413(a), 91.207(d), 91.171.
RULES = {"91.411": "24 calendar months", "91.413": "24 calendar months", "91.207(d)": "12 calendar months"}


@pytest.mark.parametrize("rule", RULES)
def test_the_sample_keeps_the_intervals_of_the_rules(rule: str) -> None:
    root = Path(__file__).parents[2] / "checklists"
    items = [
        item
        for path in root.rglob("*.md")
        for item in re.split(r"(?m)^(?=- \[ \])", path.read_text(encoding="utf-8"))
        if re.search(rf"source: .*{re.escape(rule)}", item) and "every:" in item
    ]
    assert items
    for item in items:
        assert RULES[rule] in item
