"""A refusal names what cannot all be kept, each demand of it needed for the contradiction, and what would help."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Lag, Panel
from inspect_kit.plan import Contradiction, Job, Plan, Shift, plan
from inspect_kit.plan.conflict import conflict, quick_explanation
from inspect_kit.plan.frame import frame_of
from inspect_kit.plan.steps import work_of
from inspect_kit.scheduling.problem import Project, Solution
from inspect_kit.scheduling.solve import NODES, solve

HERE = Place("invented.md", 1)
EVENING = Shift(start=0, end=60, people=1, inspectors=1)


def check(name: str, panel: str = "floor", minutes: int = 20, **more: object) -> Check:
    return Check(id=name, panel=panel, text=name, minutes=minutes, place=HERE, **more)  # type: ignore[arg-type]


def setup(name: str, *needs: str, overnight: bool = True) -> Panel:
    return Panel(
        id=name, name=name, zone="z", kind="setup", remove=5, refit=5, needs=needs, overnight=overnight, place=HERE
    )


def job(*checks: Check, panels: tuple[Panel, ...] = (), **more: object) -> Job:
    floor = Panel(id="floor", name="floor", zone="z", kind="place", place=HERE)
    known = {each.id: each for each in checks}
    return Job(
        panels={panel.id: panel for panel in (floor, *panels)},
        checks=known,
        chosen=tuple(known),
        crew=Crew(people=1, inspectors=1),
        **more,  # type: ignore[arg-type]
    )


def refusal(asked: Job) -> Contradiction:
    answer = plan(asked)
    assert not isinstance(answer, Plan)
    return answer[0]


NOT_ENOUGH_TIME = job(
    check("oil", minutes=10),
    check("tyres", minutes=10),
    # One person: whichever is looked at second starts 15 min after the run, and 30 min of it follow the other.
    check("leaks", minutes=30, within=Lag(minutes=10, check="run")),
    check("mags", minutes=30, within=Lag(minutes=10, check="run")),
    check("run", minutes=5),
)


def test_two_looks_by_one_person_that_must_both_follow_at_once() -> None:
    told = refusal(NOT_ENOUGH_TIME)
    assert set(told.about) == {"leaks", "mags", "run"}
    assert told.reason == (
        "these cannot all be kept: leaks starts within 10 min of run; mags starts within 10 min of run"
    )
    assert told.cure == "one of these helps: more time in `within` of leaks; more time in `within` of mags"


def test_each_demand_is_asked_briefly_and_nothing_is_called_proved_that_was_only_not_found() -> None:
    """A refusal took as many full searches as there are demands, 20 s for one, and called fewer proved by all."""
    asked = replace(
        NOT_ENOUGH_TIME,
        checks=NOT_ENOUGH_TIME.checks | {name: check(name, minutes=10, needs=("lamp",)) for name in ("oil", "tyres")},
        gear={"lamp": 1},
    )
    work = work_of(asked)
    questions = []

    def not_found(problem: Project, budget: int, most: int) -> Solution:
        questions.append(most)
        answer = solve(problem, budget, most)
        return replace(answer, reason="search") if answer.schedule is None else answer

    told = conflict(asked, work, solve(frame_of(asked, work).problem), not_found)
    assert told.reason.startswith("no order was found that keeps all of these: leaks starts")
    assert len(questions) == 3
    assert sum(questions) < NODES


@settings(max_examples=200)
@given(st.sets(st.integers(0, 99), min_size=1, max_size=3), st.sets(st.integers(0, 99), min_size=1, max_size=3))
def test_of_a_hundred_demands_the_few_that_contradict_each_other_take_few_questions(
    one: set[int], other: set[int]
) -> None:
    """A refusal of a store with sessions asked each of a hundred demands, 45 s of processor time."""
    questions = []

    def has_order(kept: Sequence[int]) -> bool:
        questions.append(kept)
        return not (one <= {*kept} or other <= {*kept})

    found = {*quick_explanation((), range(100), has_order)}
    assert found in (one, other)
    assert len(questions) <= 2 * len(found) * 8


def test_what_is_said_to_help_helps() -> None:
    for name in ("leaks", "mags"):
        more = replace(NOT_ENOUGH_TIME.checks[name], within=Lag(minutes=30, check="run"))
        assert isinstance(plan(replace(NOT_ENOUGH_TIME, checks={**NOT_ENOUGH_TIME.checks, name: more})), Plan)


# The wheels hold the jacks until the tail is seen, the tail stand holds them until the wheels are.
CROSSED = job(
    check("wheel", "on-jacks", after=("first-tail",)),
    check("first-wheel", "on-jacks"),
    check("tail", "on-stand", after=("first-wheel",)),
    check("first-tail", "on-stand"),
    panels=(setup("on-jacks", "jacks"), setup("on-stand", "jacks")),
    gear={"jacks": 1},
)


def test_two_setups_that_wait_for_one_pair_of_jacks() -> None:
    told = refusal(CROSSED)
    assert set(told.about) == {"on-jacks", "on-stand"}
    assert told.reason == "these cannot all be kept: there is 1 of `jacks` under `tooling` for on-jacks, on-stand"
    assert told.cure == "one of these helps: more of `jacks` under `tooling`"
    assert isinstance(plan(replace(CROSSED, gear={"jacks": 2})), Plan)


def test_a_setup_that_must_not_stand_overnight_and_takes_longer_than_an_evening() -> None:
    asked = job(
        check("left", "on-jacks", 30),
        check("right", "on-jacks", 30),
        check("seats"),
        panels=(setup("on-jacks", overnight=False),),
        shifts=tuple(replace(EVENING, start=n * 1440, end=n * 1440 + 60) for n in range(9)),
    )
    told = refusal(asked)
    assert told.about == ("on-jacks",)
    assert told.reason == (
        "these cannot all be kept: no session is longer than 1 h; on-jacks must not stand over a break"
    )
    assert told.cure == (
        "one of these helps: longer sessions; a session that holds all that is done while on-jacks stands"
    )
    longer = tuple(replace(shift, end=shift.start + 70) for shift in asked.shifts)
    assert isinstance(plan(replace(asked, shifts=longer)), Plan)


@pytest.mark.parametrize(("checks", "more"), [(4, 1), (7, 2)])
def test_hours_that_do_not_hold_the_work_say_what_is_left_over_and_how_many_more_hold_it(
    checks: int, more: int
) -> None:
    asked = job(*(check(f"c{n}") for n in range(checks)), shifts=(EVENING,))
    told = refusal(asked)
    assert len(told.about) == checks - 3
    assert told.reason == (
        f"the sessions do not hold the work: {', '.join(told.about)} {'is' if checks == 4 else 'are'} left over"
    )
    assert told.cure == (
        f"{more} more {'session' if more == 1 else 'sessions'} like the last one (1 h) would hold the work"
    )
    enough = tuple(replace(EVENING, start=n * 1440, end=n * 1440 + 60) for n in range(more + 1))
    assert isinstance(plan(replace(asked, shifts=enough)), Plan)
    assert not isinstance(plan(replace(asked, shifts=enough[:-1])), Plan)


def test_of_much_that_is_left_over_the_first_is_named_and_the_rest_counted() -> None:
    """Of the sample's condition inspection 118 names stood before the sessions that it lacks: a picture showed it."""
    asked = job(*(check(f"c{n}") for n in range(13)), shifts=(EVENING,))
    told = refusal(asked)
    assert len(told.about) == 10
    assert told.reason == (
        f"the sessions do not hold the work: {', '.join(told.about[:5])} and 5 more are left over"
    )
