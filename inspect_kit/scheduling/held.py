"""A bound from gear that is held: spans that share it stand one after another, each as long as it must."""

from collections.abc import Sequence

from inspect_kit.scheduling.closure import members
from inspect_kit.scheduling.network import Network
from inspect_kit.scheduling.problem import Span
from inspect_kit.scheduling.stock import Pool


def held(network: Network, pools: Sequence[Pool], heads: Sequence[int], tails: Sequence[int]) -> int:
    """Gear that spans hold, one after the other: the least time that each of them lasts, together over the capacity."""
    problem, best = network.problem, 0
    for resource, capacity in enumerate(problem.capacities):
        spans = [span for span in problem.spans if span.holds[resource]]
        if len(spans) > 1:
            work = sum(_stay(network, pools, span) * span.holds[resource] for span in spans)
            head = min(heads[span.first] for span in spans)
            best = max(best, head - (-work // capacity) + min(tails[span.last] for span in spans))
    return best


def _stay(network: Network, pools: Sequence[Pool], span: Span) -> int:
    """The least time from the start of a span to its end: by what lies between, one after another and by its work."""
    minutes = network.minutes
    inside = network.below[span.first] & network.above[span.last]
    ready = dict.fromkeys(members(inside | 1 << span.last), 0)
    for index in network.order:
        if index == span.first or inside >> index & 1:
            end = minutes[index] + (0 if index == span.first else ready[index])
            for after, least in network.after[index]:
                if after in ready:
                    ready[after] = max(ready[after], end + least)
    longest = ready.get(span.last, 0) + minutes[span.last]
    between = list(members(inside))
    for pool in pools:
        work = sum([minutes[index] * pool.demand[index] for index in between])
        outside = minutes[span.first] + minutes[span.last]
        longest = max(longest, outside - (-work // pool.capacity))
    return longest if span.first != span.last else minutes[span.first]
