"""A shorter schedule of a small problem: a few activities are freed at a time, the rest keep their order.

Whoever did one of the rest and next another of them goes on doing so; branch and bound looks for a schedule that is
shorter with that, or as short, which leads away from dead ends, forwards or with time running backwards (large
neighbourhoods; Godard, Laborie & Nuijten 2005, ICAPS 15:81-89). The fewer nodes that took, the more are freed next.
"""

from collections.abc import Sequence
from copy import copy
from random import Random

from inspect_kit.scheduling.bounds import clique_pools, pools_of
from inspect_kit.scheduling.branch_and_bound import BranchAndBound
from inspect_kit.scheduling.graphs import ancestors, descendants
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Project, Schedule
from inspect_kit.scheduling.propagation import TimeWindows
from inspect_kit.scheduling.reduction import reversed_in_time

# Nodes of one try, what getting ready for it costs in nodes, and how many are freed: at first, at least, and how that
# changes from one try to the next.
NODES, READY, FREED, FEWEST, CHANGE = 200, 50, 8, 4, 0.1
# How often one that is as short is taken, and how often those that are not freed keep their modes.
AS_SHORT, KEPT = 0.8, 0.7
# How often those about one moment are freed, exactly or nearly: else any. How much nearly is, as a part of the whole.
TOGETHER, NEARLY, NEAR = 0.2, 0.4, 0.3


class Neighbourhoods:
    """`best` is the shortest schedule that was found, `effort` what it has cost, in nodes."""

    def __init__(self, problem: Project, best: Schedule) -> None:
        self.problem, self.best, self.current = problem, best, best
        self.random, self.effort, self.freed = Random(1), 0, float(FREED)
        sides = [problem]
        if problem.shifts is None and not any(problem.windows):
            sides.append(reversed_in_time(problem, 0))
        self.sides = [(ProjectNetwork(side, gates=False), pools_of(side) + clique_pools(side)) for side in sides]
        self.lengths = self.sides[0][0].durations
        self.lasting = [index for index, length in enumerate(self.lengths) if length]

    def take(self, schedule: Schedule) -> None:
        """A schedule that was found elsewhere, if it is shorter."""
        if schedule.makespan < self.best.makespan:
            self.best = self.current = schedule

    def run(self, limit: int, bound: int) -> Schedule:
        """Free some again and again until a schedule ends by `bound` or the effort has reached its limit."""
        while self.best.makespan > bound and self.effort < limit:
            short = self.random.random() < AS_SHORT
            made = self._tried(self.best.makespan - (not short))
            if made is not None:
                self.current = made
                if made.makespan < self.best.makespan:
                    self.best = made
        return self.best

    def _tried(self, aim: int) -> Schedule | None:
        """A schedule that ends by `aim` with some activities of the current one freed."""
        chosen, random = self._chosen(), self.random
        turned = random.random() < 0.5 and len(self.sides) > 1
        network, pools = self.sides[turned]
        goal, starts, lasts = aim, self.current.starts, [FOREVER] * network.size
        if turned:
            begin, releases = self.problem.begin, self.sides[0][0].releases
            goal, starts = aim - begin, self._turned(starts, self.current.makespan)
            # Seen from the other end a release is the last moment of an end.
            lasts = [aim - release - length for release, length in zip(releases, self.lengths, strict=True)]
        rest = [index for index in self.lasting if index not in chosen]
        modes = [(1 << len(demands)) - 1 for demands in network.demands]
        for index in rest:
            if random.random() < KEPT:
                modes[index] = 1 << self.current.modes[index]
        windows = TimeWindows(heads=network.releases[:], lasts=lasts, modes=modes)
        tied = in_chains(network, starts, self.current.modes, rest, random)
        tree = BranchAndBound(tied, pools, None, goal, NODES, windows)
        tree.run(random)
        self.effort += tree.effort + READY
        if tree.best is None:
            self.freed = min(network.size, self.freed + CHANGE) if tree.complete else max(FEWEST, self.freed - CHANGE)
            return None
        made = self._turned(tree.best.starts, aim) if turned else tree.best.starts
        return Schedule(starts=made, modes=tree.best.modes, makespan=max(map(int.__add__, made, self.lengths)))

    def _turned(self, starts: Sequence[int], end: int) -> tuple[int, ...]:
        return tuple(end - start - length for start, length in zip(starts, self.lengths, strict=True))

    def _chosen(self) -> set[int]:
        """Some activities that last: those about a moment, nearly those, or any."""
        draw, schedule, begin = self.random.random, self.current, self.problem.begin
        most = min(len(self.lasting), int(self.freed + draw()))
        kind = draw()
        if kind >= NEARLY:
            return set(self.random.sample(self.lasting, most))
        span = schedule.makespan - begin
        moment, width = begin + draw() * span, 0.0 if kind < TOGETHER else NEAR * span
        away = {
            index: abs(schedule.starts[index] + self.lengths[index] / 2 - moment) + width * draw()
            for index in self.lasting
        }
        return set(sorted(self.lasting, key=lambda index: (away[index], index))[:most])


def in_chains(
    network: ProjectNetwork, starts: Sequence[int], modes: Sequence[int], some: Sequence[int], random: Random
) -> ProjectNetwork:
    """The network in which whoever does one of these and next another of them goes on doing so in that order.

    People, and tools of one kind, are told apart by chance, but so that as few ties are new as is easily had.
    """
    tied = copy(network)
    tied.after = [list(following) for following in network.after]
    tied.predecessor_counts = network.predecessor_counts[:]
    places = {index: place for place, index in enumerate(network.order)}
    tied.order = tuple(sorted(range(network.size), key=lambda index: (starts[index], places[index])))
    # Of every one of a resource what it does last, and until when.
    units: list[list[tuple[int, int]]] = [[(-1, -1)] * capacity for capacity in network.problem.capacities]
    ties: dict[tuple[int, int], None] = {}
    for index in sorted(some, key=lambda index: starts[index]):
        before = network.predecessors[index]
        for each, amount in zip(units, network.problem.activities[index].modes[modes[index]], strict=True):
            ready = [place for place, (_, end) in enumerate(each) if end <= starts[index]] if amount else []
            random.shuffle(ready)
            ready.sort(key=lambda place: (each[place][0] < 0 or not before >> each[place][0] & 1, -each[place][1]))
            for place in ready[:amount]:
                if each[place][0] >= 0:
                    ties[each[place][0], index] = None
                each[place] = (index, starts[index] + network.durations[index])
    for one, other in ties:
        if not network.predecessors[other] >> one & 1:
            tied.after[one].append((other, 0))
            tied.predecessor_counts[other] += 1
    pairs = [(index, after) for index, following in enumerate(tied.after) for after, _ in following]
    tied.predecessors, tied.successors = ancestors(tied.order, pairs), descendants(tied.order, pairs)
    return tied
