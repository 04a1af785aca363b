"""Directed graphs: order and circles, all that comes before or after, places to cut, the best closure by maximum flow.

Sets of nodes are whole numbers used as bit sets: bit i stands for node i.
"""

from collections import deque
from collections.abc import Iterator, Mapping, Sequence


def members(bits: int) -> Iterator[int]:
    """The activities of a bit set, ascending."""
    while bits:
        low = bits & -bits
        yield low.bit_length() - 1
        bits ^= low


def topological(size: int, pairs: Sequence[tuple[int, int]]) -> tuple[int, ...] | None:
    """Activities so that every pair (before, after) is in order, the lowest index first; None if there is a cycle."""
    from heapq import heappop, heappush

    waiting = [0] * size
    following: list[list[int]] = [[] for _ in range(size)]
    for before, after in pairs:
        waiting[after] += 1
        following[before].append(after)
    ready = [index for index in range(size) if not waiting[index]]
    order = []
    while ready:
        index = heappop(ready)
        order.append(index)
        for after in following[index]:
            waiting[after] -= 1
            if not waiting[after]:
                heappush(ready, after)
    return tuple(order) if len(order) == size else None


def find_cycle(graph: Mapping[str, Sequence[str]]) -> tuple[str, ...] | None:
    """A cycle of the graph as names, the first one again at its end, or None; always the same one."""
    done: set[str] = set()
    for root in sorted(graph):
        path: list[str] = []
        on_path: dict[str, int] = {}
        work: list[tuple[str, bool]] = [(root, False)]
        while work:
            node, leave = work.pop()
            if leave:
                path.pop()
                del on_path[node]
                done.add(node)
            elif node in on_path:
                return (*path[on_path[node] :], node)
            elif node not in done:
                on_path[node] = len(path)
                path.append(node)
                work.append((node, True))
                work.extend((after, False) for after in sorted(graph.get(node, ()), reverse=True))
    return None


def ancestors(order: Sequence[int], pairs: Sequence[tuple[int, int]]) -> list[int]:
    """For every activity the bit set of all that come before it."""
    return _reach(order, [(after, before) for before, after in pairs])


def descendants(order: Sequence[int], pairs: Sequence[tuple[int, int]]) -> list[int]:
    """For every activity the bit set of all that come after it."""
    return _reach(order[::-1], pairs)


def _reach(order: Sequence[int], pairs: Sequence[tuple[int, int]]) -> list[int]:
    steps: list[list[int]] = [[] for _ in order]
    for start, end in pairs:
        steps[start].append(end)
    reach = [0] * len(order)
    for index in order:
        bits = 0
        for other in steps[index]:
            bits |= reach[other] | 1 << other
        reach[index] = bits
    return reach


def cuts(order: Sequence[int], above: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """The order in the fewest places where everything earlier comes before everything later, as successive parts.

    A series decomposition: `above` are the bit sets of all that come before each activity, which sorted by their size
    is a topological order in which such a place can only lie.
    """
    ranked = sorted(order, key=lambda index: (above[index].bit_count(), index))
    size = len(ranked)
    shared = [0] * (size + 1)
    # shared[k]: what comes before every one of ranked[k:].
    shared[size] = (1 << size) - 1
    for place in range(size - 1, -1, -1):
        shared[place] = shared[place + 1] & above[ranked[place]]
    parts, part, seen = [], [], 0
    for place, index in enumerate(ranked):
        part.append(index)
        seen |= 1 << index
        if place + 1 == size or shared[place + 1] & seen == seen:
            parts.append(tuple(part))
            part = []
    return tuple(parts)


class MaximumClosure:
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
