"""Circles in a graph of names, each found once and named in the order in which it runs."""

from collections import deque
from collections.abc import Iterator, Mapping, Sequence


def cycles(graph: Mapping[str, Sequence[str]]) -> Iterator[tuple[str, ...]]:
    """One shortest circle for each knot of names that reach each other, such as ("a", "b", "a").

    Edges to names that are no key of the graph are left out. The order of the keys decides where a circle begins.
    Without recursion, so that a chain of thousands does not end the program.
    """
    order = {name: number for number, name in enumerate(graph)}
    for knot in _knots(graph):
        first = min(knot, key=order.__getitem__)
        if len(knot) > 1 or first in graph[first]:
            yield _round_trip(graph, first, set(knot))


def _round_trip(graph: Mapping[str, Sequence[str]], start: str, knot: set[str]) -> tuple[str, ...]:
    """The shortest way from `start` back to itself within its knot."""
    came_from: dict[str, str] = {}
    queue = deque([start])
    while queue:
        name = queue.popleft()
        for following in graph[name]:
            if following == start:
                way = [start, name]
                while way[-1] != start:
                    way.append(came_from[way[-1]])
                return tuple(reversed(way))
            if following in knot and following not in came_from:
                came_from[following] = name
                queue.append(following)
    raise ValueError(f"{start} is in no circle")


def _knots(graph: Mapping[str, Sequence[str]]) -> list[list[str]]:
    """The strongly connected components (Tarjan, SIAM J. Comput. 1, 1972), with a stack of its own."""
    number: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    on_stack: set[str] = set()
    knots = []
    for root in graph:
        work = [(root, iter(graph[root]))] if root not in number else []
        while work:
            name, following = work[-1]
            if name not in number:
                number[name] = low[name] = len(number)
                stack.append(name)
                on_stack.add(name)
            deeper = next((each for each in following if each in graph and each not in number), None)
            if deeper is not None:
                work.append((deeper, iter(graph[deeper])))
                continue
            work.pop()
            reached = [each for each in graph[name] if each in on_stack]
            low[name] = min([low[name], *(min(number[each], low[each]) for each in reached)])
            if low[name] == number[name]:
                knot = [stack.pop()]
                while knot[-1] != name:
                    knot.append(stack.pop())
                on_stack.difference_update(knot)
                knots.append(knot)
    return knots
