"""Rules of thumb: every limit kept, each doing where the rule has it. What is guarded waits for its slot."""

from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from inspect_kit.replenishment.check import schedule_faults
from inspect_kit.replenishment.problem import TODAY, JointProblem, ReplenishedItem, Replenishment, item_from_rule
from inspect_kit.replenishment.search import Effort, replenish
from inspect_kit.replenishment.thumb import Doings, when_due, with_what_is_near
from tests.replenishment.instances import invented, problem
from tests.replenishment.reference import solve as optimum

QUICK = Effort(rounds=20, generations=1, brood_rounds=12, brood_shakes=20, shakes=40)


def every(name: str, period: int, slots: int = 20, **more: object) -> ReplenishedItem:
    """An item every so many slots, never done before; a minute for each slot that it is early."""

    def latest(last: int) -> int:
        return last + period

    return item_from_rule(
        name=name, needs=(), slots=slots, latest=latest, waste=lambda last, again: float(latest(last) - again), **more
    )  # type: ignore[arg-type]


def limits_kept(made: JointProblem, doings: Doings) -> list[str]:
    """The faults but those of the costs, which a rule of thumb does not say."""
    said = schedule_faults(made, Replenishment(doings=doings, visits=0, setups=0, waste=0))
    return [fault for fault in said if " cost " not in fault]


def test_each_is_done_as_late_as_it_may_be_or_with_what_is_near() -> None:
    made = JointProblem(items=(every("a", 5), every("b", 7)), setups={}, visit=(1.0,) * 20)
    assert when_due(made) == {"a": (4, 9, 14, 19), "b": (6, 13)}
    # Two slots before it is due it is near: at 4 with `a`, at 9 not, at 11 it is due itself.
    near = {item.name: tuple(limit - 2 for limit in item.latest) for item in made.items}
    assert with_what_is_near(made, near) == {"a": (4, 9, 14, 19), "b": (4, 9, 14)}


def test_who_follows_comes_along_and_counts_from_there() -> None:
    made = JointProblem(items=(every("a", 5), every("b", 7, follows=("a",))), setups={}, visit=(1.0,) * 20)
    assert when_due(made) == {"a": (4, 9, 14, 19), "b": (4, 9, 14, 19)}


@given(st.integers(0, 10_000), st.booleans())
@settings(max_examples=25, deadline=None)
def test_both_rules_keep_every_limit_and_no_plan_is_dearer(seed: int, inspection: bool) -> None:
    made, near = invented(seed, items=8, panels=6, months=9, inspection=inspection)
    for doings in (when_due(made), with_what_is_near(made, near)):
        assert limits_kept(made, doings) == []


# --- what is not done early by choice ---


def guarded(made: JointProblem, dice: int) -> JointProblem:
    """The same where some items wait for one of the last two slots in time."""
    items = []
    for number, item in enumerate(made.items):
        early = tuple(max(last + 1, limit - 1) for last, limit in enumerate(item.latest, TODAY))
        items.append(replace(item, earliest=early) if (number + dice) % 3 == 0 else item)
    return replace(made, items=tuple(items))


@given(st.integers(0, 10_000), st.booleans(), st.integers(3, 12))
@example(seed=319, inspection=True, months=4)
@settings(max_examples=40, deadline=None)
def test_what_is_guarded_waits_for_its_slot_unless_a_leader_is_done(seed: int, inspection: bool, months: int) -> None:
    made = guarded(problem(seed, items=9, panels=6, months=months, inspection=inspection), seed)
    found = replenish(made, QUICK)
    assert schedule_faults(made, found) == []
    assert limits_kept(made, when_due(made)) == []


@pytest.mark.parametrize("seed", range(4))
def test_guarded_plans_are_near_the_proved_optimum_with_a_valid_bound(seed: int) -> None:
    made = guarded(problem(seed, items=10, panels=8, months=12, inspection=False), seed)
    found = replenish(made, Effort(rounds=60, generations=3, brood_rounds=24, brood_shakes=100, shakes=240))
    best, proof, proved = optimum(made, seconds=60)
    free, _, _ = optimum(replace(made, items=tuple(replace(item, earliest=()) for item in made.items)), seconds=60)
    assert proved
    assert found.bound <= proof + 1e-4
    assert best - 1e-4 <= found.total <= best * 1.01
    assert best >= free - 1e-4


def test_the_checker_sees_what_is_done_early_by_choice() -> None:
    item = replace(every("a", 4, 6), earliest=(2, 3, 4, 5, 6, 6, 6))
    made = JointProblem(items=(item,), setups={}, visit=(1.0,) * 6)
    early = Replenishment(doings={"a": (1, 5)}, visits=2, setups=0, waste=2)
    assert any("by choice" in fault for fault in schedule_faults(made, early))
    leader = every("l", 4, 6)
    follower = replace(item, follows=("l",))
    led = JointProblem(items=(leader, follower), setups={}, visit=(1.0,) * 6)
    both = Replenishment(doings={"l": (1, 5), "a": (1, 5)}, visits=2, setups=0, waste=4)
    assert schedule_faults(led, both) == []


def test_an_item_has_as_many_earliest_slots_as_latest_ones() -> None:
    with pytest.raises(ValueError, match="one entry of earliest for each of latest"):
        replace(every("a", 4, 6), earliest=(1, 2))
