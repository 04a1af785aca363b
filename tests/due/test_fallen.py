"""Two readings of which one is wrong: what is due is reckoned from the higher one, until that is put right."""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.due import due
from tests.due.small import book

OIL = "- [ ] `oil` Oil\n  - every: 50 h\n"


@pytest.mark.parametrize(
    ("readings", "total"),
    [
        (("100", "120", "125.5"), "125.5"),
        (("100", "140", "125.5"), "140"),
        (("100", "140", "14"), "140"),
        (("100", "140", "14", "15"), "140"),
        (("100", "140", "125.5", "141"), "141"),
    ],
)
def test_nothing_is_due_later_by_a_reading_that_fell(readings: tuple[str, ...], total: str) -> None:
    records = {"2026-01-01-oil": "kind: work\nmeters: {tach: 99}\ndid: [oil]\nby: Ada\n"}
    for day, read in enumerate(readings, 1):
        records[f"2026-02-0{day}-hours"] = f"kind: hours\nmeters: {{tach: {read}}}\n"
    answer = due(book(OIL, records), dt.date(2026, 2, 10))
    item = answer.item("oil")
    assert item is not None
    assert item.due.total == Decimal(149)
    assert answer.totals["tach"] == Decimal(total)
    assert answer.meters["tach"] is not None
    assert answer.meters["tach"].total == Decimal(total)


@pytest.mark.parametrize(
    ("date", "total", "now"),
    [("2026-02-08", "131.5", "131.5"), ("2026-02-08", "119", "120"), ("2026-01-20", "131.5", "120")],
)
def test_a_total_on_paper_since_the_last_reading_counts(date: str, total: str, now: str) -> None:
    """A column of total times was taken in with every default of `import`, and everything stayed as due as before."""
    records = {
        "2026-01-01-oil": "kind: work\nmeters: {tach: 99}\ndid: [oil]\nby: Ada\n",
        "2026-02-01-hours": "kind: hours\nmeters: {tach: 120}\n",
        f"{date}-flown": f"kind: paper-entry\ntext: flown home\ntotals: {{tach: {total}}}\n",
    }
    answer = due(book(OIL, records), dt.date(2026, 2, 10))
    assert answer.totals["tach"] == Decimal(now)
    item = answer.item("oil")
    assert item is not None
    assert item.left.amount == 149 - Decimal(now)
