"""Cheapest chain of doings of one item when each slot has a price: a shortest path by slots."""

import math
from bisect import bisect_left
from collections.abc import Collection, Sequence
from operator import add

from inspect_kit.replenishment.problem import ReplenishedItem

Prices = Sequence[float]
Window = tuple[int, int, list[float]]


def reaches_horizon(item: ReplenishedItem) -> bool:
    """Whether any chain of doings of an item that follows nobody keeps all its limits up to the horizon."""
    slots = len(item.latest) - 1
    earliest = item.earliest or (0,) * len(item.latest)
    reached = [True] + [False] * slots
    for node, limit in enumerate(item.latest):
        if reached[node]:
            if limit >= slots:
                return True
            for slot in range(max(node, earliest[node]), limit + 1):
                reached[slot + 1] = True
    return False


def spans_of(item: ReplenishedItem, *, early: bool) -> list[tuple[int, int]]:
    """From each node to which slots an arc goes, as `Chain` has them: the first one, and that behind the last one."""
    slots = len(item.latest) - 1
    stops = [min(limit, slots - 1) + 1 if item.follows or limit < slots else 0 for limit in item.latest]
    if early or not item.earliest:
        return [(node, max(node, stop)) for node, stop in enumerate(stops)]
    starts = map(max, range(slots + 1), item.earliest)
    return [(start, max(start, stop)) for start, stop in zip(starts, stops, strict=True)]


def _bounds(item: ReplenishedItem, spans: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """From which node on, and before which one, there are arcs into each slot."""
    slots = len(item.latest) - 1
    firsts, stops = list(range(1, slots + 1)), [0] * slots
    for node, (start, stop) in enumerate(spans):
        stops[start:stop] = [node + 1] * (stop - start)
    for node, (start, stop) in reversed(list(enumerate(spans))):
        firsts[start:stop] = [node] * (stop - start)
    return [(first, max(first, stop)) for first, stop in zip(firsts, stops, strict=True)]


def arcs_of(item: ReplenishedItem) -> int:
    """How many arcs the chain of an item has: what a search of it costs."""
    return sum(stop - first for first, stop in _bounds(item, spans_of(item, early=bool(item.follows))))


class Chain:
    """The arcs of one item turned round, so that each slot knows which doings may come before it.

    Nodes are numbered 0 for today, then slot + 1. A window is a slot's nodes before it, from `first` to before `stop`,
    and what each of these arcs gives away; there is none beyond the last slot with an arc into it. An item that follows
    nobody is never done again once nothing more falls due: those arcs are left out, and so are those that are too early
    for it. Where a follower must not be early by choice there are two windows of each slot: `by_choice` without what is
    too early, for the slots at which none of its leaders is done.
    """

    def __init__(self, item: ReplenishedItem) -> None:
        slots = len(item.latest) - 1
        earliest = item.earliest or (0,) * len(item.latest)
        waste = item.waste

        def windows_of(early: bool) -> list[Window]:
            spans, found = spans_of(item, early=early), list[Window]()
            for slot, (first, stop) in enumerate(_bounds(item, spans)):
                into = [
                    waste[node][slot - node] if spans[node][0] <= slot < spans[node][1] else math.inf
                    for node in range(first, stop)
                ]
                found.append((first, stop, into))
            return found

        windows = windows_of(bool(item.follows))
        self.by_choice = windows_of(False) if item.follows and item.earliest else []
        self.rows = [
            [*[math.inf] * first, *into, *[math.inf] * (slot + 1 - stop)]
            for slot, (first, stop, into) in enumerate(windows)
        ]
        length = max((slot + 1 for slot, (_, _, into) in enumerate(windows) if into), default=0)
        self.slots, self.windows, self.earliest = slots, windows[:length], earliest
        self.free = [limit >= slots for limit in item.latest]
        self.ends = [node for node in range(length + 1) if self.free[node]]

    def relaxed(self, prices: Prices) -> tuple[float, list[int]]:
        """The same as `cheapest` for an item whose leaders may be anywhere."""
        reached = [0.0]
        for (first, stop, into), price in zip(self.windows, prices, strict=False):
            reached.append(price + min(map(add, reached[first:stop], into), default=math.inf))
        return self._back(reached, None)

    def cheapest(
        self, prices: Prices, stops: Sequence[int] = (), among: Sequence[int] | None = None
    ) -> tuple[float, list[int]]:
        """Least sum of prices and waste, and the slots of that chain; infinite where no chain reaches the horizon.

        The chain has all the stops in it, and no slots but those in `among` (both rising).
        """
        if stops or among is not None or self.by_choice:
            return self._among(prices, stops, range(self.slots) if among is None else among)
        return self.relaxed(prices)

    def _among(self, prices: Prices, stops: Sequence[int], among: Sequence[int]) -> tuple[float, list[int]]:
        windows, by_choice = self.windows, self.by_choice
        reached = [math.inf] * (self.slots + 1)
        reached[0] = 0.0
        for slot in among:
            if slot >= len(windows):
                break
            first, stop, into = by_choice[slot] if by_choice and slot not in stops else windows[slot]
            # Behind the last stop before it, be that among these slots or not.
            passed = bisect_left(stops, slot)
            floor = stops[passed - 1] + 1 if passed else 0
            if floor > first:
                first, into = floor, into[floor - first :]
            reached[slot + 1] = prices[slot] + min(map(add, reached[first:stop], into), default=math.inf)
        return self._back(reached, stops)

    def _back(self, reached: list[float], stops: Sequence[int] | None) -> tuple[float, list[int]]:
        """The chain that led to the cheapest end; None for stops that may be anywhere."""
        by_choice = self.by_choice if stops is not None else []
        stops = stops or ()
        ends = [node for node in self.ends if node > stops[-1]] if stops else self.ends
        node = min(ends, key=reached.__getitem__, default=-1)
        if node < 0 or reached[node] == math.inf:
            return math.inf, []
        cost = reached[node]
        slots: list[int] = []
        while node:
            slot = node - 1
            slots.append(slot)
            first, stop, into = by_choice[slot] if by_choice and slot not in stops else self.windows[slot]
            passed = bisect_left(stops, slot)
            if passed and stops[passed - 1] + 1 > first:
                floor = stops[passed - 1] + 1
                first, into = floor, into[floor - first :]
            ways = list(map(add, reached[first:stop], into))
            node = first + ways.index(min(ways))
        return cost, slots[::-1]

    def waste(self, slots: Sequence[int], stops: Collection[int] | None = None) -> float:
        """What a chain gives away in all; infinite where it does not reach the horizon.

        With the stops of its leaders also where it is too early at another slot.
        """
        total, node = 0.0, 0
        for slot in slots:
            if slot < node or (stops is not None and self.is_early(node, slot, stops)):
                return math.inf
            total += self.rows[slot][node]
            node = slot + 1
        return total if self.free[node] else math.inf

    def is_early(self, node: int, slot: int, stops: Collection[int]) -> bool:
        """Whether a follower is done too early by choice."""
        return bool(self.by_choice) and slot not in stops and slot < self.earliest[node]
