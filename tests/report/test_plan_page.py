"""The plan as a page."""

import datetime as dt
from dataclasses import replace

import pytest

from inspect_kit.plan import Bar, Caution, Plan, Shift
from inspect_kit.report import compare_page, plain, plan_page
from inspect_kit.report.blocks import ACCESS, CRITICAL, OFF, WORK
from inspect_kit.report.pages.hours import Hours
from inspect_kit.report.pages.timeline import timeline
from tests.report.answers import PROBLEMS, plan
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
        "less than 1 h 54 min: at most 5 min longer than the best possible."
    ) in words
    proved = replace(plan(), proved=True, lower_bound=119)
    assert "no plan can take less than 1 h 59 min: proved shortest." in " ".join(
        plain.render(plan_page(proved, BOOK), 80).split()
    )


def test_steps_have_clock_minutes_and_people() -> None:
    rows = [" ".join(line.split()) for line in text(120).splitlines()]
    assert "0:00-0:14 REMOVE Lower cowling (cowl-lower) 14 inspector + helper *" in rows
    assert "0:14-0:54 compression: Differential compression, engine warm 40 inspector + helper *" in rows
    assert (
        "0:54-1:39 oil-change: Change the oil and the filter; cut the filter open and look for metal 45 helper *"
        in rows
    )
    assert "1:39-1:59 REFIT Lower cowling (cowl-lower) 20 inspector + helper *" in rows


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
    assert "1 person 1 h 59 min 3 h 13 min 1 h 54 min at most 5 min longer than the best possible" in rows
    assert "2 people 1 h 3 h 13 min 1 h 54 min proved shortest" in rows


def test_a_plan_from_a_store_with_problems_says_so_first() -> None:
    made = plain.render(plan_page(plan(), replace(BOOK, problems=PROBLEMS)), 80)
    assert made.splitlines()[3].startswith("INCOMPLETE")


SATURDAY = Hours(
    began=dt.datetime(2026, 11, 28, 9, 0),
    shifts=(
        Shift(start=0, end=60, people=2, inspectors=1),
        Shift(start=1440, end=1530, people=1, inspectors=1),
    ),
)


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
    rows = [
        " ".join(line.split())
        for line in plain.render(plan_page(in_sessions(), BOOK, hours=SATURDAY), 120).splitlines()
    ]
    assert rows.index("─── Session 1: Saturday 2026-11-28, 09:00 to 10:00, 2 people") < rows.index(
        "09:14-09:54 compression: Differential compression, engine warm 40 inspector + helper *"
    )
    sunday = rows.index("─── Session 2: Sunday 2026-11-29, 09:00 to 10:30, 1 person")
    assert rows[sunday + 1].startswith("09:00-09:45 oil-change")
    assert "Lower cowling Sat 11-28 09:00 Sun 11-29 10:05 2 h 5 min compression, oil-change" in rows
    words = " ".join(rows)
    assert "2 h 5 min at work over 2 sessions, done Sun 11-29 10:05, for 2 people" in words
    assert "no plan can take less than 2 h at work: at most 5 min longer than the best possible." in words


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
    made = replace(plan(), steps=(place,), bars=(), cautions=(Caution(at="papers", text="Stay out of the arc."),))
    text = plain.render(plan_page(made, BOOK), 120)
    assert text.index("CAUTION: Stay out of the arc.") < text.index("compression: Differential")
