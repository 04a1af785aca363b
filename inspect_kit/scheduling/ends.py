"""Both ends of a schedule: its last steps laid anew, or a first stretch without idle people that all else follows.

People wait for each other at the ends of the work, hardly ever in between. So the end that is hard is laid first, by
branch and bound, the schedule is walked on from there, and its other end is laid anew. Time may run backwards.
"""

from random import Random

from inspect_kit.scheduling.bounds import clique_pools, heads_and_tails, pools_of
from inspect_kit.scheduling.last import Last, low, some_nodes
from inspect_kit.scheduling.local import turned
from inspect_kit.scheduling.network import Network
from inspect_kit.scheduling.parallel import moment_of, walk
from inspect_kit.scheduling.problem import Schedule
from inspect_kit.scheduling.tight import Broken

# How many minutes of the end are laid first, and how much later than the best a walk may end to be worth mending.
SHORTEST, LONGEST, NEAR, MENDS = 25, 150, 4, 2


class Ends:
    """One network, forwards and backwards. Every method gives a schedule or None, and the effort in schedules."""

    def __init__(self, network: Network, back: Network, random: Random) -> None:
        self.networks = (network, back)
        pools, turned_pools = (pools_of(each.problem) + clique_pools(each.problem) for each in self.networks)
        heads, tails = heads_and_tails(network, pools)
        # Seen from the other end, what comes before an activity is its tail: releases are kept in this way.
        self.lasts = (
            Last(network, pools, tails),
            Last(back, turned_pools, [head - network.problem.begin for head in heads]),
        )
        self.random = random

    def relaid(self, schedule: Schedule, aim: int, back: bool) -> tuple[Schedule | None, float]:
        """A schedule that ends by `aim` with other last steps, or with other first ones if `back`."""
        begin = self.networks[0].problem.begin
        if not back:
            return self.lasts[0].relaid(schedule, aim, self.random)
        made, spent = self.lasts[1].relaid(turned(schedule, self.networks[1], begin), aim - begin, self.random)
        return self._forth(made), spent

    def rebuilt(self, schedule: Schedule, aim: int) -> tuple[Schedule | None, float]:
        """A schedule whose last stretch loses no time, the rest walked on backwards and its beginning laid anew."""
        begin = self.networks[0].problem.begin
        made, spent = self._grown(turned(schedule, self.networks[1], begin), aim - begin)
        return self._forth(made), spent

    def _forth(self, schedule: Schedule | None) -> Schedule | None:
        """A schedule of the network backwards as one of the network forwards, if it keeps the releases."""
        if schedule is None:
            return None
        forth = turned(schedule, self.networks[0], 0)
        held = all(map(int.__ge__, forth.starts, self.networks[0].release))
        return forth if held else None

    def _grown(self, schedule: Schedule, aim: int) -> tuple[Schedule | None, float]:
        """As `rebuilt`, with time running backwards from 0."""
        network, last = self.networks[1], self.lasts[1]
        until = SHORTEST + int(low(self.random) * LONGEST)
        partial, spent = last.filled(schedule, 0, until, aim, some_nodes(self.random), self.random)
        if partial is None:
            return None, spent
        moment = moment_of(network, partial, until)
        latest = [float(aim - tail - length) for tail, length in zip(last.tails, network.minutes, strict=True)]
        best: Schedule | None = None
        for ranks in ([float(start) for start in schedule.starts], latest):
            spent += 0.2 + moment.left / network.size
            try:
                made = walk(moment.copy(), ranks)
            except Broken:
                continue
            if made is not None and (best is None or made.finish < best.finish):
                best = made
        if best is None or best.finish > schedule.finish + NEAR:
            return best, spent
        if best.finish <= aim and self._forth(best) is not None:
            return best, spent
        for _ in range(MENDS):
            mended, more = last.relaid(best, aim, self.random)
            spent += more
            if mended is not None:
                return mended, spent
        return best, spent
