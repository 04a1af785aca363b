"""The same problem on fewer slots: what is left to choose between is quick to search, and the answer holds in full."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence

from inspect_kit.replenishment.problem import TODAY, JointProblem, ReplenishedItem


def narrowed(problem: JointProblem, kept: Sequence[int]) -> JointProblem:
    """The problem with visits at these slots (rising) only; slot numbers are then places in `kept`."""
    return JointProblem(
        items=tuple(_narrowed(item, kept, problem.slots) for item in problem.items),
        setups=problem.setups,
        visit=tuple(problem.visit[slot] for slot in kept),
    )


def _narrowed(item: ReplenishedItem, kept: Sequence[int], slots: int) -> ReplenishedItem:
    latest, waste, earliest = [], [], []
    for place, slot in enumerate((TODAY, *kept), TODAY):
        limit = item.latest[slot + 1]
        last = len(kept) if limit >= slots else max(place, bisect_right(kept, limit) - 1)
        row = item.waste[slot + 1]
        latest.append(last)
        if item.earliest:
            earliest.append(bisect_left(kept, item.earliest[slot + 1]))
        waste.append(tuple(row[again - slot - 1] for again in kept[place + 1 : last + 1]))
    return ReplenishedItem(
        name=item.name,
        needs=item.needs,
        latest=tuple(latest),
        waste=tuple(waste),
        follows=item.follows,
        earliest=tuple(earliest),
    )


def on_all_slots(chains: Iterable[Iterable[int]], kept: Sequence[int]) -> list[list[int]]:
    """Chains of the narrowed problem as slots of the whole one."""
    return [[kept[place] for place in chain] for chain in chains]
