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
        free = set(self.ends)
        self.free = [node in free for node in range(slots + 1)]
        self.rows = [
            [*[math.inf] * first, *into, *[math.inf] * (slot + 1 - stop)]
            for slot, (first, stop, into) in enumerate(zip(self.first, self.stop, self.into, strict=True))
        ]

    @property
    def arcs(self) -> int:
        """How many arcs there are: what a search of the chain costs."""
        return sum(map(len, self.into))

    def cheapest(self, prices: Prices) -> tuple[float, list[int]]:
        """Least sum of prices and waste, and the slots of that chain; infinite where no chain reaches the horizon."""
        reached = [0.0]
        for first, stop, into, price in zip(self.first, self.stop, self.into, prices, strict=True):
            reached.append(price + min(map(add, reached[first:stop], into), default=math.inf))
        return self._back(reached, self.first)

    def cheapest_through(self, prices: Prices, stops: Sequence[int]) -> tuple[float, list[int]]:
        """The same among the chains that stop at all of these slots (rising)."""
        if not stops:
            return self.cheapest(prices)
        firsts = list(self.first)
        for stop in stops:
            firsts[stop + 1 :] = [max(first, stop + 1) for first in firsts[stop + 1 :]]
        reached = [0.0]
        for first, low, stop, into, price in zip(firsts, self.first, self.stop, self.into, prices, strict=True):
            reached.append(price + min(map(add, reached[first:stop], into[first - low :]), default=math.inf))
        return self._back(reached, firsts, stops[-1] + 1)

    def cheapest_among(
        self, slots: Sequence[int], prices: Prices, stops: Sequence[int] = ()
    ) -> tuple[float, list[int]]:
        """The same among the chains that use none but these slots (rising), each at its price, and all the stops."""
        nodes, reached, came = [0], [0.0], [-1]
        low = 0
        for slot, price in zip(slots, prices, strict=True):
            first, row = self.first[slot], self.rows[slot]
            while low < len(nodes) and nodes[low] < first:
                low += 1
            ways = [before + row[node] for before, node in zip(reached[low:], nodes[low:], strict=True)]
            least = min(ways, default=math.inf)
            reached.append(price + least)
            came.append(low + ways.index(least) if ways else -1)
            nodes.append(slot + 1)
            if slot in stops:
                low = len(nodes) - 1
        after = stops[-1] + 1 if stops else 0
        free = self.free
        cost, end = min(
            ((cost, place) for place, cost in enumerate(reached) if free[nodes[place]] and nodes[place] >= after),
            default=(math.inf, -1),
        )
        if cost == math.inf:
            return math.inf, []
        chain: list[int] = []
        while end:
            chain.append(nodes[end] - 1)
            end = came[end]
        return cost, chain[::-1]

    def _back(self, reached: list[float], firsts: list[int], after: int = 0) -> tuple[float, list[int]]:
        end = min((node for node in self.ends if node >= after), key=reached.__getitem__, default=-1)
        if end < 0 or reached[end] == math.inf:
            return math.inf, []
        slots: list[int] = []
        node = end
        while node:
            slot = node - 1
            slots.append(slot)
            first = firsts[slot]
            ways = list(map(add, reached[first : self.stop[slot]], self.into[slot][first - self.first[slot] :]))
            node = first + ways.index(min(ways))
        return reached[end], slots[::-1]

    def waste(self, slots: Sequence[int]) -> float:
        """What a chain gives away in all; infinite where it does not reach the horizon."""
        total, node = 0.0, 0
        for slot in slots:
            if slot < node:
                return math.inf
            total += self.rows[slot][node]
            node = slot + 1
        return total if self.free[node] else math.inf
