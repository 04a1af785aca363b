"""What must hold for any such problem, whatever the search: theorems of grouping maintenance, as properties."""

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.replenishment.check import schedule_faults
from inspect_kit.replenishment.problem import TODAY, JointProblem, ReplenishedItem, item_from_rule
from inspect_kit.replenishment.search import Effort, replenish
from tests.replenishment.reference import solve as optimum

EFFORT = Effort(rounds=40, generations=2, brood_rounds=20, brood_shakes=20, shakes=40)
CYCLE = 12
TOO_EARLY = 1000.0


def exactly(name: str, period: int, needs: tuple[str, ...]) -> ReplenishedItem:
    """An item with a fixed interval of `period` slots and a free phase, over one cycle of twelve slots."""

    def waste(last: int, again: int) -> float:
        return 0.0 if last == TODAY or again == last + period else TOO_EARLY

    def latest(last: int) -> int:
        return period - 1 if last == TODAY else last + period

    return item_from_rule(name=name, needs=needs, slots=CYCLE, latest=latest, waste=waste)


@st.composite
def fixed_intervals(draw: st.DrawFn) -> JointProblem:
    """Items of fixed whole intervals under a tree of set-ups: each set-up lies behind one that came before it."""
    setups = {f"s{number}": float(draw(st.integers(1, 9))) for number in range(draw(st.integers(1, 4)))}
    closed: dict[str, tuple[str, ...]] = {}
    for number, name in enumerate(setups):
        behind = draw(st.sampled_from([(), *(closed[f"s{other}"] for other in range(number))]))
        closed[name] = (name, *behind)
    items = tuple(
        exactly(f"i{number}", draw(st.sampled_from((1, 2, 3, 4, 6, 12))), closed[draw(st.sampled_from(sorted(closed)))])
        for number in range(draw(st.integers(1, 5)))
    )
    return JointProblem(items=items, setups=setups, visit=(float(draw(st.integers(0, 9))),) * CYCLE)


def coinciding(made: JointProblem) -> float:
    """The set-up cost of one cycle when every item is done at the last slot of its interval: all meet at the last."""
    total = 0.0
    for slot in range(CYCLE):
        there = [item for item in made.items if (slot + 1) % (item.latest[0] + 1) == 0]
        total += made.visit[slot] if there else 0.0
        total += sum(made.setups[name] for name in {name for item in there for name in item.needs})
    return total


@given(fixed_intervals())
@settings(max_examples=40)
def test_set_ups_are_least_when_all_phases_coincide(made: JointProblem) -> None:
    """Main-peak clustering: fixed whole intervals, tree-like additive set-ups, free phases.

    Source: van Harten, van Dijkhuizen and Mars 1999.
    """
    best, _, proved = optimum(made)
    found = replenish(made, EFFORT)
    assert proved
    assert abs(best - coinciding(made)) < 1e-4
    assert schedule_faults(made, found) == []
    assert abs(found.total - best) < 1e-4


@st.composite
def due_once(draw: st.DrawFn) -> tuple[JointProblem, list[tuple[int, float]]]:
    """Items due once each, at a price for every slot that they are early, under one set-up: the visit."""
    slots = 14
    wishes = draw(st.lists(st.tuples(st.integers(0, slots - 1), st.integers(1, 5).map(float)), min_size=1, max_size=9))

    def item(number: int, due: int, rate: float) -> ReplenishedItem:
        return item_from_rule(
            name=f"i{number}",
            needs=(),
            slots=slots,
            latest=lambda last: due if last == TODAY else slots,
            waste=lambda last, again: rate * (due - again) if last == TODAY else 0.0,
        )

    items = tuple(item(number, due, rate) for number, (due, rate) in enumerate(wishes))
    return JointProblem(items=items, setups={}, visit=(float(draw(st.integers(1, 12))),) * slots), sorted(wishes)


def consecutive_groups(wishes: list[tuple[int, float]], setup: float) -> float:
    """The best grouping of items in the order of their due dates, each group done when its first item is due."""
    best = [0.0]
    for end in range(1, len(wishes) + 1):
        best.append(
            min(
                best[start] + setup + sum(rate * (due - wishes[start][0]) for due, rate in wishes[start:end])
                for start in range(end)
            )
        )
    return best[-1]


@given(due_once())
@settings(max_examples=60)
def test_under_one_set_up_the_best_groups_are_consecutive(case: tuple[JointProblem, list[tuple[int, float]]]) -> None:
    """Grouping by due date under one common set-up, by dynamic programming over consecutive groups.

    Source: Wildeman, Dekker and Smit 1997, European Journal of Operational Research 99:530-551.
    """
    made, wishes = case
    found = replenish(made, EFFORT)
    assert schedule_faults(made, found) == []
    assert abs(found.total - consecutive_groups(wishes, made.visit[0])) < 1e-4
    done = sorted((item.latest[0], found.doings[item.name][0]) for item in made.items)
    assert all(first[1] <= second[1] for first, second in pairwise(done) if first[0] < second[0])
