"""What is found on an open page is on record nowhere else yet: past its limit it is a reason not to fly."""

import datetime as dt

import pytest

from inspect_kit.due import due
from inspect_kit.due.answer import STOP_FINDING, STOP_LATE_FINDING
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


OLD = "kind: finding\ncheck: belts\nfound: frayed\nfix: by 2027-06-30\nmay wait because: outer\nby: Ada\n"
BOX = "- [{}] `2026-01-01-found#F1` frayed\n  - fix: {}\n"


@pytest.mark.parametrize(
    ("fix", "kind"),
    [
        ("before flight", STOP_FINDING),
        ("by 2026-02-01\n  - may wait because: outer", STOP_LATE_FINDING),
        ("by 2027-01-01\n  - may wait because: outer", ""),
        ("by 2028-01-01\n  - may wait because: outer", ""),
    ],
)
def test_a_limit_made_sooner_on_an_open_page_counts_at_once(fix: str, kind: str) -> None:
    page = PAGE.format("") + BOX.format("x", fix)
    logbook = book(BELTS, {"2026-01-01-found": OLD}, pages={"2026-01-02-work-aaaa": page})
    stops = [stop.kind for stop in due(logbook, dt.date(2026, 2, 10)).stops if "frayed" in stop.text]
    assert stops == ([kind] if kind else [])


@pytest.mark.parametrize(("new", "kinds"), [("before flight", [STOP_FINDING]), ("by 2028-01-01", [])])
def test_a_limit_made_sooner_in_a_record_that_nobody_signed_counts(new: str, kinds: list[str]) -> None:
    """To have it fixed sooner nobody's certificate is asked; a later limit waits for the signature."""
    put_off = 'clears: {"2026-01-01-found#F1": "2026-01-05 put off again as F1 of this record; by: Ada"}\n'
    waits = "" if new == "before flight" else ", may wait because: outer"
    carried = f"findings: {{F1: {{check: belts, found: frayed, fix: {new}{waits}}}}}\nby: Ada\n"
    put_off = f"kind: work\ntext: x\n{put_off}"
    logbook = book(BELTS, {"2026-01-01-found": OLD, "2026-01-05-work": put_off + carried})
    answer = due(logbook, dt.date(2026, 2, 10))
    assert [stop.kind for stop in answer.stops if "frayed" in stop.text] == kinds
    assert (answer.item("2026-01-01-found#F1") is None) == bool(kinds)
