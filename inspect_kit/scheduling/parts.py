"""A problem cut into parts that come one wholly after another, and each part as a problem of its own."""

from collections.abc import Sequence
from dataclasses import replace

from inspect_kit.scheduling.closure import cuts
from inspect_kit.scheduling.network import Network
from inspect_kit.scheduling.problem import Problem

Part = tuple[int, ...]


def groups_of(problem: Problem, network: Network) -> list[tuple[Part, ...]]:
    """Groups of parts: between groups nothing is tied, within a group a maximum lag or a span ties the parts."""
    parts = cuts(network.order, network.above)
    place = {index: number for number, part in enumerate(parts) for index in part}
    ties = [(lag.before, lag.after) for lag in problem.lags if lag.most is not None]
    ties += [(span.first, span.last) for span in problem.spans]
    reach = list(range(len(parts)))
    for before, after in ties:
        reach[place[before]] = max(reach[place[before]], place[after])
    groups: list[list[Part]] = []
    until = -1
    for number, part in enumerate(parts):
        if number > until:
            groups.append([])
        groups[-1].append(part)
        until = max(until, reach[number])
    return [tuple(group) for group in groups]


def part_of(problem: Problem, members: Sequence[int], begin: int, releases: Sequence[int] = ()) -> Problem:
    """The problem of these activities alone, in the order given, from `begin` on; a release each, if any."""
    place = {index: number for number, index in enumerate(members)}
    inside = [number for number, span in enumerate(problem.spans) if span.first in place and span.last in place]
    activities = tuple(
        replace(problem.activities[index], release=max(problem.activities[index].release, release))
        for index, release in zip(members, releases or [0] * len(members), strict=True)
    )
    return replace(
        problem,
        activities=activities,
        begin=begin,
        lags=tuple(
            replace(lag, before=place[lag.before], after=place[lag.after])
            for lag in problem.lags
            if lag.before in place and lag.after in place
        ),
        spans=tuple(
            replace(
                problem.spans[number], first=place[problem.spans[number].first], last=place[problem.spans[number].last]
            )
            for number in inside
        ),
        apart=tuple(
            replace(apart, activity=place[apart.activity], span=inside.index(apart.span))
            for apart in problem.apart
            if apart.activity in place and apart.span in inside
        ),
    )
