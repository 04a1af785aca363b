"""The last steps of a schedule laid anew, so that nobody is idle who need not be."""

from random import Random

from inspect_kit.scheduling.branches import Branches, LastSteps
from inspect_kit.scheduling.network import FOREVER
from inspect_kit.scheduling.problem import Schedule

# How many steps are laid anew, and with how many nodes.
FEWEST, STEPS = 8, 90
LEAST, NODES = 60, 900


def low(random: Random) -> float:
    """A part of one, mostly a small one."""
    return random.random() * random.random()


def some_nodes(random: Random) -> int:
    """A limit for one branch and bound: mostly a low one."""
    return LEAST + int(low(random) * NODES)


class Last(LastSteps):
    """The last steps of schedules of one network, to be laid anew."""

    def relaid(self, schedule: Schedule, aim: int, random: Random) -> tuple[Schedule | None, float]:
        """A schedule that ends by `aim` with the same beginning and some of its last steps laid anew; and the effort.

        How many steps, and with how many nodes at most, is drawn. None when those do not find it.
        """
        begun = sorted(schedule.starts)
        steps = FEWEST + int(low(random) * STEPS)
        since = begun[max(0, len(begun) - steps)]
        work = Branches(self, schedule, since, aim, some_nodes(random), random)
        if not work.go_on(work.now, work.free, work.ending, -1):
            return None, work.effort
        finish = max([self.network.problem.begin, *map(int.__add__, work.starts, self.network.minutes)])
        return Schedule(starts=tuple(work.starts), modes=tuple(work.modes), finish=finish), work.effort

    def filled(
        self, schedule: Schedule, since: int, until: int, aim: int, limit: int, random: Random
    ) -> tuple[Schedule | None, float]:
        """The same beginning up to `since`, and other steps from there to `until`, after which `aim` can be kept.

        What is left then starts FOREVER. None when `limit` nodes do not find it; and the effort.
        """
        work = Branches(self, schedule, since, aim, limit, random)
        work.until = until
        if not work.go_on(work.now, work.free, work.ending, -1):
            return None, work.effort
        for number, index in enumerate(work.rest):
            if work.left >> number & 1:
                work.starts[index] = FOREVER
        return Schedule(starts=tuple(work.starts), modes=tuple(work.modes), finish=0), work.effort
