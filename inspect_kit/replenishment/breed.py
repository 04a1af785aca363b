"""Plans from sets of slots: rhythms laid over each other, crossed and shifted, the best kept.

A good year is nearly always a few rhythms, each that of an item done as late as it may be, time after time. Which slots
have a visit decides nearly everything: given those, the items' choices are quick to make and rarely far from the best.
"""

import math
import random
from collections.abc import Iterable

from inspect_kit.replenishment.board import Board
from inspect_kit.replenishment.problem import TODAY, JointProblem
from inspect_kit.replenishment.settle import SMALL, descend, lay, leaders_first

Plan = tuple[float, list[list[int]]]

# Users of a shared set-up are first asked for little more than their part of it, so that they meet.
TOGETHER = 0.8
RHYTHMS = (2, 3, 4)
# How many plans are kept.
POOL = 12


def rhythm(problem: JointProblem, dice: random.Random) -> list[int]:
    """The slots at which one item is done when it is begun at some slot and then always done as late as it may."""
    item = dice.choice(problem.items)
    last, slot = TODAY, dice.randrange(max(1, min(problem.slots, item.latest[0] + 1)))
    found = []
    # On few slots there may be none in time for the next doing.
    while last < slot < problem.slots:
        found.append(slot)
        last, slot = slot, item.latest[slot + 1]
    return found


def slots_of(chains: Iterable[Iterable[int]]) -> set[int]:
    """The slots at which anything is done."""
    return {slot for chain in chains for slot in chain}


def different(plans: Iterable[Plan]) -> list[Plan]:
    """The plans by their cost, of those that cost the same the first."""
    first: dict[int, Plan] = {}
    for plan in plans:
        first.setdefault(round(plan[0] / SMALL), plan)
    return sorted(first.values())


class Breeder:
    """A pool of different plans, each the best that was found on its set of slots."""

    def __init__(self, board: Board, plans: Iterable[Plan]) -> None:
        self.board, self.problem = board, board.shared.problem
        self.order = leaders_first(board, lambda item: len(board.groups[item]))
        groups = board.shared.groups
        self.parts = board.sheet(
            [[cost * (1 - TOGETHER * (1 - 1 / len(group.users))) for cost in group.costs] for group in groups]
        )
        self.pool = different(plans)[:POOL]

    def sow(self, dice: random.Random) -> None:
        """Try a few rhythms laid over each other."""
        slots = {0}.union(*(rhythm(self.problem, dice) for _ in range(dice.choice(RHYTHMS))))
        self._try(slots)

    def cross(self, dice: random.Random) -> None:
        """Try the slots of a good plan together with others: of another plan, of a rhythm, or some of them shifted."""
        slots = self._slots(dice)
        way = dice.random()
        if way < 0.2:
            slots |= self._slots(dice)
        elif way < 0.4:
            cut, other = dice.randrange(self.problem.slots), self._slots(dice)
            slots = {slot for slot in slots if slot < cut} | {slot for slot in other if slot >= cut}
        elif way < 0.8:
            slots.update(rhythm(self.problem, dice))
        else:
            if dice.random() < 0.5:
                slots.discard(dice.choice(sorted(slots)))
            first, by = dice.choice(sorted(slots) or [0]), dice.choice((-2, -1, 1, 2))
            slots = {slot + by if slot >= first else slot for slot in slots}
            slots = {slot for slot in slots if 0 <= slot < self.problem.slots}
        self._try(slots)

    def _slots(self, dice: random.Random) -> set[int]:
        return slots_of(self.pool[int(len(self.pool) * dice.random() ** 2)][1])

    def _try(self, slots: Iterable[int]) -> None:
        """Put everything on these slots, and on others only where there is no other way."""
        board, among = self.board, sorted(slots)

        def chosen(item: int) -> list[int]:
            nonlocal among
            prices = board.prices(item)
            cost, chain = board.best(item, prices, among)
            if cost == math.inf:
                _, chain = board.best(item, prices)
                among = sorted({*among, *chain})
            return chain

        lay(board, self.parts, self.order, chosen)
        descend(board, wide=False)
        if len(self.pool) < POOL or board.cost < self.pool[-1][0]:
            descend(board, wide=True)
            self.pool = different([*self.pool, (board.cost, [list(chain) for chain in board.chains])])[:POOL]
