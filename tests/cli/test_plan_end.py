"""A plan whose likely or late end lies past a limit says so: on the screen, whole, saved, as facts; visits too.

The store is the one written by hand in conftest. Its condition inspection of 2025-12-13 runs out on 2026-12-31, and so
does the emergency transmitter's, which here bars flight. Together 91 min for one person.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import FLOOR, Run
from tests.cli.test_plan_command import words

IN_TIME, AFTER = "2026-12-26 09:00-12:00", "2027-01-06 09:00-12:00"
# 50 min in the old year and the rest on the sixth day of the new one; or all but the last minutes of 91.
SPLIT, TIGHT = "2026-12-26 09:00-09:50", "2026-12-26 09:00-10:50"


@pytest.fixture
def store(hangar: Path) -> Path:
    text = FLOOR.replace("  - covers: j\n", "  - covers: j\n  - bars: flight\n")
    (hangar / "checklists/cabin/floor.md").write_text(text, encoding="utf-8")
    return hangar


def facts(run: Run, store: Path, *sessions: str, on: str = "2026-12-20") -> dict[str, Any]:
    asked = [word for session in sessions for word in ("--session", session)]
    made = run(store, "plan", "condition", *asked, "--json", on=on)
    assert made.code == 0, made.err
    return json.loads(made.out)


def told(run: Run, store: Path, *sessions: str, on: str = "2026-12-20", ask: tuple[str, ...] = ()) -> str:
    asked = [word for session in sessions for word in ("--session", session)]
    return words(run(store, "plan", "condition", *asked, *ask, on=on))


def test_within_the_limit_nothing_is_said(run: Run, store: Path) -> None:
    assert facts(run, store, IN_TIME)["limits_passed"] == []
    assert "runs out" not in told(run, store, IN_TIME)


@pytest.mark.parametrize("ask", [(), ("--all",)], ids=["screen", "whole"])
def test_the_likely_end_past_a_limit(run: Run, store: Path, ask: tuple[str, ...]) -> None:
    said = told(run, store, SPLIT, AFTER, ask=ask)
    # 2027-01-06 is six days after 2026-12-31.
    assert "Likely done 6 days after the condition inspection runs out (2026-12-31)." in said
    assert "Past due when it is likely done: Emergency transmitter inspection (2026-12-31, bars flight)." in said


@pytest.mark.parametrize("ask", [(), ("--all",)], ids=["screen", "whole"])
@pytest.mark.parametrize(
    ("sessions", "mark", "begins"),
    [
        ((SPLIT, AFTER), "!!", ("Likely done", "Past due when")),
        ((TIGHT, AFTER), "!", ("If it becomes late", "Past due only")),
    ],
    ids=["likely", "late"],
)
def test_an_end_past_a_limit_is_marked_as_what_is_past_due_and_comes_first(
    run: Run, store: Path, ask: tuple[str, ...], sessions: tuple[str, ...], mark: str, begins: tuple[str, ...]
) -> None:
    """It stood below how likely the end is, no louder than that: a picture showed it."""
    asked = [word for session in sessions for word in ("--session", session)]
    lines = run(store, "plan", "condition", *asked, *ask, on="2026-12-20").out.splitlines()
    first = next(at for at, line in enumerate(lines) if line.startswith("Likely done "))
    assert [line for line in lines[:first] if line.startswith("!")] == [
        line for line in lines if line.startswith(tuple(f"{mark} {word}" for word in begins))
    ]
    assert sum(line.startswith(tuple(f"{mark} {word}" for word in begins)) for line in lines) == len(begins)


def test_it_stands_in_the_saved_plan(run: Run, store: Path, tmp_path: Path) -> None:
    target = tmp_path / "plan.txt"
    asked = ("--session", SPLIT, "--session", AFTER, "--to", str(target))
    assert run(store, "plan", "condition", *asked, on="2026-12-20").code == 0
    saved = " ".join(target.read_text(encoding="utf-8").split())
    assert "Likely done 6 days after the condition inspection runs out (2026-12-31)." in saved


def test_the_late_end_alone(run: Run, store: Path) -> None:
    """91 min of 110; in one trial of ten they take longer and the rest is left for the new year."""
    found = facts(run, store, TIGHT, AFTER)
    by_item = {each["item"]: each for each in found["limits_passed"]}
    assert by_item == {
        name: {
            **{"item": name, "kind": kind, "due": "2026-12-31", "bars": "flight", "planned": True},
            **{"days_after_likely": None, "days_after_late": 6},
        }
        for name, kind in (("condition", "inspection"), ("elt", "check"))
    }
    assert found["likely_min"] < 24 * 60 < found["late_min"]
    said = told(run, store, TIGHT, AFTER)
    assert "If it becomes late it is done 6 days after the condition inspection runs out (2026-12-31)." in said
    assert "Past due only if it becomes late: Emergency transmitter inspection (2026-12-31, bars flight)." in said


def test_sessions_that_end_before_the_work_does(run: Run, store: Path) -> None:
    """The plan fits to the minute; what takes longer is done in no session at hand, so after the last one at least."""
    found = facts(run, store, "2027-01-06 09:00-10:31")
    assert found["late_min"] is None
    assert {each["item"]: each["days_after_late"] for each in found["limits_passed"]} == {"condition": 6, "elt": 6}
    assert "6 days after the condition inspection runs out" in told(run, store, "2027-01-06 09:00-10:31")


def test_without_sessions_only_what_is_past_however_soon_it_is_begun(run: Run, store: Path) -> None:
    assert facts(run, store, on="2026-12-31")["limits_passed"] == []
    said = told(run, store, on="2027-01-03")
    assert "Done at least 3 days after the condition inspection ran out (2026-12-31)." in said


def test_what_bars_nothing_and_what_is_in_grace_is_left_out(run: Run, hangar: Path) -> None:
    passed = facts(run, hangar, SPLIT, AFTER)["limits_passed"]
    assert [each["item"] for each in passed] == ["condition"]
    text = FLOOR.replace("every: 12 calendar months", "every: 365 days\n  - grace: 30 days\n  - bars: flight")
    (hangar / "checklists/cabin/floor.md").write_text(text, encoding="utf-8")
    passed = facts(run, hangar, SPLIT, AFTER)["limits_passed"]
    assert [each["item"] for each in passed] == ["condition"]


def test_what_is_past_by_then_and_not_in_the_plan_is_marked(run: Run, store: Path) -> None:
    asked = ("plan", "oil", "--only", "--session", AFTER)
    said = words(run(store, *asked, "--all", on="2026-12-20"))
    assert "Emergency transmitter inspection (2026-12-31, bars flight, not in this plan)." in said
    planned = {each["item"]: each["planned"] for each in json.loads(run(store, *asked, "--json").out)["limits_passed"]}
    assert planned == {"condition": False, "elt": False}


def test_a_visit_whose_work_outlasts_a_limit(run: Run, store: Path) -> None:
    """91 min of labour in 40 a week cannot be done in fewer than three weeks, begun on whichever day."""
    text = (store / "records/aircraft.yaml").read_text(encoding="utf-8")
    (store / "records/aircraft.yaml").write_text(f'{text}sessions: ["Saturday 09:00-09:40"]\n', encoding="utf-8")
    answer = json.loads(run(store, "visits", "--months", "3", "--json", on="2026-12-28").out)
    visit = next(visit for visit in answer["visits"] if "condition" in visit["plan"])
    note = next(note for note in answer["notes"] if "condition inspection runs out" in note)
    # The Saturdays are 2, 9 and 16 January.
    assert visit["on"] <= "2026-12-31"
    assert note == (
        f"The work of {visit['on']} is done on 2027-01-16 at the earliest, in your sessions: "
        "16 days after the condition inspection runs out (2026-12-31)."
    )
    assert note in words(run(store, "visits", "--months", "3", on="2026-12-28"))
    # And beside it stands no sentence that says the contrary: a picture showed both.
    assert answer["margin"].startswith("Besides what is named here, nothing falls past due")
    (store / "records/aircraft.yaml").write_text(f'{text}sessions: ["Saturday 09:00-17:00"]\n', encoding="utf-8")
    usual = json.loads(run(store, "visits", "--months", "3", "--json", on="2026-12-20").out)
    assert usual["margin"].startswith("Nothing falls past due")
    (store / "records/aircraft.yaml").write_text(f'{text}sessions: ["Saturday 09:00-09:40"]\n', encoding="utf-8")
    plan = json.loads(run(store, "visits", "--months", "3", "--plan", visit["on"], "--json", on="2026-12-28").out)
    passed = {each["item"]: each["days_after_likely"] for each in plan["limits_passed"]}
    assert passed["condition"] >= 16
    said = words(run(store, "visits", "--months", "3", "--plan", visit["on"], on="2026-12-28"))
    assert "days after the condition inspection runs out (2026-12-31)" in said


JACKS = """\
---
panel: jacks
name: On jacks
zone: gear
kind: setup
make: 10 min
undo: 10 min
overnight: no
---
- [ ] `wheels` Wheel bearings
  - every: condition inspection
  - time: 25 min
- [ ] `brakes` Brakes
  - every: condition inspection
  - time: 20 min
  - after: wheels
"""


@pytest.mark.parametrize(("session", "never"), [("09:00-10:00", True), ("09:00-10:06", False)])
def test_a_visit_that_no_session_holds_gets_no_day(run: Run, store: Path, session: str, never: bool) -> None:
    """10 + 25 + 20 + 10 = 65 min in which it stands on jacks, which it must not over a break."""
    text = (store / "records/aircraft.yaml").read_text(encoding="utf-8")
    (store / "records/aircraft.yaml").write_text(f'{text}sessions: ["Saturday {session}"]\n', encoding="utf-8")
    (store / "checklists/gear").mkdir(exist_ok=True)
    (store / "checklists/gear/jacks.md").write_text(JACKS, encoding="utf-8")
    answer = json.loads(run(store, "visits", "--months", "3", "--json", on="2026-12-28").out)
    visit = next(visit for visit in answer["visits"] if "condition" in visit["plan"])
    none = [each for each in answer["notes"] if each.startswith(f"There is no plan of the work of {visit['on']}")]
    dated = [each for each in answer["notes"] if each.startswith(f"The work of {visit['on']} is done on")]
    assert (bool(none), bool(dated)) == (never, not never)
    for each in none:
        assert "On jacks (jacks) must not stand over a break, and stands 1 h 5 min at least" in each
    # `plan` says the same of it.
    assert (run(store, "visits", "--months", "3", "--plan", visit["on"], on="2026-12-28").code == 1) is never
