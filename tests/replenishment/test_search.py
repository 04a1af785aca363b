"""The optimisation: valid plans, a valid bound, near the optimum that HiGHS proves, the same every time."""

import random
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.replenishment.breed import rhythm
from inspect_kit.replenishment.check import schedule_faults
from inspect_kit.replenishment.later import as_late
from inspect_kit.replenishment.problem import TODAY, JointProblem, ReplenishedItem, Replenishment, item_from_rule
from inspect_kit.replenishment.search import Effort, effort_for, replenish
from tests.replenishment.instances import problem
from tests.replenishment.reference import solve as optimum

# A shake costs a fifth of a build: so many take about as long as the rounds.
SMALL = Effort(rounds=60, generations=3, brood_rounds=24, brood_shakes=100, shakes=240)


@pytest.mark.parametrize(("seed", "inspection"), [*product(range(4), (False, True))])
def test_near_the_proved_optimum_with_a_valid_bound(seed: int, inspection: bool) -> None:
    small = problem(seed, items=14, panels=12, months=12, inspection=inspection)
    found = replenish(small, SMALL)
    best, proof, proved = optimum(small, seconds=60)
    assert proved
    assert schedule_faults(small, found) == []
    assert found.bound <= proof + 1e-4
    assert best - 1e-4 <= found.total <= best * 1.01


@given(st.integers(0, 10_000), st.booleans(), st.integers(1, 9))
@settings(max_examples=25)
def test_any_plan_keeps_limits_and_adds_up(seed: int, inspection: bool, months: int) -> None:
    made = problem(seed, items=8, panels=6, months=months, inspection=inspection)
    found = replenish(made, Effort(rounds=12, generations=1, brood_rounds=12, brood_shakes=6, shakes=8))
    assert schedule_faults(made, found) == []


def test_the_same_problem_gives_the_same_plan() -> None:
    made = problem(3, items=16, panels=12, months=12)
    assert replenish(made, SMALL) == replenish(made, SMALL)


def test_more_seconds_mean_no_less_search() -> None:
    made = problem(3, items=16, panels=12, months=12)
    short, long = effort_for(made, 0.2), effort_for(made, 4.0)
    assert (short.rounds, short.generations, short.shakes) < (long.rounds, long.generations, long.shakes)


def every(name: str, period: int, slots: int, *, first: int | None = None, **more: object) -> ReplenishedItem:
    """An item every so many slots, due for the first time at `first`; a minute for each slot that it is early."""

    def latest(last: int) -> int:
        return (period - 1 if first is None else first) if last == TODAY else last + period

    return item_from_rule(
        name=name, needs=(), slots=slots, latest=latest, waste=lambda last, again: float(latest(last) - again), **more
    )  # type: ignore[arg-type]


def test_an_item_that_cannot_wait_for_any_slot_is_named() -> None:
    never = ReplenishedItem(name="never", needs=(), latest=(TODAY, 2, 2), waste=((), (1.0,), ()))
    with pytest.raises(ValueError, match="no slot in time for: never"):
        replenish(JointProblem(items=(never,), setups={}, visit=(1.0, 1.0)), SMALL)


def test_a_follower_is_done_with_its_leader_and_with_the_leaders_leader() -> None:
    first = every("first", 7, 20)
    second = every("second", 5, 20, follows=("first",))
    third = every("third", 6, 20, follows=("second",))
    made = JointProblem(items=(first, second, third), setups={}, visit=(3.0,) * 20)
    done = replenish(made, SMALL).doings
    assert set(done["first"]) <= set(done["second"]) <= set(done["third"])


BROKEN = {
    "past its limit": {"a": (4,)},
    "not done again": {"a": (1,)},
    "not after": {"a": (3, 3)},
    "not done with a": {"b": (3,)},
}


@pytest.mark.parametrize("words", BROKEN)
def test_the_checker_sees(words: str) -> None:
    a, b = every("a", 4, 6), every("b", 4, 6, follows=("a",))
    made = JointProblem(items=(a, b), setups={}, visit=(1.0,) * 6)
    doings = {"a": (2,), "b": (2,)} | BROKEN[words]
    schedule = Replenishment(doings=doings, visits=1, setups=0, waste=0)
    assert any(words in fault for fault in schedule_faults(made, schedule))


def test_the_checker_sees_a_wrong_cost_and_a_bound_that_is_none() -> None:
    made = JointProblem(items=(every("a", 4, 6),), setups={}, visit=(1.0,) * 6)
    good = {"a": (3,)}
    assert schedule_faults(made, Replenishment(doings=good, visits=1, setups=0, waste=0, bound=1)) == []
    assert schedule_faults(made, Replenishment(doings=good, visits=2, setups=0, waste=0))
    assert schedule_faults(made, Replenishment(doings=good, visits=1, setups=0, waste=0, bound=2))


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"latest": (0, 1, 2), "waste": ((), (), ())}, "does not reach"),
        ({"latest": (3, 3, 3), "waste": ((0.0, 0.0), (0.0,), ())}, "beyond the horizon"),
        ({"latest": (0, 2, 2), "waste": ((-1.0,), (0.0,), ())}, "below zero"),
        ({"latest": (0, 2, 2), "waste": ((0.0,), (0.0,))}, "one waste row"),
    ],
)
def test_an_item_refuses_nonsense(fields: dict[str, tuple[object, ...]], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        ReplenishedItem(name="x", needs=(), **fields)  # type: ignore[arg-type]


def test_a_problem_refuses_what_nobody_knows() -> None:
    item = every("a", 4, 6)
    stray = ReplenishedItem(name="b", needs=("lid",), latest=item.latest, waste=item.waste)
    with pytest.raises(ValueError, match="unknown set-up lid"):
        JointProblem(items=(stray,), setups={}, visit=(1.0,) * 6)
    with pytest.raises(ValueError, match="does not stand after a"):
        JointProblem(items=(every("b", 4, 6, follows=("a",)), item), setups={}, visit=(1.0,) * 6)
    with pytest.raises(ValueError, match="two items"):
        JointProblem(items=(item, item), setups={}, visit=(1.0,) * 6)
    with pytest.raises(ValueError, match="6 slots, not 5"):
        JointProblem(items=(item,), setups={}, visit=(1.0,) * 5)


def test_a_rhythm_ends_where_no_slot_is_in_time_for_the_next_doing() -> None:
    stuck = ReplenishedItem(name="stuck", needs=(), latest=(0, 0, 1), waste=((0.0,), (), ()))
    made = JointProblem(items=(stuck,), setups={}, visit=(1.0, 1.0))
    assert rhythm(made, random.Random(1)) == [0]


def test_of_plans_that_cost_the_same_it_is_the_later_one() -> None:
    """Due at slot 8 and done with the inspection at 9 again: a slot earlier gives away one more of the first interval
    and one less of the second. It was done at the first visit there was.
    """
    damper = every("damper", 8, 12, first=8, follows=("inspection",))
    items = (every("walk", 3, 12, first=2), every("inspection", 12, 12, first=9), damper)
    made = JointProblem(items=items, setups={}, visit=(1.0,) * 12)
    doings = {"walk": (2, 5, 8, 11), "inspection": (9,), "damper": (2, 9)}
    found = Replenishment(doings=doings, visits=5.0, setups=0.0, waste=7.0)
    assert schedule_faults(made, found) == []
    later = as_late(made, found)
    assert schedule_faults(made, later) == []
    assert (later.doings, later.total) == ({**doings, "damper": (8, 9)}, found.total)


@given(st.integers(0, 10_000), st.booleans())
@settings(max_examples=25)
def test_what_is_put_off_costs_no_more_and_keeps_its_limits(seed: int, inspection: bool) -> None:
    made = problem(seed, items=8, panels=6, months=8, inspection=inspection)
    found = replenish(made, Effort(rounds=12, generations=1, brood_rounds=12, brood_shakes=6, shakes=8))
    later = as_late(made, found)
    assert schedule_faults(made, later) == []
    assert later.total <= found.total + 1e-6
    for name, slots in found.doings.items():
        assert all(then >= now for now, then in zip(slots, later.doings[name], strict=True))
