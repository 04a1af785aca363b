"""Of plans that cost the same the one that does things later: what is not needed yet may turn out not to be at all."""

from collections import Counter
from dataclasses import replace

from inspect_kit.replenishment.problem import TODAY, JointProblem, ReplenishedItem, Replenishment

# Sums of shares in another order differ by less.
SAME = 1e-6


def as_late(problem: JointProblem, found: Replenishment) -> Replenishment:
    """The schedule with each doing at the last visit at which it costs no more, all others where they are.

    What is done with a leader, and what leads others, stays.
    """
    doings = {name: [*slots] for name, slots in found.doings.items()}
    led = {leader for item in problem.items for leader in item.follows}
    users = Counter((slot, need) for item in problem.items for slot in doings[item.name] for need in item.needs)
    crowd = Counter(slot for slots in doings.values() for slot in slots)
    moved = False
    for item in problem.items:
        if item.name in led:
            continue
        with_others = {slot for leader in item.follows for slot in doings[leader]}
        slots = doings[item.name]
        # The last one first: it makes room for those before it.
        for turn in reversed(range(len(slots))):
            here = slots[turn]
            last = slots[turn - 1] if turn else TODAY
            then = slots[turn + 1] if turn + 1 < len(slots) else problem.slots
            if here in with_others:
                continue
            may = [slot for slot in crowd if crowd[slot] and here < slot < then and _may(item, last, slot, then)]
            left = sum(problem.setups[need] for need in item.needs if users[here, need] == 1)
            left += problem.visit[here] if crowd[here] == 1 else 0.0
            now = _waste(item, last, here, then, problem.slots) - left
            for slot in sorted(may, reverse=True):
                opened = sum(problem.setups[need] for need in item.needs if not users[slot, need])
                if opened + _waste(item, last, slot, then, problem.slots) > now + SAME:
                    continue
                slots[turn], moved = slot, True
                crowd.subtract([here])
                crowd.update([slot])
                users.subtract((here, need) for need in item.needs)
                users.update((slot, need) for need in item.needs)
                break
    return _added_up(problem, found, doings) if moved else found


def _may(item: ReplenishedItem, last: int, slot: int, then: int) -> bool:
    """Whether it may be done at a slot by choice, after `last` and before `then`."""
    soonest = item.earliest[last + 1] if item.earliest else 0
    return soonest <= slot <= item.latest[last + 1] and then <= item.latest[slot + 1]


def _waste(item: ReplenishedItem, last: int, slot: int, then: int, horizon: int) -> float:
    """What a doing at a slot gives away, and the one after it."""
    after = item.waste[slot + 1][then - slot - 1] if then < horizon else 0.0
    return item.waste[last + 1][slot - last - 1] + after


def _added_up(problem: JointProblem, found: Replenishment, doings: dict[str, list[int]]) -> Replenishment:
    waste = 0.0
    open_at: dict[int, set[str]] = {}
    for item in problem.items:
        last = TODAY
        for slot in doings[item.name]:
            open_at.setdefault(slot, set()).update(item.needs)
            waste += item.waste[last + 1][slot - last - 1]
            last = slot
    return replace(
        found,
        doings={name: tuple(slots) for name, slots in doings.items()},
        visits=sum(problem.visit[slot] for slot in open_at),
        setups=sum(problem.setups[name] for names in open_at.values() for name in names),
        waste=waste,
    )
