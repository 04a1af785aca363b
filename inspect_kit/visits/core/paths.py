"""Cheapest chain of doings of one item when each slot has a price: a shortest path by slots."""

import math
from collections.abc import Sequence
from operator import add

from inspect_kit.visits.core.problem import Item

Prices = Sequence[float]


class Chain:
    """The arcs of one item turned round, so that each slot knows which doings may come before it.

    Nodes are numbered 0 for today, then slot + 1. The doings before a slot are the nodes from `first` to before `stop`,
    and `into` has what each of these arcs gives away. An item that follows nobody is never done again once nothing more
    falls due: those arcs are left out.
    """

    def __init__(self, item: Item) -> None:
        slots = len(item.latest) - 1
        self.ends = [node for node in range(slots + 1) if item.latest[node] >= slots]
        useful = [bool(item.follows) or limit < slots for limit in item.latest]
        self.first: list[int] = []
        self.stop: list[int] = []
        self.into: list[list[float]] = []
        for slot in range(slots):
            before = [node for node in range(slot + 1) if useful[node] and item.latest[node] >= slot]
            first, stop = min(before, default=slot + 1), max(before, default=slot) + 1
            self.first.append(first)
            self.stop.append(stop)
            self.into.append(
                [
                    item.waste[node][slot - node] if useful[node] and item.latest[node] >= slot else math.inf
                    for node in range(first, stop)
                ]
            )
        # Beyond the last slot with an arc into it there is nothing to look for.
        length = max((slot + 1 for slot, into in enumerate(self.into) if into), default=0)
        self.usual = list(zip(self.first[:length], self.stop, self.into, strict=False))
        free = set(self.ends)
        self.ends = [node for node in self.ends if node <= length]
        self.free = [node in free for node in range(slots + 1)]
        self.rows = [
            [*[math.inf] * first, *into, *[math.inf] * (slot + 1 - stop)]
            for slot, (first, stop, into) in enumerate(zip(self.first, self.stop, self.into, strict=True))
        ]

    @property
    def arcs(self) -> int:
        """How many arcs there are: what a search of the chain costs."""
        return sum(map(len, self.into))

    def cheapest(
        self, prices: Prices, stops: Sequence[int] = (), among: Sequence[int] | None = None
    ) -> tuple[float, list[int]]:
        """Least sum of prices and waste, and the slots of that chain; infinite where no chain reaches the horizon.

        The chain has all the stops in it, and no slots but those in `among` (both rising).
        """
        if among is not None:
            return self._among(prices, stops, among)
        reached = [0.0]
        if not stops:
            for (first, stop, into), price in zip(self.usual, prices, strict=False):
                reached.append(price + min(map(add, reached[first:stop], into), default=math.inf))
            return self._back(reached)
        floors = _floors(stops, len(self.first))
        for floor, first, stop, into, price in zip(floors, self.first, self.stop, self.into, prices, strict=True):
            if floor > first:
                first, into = floor, into[floor - first :]
            reached.append(price + min(map(add, reached[first:stop], into), default=math.inf))
        return self._back(reached, stops)

    def _among(self, prices: Prices, stops: Sequence[int], among: Sequence[int]) -> tuple[float, list[int]]:
        reached = [math.inf] * (len(self.first) + 1)
        reached[0] = 0.0
        floor = 0
        for slot in among:
            first, into = self.first[slot], self.into[slot]
            if floor > first:
                first, into = floor, into[floor - first :]
            reached[slot + 1] = prices[slot] + min(map(add, reached[first : self.stop[slot]], into), default=math.inf)
            if slot in stops:
                floor = slot + 1
        return self._back(reached, stops)

    def _back(self, reached: list[float], stops: Sequence[int] = ()) -> tuple[float, list[int]]:
        """The chain that led to the cheapest end."""
        ends = self.ends if not stops else [node for node in self.ends if node > stops[-1]]
        node = min(ends, key=reached.__getitem__, default=-1)
        if node < 0 or reached[node] == math.inf:
            return math.inf, []
        cost = reached[node]
        slots: list[int] = []
        left = list(stops)
        while node:
            slot = node - 1
            slots.append(slot)
            while left and left[-1] >= slot:
                left.pop()
            first, into = self.first[slot], self.into[slot]
            if left and left[-1] + 1 > first:
                first, into = left[-1] + 1, into[left[-1] + 1 - first :]
            ways = list(map(add, reached[first : self.stop[slot]], into))
            node = first + ways.index(min(ways))
        return cost, slots[::-1]

    def waste(self, slots: Sequence[int]) -> float:
        """What a chain gives away in all; infinite where it does not reach the horizon."""
        total, node = 0.0, 0
        for slot in slots:
            if slot < node:
                return math.inf
            total += self.rows[slot][node]
            node = slot + 1
        return total if self.free[node] else math.inf


def _floors(stops: Sequence[int], slots: int) -> list[int]:
    """Of each slot: the node after the last stop before it, or nothing."""
    floors, floor = [], 0
    for slot in range(slots):
        floors.append(floor)
        if slot in stops:
            floor = slot + 1
    return floors
