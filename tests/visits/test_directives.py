"""What a directive asks for now is done on the first visit: the months ahead are no later than the due list."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit.due import PAST_DUE, due
from inspect_kit.visits import year_ahead
from tests.visits.hangar import TODAY, check, done, small_store

DIRECTIVE = """\
format: 1
kind: directive
date: 2026-01-02
number: AD-20
issuer: the authority
subject: cracks
authority: {authority}
on: aircraft
applies: "yes"
issued: 2025-12-20
once: within 25 h
check: collector
by: Sample Builder
"""
KEYS = (
    {"once": "25 h"},
    {"every": "25 h"},
    {"every": "12 months"},
    {"every": "condition inspection or 12 months"},
    {"every": "condition inspection"},
)


@pytest.mark.parametrize("authority", ["airworthiness directive", "maker's letter"])
@pytest.mark.parametrize("before", ["never", "work", "brought forward"])
@pytest.mark.parametrize("keys", KEYS)
def test_what_is_asked_for_now_is_done_on_the_first_visit(
    tmp_path: Path, keys: dict[str, str], before: str, authority: str
) -> None:
    on = dt.date(2025, 12, 13)
    records = {"2026-01-02-ad": DIRECTIVE.format(authority=authority)}
    if before == "work":
        records["2025-12-13-collector"] = done(on, "collector", tach=300)
    last = {"collector": dt.date(2025, 6, 7)} if before == "brought forward" else {}
    logbook = small_store(tmp_path, check("collector", **keys), records=records, last=last)
    answer = due(logbook, TODAY)
    (item,) = [each for each in answer.items if each.check == "collector"]
    plan = year_ahead(answer.seen, answer, months=12)
    assert item.state == PAST_DUE, item
    (first, *_) = plan.visits
    assert "collector" in first.checks, [visit.on for visit in plan.visits if "collector" in visit.checks]
    assert [each.due for each in first.doings if each.item == "collector"] == [item.due.date]
