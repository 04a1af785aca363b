"""A wanted order of one person's work made possible: what must come first, comes first; what stands is finished.

Where the next one wanted needs gear that something standing holds, or must not overlap it, that is finished and
undone first. Where something must follow soon (a maximum lag), it follows at once.
"""

from bisect import insort
from collections.abc import Sequence

from inspect_kit.scheduling.network import Network


def settled(
    network: Network, wanted: Sequence[int], zones: Sequence[str], ratios: Sequence[float], stick: float = 0.0
) -> tuple[int, ...] | None:
    """All activities one after another, near to the `wanted` order; None when that leads nowhere.

    The next one is taken in the zone where the last one was, if there is one that can be done there and the loss, by
    its minutes and `ratios` (value for each minute), is at most `stick`.
    """
    return _Bench(network, wanted, zones, ratios, stick).order()


class _Bench:
    """What is ready, what stands, and what must be finished before anything else."""

    def __init__(
        self, network: Network, wanted: Sequence[int], zones: Sequence[str], ratios: Sequence[float], stick: float
    ) -> None:
        self.network, self.zones, self.ratios, self.stick = network, zones, ratios, stick
        self.rank = [0] * network.size
        for place, index in enumerate(wanted):
            self.rank[index] = place
        self.waiting = network.waiting[:]
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
        for _ in range(2 * len(self.network.holds) + 2):
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
        if self.stick and self.zone and choices and self.network.minutes[choices[0]]:
            for index in choices:
                if self.zones[index] == self.zone and self.network.minutes[index]:
                    loss = (self.ratios[choices[0]] - self.ratios[index]) * self.network.minutes[index]
                    if loss <= self.stick:
                        return [index, *(other for other in choices if other != index)]
                    break
        return choices

    def _closing(self, span: int) -> int:
        last = self.network.problem.spans[span].last
        return (self.network.above[last] | 1 << last) & ~self.done

    def _hindrance(self, index: int) -> int:
        """A span that stands in the way of an activity now; -1 if none does."""
        network = self.network
        for span in network.keeps[index]:
            if span in self.standing:
                return span
        holds = sum(network.holds[span] for span in network.opens[index])
        need = network.needs[index][0] if network.minutes[index] else 0
        if self.free - holds - need & network.guard != network.guard:
            for span in self.standing:
                if network.holds[span]:
                    return span
        return -1

    def _do(self, index: int) -> None:
        network = self.network
        self.done |= 1 << index
        self.ready.remove((self.rank[index], index))
        for span in network.opens[index]:
            self.standing.append(span)
            self.free -= network.holds[span]
        for span in network.closes[index]:
            self.standing.remove(span)
            self.free += network.holds[span]
        if network.minutes[index]:
            self.zone = self.zones[index]
        if network.urgent[index] & ~self.done:
            self.goals.append(network.urgent[index])
        for follower, _ in network.after[index]:
            self.waiting[follower] -= 1
            if not self.waiting[follower]:
                insort(self.ready, (self.rank[follower], follower))


def just_in_time(network: Network, order: Sequence[int], values: Sequence[int], *, eager: bool) -> tuple[int, ...]:
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


def times(network: Network, order: Sequence[int]) -> list[int]:
    """The starts when all is done one after another without a pause."""
    starts = [0] * network.size
    clock = network.problem.begin
    for index in order:
        starts[index] = clock
        clock += network.minutes[index]
    return starts


def bridged(network: Network) -> list[tuple[int, int, int]]:
    """The (before, after, least) among the activities that last: those that take no time passed through."""
    least: dict[tuple[int, int], int] = {}
    before: list[set[int]] = [set() for _ in range(network.size)]
    after: list[set[int]] = [set() for _ in range(network.size)]

    def tie(first: int, last: int, minutes: int) -> None:
        least[first, last] = max(minutes, least.get((first, last), 0))
        before[last].add(first)
        after[first].add(last)

    for first, last in network.pairs:
        tie(first, last, 0)
    for lag in network.problem.lags:
        tie(lag.before, lag.after, lag.least)
    for index in range(network.size):
        if not network.minutes[index]:
            for first in sorted(before[index]):
                for last in sorted(after[index]):
                    tie(first, last, least[first, index] + least[index, last])
            for first in before[index]:
                after[first].discard(index)
            for last in after[index]:
                before[last].discard(index)
            before[index], after[index] = set(), set()
    lasting = {index for index in range(network.size) if network.minutes[index]}
    return sorted((first, last, minutes) for (first, last), minutes in least.items() if {first, last} <= lasting)


def instants(network: Network, starts: Sequence[int], values: Sequence[int]) -> list[int]:
    """The starts with what takes no time put between what comes before and after it: late where its value is negative.

    (An opening that takes no time is done just before it is needed.)
    """
    placed = list(starts)
    ends: list[list[tuple[int, int]]] = [[] for _ in range(network.size)]
    least: dict[tuple[int, int], int] = dict.fromkeys(network.pairs, 0)
    for lag in network.problem.lags:
        least[lag.before, lag.after] = max(lag.least, least[lag.before, lag.after])
    follows: list[list[tuple[int, int]]] = [[] for _ in range(network.size)]
    for (first, last), minutes in least.items():
        ends[last].append((first, minutes))
        follows[first].append((last, minutes))
    for index in network.order:
        if not network.minutes[index]:
            placed[index] = max(
                [network.problem.begin, *(placed[first] + network.minutes[first] + more for first, more in ends[index])]
            )
    for index in reversed(network.order):
        if not network.minutes[index] and values[index] < 0 and follows[index]:
            placed[index] = max(placed[index], min(placed[last] - more for last, more in follows[index]))
    return placed
