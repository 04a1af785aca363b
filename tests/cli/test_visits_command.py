"""The year ahead from the shell: the plan of one visit, and the page on paper."""

import datetime as dt
import json
import re
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.visits.hangar import check, small_store

MORE = 'sessions: ["2026-04-04 09:00-10:30", "2026-04-11 09:00-12:00"]'
ON = "2026-01-05"


@pytest.fixture
def store(tmp_path: Path) -> Path:
    checks = check("oil", every="3 months", time="45 min") + check("hoses-look", every="3 months", time="20 min")
    last = {"oil": dt.date(2026, 1, 3), "hoses-look": dt.date(2026, 1, 3)}
    small_store(tmp_path / "store", checks, last=last, more=MORE)
    return tmp_path / "store"


def test_the_plan_of_a_visit_takes_its_checks_and_the_sessions_at_hand(run: Run, store: Path) -> None:
    told = run(store, "visits", "--months", "6", "--json", on=ON)
    visit = next(visit for visit in json.loads(told.out)["visits"] if "oil" in visit["checks"])
    plan = json.loads(run(store, "visits", "--months", "6", "--plan", visit["on"], "--json", on=ON).out)
    assert sorted(plan["checks"]) == sorted(visit["checks"])
    assert plan["panels"] == visit["panels"] == ["cowling"]
    assert plan["labour_min"] == visit["labour_min"]
    text = run(store, "visits", "--months", "6", "--plan", visit["on"], on=ON).out
    assert f"The visit planned on {visit['on']}." in text
    assert "Session 1: Saturday 2026-04-04, 09:00 to 10:30" in text


@pytest.mark.parametrize(
    ("more", "days"),
    [
        ("sessions: [Tuesday 18:30-21:30, Thursday 18:30-21:30]", {1, 3}),
        ("sessions: [Tuesday 18:30-21:30]\nvisits: {weekdays: [Saturday]}", {5}),
        # Asked on a Monday: hours on one date say nothing of the others.
        ("sessions: [Tuesday 18:30-21:30, 2026-04-04 09:00-12:00]", {0}),
    ],
)
def test_visits_are_on_the_days_of_the_hours_at_hand(run: Run, tmp_path: Path, more: str, days: set[int]) -> None:
    """They were on the day of the week of asking, on which by aircraft.yaml nobody works."""
    checks = check("oil", every="100 days", time="45 min")
    small_store(tmp_path / "store", checks, last={"oil": dt.date(2026, 1, 3)}, more=more)
    visits = json.loads(run(tmp_path / "store", "visits", "--json", on=ON).out)["visits"]
    # The last day of a month is one as well.
    on = [dt.date.fromisoformat(each["on"]) for each in visits]
    assert on
    assert {day.weekday() for day in on if (day + dt.timedelta(days=7)).month == day.month} <= days


def test_a_day_without_a_visit_is_refused_with_the_days_that_have_one(run: Run, store: Path) -> None:
    days = [visit["on"] for visit in json.loads(run(store, "visits", "--json", on=ON).out)["visits"]]
    code, _, err = run(store, "visits", "--plan", "2026-01-06", on=ON)
    assert code == 2
    assert days
    assert all(day in err for day in days)
    assert run(store, "visits", "--people", "2", on=ON).code == 2


def test_the_year_on_paper_has_the_strip_drawn(run: Run, store: Path, tmp_path: Path) -> None:
    target = tmp_path / "year.html"
    assert run(store, "visits", "--to", str(target), on=ON).code == 0
    text = target.read_text(encoding="utf-8")
    drawn = re.findall(r"<svg .*?</svg>", text, re.DOTALL)
    assert len(drawn) == 1
    assert re.search(r">Oil\b", drawn[0])


def test_a_plan_offers_what_else_is_worth_doing_as_facts_and_as_a_sentence(run: Run, tmp_path: Path) -> None:
    """The item is due in a month, behind 68 min of cowling that the oil change opens now."""
    checks = check("oil", every="3 months", time="45 min") + check("magneto", every="12 months", time="12 min")
    last = {"oil": dt.date(2025, 10, 10), "magneto": dt.date(2025, 2, 10)}
    small_store(tmp_path / "offer", checks, last=last)
    facts = json.loads(run(tmp_path / "offer", "plan", "oil", "--json", on=ON).out)
    (offer,) = facts["worth_doing"]
    assert (offer["checks"], offer["labour_min"], offer["saves_min"]) == (["magneto"], 12, 68)
    assert offer["due"] == "2026-02-10"
    sentence = (
        "Magneto (magneto): another 12 min behind the lower cowling now saves 1 h 8 min in February and loses 36 of "
        "the 365 days of its interval"
    )
    assert offer["sentence"] == sentence
    words = " ".join(run(tmp_path / "offer", "plan", "oil", "--all", on=ON).out.split())
    assert f"What else is worth doing while it is open ───────────────────────────────────────── • {sentence}" in words


def test_what_is_past_due_fell_due_on_the_day_of_its_limit(run: Run, tmp_path: Path) -> None:
    """`would be due 2026-11-28` stood beside what the due list called nine days over on that day."""
    checks = check("oil", every="3 months", time="45 min") + check("hoses-look", every="3 months", time="20 min")
    last = {"oil": dt.date(2025, 9, 20), "hoses-look": dt.date(2026, 1, 3)}
    small_store(tmp_path / "late", checks, last=last)
    items = {each["check"]: each for each in json.loads(run(tmp_path / "late", "due", "--json", on=ON).out)["items"]}
    assert (items["oil"]["state"], items["oil"]["due"]["date"]) == ("past-due", "2025-12-20")
    visits = json.loads(run(tmp_path / "late", "visits", "--json", on=ON).out)["visits"]
    (first, *_) = visits
    assert {each["item"]: each["due"] for each in first["items"]}["oil"] == "2025-12-20"
    # The next time it is due after it was done.
    later = [each["due"] for visit in visits[1:] for each in visit["items"] if each["item"] == "oil"]
    assert later[0] > first["on"]
    table = run(tmp_path / "late", "visits", "--all", on=ON).out
    assert re.search(r"(?m)^oil .* 2025-12-20", table) or re.search(r"(?m)^Oil .* 2025-12-20", table)
