"""The plan as a page."""

import datetime as dt
from dataclasses import replace

import pytest

from inspect_kit.model.checklist import Lag
from inspect_kit.plan import Bar, Plan, Shift, StepCaution
from inspect_kit.report import compare_page, plain, plan_page
from inspect_kit.report.blocks import ACCESS, CRITICAL, OFF, WORK, Table
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.report.pages.plan_steps import share_table, steps_table
from inspect_kit.report.pages.timeline import timeline
from tests.report.answers import PROBLEMS, plan, step
from tests.report.small import logbook

BOOK = logbook()


def text(room: int = 80) -> str:
    return plain.render(plan_page(plan(), BOOK), room)


@pytest.mark.parametrize("room", [80, 120])
def test_every_caution_stands_before_the_step_it_belongs_to(room: int) -> None:
    steps = text(room).split("Steps\n")[1]
    exhaust, remove = steps.index("Let the exhaust cool"), steps.index("REMOVE Lower cowling")
    air, compression = steps.index("Air turns the propeller"), steps.index("compression: Differential")
    assert exhaust < remove < air < compression
    # Once is enough: it is not repeated when the panel goes back.
    assert steps.count("Let the exhaust cool") == 1


def test_labour_elapsed_bound_and_proof_are_one_sentence() -> None:
    words = " ".join(text().split())
    assert (
        "1 h 59 min from start to finish for 2 people, 1 of them inspecting, 3 h 13 min of labour; no plan can take "
        "less than 1 h 54 min: at most 5 min could be saved."
    ) in words
    proved = replace(plan(), proved=True, lower_bound=119)
    assert "no plan can take less than 1 h 59 min: proved shortest." in " ".join(
        plain.render(plan_page(proved, BOOK), 80).split()
    )


def steps_of(table: Table) -> dict[str, tuple[str, ...]]:
    """The cells of each row by its clock."""
    return {row.cells[0]: row.cells[1:] for row in table.cell_rows}


def test_steps_stand_side_by_side_with_clock_and_minutes() -> None:
    table = steps_table(plan(), BOOK, PlanClock())
    assert [column.name for column in table.columns] == ["from", "inspector", "helper"]
    together = "REMOVE Lower cowling (cowl-lower), 14 min, together *"
    oil = "oil-change: Change the oil and the filter; cut the filter open and look for metal, 45 min *"
    assert steps_of(table) == {
        "0:00": (together, together),
        "0:14": ("compression: Differential compression, engine warm, 40 min, together *",) * 2,
        "0:54": ("", oil),
        "1:39": ("REFIT Lower cowling (cowl-lower), 20 min, together *",) * 2,
    }


def test_what_begins_at_one_time_stands_in_one_row() -> None:
    first, second, third, last = plan().steps
    apart = replace(plan(), steps=(first, replace(second, who=("inspector",)), replace(third, start=14, end=59), last))
    cells = steps_of(steps_table(apart, BOOK, PlanClock(), ids=False))["0:14"]
    assert cells[0] == "Differential compression, engine warm, 40 min *"
    assert cells[1].startswith("Change the oil")


class TestTheShareOfOne:
    def test_is_what_they_do_with_whom(self) -> None:
        rows = share_table(plan(), BOOK, PlanClock(), "helper").cell_rows
        assert [row.cells[0] for row in rows] == ["0:00-0:14", "0:14-0:54", "0:54-1:39", "1:39-1:59"]
        assert [row.cells[3] for row in rows] == ["with inspector", "with inspector", "", "with inspector"]
        assert [row.cells[0] for row in share_table(plan(), BOOK, PlanClock(), "inspector").cell_rows] == [
            "0:00-0:14",
            "0:14-0:54",
            "1:39-1:59",
        ]

    def test_has_the_others_steps_that_concern_everybody_at_their_time(self) -> None:
        """What is done alone, as engine runs are, and setups: jacking, power."""
        checks = dict(BOOK.checks)
        checks["oil-change"] = replace(checks["oil-change"], alone=True)
        told = share_table(plan(), replace(BOOK, checks=checks), PlanClock(), "inspector").cell_rows[2].cells
        assert told[:4] == (
            "0:54-1:39",
            "(oil-change: Change the oil and the filter; cut the filter open and look for metal)",
            "45",
            "only helper",
        )
        panels = dict(BOOK.panels)
        panels["cowl-lower"] = replace(panels["cowl-lower"], kind="setup")
        first = replace(plan().steps[0], who=("helper",))
        jacks = replace(plan(), steps=(first, *plan().steps[1:]))
        told = share_table(jacks, replace(BOOK, panels=panels), PlanClock(), "inspector").cell_rows[0].cells
        assert told[1].startswith("(REMOVE Lower cowling")

    def test_keeps_each_caution_before_its_step(self) -> None:
        table = share_table(plan(), BOOK, PlanClock(), "inspector")
        told = [row.band or row.cells[1] for row in table.rows]
        assert told[0].startswith("CAUTION: Let the exhaust cool")
        assert told[1].startswith("REMOVE")
        assert told[2].startswith("CAUTION: Air turns the propeller")
        assert told[3].startswith("compression")


def test_parts_tools_and_work_for_others_are_listed() -> None:
    words = " ".join(text().split())
    assert "6 qt engine oil; 1 oil filter" in words
    assert "screwdriver no. 2" in words
    assert "static-test Static system, altimeter and encoder repair station" in words
    assert "which is done already" in words


def test_what_else_is_worth_doing_is_said_in_a_sentence() -> None:
    worth = ("trim-grease: another 12 min behind the tail fairing now saves 11 min in March",)
    assert worth[0] in plain.render(plan_page(plan(), BOOK, worth=worth), 120)


def test_the_timeline_shows_people_panels_and_what_sets_the_finish() -> None:
    drawn = timeline(plan(), BOOK)
    assert drawn is not None
    rows = {row.label: [(mark.kind, mark.start, mark.end) for mark in row.marks] for row in drawn.rows}
    assert rows["inspector"] == [(ACCESS, 0, 14), (WORK, 14, 54), (ACCESS, 99, 119)]
    assert rows["helper"] == [(ACCESS, 0, 14), (WORK, 14, 99), (ACCESS, 99, 119)]
    assert rows["Lower cowling"] == [(OFF, 0, 119)]
    assert {kind for kind, _, _ in rows["sets the finish"]} == {CRITICAL}
    assert [row.value for row in drawn.rows] == ["1:14", "1:59", "1:59", "1:59"]


def test_a_plan_without_work_is_drawn_as_nothing() -> None:
    assert timeline(replace(plan(), elapsed=0, steps=(), bars=(), critical=()), BOOK) is None


def test_plans_side_by_side() -> None:
    page = compare_page({"1 person": plan(), "2 people": replace(plan(), elapsed=60, worked=60, proved=True)}, BOOK)
    rows = [" ".join(line.split()) for line in plain.render(page, 120).splitlines()]
    assert "1 person 1 h 59 min 3 h 13 min 1 h 54 min at most 5 min could be saved" in rows
    assert "2 people 1 h 3 h 13 min 1 h 54 min proved shortest" in rows


def test_a_plan_from_a_store_with_problems_says_so_first() -> None:
    made = plain.render(plan_page(plan(), replace(BOOK, problems=PROBLEMS)), 80)
    assert made.splitlines()[3].startswith("!! INCOMPLETE")


SATURDAY = PlanClock(
    began=dt.datetime(2026, 11, 28, 9, 0),
    shifts=(
        Shift(start=0, end=60, people=2, inspectors=1),
        Shift(start=1440, end=1530, people=1, inspectors=1),
    ),
)


def test_a_wait_that_runs_over_a_break_is_named() -> None:
    """Eight hours that begin shortly before everybody leaves; five minutes are over by then."""
    grease = replace(BOOK.checks["trim-grease"], wait=Lag(minutes=480, check="compression"))
    bolts = replace(BOOK.checks["tail-bolts"], wait=Lag(minutes=5, check="compression"))
    book = replace(BOOK, checks={**BOOK.checks, "trim-grease": grease, "tail-bolts": bolts})
    made = replace(
        in_sessions(),
        steps=(*in_sessions().steps, *(step("check", name, 1525, 1530, "inspector") for name in (grease.id, bolts.id))),
    )
    for table in (steps_table(made, book, SATURDAY), share_table(made, book, SATURDAY, "inspector")):
        bands = [row.band for row in table.rows if row.band and not row.band.startswith("CAUTION")]
        assert [band.partition(":")[0] for band in bands] == [
            "Session 1",
            "When everybody leaves, this goes on",
            "Session 2",
        ]
        assert bands[1].endswith("8 h from Differential compression, engine warm to Grease the trim screw")


def in_sessions() -> Plan:
    """The first hour on Saturday, the rest on Sunday."""
    first, second, *_ = plan().steps
    late = replace(plan().steps[2], start=1440, end=1485)
    last = replace(plan().steps[3], start=1485, end=1505)
    return replace(
        plan(),
        steps=(first, second, late, last),
        elapsed=1505,
        worked=125,
        worked_bound=120,
        bars=(Bar(panel="cowl-lower", start=0, end=1505),),
    )


def test_sessions_have_their_days_and_times() -> None:
    for table in (steps_table(in_sessions(), BOOK, SATURDAY), share_table(in_sessions(), BOOK, SATURDAY, "helper")):
        told = [row.band or row.cells[0].partition("-")[0] for row in table.rows if "CAUTION" not in row.band]
        assert told == [
            "Session 1: Saturday 2026-11-28, 09:00 to 10:00, 2 people",
            "09:00",
            "09:14",
            "Session 2: Sunday 2026-11-29, 09:00 to 10:30, 1 person",
            "09:00",
            "09:45",
        ]
    rows = [
        " ".join(line.split())
        for line in plain.render(plan_page(in_sessions(), BOOK, hours=SATURDAY), 120).splitlines()
    ]
    words = " ".join(rows)
    named = "Differential compression, engine warm; Change the oil and the filter, cut the filter open"
    assert f"Lower cowling Sat 11-28 09:00 Sun 11-29 10:05 2 h 5 min {named}" in words
    assert "2 h 5 min at work over 2 sessions, done Sun 11-29 10:05, for 2 people" in words
    assert "no plan can take less than 2 h at work: at most 5 min could be saved." in words


def test_the_night_between_sessions_is_left_out_of_the_timeline() -> None:
    drawn = timeline(in_sessions(), BOOK, SATURDAY)
    assert drawn is not None
    assert drawn.end == 125
    assert drawn.ticks == ((0.0, "Sat 11-28"), (60.0, "Sun 11-29"))
    rows = {row.label: [(mark.kind, mark.start, mark.end) for mark in row.marks] for row in drawn.rows}
    assert rows["helper"] == [(ACCESS, 0, 14), (WORK, 14, 54), (WORK, 60, 105), (ACCESS, 105, 125)]
    assert rows["Lower cowling"] == [(OFF, 0, 125)]


def test_the_caution_of_a_place_where_nothing_comes_off_stands_before_its_first_check() -> None:
    place = replace(plan().steps[1], panel="papers")
    made = replace(plan(), steps=(place,), bars=(), cautions=(StepCaution(at="papers", text="Stay out of the arc."),))
    text = plain.render(plan_page(made, BOOK), 120)
    assert text.index("CAUTION: Stay out of the arc.") < text.index("compression: Differential")
