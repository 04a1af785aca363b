"""The best initial set of jobs with gains and losses, by maximum flow (a closure; Picard 1976).

An initial set holds with every job all that come before it. The best one is the source side of a minimum cut: gains
flow in, losses flow out, and an arc without limit leads from every job to each that comes before it. The flow is
Dinic's (1970).
"""

from collections import deque
from collections.abc import Sequence


class Closure:
    """A maximum flow through jobs 0..n-1 with these gains (negative: losses); `pairs` are (before, after)."""

    def __init__(self, gains: Sequence[int], pairs: Sequence[tuple[int, int]]) -> None:
        self.size = len(gains)
        self.source, self.sink = self.size, self.size + 1
        self.arcs: list[list[int]] = [[] for _ in range(self.size + 2)]
        self.heads: list[int] = []
        self.left: list[int] = []
        without_limit = sum(gain for gain in gains if gain > 0) + 1
        for job, gain in enumerate(gains):
            if gain > 0:
                self._arc(self.source, job, gain)
            elif gain < 0:
                self._arc(job, self.sink, -gain)
        self.inner = len(self.heads)
        for before, after in pairs:
            self._arc(after, before, without_limit)
        self.flow = 0
        while self._levels():
            self.flow += self._push()
        self.best = without_limit - 1 - self.flow

    def _arc(self, tail: int, head: int, room: int) -> None:
        for start, end, amount in ((tail, head, room), (head, tail, 0)):
            self.arcs[start].append(len(self.heads))
            self.heads.append(end)
            self.left.append(amount)

    def _levels(self) -> bool:
        """How far every job is from the source; whether anything can still flow."""
        level = self.level = [-1] * (self.size + 2)
        level[self.source] = 0
        queue = deque([self.source])
        while queue:
            node = queue.popleft()
            for arc in self.arcs[node]:
                head = self.heads[arc]
                if self.left[arc] and level[head] < 0:
                    level[head] = level[node] + 1
                    queue.append(head)
        return level[self.sink] >= 0

    def _push(self) -> int:
        """Flow along shortest ways until each of them is full."""
        arcs, heads, left, level = self.arcs, self.heads, self.left, self.level
        places = [0] * (self.size + 2)
        pushed = 0
        way: list[int] = []
        node = self.source
        while True:
            if node == self.sink:
                amount = min([left[arc] for arc in way])
                pushed += amount
                keep = len(way)
                for place in range(len(way) - 1, -1, -1):
                    arc = way[place]
                    left[arc] -= amount
                    left[arc ^ 1] += amount
                    if not left[arc]:
                        keep = place
                node = heads[way[keep] ^ 1]
                del way[keep:]
                continue
            mine = arcs[node]
            while places[node] < len(mine):
                arc = mine[places[node]]
                if left[arc] and level[heads[arc]] == level[node] + 1:
                    break
                places[node] += 1
            if places[node] < len(mine):
                way.append(arc)
                node = heads[arc]
            elif way:
                level[node] = -1
                node = heads[way.pop() ^ 1]
            else:
                return pushed

    def chosen(self) -> set[int]:
        """The smallest of the best initial sets."""
        return {job for job in range(self.size) if self.level[job] >= 0}

    def knots(self) -> list[list[int]]:
        """Where the best is nothing: the smallest sets that come one after another without gain or loss.

        They are the strong components of what is left of the flow (Tarjan 1972), what comes before first.
        """
        onward: list[list[int]] = [[] for _ in range(self.size)]
        for arc in range(self.inner, len(self.heads)):
            if self.left[arc]:
                onward[self.heads[arc ^ 1]].append(self.heads[arc])
        return _components(onward)


def _components(onward: Sequence[Sequence[int]]) -> list[list[int]]:
    seen: dict[int, int] = {}
    low: dict[int, int] = {}
    stack: list[int] = []
    waiting: set[int] = set()
    found: list[list[int]] = []
    for root in range(len(onward)):
        if root in seen:
            continue
        work = [(root, iter(onward[root]))]
        seen[root] = low[root] = len(seen)
        stack.append(root)
        waiting.add(root)
        while work:
            node, rest = work[-1]
            for other in rest:
                if other not in seen:
                    seen[other] = low[other] = len(seen)
                    stack.append(other)
                    waiting.add(other)
                    work.append((other, iter(onward[other])))
                    break
                if other in waiting:
                    low[node] = min(low[node], seen[other])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == seen[node]:
                    knot: list[int] = []
                    while not knot or knot[-1] != node:
                        knot.append(stack.pop())
                        waiting.discard(knot[-1])
                    found.append(sorted(knot))
    return found
