"""What no statement stands over, though it is written elsewhere than on its page."""

import datetime as dt
from dataclasses import replace

import pytest

from inspect_kit.errors import Place
from inspect_kit.inspection.missing import missing
from inspect_kit.text.record import read_record
from inspect_kit.text.worksheet import read_worksheet
from tests.inspection.conftest import ALL, Small, filled, logbook, request_for, sheet_of

OTHER = "---\njob: work\naircraft: N0XX\nbegun: {begun}\nmeters: {{tach: 100.5}}\n---\n\n{boxes}"


def told(small: Small) -> list[str]:
    return [f"{gap.about}: {gap.text}" for gap in missing(request_for(small, filled(small.sheet)))]


def with_page(boxes: str, begun: str = "2026-05-02") -> Small:
    page, source = read_worksheet(OTHER.format(begun=begun, boxes=boxes), "records/open/other.md")
    assert page is not None
    assert not source.problems
    return sheet_of(ALL, book=replace(logbook(), pages=(page,)))


@pytest.mark.parametrize(
    ("fix", "words"),
    [
        ("by 2026-05-02", "was to be fixed by 2026-05-02 and is open"),
        ("by 100.4 h", "was to be fixed by 100.4 h, the total is 100.5"),
        ("by 2026-05-03", ""),
        ("by 100.5 h", ""),
        ("at next annual inspection", ""),
    ],
)
def test_a_finding_past_its_limit_that_has_no_box(fix: str, words: str) -> None:
    """It was entered while the page was open, at a check that is not on it, and the statement was sealed over it."""
    text = f"format: 1\nkind: finding\ndate: 2026-05-01\nfound: crack\nfix: {fix}\nmay wait because: drilled\nby: Ada\n"
    record, source = read_record(text, "records/2026/2026-05-01-finding-aaaa.yaml")
    assert record is not None
    assert not source.problems, source.problems
    found = told(Small(logbook().with_records((record,)), sheet_of(ALL).sheet))
    assert len(found) == (1 if words else 0), found
    assert all(each.startswith(f"2026-05-01-finding-aaaa#F1: {words}; it is open since ") for each in found), found


@pytest.mark.parametrize(
    ("boxes", "said"),
    [
        ("- [x] remove `cowl` Cowling\n- [ ] refit `cowl` Cowling\n", "cowl: is off on another open page"),
        ("- [x] `stacks` Stacks\n  - found: F1 crack\n", "F1: is to be fixed before flight, on another open page"),
        (
            "- [x] `stacks` Stacks\n  - found: F1 crack\n    - fix: by 2026-05-01\n    - may wait because: drilled\n",
            "F1: was to be fixed by 2026-05-01 and is open, on another open page",
        ),
        ("- [x] remove `cowl` Cowling\n- [x] refit `cowl` Cowling\n", ""),
        ("- [x] `stacks` Stacks\n  - found: F1 crack\n    - cleared: 2026-05-02 replaced\n", ""),
        (
            "- [x] `stacks` Stacks\n  - found: F1 crack\n    - fix: by 2026-06-01\n    - may wait because: drilled\n",
            "",
        ),
        ("- [ ] remove `cowl` Cowling\n- [ ] refit `cowl` Cowling\n", ""),
    ],
)
def test_what_another_open_page_says_of_the_aircraft(boxes: str, said: str) -> None:
    found = told(with_page(boxes))
    assert [each.startswith(said) for each in found] == ([True] if said else []), found
    # What was begun after the day that is signed is no matter of that day.
    assert told(with_page(boxes, begun="2026-05-04")) == []


def test_another_open_page_that_cannot_be_read() -> None:
    small = sheet_of(ALL, book=replace(logbook(), unread=(Place("records/open/other.md"),)))
    assert ["cannot be read, and something may be off" in each for each in told(small)] == [True]
    assert small.sheet.page.begun < dt.date(2026, 5, 3)
