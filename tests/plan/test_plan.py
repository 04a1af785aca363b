"""Plans: what must hold for every one of them, and what there can be no plan for."""

import random
from dataclasses import replace
from itertools import permutations

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Lag, Panel
from inspect_kit.plan import Job, Plan, Shift, faults, plan
from tests.plan.instances import FAMILIES, job_of

HERE = Place("x.md", 1)
SMALL = [family for family in FAMILIES if "small" in family.name]


def made(job: Job) -> Plan:
    answer = plan(job)
    assert isinstance(answer, Plan), answer
    return answer


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.name)
def test_every_family_is_planned_within_a_hundredth_of_its_bound(family) -> None:  # type: ignore[no-untyped-def]
    """The checker has passed each plan before it is given out; here it is asked once more."""
    job = job_of(family, 11)
    answer = made(job)
    assert not faults(job, answer)
    assert answer.lower_bound <= answer.elapsed
    # With helpers or sessions by the clock the gap can be larger; the plan says how large at most.
    assert family.hours or answer.worked <= 1.01 * answer.worked_bound
    assert answer.proved == (answer.lower_bound == answer.elapsed)


def test_one_person_takes_the_sum_in_any_order() -> None:
    for seed in range(5):
        job = job_of(FAMILIES[0], seed)
        answer = made(job)
        assert answer.elapsed == answer.labour == sum(step.end - step.start for step in answer.steps)
        assert answer.proved


def test_with_one_inspector_never_shorter_than_the_inspectors_own_work() -> None:
    for seed in range(3):
        job = job_of(FAMILIES[1], seed)
        one = replace(job, crew=Crew(people=2, inspectors=1))
        own = sum(job.checks[name].minutes for name in job.chosen if job.checks[name].who == "inspector")
        assert made(one).elapsed >= own


def test_the_order_of_files_changes_nothing() -> None:
    job = job_of(SMALL[0], 3)
    shuffled = random.Random(1)
    panels, checks, chosen = list(job.panels.items()), list(job.checks.items()), list(job.chosen)
    for things in (panels, checks, chosen):
        shuffled.shuffle(things)
    other = replace(job, panels=dict(panels), checks=dict(checks), chosen=tuple(chosen))
    assert made(other).steps == made(job).steps


def test_the_checker_finds_what_a_plan_may_not_do() -> None:
    job = job_of(SMALL[0], 4)
    good = made(job)
    assert not faults(job, good)
    early = tuple(replace(step, start=0, end=step.end - step.start) for step in good.steps)
    assert faults(job, replace(good, steps=early))
    assert faults(job, replace(good, steps=good.steps[1:]))
    assert faults(job, replace(good, elapsed=good.elapsed - 1))
    assert faults(job, replace(good, labour=good.labour + 1))


def panel(name: str, remove: int, refit: int, *behind: str) -> Panel:
    return Panel(id=name, name=name, zone="z", remove=remove, refit=refit, behind=behind, place=HERE)


def check(name: str, where: str, minutes: int, **more: object) -> Check:
    return Check(id=name, panel=where, text=name, minutes=minutes, place=HERE, **more)  # type: ignore[arg-type]


def tiny(seed: int) -> Job:
    chance = random.Random(seed)
    panels = [panel("a", chance.randint(1, 9), chance.randint(1, 9)), panel("b", 4, 3, "a")]
    checks = [
        check(f"c{number}", chance.choice("ab"), chance.randint(1, 12), people=chance.choice((1, 1, 2)))
        for number in range(3)
    ]
    return Job(
        panels={each.id: each for each in panels},
        checks={each.id: each for each in checks},
        chosen=tuple(each.id for each in checks),
        crew=Crew(people=2, inspectors=2),
    )


@pytest.mark.parametrize("seed", range(12))
def test_brute_force_finds_nothing_shorter(seed: int) -> None:
    """All orders of all steps, each step as early as two people allow: serial generation holds an optimum (active)."""
    job = tiny(seed)
    answer = made(job)
    assert answer.proved
    steps: dict[str, tuple[int, int, set[str]]] = {}
    for name in answer.panels:
        noun = job.panels[name]
        users = [c for c in job.chosen if job.checks[c].panel == name or (name == "a" and job.checks[c].panel == "b")]
        off_before = {f"off {first}" for first in noun.behind if first in answer.panels}
        steps[f"off {name}"] = (noun.remove or 0, 1, off_before)
        inner = {f"on {other}" for other in answer.panels if name in job.panels[other].behind}
        steps[f"on {name}"] = (noun.refit or 0, 1, set(users) | inner)
    for name in job.chosen:
        steps[name] = (job.checks[name].minutes, job.checks[name].people, {f"off {job.checks[name].panel}"})
    best = min(_finish(steps, order) for order in permutations(steps) if _is_order(steps, order))
    assert answer.elapsed == best


def _is_order(steps: dict[str, tuple[int, int, set[str]]], order: tuple[str, ...]) -> bool:
    seen: set[str] = set()
    for name in order:
        if not steps[name][2] <= seen:
            return False
        seen.add(name)
    return True


def _finish(steps: dict[str, tuple[int, int, set[str]]], order: tuple[str, ...]) -> int:
    busy: dict[int, int] = {}
    end: dict[str, int] = {}
    for name in order:
        minutes, people, before = steps[name]
        start = max((end[first] for first in before), default=0)
        while any(busy.get(minute, 0) + people > 2 for minute in range(start, start + minutes)):
            start += 1
        for minute in range(start, start + minutes):
            busy[minute] = busy.get(minute, 0) + people
        end[name] = start + minutes
    return max(end.values())


def job(*checks: Check, crew: Crew | None = None, panels: tuple[Panel, ...] = ()) -> Job:
    panels = panels or (panel("a", 5, 5), panel("b", 5, 5, "a"))
    return Job(
        panels={each.id: each for each in panels},
        checks={each.id: each for each in checks},
        chosen=tuple(each.id for each in checks),
        crew=crew or Crew(people=1, inspectors=1),
    )


IMPOSSIBLE = {
    "two people where there is one": job(check("c", "a", 5, people=2)),
    "a circle of behind": job(check("c", "a", 5), panels=(panel("a", 1, 1, "b"), panel("b", 1, 1, "a"))),
    "a circle of after": job(check("c", "a", 5, after=("d",)), check("d", "a", 5, after=("c",))),
    "a window too short": job(
        check("c", "a", 5),
        check("d", "a", 5, within=Lag(minutes=2, check="c"), wait=Lag(minutes=9, check="c")),
    ),
    "a setup that must not stand and is needed": job(check("c", "a", 5, with_=("b",), not_while=("b",))),
    "gear that is not there": job(check("c", "a", 5, needs=("jacks",))),
    "two people in sessions of one": replace(
        job(check("c", "a", 5, people=2), crew=Crew(people=2, inspectors=1)),
        shifts=(Shift(start=0, end=60, people=1, inspectors=1),),
    ),
    "an inspector in sessions of a helper": replace(
        job(check("c", "a", 5, who="inspector"), crew=Crew(people=2, inspectors=1)),
        shifts=(Shift(start=0, end=60, people=1, inspectors=0),),
    ),
}


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_a_contradiction_is_named_with_its_cure(name: str) -> None:
    answer = plan(IMPOSSIBLE[name])
    assert isinstance(answer, tuple), answer
    assert answer
    for each in answer:
        assert each.reason
        assert each.cure
        assert each.about


def test_setups_on_one_pair_of_jacks_stand_one_after_another() -> None:
    """Four setups of 10 + 20 + 10 min share the jacks: 160 min for any crew, with a second pair half of it."""
    setups = [
        Panel(
            id=f"up-{n}", name="up", zone="z", kind="setup", remove=10, refit=10, needs=("jacks",), place=HERE
        )
        for n in range(4)
    ]  # fmt: skip
    checks = [check(f"c{n}-{m}", f"up-{n}", 20) for n in range(4) for m in range(2)]
    question = replace(
        job(*checks, crew=Crew(people=4, inspectors=4), panels=tuple(setups)), gear={"jacks": 1}
    )  # fmt: skip
    answer = made(question)
    assert (answer.elapsed, answer.lower_bound, answer.proved) == (160, 160, True)
    assert made(replace(question, gear={"jacks": 2})).elapsed == 80
