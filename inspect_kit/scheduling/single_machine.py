"""A wanted order of one person's work made possible: what must come first, comes first; what stands is finished.

Where the next one wanted needs gear that something standing holds, or must not overlap it, that is finished and
undone first. Where something must follow soon (a maximum lag), it follows at once.
"""

import itertools
from bisect import insort
from collections.abc import Iterable, Sequence
from functools import cmp_to_key

from inspect_kit.noun import dataclass
from inspect_kit.scheduling.graphs import MaximumClosure, ancestors, members, topological
from inspect_kit.scheduling.network import ProjectNetwork

SETS = 600

Pairs = Sequence[tuple[int, int]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Jobs of one block in the order to do them.

    No order of theirs has a sum of weight x completion, counted from the beginning of the block, below half of
    `twice_bound` (which may be no whole number); `exact`: this order reaches it.
    """

    jobs: tuple[int, ...]
    duration: int
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


def ordered(durations: Sequence[int], weights: Sequence[int], pairs: Pairs, sets: int = SETS) -> Ordered:
    """All jobs in an order with a small sum of weight x completion; `pairs` are (before, after), without a circle.

    A block with at most `sets` initial sets is solved exactly. Raises ValueError when the pairs go in a circle.
    """
    if topological(len(durations), pairs) is None:
        raise ValueError("jobs wait for each other in a circle")
    made = [_block(jobs, durations, weights, pairs, sets) for jobs in decomposed(durations, weights, pairs)]
    order = tuple(job for block in made for job in block.jobs)
    begin = twice = 0
    for block in made:
        twice += 2 * begin * block.weight + block.twice_bound
        begin += block.duration
    return Ordered(
        order=order,
        total=weighted_sum(order, durations, weights),
        bound=-(-twice // 2),
        blocks=tuple(made),
    )


def weighted_sum(order: Iterable[int], durations: Sequence[int], weights: Sequence[int]) -> int:
    """The sum of weight x completion of an order."""
    clock = total = 0
    for job in order:
        clock += durations[job]
        total += weights[job] * clock
    return total


def decomposed(durations: Sequence[int], weights: Sequence[int], pairs: Pairs) -> list[tuple[int, ...]]:
    """Sidney's blocks, first to last, as small as they come.

    A set whose best initial set for the ratio of the whole gains nothing is itself of the highest ratio; any other is
    cut there in two, and each half is looked at alone (the breakpoints of the parametric flow by bisection).
    """
    waiting = [list(range(len(durations)))] if durations else []
    found: list[tuple[int, ...]] = []
    while waiting:
        jobs = waiting.pop()
        place = {job: number for number, job in enumerate(jobs)}
        inner = [(place[before], place[after]) for before, after in pairs if before in place and after in place]
        length, weight = sum(durations[job] for job in jobs), sum(weights[job] for job in jobs)
        if not length or len(jobs) == 1:
            order = topological(len(jobs), inner)
            assert order is not None
            found.append(tuple(jobs[index] for index in order))
            continue
        closure = MaximumClosure([length * weights[job] - weight * durations[job] for job in jobs], inner)
        if closure.best:
            first = closure.chosen()
            waiting.append([job for index, job in enumerate(jobs) if index not in first])
            waiting.append([job for index, job in enumerate(jobs) if index in first])
        else:
            found += [tuple(jobs[index] for index in knot) for knot in closure.knots()]
    return found


def _block(jobs: tuple[int, ...], durations: Sequence[int], weights: Sequence[int], pairs: Pairs, sets: int) -> Block:
    """The jobs of a block put in order: exactly if it has few initial sets."""
    place = {job: number for number, job in enumerate(jobs)}
    inner = [(place[before], place[after]) for before, after in pairs if before in place and after in place]
    length, weight = [durations[job] for job in jobs], [weights[job] for job in jobs]
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
        duration=sum(length),
        weight=sum(weight),
        twice_bound=2 * cost if exact else _twice_bound(length, weight, ancestors(order, inner)),
        exact=exact,
    )


def _twins(durations: Sequence[int], weights: Sequence[int], pairs: Pairs) -> list[tuple[int, int]]:
    """An order among jobs with the same ones before and after them: by Smith's rule (1956), which is best for them."""
    before: list[set[int]] = [set() for _ in durations]
    after: list[set[int]] = [set() for _ in durations]
    for first, last in pairs:
        before[last].add(first)
        after[first].add(last)

    def earlier(one: int, other: int) -> int:
        return weights[other] * durations[one] - weights[one] * durations[other] or one - other

    smith = cmp_to_key(earlier)
    alike: dict[tuple[frozenset[int], frozenset[int]], list[int]] = {}
    for job in range(len(durations)):
        alike.setdefault((frozenset(before[job]), frozenset(after[job])), []).append(job)
    ties = []
    for jobs in alike.values():
        jobs.sort(key=smith)
        ties += list(itertools.pairwise(jobs))
    return ties


def _exact(durations: Sequence[int], weights: Sequence[int], above: Sequence[int], sets: int) -> list[int] | None:
    """The best order by dynamic programming over the initial sets; None when there are more than `sets`."""
    size = len(durations)
    layer: dict[int, tuple[int, int]] = {0: (0, 0)}
    came: dict[int, int] = {0: -1}
    for _ in range(size):
        following: dict[int, tuple[int, int]] = {}
        for done, (clock, cost) in layer.items():
            for job in range(size):
                if done >> job & 1 or above[job] & ~done:
                    continue
                now, end = done | 1 << job, clock + durations[job]
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


def _greedy(durations: Sequence[int], weights: Sequence[int], above: Sequence[int]) -> list[int]:
    """Again and again the job that, with all that must still come before it, has the highest ratio."""
    return _by_groups(durations, weights, above, set(range(len(durations))))


def target_by_target(durations: Sequence[int], weights: Sequence[int], pairs: Pairs) -> tuple[int, ...]:
    """An order that finishes one job of positive weight after another, what is quickest for its weight first.

    Jobs of negative weight are begun only for what follows from them: good where they wait for their counterparts.
    """
    order = topological(len(durations), pairs)
    if order is None:
        raise ValueError("jobs wait for each other in a circle")
    gains = [max(0, weight) for weight in weights]
    found = _by_groups(durations, gains, ancestors(order, pairs), {job for job in order if gains[job]})
    kept = set(found)
    return (*found, *(job for job in order if job not in kept))


def _by_groups(durations: Sequence[int], weights: Sequence[int], above: Sequence[int], targets: set[int]) -> list[int]:
    """Until all targets are done: the one of the highest ratio, with all that must still come before it."""
    order: list[int] = []
    done = 0
    left = sorted(targets)
    weight = {job: sum([weights[index] for index in members(above[job] | 1 << job)]) for job in left}
    length = {job: sum([durations[index] for index in members(above[job] | 1 << job)]) for job in left}
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
                    length[job] -= durations[index]
    return order


def _twice_bound(durations: Sequence[int], weights: Sequence[int], above: Sequence[int]) -> int:
    """Twice what no order of a block can beat, the best of three bounds.

    While a job runs, at least W - (W/P) t is still to come, because no initial part has a higher ratio than the
    block (W its weight, P its minutes): (W P + W/P sum p^2) / 2. The same from the weights, where none is negative:
    (W P + P/W sum w^2) / 2. And of any two jobs one delays the other, the cheaper one unless their order is given.
    """
    length, weight = sum(durations), sum(weights)
    by_minutes = length * weight + -(-weight * sum(p * p for p in durations) // length) if length else 0
    bounds = [by_minutes]
    if weight > 0 and min(weights) >= 0:
        bounds.append(length * weight + -(-length * sum(w * w for w in weights) // weight))
    pairwise = sum(p * w for p, w in zip(durations, weights, strict=True))
    for job in range(len(durations)):
        for other in range(job):
            either = (durations[job] * weights[other], durations[other] * weights[job])
            if above[other] >> job & 1:
                pairwise += either[0]
            elif above[job] >> other & 1:
                pairwise += either[1]
            else:
                pairwise += min(either)
    bounds.append(2 * pairwise)
    return max(bounds)


def repair_order(
    network: ProjectNetwork, wanted: Sequence[int], zones: Sequence[str], ratios: Sequence[float], stick: float = 0.0
) -> tuple[int, ...] | None:
    """All activities one after another, near to the `wanted` order; None when that leads nowhere.

    The next one is taken in the zone where the last one was, if there is one that can be done there and the loss, by
    its minutes and `ratios` (value for each minute), is at most `stick`.
    """
    return _Dispatcher(network, wanted, zones, ratios, stick).order()


class _Dispatcher:
    """What is ready, what stands, and what must be finished before anything else."""

    def __init__(
        self,
        network: ProjectNetwork,
        wanted: Sequence[int],
        zones: Sequence[str],
        ratios: Sequence[float],
        stick: float,
    ) -> None:
        self.network, self.zones, self.ratios, self.stick = network, zones, ratios, stick
        self.rank = [0] * network.size
        for place, index in enumerate(wanted):
            self.rank[index] = place
        self.waiting = network.predecessor_counts[:]
        self.ready: list[tuple[int, int]] = sorted(
            (self.rank[index], index) for index in range(network.size) if not self.waiting[index]
        )
        self.done = 0
        self.standing: list[int] = []
        self.free = network.free
        self.goals: list[int] = []
        self.zone = ""

    def order(self) -> tuple[int, ...] | None:
        found: list[int] = []
        while self.ready:
            index = self._next()
            if index is None:
                return None
            found.append(index)
            self._do(index)
        return tuple(found) if len(found) == self.network.size else None

    def _next(self) -> int | None:
        """The next one that can be done; what hinders it is made a goal and asked again."""
        for _ in range(2 * len(self.network.hold_amounts) + 2):
            while self.goals and not self.goals[-1] & ~self.done:
                self.goals.pop()
            allowed = self.goals[-1] if self.goals else -1
            choices = [index for _, index in self.ready if allowed >> index & 1]
            hindrance = -1
            for index in self._preferred(choices):
                hindrance = self._hindrance(index)
                if hindrance < 0:
                    return index
                goal = self._closing(hindrance)
                if goal not in self.goals:
                    self.goals.append(goal)
                    break
            else:
                return None
        return None

    def _preferred(self, choices: list[int]) -> list[int]:
        """The choices with the one to stay in the zone for, if there is one, before the others."""
        if self.stick and self.zone and choices and self.network.durations[choices[0]]:
            for index in choices:
                if self.zones[index] == self.zone and self.network.durations[index]:
                    loss = (self.ratios[choices[0]] - self.ratios[index]) * self.network.durations[index]
                    if loss <= self.stick:
                        return [index, *(other for other in choices if other != index)]
                    break
        return choices

    def _closing(self, span: int) -> int:
        last = self.network.problem.holds[span].last
        return (self.network.predecessors[last] | 1 << last) & ~self.done

    def _hindrance(self, index: int) -> int:
        """A span that stands in the way of an activity now; -1 if none does."""
        network = self.network
        for span in network.excluded_holds[index]:
            if span in self.standing:
                return span
        holds = sum(network.hold_amounts[span] for span in network.holds_begun[index])
        need = network.demands[index][0] if network.durations[index] else 0
        if self.free - holds - need & network.guard != network.guard:
            for span in self.standing:
                if network.hold_amounts[span]:
                    return span
        return -1

    def _do(self, index: int) -> None:
        network = self.network
        self.done |= 1 << index
        self.ready.remove((self.rank[index], index))
        for span in network.holds_begun[index]:
            self.standing.append(span)
            self.free -= network.hold_amounts[span]
        for span in network.holds_ended[index]:
            self.standing.remove(span)
            self.free += network.hold_amounts[span]
        if network.durations[index]:
            self.zone = self.zones[index]
        if network.chain_rest[index] & ~self.done:
            self.goals.append(network.chain_rest[index])
        for follower, _ in network.after[index]:
            self.waiting[follower] -= 1
            if not self.waiting[follower]:
                insort(self.ready, (self.rank[follower], follower))


def just_in_time(
    network: ProjectNetwork, order: Sequence[int], values: Sequence[int], *, eager: bool
) -> tuple[int, ...]:
    """The order with what has a negative value (an opening) just before it is needed.

    `eager`: and what has a positive value and need not wait for anything (a closing) as soon as it can be done.
    """
    before: list[list[int]] = [[] for _ in range(network.size)]
    after: list[list[int]] = [[] for _ in range(network.size)]
    waiting = [0] * network.size
    for first, last in sorted(set(network.pairs)):
        before[last].append(first)
        after[first].append(last)
        waiting[last] += 1
    closings = {last for first, last in network.pairs if values[first] < 0 < values[last]}
    found: list[int] = []
    placed = [False] * network.size

    def place(index: int) -> None:
        if placed[index]:
            return
        for first in before[index]:
            place(first)
        placed[index] = True
        found.append(index)
        for last in after[index]:
            waiting[last] -= 1
            if eager and last in closings and not waiting[last] and not placed[last]:
                place(last)

    for index in order:
        if values[index] >= 0:
            place(index)
    for index in order:
        place(index)
    return tuple(found)


def start_times(network: ProjectNetwork, order: Sequence[int]) -> list[int]:
    """The starts when all is done one after another without a pause."""
    starts = [0] * network.size
    clock = network.problem.begin
    for index in order:
        starts[index] = clock
        clock += network.durations[index]
    return starts


def lasting_precedences(network: ProjectNetwork) -> list[tuple[int, int, int]]:
    """The (before, after, least) among the activities that last: those that take no time passed through."""
    least: dict[tuple[int, int], int] = {}
    before: list[set[int]] = [set() for _ in range(network.size)]
    after: list[set[int]] = [set() for _ in range(network.size)]

    def tie(first: int, last: int, wait: int) -> None:
        least[first, last] = max(wait, least.get((first, last), 0))
        before[last].add(first)
        after[first].add(last)

    for first, last in network.pairs:
        tie(first, last, 0)
    for lag in network.problem.precedences:
        tie(lag.before, lag.after, lag.min_lag)
    for index in range(network.size):
        if not network.durations[index]:
            for first in sorted(before[index]):
                for last in sorted(after[index]):
                    tie(first, last, least[first, index] + least[index, last])
            for first in before[index]:
                after[first].discard(index)
            for last in after[index]:
                before[last].discard(index)
            before[index], after[index] = set(), set()
    lasting = {index for index in range(network.size) if network.durations[index]}
    return sorted((first, last, wait) for (first, last), wait in least.items() if {first, last} <= lasting)


def place_instants(network: ProjectNetwork, starts: Sequence[int], values: Sequence[int]) -> list[int]:
    """The starts with what takes no time put between what comes before and after it: late where its value is negative.

    (An opening that takes no time is done just before it is needed.)
    """
    placed = list(starts)
    ends: list[list[tuple[int, int]]] = [[] for _ in range(network.size)]
    least: dict[tuple[int, int], int] = dict.fromkeys(network.pairs, 0)
    for lag in network.problem.precedences:
        least[lag.before, lag.after] = max(lag.min_lag, least[lag.before, lag.after])
    follows: list[list[tuple[int, int]]] = [[] for _ in range(network.size)]
    for (first, last), wait in least.items():
        ends[last].append((first, wait))
        follows[first].append((last, wait))
    for index in network.order:
        if not network.durations[index]:
            placed[index] = max(
                [
                    network.problem.begin,
                    *(placed[first] + network.durations[first] + more for first, more in ends[index]),
                ]
            )
    for index in reversed(network.order):
        if not network.durations[index] and values[index] < 0 and follows[index]:
            placed[index] = max(placed[index], min(placed[last] - more for last, more in follows[index]))
    return placed
