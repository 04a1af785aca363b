"""Answers written by hand, so that pages are tested apart from the rooms that answer."""

import datetime as dt
from decimal import Decimal
from typing import Any

from inspect_kit.due.answer import (
    CHECK,
    FINDING,
    INSPECTION,
    DueAnswer,
    DueAt,
    Expected,
    Item,
    Last,
    Left,
    Line,
    NotToBeUsed,
    Stop,
)
from inspect_kit.errors import Place, Problem
from inspect_kit.model.checklist import FLIGHT, Part
from inspect_kit.model.meters import Point
from inspect_kit.model.worksheet import Step
from inspect_kit.plan.answer import Bar, Plan, StepCaution
from inspect_kit.visits.answer import Costs, Doing, Habit, LeftOut, Visit, VisitPlan
from tests.report.small import TODAY, logbook

HERE = Place("checklists/nose/cowl-lower.md", 14)
RECORD = Place("records/2026/2026-05-14-oil.yaml", 1)


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def item(check: str, state: str, **given: Any) -> Item:
    """An item with what a test does not care about filled in."""
    usual: dict[str, Any] = {
        "kind": CHECK,
        "name": "",
        "panel": "cowl-lower",
        "last": None,
        "due": DueAt(),
        "left": Left(),
        "expected": None,
        "source": "",
        "owed": False,
        "lines": (),
        "place": HERE,
    }
    return Item(check=check, state=state, **(usual | given))


ITEMS = (
    item(
        "fuel-strainer",
        "past-due",
        due=DueAt(meter="tach", total=Decimal("609.1"), reads=Decimal("609.1")),
        left=Left(amount=Decimal("-2.1"), unit="h"),
        last=Last(date=day("2026-05-14"), total=Decimal("559.1"), estimated=False, place=RECORD, unit="h"),
        source="engine maker",
    ),
    item(
        "propeller-torque",
        "past-due",
        owed=True,
        bars=FLIGHT,
        due=DueAt(meter="tach", total=Decimal("611.2"), reads=Decimal("611.2")),
        left=Left(amount=Decimal(0), unit="h"),
    ),
    item(
        "hose-check",
        "in-grace",
        due=DueAt(date=day("2026-11-20")),
        left=Left(days=-5),
        grace=DueAt(date=day("2026-12-20")),
        source="hose maker",
    ),
    item("elt-battery", "unknown", panel="papers", source="14 CFR 91.207(c)"),
    item(
        "oil-change",
        "soon",
        name="Change the oil and the filter",
        due=DueAt(date=day("2026-12-14"), meter="tach", total=Decimal("640.1"), reads=Decimal("29.4")),
        left=Left(days=19, amount=Decimal("28.9"), unit="h"),
        expected=Expected(early=day("2026-12-10"), likely=day("2026-12-14"), late=day("2026-12-14")),
        last=Last(date=day("2026-08-14"), total=Decimal("590.1"), estimated=True, place=RECORD, unit="h"),
        lines=(
            Line(text="last done at 590.1 h total on tach; + 50 h = 640.1 h", places=(RECORD,)),
            Line(text="on 2026-11-25: 19 days left (soon)"),
        ),
        source="engine maker",
    ),
    item(
        "2026-11-21-condition-bbbb#F2",
        "later",
        kind=FINDING,
        name="paint blistered along the lower edge",
        panel="tail-fairing",
        due=DueAt(date=day("2027-05-31")),
        left=Left(days=187),
    ),
    item(
        "condition",
        "later",
        kind=INSPECTION,
        name="Condition inspection",
        panel=None,
        due=DueAt(date=day("2027-11-30")),
        left=Left(days=370),
        expected=Expected(early=day("2027-11-30"), likely=day("2027-11-30"), late=day("2027-11-30")),
        last=Last(date=day("2026-11-21"), total=Decimal("611.2"), estimated=False, place=RECORD, unit="h"),
    ),
)
STOPS = (
    Stop(kind="panel-off", text="Lower cowling is off since 2026-11-24", place=Place("records/open/oil.md", 9)),
    Stop(kind="owed-before-flight", text="propeller-torque is owed", place=HERE),
)
PROBLEMS = (Problem(Place("records/2025/2025-03-01-hours.yaml", 7), "tach: expected a number, not `sixty`"),)


def due_answer(**given: Any) -> DueAnswer:
    """A due list with every state in it."""
    usual: dict[str, Any] = {
        "on": TODAY,
        "by": TODAY,
        "flying": Decimal(0),
        "meters": {
            "tach": Point(
                date=day("2026-11-21"), reads=Decimal("0.5"), total=Decimal("611.2"), record="r", place=RECORD
            ),
            "landings": None,
        },
        "totals": {"tach": Decimal("611.2"), "landings": Decimal(0)},
        "offsets": {"tach": Decimal("610.7"), "landings": Decimal(0)},
        "stops": STOPS,
        "not_to_be_used": (
            NotToBeUsed(what="the transponder", check="static-test", why="3 days past due (2026-11-22)", place=HERE),
        ),
        "items": ITEMS,
        "left_out": (),
        "problems": (),
        "seen": logbook(),
    }
    return DueAnswer(**(usual | given))


def step(verb: str, name: str, start: int, end: int, *who: str, panel: str = "cowl-lower") -> Step:
    check = name if verb == "check" else None
    return Step(step=verb, panel=panel if check else name, check=check, start=start, end=end, people=len(who), who=who)


def plan() -> Plan:
    """Two people, one panel, one check with a caution, one without."""
    return Plan(
        people=2,
        inspectors=1,
        names=("inspector", "helper"),
        checks=("compression", "oil-change"),
        panels=("cowl-lower",),
        labour=193,
        elapsed=119,
        lower_bound=114,
        proved=False,
        worked=119,
        worked_bound=114,
        steps=(
            step("remove", "cowl-lower", 0, 14, "inspector", "helper"),
            step("check", "compression", 14, 54, "inspector", "helper"),
            step("check", "oil-change", 54, 99, "helper"),
            step("refit", "cowl-lower", 99, 119, "inspector", "helper"),
        ),
        critical=(0, 1, 2, 3),
        bars=(Bar(panel="cowl-lower", start=0, end=119),),
        cautions=(
            StepCaution(at="cowl-lower", text="Let the exhaust cool before you reach past the stacks."),
            StepCaution(at="compression", text="Air turns the propeller: one holds it, nobody in the arc."),
        ),
        parts=(Part(amount="6 qt", name="engine oil"), Part(amount="1", name="oil filter")),
        tools=("screwdriver no. 2",),
        others=("static-test",),
        notes=("oil-change must wait until 20 min after run-before, which is done already",),
    )


def doing(name: str, on: str, due: str | None, **given: Any) -> Doing:
    late = 0 if due is None else (day(due) - day(on)).days
    usual: dict[str, Any] = {
        "kind": CHECK,
        "words": name,
        "panel": "cowl-lower",
        "early": late,
        "pulled": late > 0,
        "given_away": "",
        "wastes": 0.0,
        "saves": 0.0,
    }
    return Doing(item=name, on=day(on), due=None if due is None else day(due), **(usual | given))


def visit(on: str, *doings: Doing, **given: Any) -> Visit:
    usual: dict[str, Any] = {
        "reads": {"tach": Decimal("20.5")},
        "reads_heavy": {"tach": Decimal("24.0")},
        "names": tuple(each.item for each in doings),
        "findings": (),
        "checks": tuple(each.item for each in doings),
        "panels": ("cowl-lower",),
        "panel_labour": 68,
        "check_labour": 45,
        "outside": False,
    }
    return Visit(on=day(on), doings=doings, **(usual | given))


def outlook(**given: Any) -> VisitPlan:
    """Two visits in half a year; an item pulled forward, one that comes with another, one that cannot be planned."""
    usual: dict[str, Any] = {
        "on": TODAY,
        "end": day("2027-05-25"),
        "months": 6,
        "visits": (
            visit(
                "2026-12-05",
                doing("oil-change", "2026-12-05", "2026-12-05"),
                doing(
                    "trim-grease", "2026-12-05", "2027-03-01", panel="tail-fairing", 
                    given_away="8 of the 100 h of its interval",
                    wastes=3.0, saves=56.0,
                ),
                doing("filter-cut", "2026-12-05", None, with_="oil-change"),
                owed=("propeller-torque after 1 h",),
            ),
            visit("2027-04-03", doing("oil-change", "2027-04-03", "2027-04-05"), outside=True, reads_heavy={}),
        ),
        "costs": Costs(number=2, visits=90, panels=136, checks=90, given_away=5.4),
        "when_due": Costs(number=3, visits=135, panels=204, checks=90, given_away=0),
        "when_soon": Costs(number=3, visits=135, panels=136, checks=90, given_away=2),
        "habit": Habit(
            since=day("2024-11-25"),
            days=730,
            seen=Costs(number=10, visits=450, panels=800, checks=400, given_away=0),
            scaled=Costs(number=2.5, visits=112.5, panels=200, checks=100, given_away=0),
        ),
        "bound": 225.0,
        "margin": "nothing is past due if use is heavier than in 9 years of 10",
        "left_out": (LeftOut(item="elt-battery", reason="the date it carries is not on record"),),
        "notes": ("Change the oil (oil-change): the forecast rests on little use",),
    }  # fmt: skip
    return VisitPlan(**(usual | given))
