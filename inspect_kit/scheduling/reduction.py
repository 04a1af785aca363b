"""What a problem is turned into before it is solved: with all precedence it implies, cut into parts, time reversed."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from inspect_kit.scheduling.graphs import ancestors, cuts, topological
from inspect_kit.scheduling.problem import Precedence, Project, Schedule, Window


def precedence_pairs(problem: Project) -> list[tuple[int, int]]:
    """Every (before, after) of the problem: its lags, and the first of a span before its last."""
    pairs = [(lag.before, lag.after) for lag in problem.precedences]
    return pairs + [(span.first, span.last) for span in problem.holds if span.first != span.last]


def with_implied_precedence(problem: Project) -> Project | None:
    """The problem with every precedence that its gear and its spans force; None if they force a cycle.

    Of two stretches that may not overlap, an activity or a span each, one comes wholly first. Where the beginning of
    one already precedes the end of the other, that one is it.
    """
    stretches = list(_exclusive(problem))
    lags = list(problem.precedences)
    while True:
        tied = replace(problem, precedences=tuple(lags))
        pairs = precedence_pairs(tied)
        order = topological(len(problem.activities), pairs)
        if order is None:
            return None
        above = ancestors(order, pairs)
        new = []
        for one, other in stretches:
            for (first, last), (second, end) in ((one, other), (other, one)):
                started = first == end or above[end] >> first & 1
                if started and not above[second] >> last & 1:
                    if last == second:
                        return None
                    new.append(Precedence(before=last, after=second))
        if not new:
            return tied
        lags += dict.fromkeys(new)


def _exclusive(problem: Project) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Pairs of stretches (first, last) that may not overlap, because of gear or because they are to be apart."""
    for apart in problem.disjunctions:
        span = problem.holds[apart.hold]
        yield (apart.activity, apart.activity), (span.first, span.last)
    capacities = problem.capacities
    for place, span in enumerate(problem.holds):
        for other in problem.holds[place + 1 :]:
            # Spans that share an end stand together by nature (all that is already off stands from now on).
            together = span.first == other.first or span.last == other.last
            if not together and _too_much(span.amounts, other.amounts, capacities):
                yield (span.first, span.last), (other.first, other.last)
        for index, activity in enumerate(problem.activities):
            inside = index in (span.first, span.last)
            if (
                activity.duration
                and not inside
                and all(_too_much(span.amounts, mode, capacities) for mode in activity.modes)
            ):
                yield (index, index), (span.first, span.last)


def _too_much(one: tuple[int, ...], other: tuple[int, ...], capacities: tuple[int, ...]) -> bool:
    return any(
        mine and theirs and mine + theirs > most for mine, theirs, most in zip(one, other, capacities, strict=True)
    )


Part = tuple[int, ...]


def series_parts(problem: Project, order: Sequence[int], above: Sequence[int]) -> list[tuple[Part, ...]]:
    """Groups of parts: between groups nothing is tied, within a group a maximum lag or a span ties the parts.

    `order` is a topological order, `above` the bit sets of all that come before each activity.
    """
    parts = cuts(order, above)
    place = {index: number for number, part in enumerate(parts) for index in part}
    ties = [(lag.before, lag.after) for lag in problem.precedences if lag.max_lag is not None]
    ties += [(span.first, span.last) for span in problem.holds]
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


def subproblem(problem: Project, members: Sequence[int], begin: int, releases: Sequence[int] = ()) -> Project:
    """The problem of these activities alone, in the order given, from `begin` on; a release each, if any."""
    place = {index: number for number, index in enumerate(members)}
    inside = [number for number, span in enumerate(problem.holds) if span.first in place and span.last in place]
    activities = tuple(
        replace(problem.activities[index], release=max(problem.activities[index].release, release))
        for index, release in zip(members, releases or [0] * len(members), strict=True)
    )
    return replace(
        problem,
        activities=activities,
        begin=begin,
        precedences=tuple(
            replace(lag, before=place[lag.before], after=place[lag.after])
            for lag in problem.precedences
            if lag.before in place and lag.after in place
        ),
        holds=tuple(
            replace(
                problem.holds[number], first=place[problem.holds[number].first], last=place[problem.holds[number].last]
            )
            for number in inside
        ),
        disjunctions=tuple(
            replace(apart, activity=place[apart.activity], hold=inside.index(apart.hold))
            for apart in problem.disjunctions
            if apart.activity in place and apart.hold in inside
        ),
    )


def reversed_in_time(problem: Project, horizon: int) -> Project:
    """The same problem with time running backwards from `horizon`; releases are dropped."""

    def turned(windows: tuple[Window, ...] | None) -> tuple[Window, ...] | None:
        if windows is None:
            return None
        return tuple((horizon - end, horizon - start) for start, end in reversed(windows))

    return replace(
        problem,
        activities=tuple(replace(activity, release=0) for activity in problem.activities),
        precedences=tuple(replace(lag, before=lag.after, after=lag.before) for lag in problem.precedences),
        holds=tuple(replace(span, first=span.last, last=span.first) for span in problem.holds),
        windows=tuple(map(turned, problem.windows)),
        shifts=turned(problem.shifts),
        begin=0,
    )


def reversed_schedule(schedule: Schedule, problem: Project, begin: int) -> Schedule:
    """The schedule seen from the other end of time, for the problem there; it began at `begin`."""
    base = problem.begin
    starts = tuple(
        base + schedule.makespan - start - activity.duration
        for start, activity in zip(schedule.starts, problem.activities, strict=True)
    )
    return Schedule(starts=starts, modes=schedule.modes, makespan=base + schedule.makespan - begin)
