"""Plans from sets of slots: rhythms laid over each other, crossed and shifted, the best kept.

A good year is nearly always a few rhythms, each that of an item done as late as it may be, time after time. Which slots
have a visit decides nearly everything: given those, the items' choices are quick to make and rarely far from the best.
"""

import math
import random
from collections.abc import Iterable, Sequence

from inspect_kit.visits.core.board import Board
from inspect_kit.visits.core.problem import Problem
from inspect_kit.visits.core.settle import descend

Plan = tuple[float, list[list[int]]]

# Users of a shared set-up are first asked for little more than their part of it, so that they meet.
TOGETHER = 0.8
RHYTHMS = (2, 3, 4)
# A set so near to the last one kept is worth a look at all other slots.
NEAR = 1.0
SMALL = 1e-7


def rhythm(problem: Problem, dice: random.Random) -> list[int]:
    """The slots at which one item is done when it is begun at some slot and then always done as late as it may."""
    item = dice.choice(problem.items)
    slot = dice.randrange(max(1, min(problem.slots, item.latest[0] + 1)))
    found: list[int] = []
    # On few slots there may be none in time for the next doing.
    while slot < problem.slots and slot not in found[-1:]:
        found.append(slot)
        slot = item.latest[slot + 1]
    return found


class Breeder:
    """A pool of different plans, each the best that was found on its set of slots."""

    def __init__(self, board: Board, plans: Iterable[Plan], size: int) -> None:
        self.board = board
        shared = board.shared
        self.problem = shared.problem
        followers = shared.followers
        items = range(len(board.chains))
        leaders = [item for item in items if followers[item]]
        others = [item for item in items if not followers[item]]
        self.order = [*leaders, *sorted(others, key=lambda item: -len(board.groups[item]))]
        parts = [[cost * (1 - TOGETHER * (1 - 1 / len(each.users))) for cost in each.costs] for each in shared.groups]
        self.parts = board.sheet(parts)
        self.size = size
        self.pool: list[Plan] = []
        self.seen: set[float] = set()
        for cost, chains in plans:
            self._keep(cost, chains)

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
        _, chains = self.pool[int(len(self.pool) * dice.random() ** 2)]
        return {slot for chain in chains for slot in chain}

    def _try(self, slots: set[int]) -> None:
        board = self.board
        self._lay(slots)
        descend(board, wide=False)
        if len(self.pool) < self.size or board.cost < NEAR * self.pool[-1][0]:
            descend(board, wide=True)
            self._keep(board.cost, board.chains)

    def _lay(self, slots: Iterable[int]) -> None:
        """Put everything on these slots, and on others only where there is no other way."""
        board, among = self.board, sorted(slots)
        board.clear(self.parts)
        for item in self.order:
            prices = board.prices(item)
            cost, chain = board.best(item, prices, among)
            if cost == math.inf:
                _, chain = board.best(item, prices)
                among = sorted({*among, *chain})
            board.put_on(item, chain)
        board.reprice(board.usual)

    def _keep(self, cost: float, chains: Sequence[Sequence[int]]) -> None:
        mark = round(cost / SMALL)
        if mark not in self.seen:
            self.seen.add(mark)
            self.pool = sorted([*self.pool, (cost, [list(chain) for chain in chains])])[: self.size]
