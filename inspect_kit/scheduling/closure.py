"""Order among activities: topological order, cycles, everything before and after, the places where all is done.

Sets of activities are whole numbers used as bit sets: bit i stands for activity i.
"""

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
