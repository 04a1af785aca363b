"""The order of a page: panels together, every rule of the checklists kept, and nobody finishes later than the plan.

The rules are read from the checklists here, and the page is walked through by people who each take their own steps in
its order: nothing is taken from the code that made the order but the order.
"""

import itertools
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest

from inspect_kit.model.checklist import Lag
from inspect_kit.model.worksheet import CLOSING, OPENING, Step
from inspect_kit.plan import Job, Plan, page_order, plan
from inspect_kit.plan.page_order import _ties_of
from inspect_kit.plan.request import Wishes
from inspect_kit.plan.steps import work_of
from tests.plan import broken
from tests.plan.instances import FAMILIES, Family, job_of

SMALL = [family for family in FAMILIES if not family.hours and family.panels <= 40]


def headings(steps: Sequence[Step]) -> int:
    """How many headings a page of these steps has."""
    return sum(1 for _ in itertools.groupby(steps, key=lambda step: step.panel))


def off_for(job: Job, name: str) -> set[str]:
    """The panels that are off while somebody works at this one, places passed through."""
    panel = job.panels[name]
    own = {name} if panel.remove is not None else set()
    return own.union(*(off_for(job, outer) for outer in panel.behind))


def walked(job: Job, steps: Sequence[Step]) -> int:
    """The minute at which the last one is done; every rule is asserted on the way."""
    free: dict[str, int] = {}
    ended: dict[str, int] = {}
    off: dict[str, int] = {}
    done: list[str] = []
    for step in steps:
        key = step.check or f"{step.step} {step.panel}"
        panel = job.panels[step.panel]
        wanted = set().union(*(off_for(job, outer) for outer in panel.behind)) if not step.check else set()
        start = max([free.get(name, 0) for name in step.who], default=0)
        if step.check:
            check = job.checks[step.check]
            for name in (check.panel, *check.with_):
                wanted |= off_for(job, name)
            for first in check.after:
                assert first in ended or first not in job.chosen, f"{key} stands above {first}"
                start = max(start, ended.get(first, 0))
            if check.wait and check.wait.check in ended:
                start = max(start, ended[check.wait.check] + check.wait.minutes)
            assert check.wait is None or check.wait.check in ended or check.wait.check not in job.chosen
            if check.alone:
                start = max([start, *ended.values()])
        for name in wanted:
            assert name in off, f"{key} stands where {name} is not off"
            start = max(start, off[name])
        if step.step in CLOSING:
            inside = [
                other
                for other in steps
                if other.check and step.panel in set().union(*(off_for(job, name) for name in _at(job, other.check)))
            ]
            for other in inside:
                assert other.check in ended, f"{key} stands above {other.check}"
                start = max(start, ended[other.check])
            off.pop(step.panel)
        if step.check and job.checks[step.check].within:
            lag = job.checks[step.check].within
            assert lag is not None
            if lag.check in ended:
                assert start - ended[lag.check] <= lag.minutes, f"{key} comes too late after {lag.check}"
        end = start + step.end - step.start
        ended[key] = end
        for name in step.who:
            free[name] = end
        if step.step in OPENING:
            off[step.panel] = end
        done.append(key)
    assert not off, "what came off goes back on"
    return max(ended.values())


def _at(job: Job, name: str) -> tuple[str, ...]:
    check = job.checks[name]
    return (check.panel, *check.with_)


def planned(job: Job) -> Plan:
    made = plan(replace(job, wishes=Wishes()), 60)
    assert isinstance(made, Plan)
    return made


@cache
def ordered(family: Family) -> tuple[Job, Plan, tuple[Step, ...]]:
    job = job_of(family, 1)
    made = planned(job)
    return job, made, page_order(job, made)


@pytest.mark.parametrize("family", SMALL, ids=lambda family: family.name)
def test_panels_stand_together_and_nothing_is_lost(family) -> None:  # type: ignore[no-untyped-def]
    job, made, order = ordered(family)
    assert sorted(map(str, order)) == sorted(map(str, made.steps))
    assert headings(order) < headings(made.steps)
    assert walked(job, made.steps) <= made.elapsed
    assert walked(job, order) <= made.elapsed


def test_a_check_that_must_soon_follow_is_not_left_behind() -> None:
    """The test of `within`: the nearer the limit, the fewer places there are for a check on the page."""
    job = job_of(SMALL[1], 3)
    made = planned(job)
    checks = [step.check for step in made.steps if step.check]
    first, second = checks[0], checks[5]
    gap = next(s.start for s in made.steps if s.check == second) - next(s.end for s in made.steps if s.check == first)
    soon = replace(job.checks[second], within=Lag(minutes=max(gap, 0), check=first))
    tight = replace(job, checks={**job.checks, second: soon})
    followed = planned(tight)
    assert walked(tight, page_order(tight, followed)) <= followed.elapsed


def test_a_plan_in_sessions_or_too_large_stays_in_the_order_of_the_clock() -> None:
    evening = job_of(next(family for family in FAMILIES if family.hours == "evening"), 1)
    made = planned(evening)
    assert page_order(evening, made) == made.steps
    # The one that tests/plan/test_plan.py asks for as well: it is searched once.
    large = job_of(next(family for family in FAMILIES if family.panels == 200), 11)
    made = plan(replace(large, wishes=Wishes()))
    assert isinstance(made, Plan)
    assert len(made.steps) > 1000
    assert page_order(large, made) == made.steps


def test_effort_is_counted_in_steps() -> None:
    job, made, order = ordered(SMALL[1])
    assert page_order(job, made, 0) == made.steps
    assert headings(order) < headings(page_order(job, made, 3000)) <= headings(made.steps)


def test_what_shares_tooling_at_the_same_time_is_put_in_no_order() -> None:
    """Of two jacks each look takes one: nothing says which comes first, where one ends before the other it stays."""
    looks = (broken.check(name, "floor", needs=("jacks",)) for name in ("tyres", "wheels"))
    question = broken.job(*looks, gear={"jacks": 2})
    both = broken.told(question, "0-10 tyres ann\n0-10 wheels bo")
    assert [*_ties_of(work_of(question), both).after] == [frozenset(), frozenset()]
    one_by_one = broken.told(question, "0-10 wheels ann\n10-20 tyres ann")
    assert [*_ties_of(work_of(question), one_by_one).after] == [frozenset({1}), frozenset()]
