"""What a job makes owed by its own work, the order that follows, and how few people can do it."""

from dataclasses import replace

import pytest

from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Trigger
from inspect_kit.plan import Fewest, Job, Plan, faults, fewest, owed_here, plan, with_owed
from tests.plan.broken import LIFE, check, job, panel


def owed(name: str, *after: str, where: str = "floor", **more: object) -> Check:
    triggers = tuple(Trigger(verb=verb, what=what) for verb, what in (words.split() for words in after))
    return check(name, where, owed_after=triggers, **more)


def asked(chosen: str, *checks: Check, **more: object) -> Job:
    every = {each.id: each for each in checks}
    return replace(job(*checks, **more), checks=every, chosen=tuple(chosen.split()))


def told(question: Job) -> dict[str, dict[str, list[str]]]:
    here = owed_here(question)
    return {
        key: {name: list(map(str, why)) for name, why in getattr(here, key).items()}
        for key in ("taken", "later", "others")
        if getattr(here, key)
    }


def done(question: Job) -> list[str]:
    made = plan(question)
    assert isinstance(made, Plan), made
    assert not faults(question, made)
    return [step.check or f"{step.step} {step.panel}" for step in made.steps]


OIL = (
    check("oil"),
    owed("cut", "did oil"),
    owed("run", "did cut", where="cowl", closed_except=("cowl",)),
    check("look"),
)


def test_one_thing_leads_to_another() -> None:
    assert told(asked("oil", *OIL)) == {"taken": {"cut": ["oil"], "run": ["cut"]}}
    assert told(asked("look", *OIL)) == {}
    # What was asked for anyway is not taken in, and still comes after.
    assert told(asked("oil cut", *OIL)) == {"taken": {"run": ["cut"]}}
    assert with_owed(asked("oil", *OIL)).chosen == ("oil", "cut", "run")
    assert done(with_owed(asked("oil look", *OIL)))[-3:] == ["cut", "run", "refit cowl"]


WING = {each.id: each for each in (panel("wing", disturbs=("cables",)), panel("cowl"), panel("floor", None, None))}


@pytest.mark.parametrize("off", [(), ("wing",)])
def test_a_panel_owes_when_it_is_back_also_one_that_was_off_already(off: tuple[str, ...]) -> None:
    question = asked("bush", check("bush", "wing"), owed("free", "disturbed cables"), panels=WING, off=off)
    assert told(question) == {"taken": {"free": ["wing, which disturbs cables"]}}
    assert done(with_owed(question))[-2:] == ["refit wing", "free"]


def test_what_is_taken_in_may_open_a_panel_that_owes_more() -> None:
    question = asked(
        "oil", check("oil"), owed("bush", "did oil", where="wing"), owed("free", "disturbed cables"), panels=WING
    )
    assert told(question) == {"taken": {"bush": ["oil"], "free": ["wing, which disturbs cables"]}}


def test_a_check_that_disturbs_and_a_part_that_is_renewed() -> None:
    question = asked(
        "unhook hose",
        check("unhook", "floor", disturbs=("cables",)),
        owed("free", "disturbed cables"),
        check("hose", "floor", life=LIFE, counts_on="hoses"),
        owed("flow", "installed hoses", "did nothing-known"),
    )
    assert told(question)["taken"] == {
        "free": ["unhook, which disturbs cables"],
        "flow": ["hose, a new part in hoses"],
    }
    order = done(with_owed(question))
    assert order.index("hose") < order.index("flow")


def test_what_comes_later_or_from_others_is_said_only() -> None:
    question = asked(
        "oil",
        check("oil"),
        owed("torque", "did oil", first=LIFE),
        owed("lab", "did oil", who="others"),
        owed("gone", "did oil", retired=object()),
    )
    assert told(question) == {"later": {"torque": ["oil"]}, "others": {"lab": ["oil"]}}
    assert with_owed(question).chosen == ("oil",)


def test_what_comes_later_and_is_done_all_the_same_is_done_after_it() -> None:
    question = asked("bush torque", check("bush", "wing"), owed("torque", "disturbed cables", first=LIFE), panels=WING)
    assert done(question)[-2:] == ["refit wing", "torque"]
    # Unless something has it before: then that is kept.
    earlier = asked(
        "bush torque",
        check("bush", "wing", after=("torque",)),
        owed("torque", "disturbed cables", first=LIFE),
        panels=WING,
    )
    assert done(earlier)[-2:] == ["bush", "refit wing"]
    run = asked("torque run", owed("torque", "did run", first=LIFE), check("run", "floor", when="closed"))
    assert done(run) == ["torque", "run"]


def test_what_makes_each_other_owed_ends() -> None:
    question = asked("one", owed("one", "did two"), owed("two", "did one"))
    assert told(question) == {"taken": {"two": ["one"]}}
    answer = plan(with_owed(question))
    assert isinstance(answer, tuple)
    assert answer[0].reason == (
        "steps wait for each other in a circle: two is owed after one; one is owed after two"
    )


def test_the_run_waits_for_every_open_check_that_does_not_follow_it() -> None:
    run = check("run", "cowl", closed_except=("cowl",))
    free = [check(f"c{number}", "floor") for number in range(3)]
    late = check("late", "floor", after=("run",))
    question = job(run, *free, late, crew=Crew(people=1, inspectors=1), names=("ann",))
    order = done(question)
    assert max(order.index(each.id) for each in free) < order.index("run") < order.index("late")


@pytest.mark.parametrize(
    ("checks", "expected"),
    [
        ([check("a")], Fewest(people=1, together=0, looks=0)),
        ([check("a", people=2)], Fewest(people=2, together=1, looks=0)),
        ([check("a", "heavy")], Fewest(people=2, together=2, looks=0)),
        ([check("a", second_look=True)], Fewest(people=2, together=0, looks=1)),
        ([check("a", second_look=True), check("b", people=3)], Fewest(people=3, together=1, looks=1)),
        ([check("a", "floor", people=2, second_look=True, who="others")], Fewest(people=1, together=0, looks=0)),
        ([check("a", "seat")], Fewest(people=2, together=0, looks=1)),
    ],
)
def test_how_few_can_do_it(checks: list[Check], expected: Fewest) -> None:
    question = job(*checks)
    seat = panel("seat", 3, 3, second_look=True)
    assert fewest(replace(question, panels={**question.panels, "seat": seat})) == expected


def test_a_panel_that_is_off_already_moves_once() -> None:
    assert fewest(replace(job(check("a", "heavy")), off=("heavy",))) == Fewest(people=2, together=1, looks=0)
