"""Cheapest chain of doings of one item when each slot has a price: a shortest path by slots."""

import math
from bisect import bisect_left
from collections.abc import Sequence
from operator import add

from inspect_kit.replenishment.problem import Item

Prices = Sequence[float]


class Chain:
    """The arcs of one item turned round, so that each slot knows which doings may come before it.

    Nodes are numbered 0 for today, then slot + 1. A window is a slot's nodes before it, from `first` to before `stop`,
    and what each of these arcs gives away; there is none beyond the last slot with an arc into it. An item that follows
    nobody is never done again once nothing more falls due: those arcs are left out.
    """

    def __init__(self, item: Item) -> None:
        slots = len(item.latest) - 1
        useful = [bool(item.follows) or limit < slots for limit in item.latest]
        windows: list[tuple[int, int, list[float]]] = []
        for slot in range(slots):
            before = [node for node in range(slot + 1) if useful[node] and item.latest[node] >= slot]
            first, stop = min(before, default=slot + 1), max(before, default=slot) + 1
            into = [
                item.waste[node][slot - node] if useful[node] and item.latest[node] >= slot else math.inf
                for node in range(first, stop)
            ]
            windows.append((first, stop, into))
        self.rows = [
            [*[math.inf] * first, *into, *[math.inf] * (slot + 1 - stop)]
            for slot, (first, stop, into) in enumerate(windows)
        ]
        length = max((slot + 1 for slot, (_, _, into) in enumerate(windows) if into), default=0)
        self.slots, self.windows = slots, windows[:length]
        self.free = [limit >= slots for limit in item.latest]
        self.ends = [node for node in range(length + 1) if self.free[node]]

    @property
    def arcs(self) -> int:
        """How many arcs there are: what a search of the chain costs."""
        return sum(len(into) for _, _, into in self.windows)

    def cheapest(
        self, prices: Prices, stops: Sequence[int] = (), among: Sequence[int] | None = None
    ) -> tuple[float, list[int]]:
        """Least sum of prices and waste, and the slots of that chain; infinite where no chain reaches the horizon.

        The chain has all the stops in it, and no slots but those in `among` (both rising).
        """
        if stops or among is not None:
            return self._among(prices, stops, range(self.slots) if among is None else among)
        reached = [0.0]
        for (first, stop, into), price in zip(self.windows, prices, strict=False):
            reached.append(price + min(map(add, reached[first:stop], into), default=math.inf))
        return self._back(reached)

    def _among(self, prices: Prices, stops: Sequence[int], among: Sequence[int]) -> tuple[float, list[int]]:
        windows = self.windows
        reached = [math.inf] * (self.slots + 1)
        reached[0] = 0.0
        floor = 0
        for slot in among:
            if slot >= len(windows):
                break
            first, stop, into = windows[slot]
            if floor > first:
                first, into = floor, into[floor - first :]
            reached[slot + 1] = prices[slot] + min(map(add, reached[first:stop], into), default=math.inf)
            if slot in stops:
                floor = slot + 1
        return self._back(reached, stops)

    def _back(self, reached: list[float], stops: Sequence[int] = ()) -> tuple[float, list[int]]:
        """The chain that led to the cheapest end."""
        ends = [node for node in self.ends if node > stops[-1]] if stops else self.ends
        node = min(ends, key=reached.__getitem__, default=-1)
        if node < 0 or reached[node] == math.inf:
            return math.inf, []
        cost = reached[node]
        slots: list[int] = []
        while node:
            slot = node - 1
            slots.append(slot)
            first, stop, into = self.windows[slot]
            passed = bisect_left(stops, slot)
            if passed and stops[passed - 1] + 1 > first:
                floor = stops[passed - 1] + 1
                first, into = floor, into[floor - first :]
            ways = list(map(add, reached[first:stop], into))
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
