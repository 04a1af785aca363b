"""A shorter schedule of a small problem by simulated annealing over lists: the order of activities, and their modes.

Bouleimen & Lecocq 2003, EJOR 149:268-281, with a list that is left as it is where lags are tight (`listed_schedule`),
and now and then everything moved late and early again (Tormos & Lova 2001, Annals of Operations Research 102:65-81).
"""

from collections.abc import Sequence
from math import exp
from random import Random

from inspect_kit.scheduling.generation import listed_schedule
from inspect_kit.scheduling.network import ProjectNetwork
from inspect_kit.scheduling.problem import Schedule
from inspect_kit.scheduling.reduction import reversed_in_time

# In minutes: how much longer a schedule may get at the beginning, and at the end, about one time in three; and what a
# minute of the mean start counts, so that of two equal lengths the one that has less left to do later is preferred.
HOT, COLD, EARLY = 2.0, 0.5, 0.1
# How often a step is pulled ahead, or else put off; how often modes change besides, and how often one is left open.
PULLED, PUT_OFF, RESTAFFED, KEPT = 0.45, 0.75, 0.35, 0.6
# How often everything is moved late and early again.
JUSTIFIED = 0.3


def tied(network: ProjectNetwork) -> bool:
    """Whether lags or breaks tie activities together, which is what the other schemes cannot always do best."""
    return any(network.chain_rest)


class Annealing:
    """`best` is the shortest schedule that was found, `tried` the number of schedules that were generated."""

    def __init__(self, network: ProjectNetwork, best: Schedule) -> None:
        self.network, self.best = network, best
        self.random, self.tried = Random(1), 0
        # With time running backwards from here; 0 where any moment will do.
        self.horizon = max([0, *(windows[-1][1] for windows in network.problem.windows if windows)])
        self.backwards = ProjectNetwork(reversed_in_time(network.problem, self.horizon), gates=False)
        self.places = {index: place for place, index in enumerate(network.order)}
        self.several = [index for index, demands in enumerate(network.demands) if len(demands) > 1]

    def run(self, trials: int, goal: int) -> Schedule:
        """From the best schedule on, until one ends by `goal` or so many have been generated, cooling all the while."""
        current, cost = self.best, self._cost(self.best)
        order, begun = self._list(current), self.tried
        while self.tried - begun < trials and self.best.makespan > goal:
            made = self._made(*self._changed(order, current.modes))
            if made is None:
                continue
            more = self._cost(made) - cost
            if more <= 0 or self.random.random() < exp(-more / HOT * (HOT / COLD) ** ((self.tried - begun) / trials)):
                current, cost, order = made, cost + more, self._list(made)
                if made.makespan < self.best.makespan:
                    self.best = made
        return self.best

    def _cost(self, schedule: Schedule) -> float:
        return schedule.makespan + EARLY * sum(schedule.starts) / self.network.size

    def _list(self, schedule: Schedule) -> list[int]:
        """The activities in the order of their starts."""
        starts, places = schedule.starts, self.places
        return sorted(range(self.network.size), key=lambda index: (starts[index], places[index]))

    def _changed(self, order: Sequence[int], modes: Sequence[int]) -> tuple[list[int], list[int | None]]:
        """The list with a stretch of it changed, the modes with one to three of them drawn anew, or both."""
        draw, size = self.random.random, self.network.size
        changed, chosen = list(order), list[int | None](modes)
        kind = draw()
        if kind < PULLED:
            last = int(draw() * size)
            first = max(0, last - 1 - int(draw() * draw() * size))
            self._pull(changed, first, last)
        elif kind < PUT_OFF:
            first = int(draw() * size)
            last = min(size - 1, first + 1 + int(draw() * draw() * size))
            self._put_off(changed, first, last)
        if self.several and (kind >= PUT_OFF or draw() < RESTAFFED):
            for _ in range(1 + int(draw() * 3)):
                index = self.several[int(draw() * len(self.several))]
                chosen[index] = int(draw() * len(self.network.demands[index])) if draw() < KEPT else None
        return changed, chosen

    def _pull(self, order: list[int], first: int, last: int) -> None:
        """The last of a stretch comes to its front, with all that it waits for."""
        stretch, before = order[first : last + 1], self.network.predecessors[order[last]] | 1 << order[last]
        ahead = [index for index in stretch if before >> index & 1]
        order[first : last + 1] = ahead + [index for index in stretch if not before >> index & 1]

    def _put_off(self, order: list[int], first: int, last: int) -> None:
        """The first of a stretch goes to its end, with all that waits for it."""
        stretch, after = order[first : last + 1], self.network.successors[order[first]] | 1 << order[first]
        later = [index for index in stretch if after >> index & 1]
        order[first : last + 1] = [index for index in stretch if not after >> index & 1] + later

    def _made(self, order: Sequence[int], modes: Sequence[int | None]) -> Schedule | None:
        self.tried += 1
        made = listed_schedule(self.network, order, modes)
        if made is not None and self.random.random() < JUSTIFIED:
            early = self._justified(made)
            if early is not None and self._cost(early) <= self._cost(made):
                return early
        return made

    def _justified(self, schedule: Schedule) -> Schedule | None:
        """Everything moved late, the latest end first, then early again in the order that this gives."""
        self.tried += 2
        lengths = self.network.durations
        order = sorted(range(len(lengths)), key=lambda index: -schedule.starts[index] - lengths[index])
        begin = self.horizon - schedule.makespan if self.horizon else 0
        late = listed_schedule(self.backwards, order, schedule.modes, begin)
        if late is None:
            return None
        order.sort(key=lambda index: -late.starts[index] - lengths[index])
        return listed_schedule(self.network, order, schedule.modes)
