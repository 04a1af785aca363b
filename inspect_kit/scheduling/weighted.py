"""One machine, jobs with weights, some before others: the order with the least sum of weight x completion.

1 | prec | sum w C is NP-hard (Lawler 1978, Annals of Discrete Mathematics 2:75-90). Sidney's decomposition (1975,
Operations Research 23:283-298) cuts it into blocks: of all initial sets the one with the highest weight for its
minutes comes first in some best order, then the highest of the rest. Inside a block every initial part has at most the
block's ratio; any order there costs at most twice the best (Chekuri & Motwani 1999, Discrete Applied Mathematics
98:29-38). Here small blocks are solved exactly, over all their initial sets, and the others greedily.

Minutes are whole and not negative; weights are whole numbers of any sign. Completions count from 0.
"""

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cmp_to_key

from inspect_kit.scheduling.closure import ancestors, members, topological
from inspect_kit.scheduling.flow import Closure

SETS = 600

Pairs = Sequence[tuple[int, int]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Jobs of one block in the order to do them. No order of theirs has less than `bound` within the block.

    `bound` counts from the block's beginning, times two to stay whole; `exact`: the order reaches it.
    """

    jobs: tuple[int, ...]
    minutes: int
    weight: int
    twice_bound: int
    exact: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """An order, its sum of weight x completion, and what no order can beat (rounded up)."""

    order: tuple[int, ...]
    total: int
    bound: int
    blocks: tuple[Block, ...]


def ordered(minutes: Sequence[int], weights: Sequence[int], pairs: Pairs, sets: int = SETS) -> Ordered:
    """The order of all jobs; `pairs` are (before, after), without a circle.

    A block with at most so many initial sets is solved exactly. Raises ValueError when the pairs go in a circle.
    """
    if topological(len(minutes), pairs) is None:
        raise ValueError("jobs wait for each other in a circle")
    made = [_block(jobs, minutes, weights, pairs, sets) for jobs in decomposed(minutes, weights, pairs)]
    order = tuple(job for block in made for job in block.jobs)
    begin = twice = 0
    for block in made:
        twice += 2 * begin * block.weight + block.twice_bound
        begin += block.minutes
    return Ordered(
        order=order,
        total=weighted_sum(order, minutes, weights),
        bound=-(-twice // 2),
        blocks=tuple(made),
    )


def weighted_sum(order: Iterable[int], minutes: Sequence[int], weights: Sequence[int]) -> int:
    """The sum of weight x completion of an order."""
    clock = total = 0
    for job in order:
        clock += minutes[job]
        total += weights[job] * clock
    return total


def decomposed(minutes: Sequence[int], weights: Sequence[int], pairs: Pairs) -> list[tuple[int, ...]]:
    """Sidney's blocks, first to last, as small as they come.

    A set whose best initial set for the ratio of the whole gains nothing is itself of the highest ratio; any other is
    cut there in two, and each half is looked at alone (the breakpoints of the parametric flow by bisection).
    """
    waiting = [list(range(len(minutes)))] if minutes else []
    found: list[tuple[int, ...]] = []
    while waiting:
        jobs = waiting.pop()
        place = {job: number for number, job in enumerate(jobs)}
        inner = [(place[before], place[after]) for before, after in pairs if before in place and after in place]
        length, weight = sum(minutes[job] for job in jobs), sum(weights[job] for job in jobs)
        if not length or len(jobs) == 1:
            order = topological(len(jobs), inner)
            assert order is not None
            found.append(tuple(jobs[index] for index in order))
            continue
        closure = Closure([length * weights[job] - weight * minutes[job] for job in jobs], inner)
        if closure.best:
            first = closure.chosen()
            waiting.append([job for index, job in enumerate(jobs) if index not in first])
            waiting.append([job for index, job in enumerate(jobs) if index in first])
        else:
            found += [tuple(jobs[index] for index in knot) for knot in closure.knots()]
    return found


def _block(jobs: tuple[int, ...], minutes: Sequence[int], weights: Sequence[int], pairs: Pairs, sets: int) -> Block:
    """The jobs of a block put in order: exactly if it has few initial sets."""
    place = {job: number for number, job in enumerate(jobs)}
    inner = [(place[before], place[after]) for before, after in pairs if before in place and after in place]
    length, weight = [minutes[job] for job in jobs], [weights[job] for job in jobs]
    tied = inner + _twins(length, weight, inner)
    order = topological(len(jobs), tied)
    assert order is not None
    above = ancestors(order, tied)
    best = _exact(length, weight, above, sets)
    exact = best is not None
    if best is None:
        best = _greedy(length, weight, above)
    cost = weighted_sum(best, length, weight)
    return Block(
        jobs=tuple(jobs[index] for index in best),
        minutes=sum(length),
        weight=sum(weight),
        twice_bound=2 * cost if exact else _twice_bound(length, weight, ancestors(order, inner)),
        exact=exact,
    )


def _twins(minutes: Sequence[int], weights: Sequence[int], pairs: Pairs) -> list[tuple[int, int]]:
    """An order among jobs with the same ones before and after them: by Smith's rule (1956), which is best for them."""
    before: list[set[int]] = [set() for _ in minutes]
    after: list[set[int]] = [set() for _ in minutes]
    for first, last in pairs:
        before[last].add(first)
        after[first].add(last)

    def earlier(one: int, other: int) -> int:
        return weights[other] * minutes[one] - weights[one] * minutes[other] or one - other

    smith = cmp_to_key(earlier)
    alike: dict[tuple[frozenset[int], frozenset[int]], list[int]] = {}
    for job in range(len(minutes)):
        alike.setdefault((frozenset(before[job]), frozenset(after[job])), []).append(job)
    ties = []
    for jobs in alike.values():
        jobs.sort(key=smith)
        ties += list(itertools.pairwise(jobs))
    return ties


def _exact(minutes: Sequence[int], weights: Sequence[int], above: Sequence[int], sets: int) -> list[int] | None:
    """The best order by dynamic programming over the initial sets; None when there are more than `sets`."""
    size = len(minutes)
    layer: dict[int, tuple[int, int]] = {0: (0, 0)}
    came: dict[int, int] = {0: -1}
    for _ in range(size):
        following: dict[int, tuple[int, int]] = {}
        for done, (clock, cost) in layer.items():
            for job in range(size):
                if done >> job & 1 or above[job] & ~done:
                    continue
                now, end = done | 1 << job, clock + minutes[job]
                price = cost + weights[job] * end
                if now not in following or price < following[now][1]:
                    following[now] = (end, price)
                    came[now] = job
        layer = following
        if len(came) > sets:
            return None
    order, done = [], (1 << size) - 1
    while done:
        order.append(came[done])
        done ^= 1 << came[done]
    return order[::-1]


def _greedy(minutes: Sequence[int], weights: Sequence[int], above: Sequence[int]) -> list[int]:
    """Again and again the job that, with all that must still come before it, has the highest ratio."""
    return _by_groups(minutes, weights, above, set(range(len(minutes))))


def target_by_target(minutes: Sequence[int], weights: Sequence[int], pairs: Pairs) -> tuple[int, ...]:
    """An order that finishes one job of positive weight after another, what is quickest for its weight first.

    Jobs of negative weight are begun only for what follows from them: good where they wait for their counterparts.
    """
    order = topological(len(minutes), pairs)
    if order is None:
        raise ValueError("jobs wait for each other in a circle")
    gains = [max(0, weight) for weight in weights]
    found = _by_groups(minutes, gains, ancestors(order, pairs), {job for job in order if gains[job]})
    kept = set(found)
    return (*found, *(job for job in order if job not in kept))


def _by_groups(minutes: Sequence[int], weights: Sequence[int], above: Sequence[int], targets: set[int]) -> list[int]:
    """Until all targets are done: the one of the highest ratio, with all that must still come before it."""
    order: list[int] = []
    done = 0
    left = sorted(targets)
    weight = {job: sum([weights[index] for index in members(above[job] | 1 << job)]) for job in left}
    length = {job: sum([minutes[index] for index in members(above[job] | 1 << job)]) for job in left}
    while left:
        choice = left[0]
        for job in left:
            if weight[job] * length[choice] > weight[choice] * length[job]:
                choice = job
        group = [*members(above[choice] & ~done), choice]
        group.sort(key=lambda index: (above[index].bit_count(), index))
        order += group
        for index in group:
            done |= 1 << index
        left = [job for job in left if not done >> job & 1]
        for index in group:
            for job in left:
                if above[job] >> index & 1:
                    weight[job] -= weights[index]
                    length[job] -= minutes[index]
    return order


def _twice_bound(minutes: Sequence[int], weights: Sequence[int], above: Sequence[int]) -> int:
    """Twice what no order of a block can beat, the best of three bounds.

    While a job runs, at least W - (W/P) t is still to come, because no initial part has a higher ratio than the
    block (W its weight, P its minutes): (W P + W/P sum p^2) / 2. The same from the weights, where none is negative:
    (W P + P/W sum w^2) / 2. And of any two jobs one delays the other, the cheaper one unless their order is given.
    """
    length, weight = sum(minutes), sum(weights)
    by_minutes = length * weight + -(-weight * sum(p * p for p in minutes) // length) if length else 0
    bounds = [by_minutes]
    if weight > 0 and min(weights) >= 0:
        bounds.append(length * weight + -(-length * sum(w * w for w in weights) // weight))
    pairwise = sum(p * w for p, w in zip(minutes, weights, strict=True))
    for job in range(len(minutes)):
        for other in range(job):
            either = (minutes[job] * weights[other], minutes[other] * weights[job])
            if above[other] >> job & 1:
                pairwise += either[0]
            elif above[job] >> other & 1:
                pairwise += either[1]
            else:
                pairwise += min(either)
    bounds.append(2 * pairwise)
    return max(bounds)
