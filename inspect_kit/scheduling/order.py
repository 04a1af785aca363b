"""Orders that follow from gear and from `apart`: what cannot be the other way round is written down as precedence."""

from collections.abc import Iterator
from dataclasses import replace

from inspect_kit.scheduling.closure import ancestors, topological
from inspect_kit.scheduling.problem import Lag, Problem


def pairs_of(problem: Problem) -> list[tuple[int, int]]:
    """Every (before, after) of the problem: its lags, and the first of a span before its last."""
    pairs = [(lag.before, lag.after) for lag in problem.lags]
    return pairs + [(span.first, span.last) for span in problem.spans if span.first != span.last]


def in_order(problem: Problem) -> Problem | None:
    """The problem with every precedence that its gear and its spans force; None if they force a cycle.

    Of two stretches that may not overlap, an activity or a span each, one comes wholly first. Where the beginning of
    one already precedes the end of the other, that one is it.
    """
    stretches = list(_exclusive(problem))
    lags = list(problem.lags)
    while True:
        tied = replace(problem, lags=tuple(lags))
        pairs = pairs_of(tied)
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
                    new.append(Lag(before=last, after=second))
        if not new:
            return tied
        lags += dict.fromkeys(new)


def _exclusive(problem: Problem) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Pairs of stretches (first, last) that may not overlap, because of gear or because they are to be apart."""
    for apart in problem.apart:
        span = problem.spans[apart.span]
        yield (apart.activity, apart.activity), (span.first, span.last)
    capacities = problem.capacities
    for place, span in enumerate(problem.spans):
        for other in problem.spans[place + 1 :]:
            # Spans that share an end stand together by nature (all that is already off stands from now on).
            together = span.first == other.first or span.last == other.last
            if not together and _too_much(span.holds, other.holds, capacities):
                yield (span.first, span.last), (other.first, other.last)
        for index, activity in enumerate(problem.activities):
            inside = index in (span.first, span.last)
            if (
                activity.minutes
                and not inside
                and all(_too_much(span.holds, mode, capacities) for mode in activity.modes)
            ):
                yield (index, index), (span.first, span.last)


def _too_much(one: tuple[int, ...], other: tuple[int, ...], capacities: tuple[int, ...]) -> bool:
    return any(
        mine and theirs and mine + theirs > most for mine, theirs, most in zip(one, other, capacities, strict=True)
    )
