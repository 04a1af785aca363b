"""What is found on an open page is on record nowhere else yet: past its limit it is a reason not to fly."""

import datetime as dt

import pytest

from inspect_kit.due import due
from inspect_kit.due.answer import STOP_LATE_FINDING
from tests.due.small import book

BELTS = "- [ ] `belts` Belts\n  - every: 12 months\n"
PAGE = "---\njob: work\naircraft: N0XX\nbegun: 2026-01-02\nmeters: {{tach: 101.5}}\n---\n- [x] `belts` Belts\n{}"
FOUND = "  - found: F1 frayed\n    - fix: {}\n    - may wait because: outer strands only\n"


@pytest.mark.parametrize(
    ("fix", "told"),
    [
        ("by 2026-02-01", "past its limit: frayed (F1 on the open worksheet), 9 days past due (2026-02-01)"),
        ("by 2026-02-10", ""),
        ("by 101 h", "past its limit: frayed (F1 on the open worksheet), 0.5 h past due"),
        ("by 101.5 h", ""),
        ("at next condition inspection", ""),
        ("by 2026-02-01\n    - cleared: 2026-01-03 replaced", ""),
    ],
)
def test_a_finding_of_an_open_page_past_its_limit_is_told(fix: str, told: str) -> None:
    records = {"2026-01-01-hours": "kind: hours\nmeters: {tach: 100}\n"}
    logbook = book(BELTS, records, pages={"2026-01-02-work-aaaa": PAGE.format(FOUND.format(fix))})
    stops = due(logbook, dt.date(2026, 2, 10)).stops
    assert [stop.text for stop in stops if stop.kind == STOP_LATE_FINDING] == ([told] if told else [])
