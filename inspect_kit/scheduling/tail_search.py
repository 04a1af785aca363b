"""Branch and bound over the last steps of a schedule, forwards and backwards in time.

What was started before some moment stays; of the rest every order is a branch: start one of the steps that fit, or
let time go on. A branch ends when the work left no longer fits between now and the finish that is aimed at.

People wait for each other at the ends of the work, hardly ever in between. So the end that is hard is laid first, the
schedule is walked on from there, and its other end is laid anew.
"""

from bisect import bisect_right, insort
from collections.abc import Sequence
from random import Random

from inspect_kit.scheduling.bounds import (
    CapacityProfile,
    Pool,
    clique_pools,
    cut_by_tail,
    heads_and_tails,
    pools_of,
)
from inspect_kit.scheduling.generation import MaxLagViolated, complete, may_begin, open_until, partial_schedule
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Schedule
from inspect_kit.scheduling.reduction import reversed_schedule

# What each branch and bound and each of its nodes cost, in whole schedules.
START, NODE = 0.6, 0.016
Ending = tuple[tuple[int, int], ...]


class LastSteps:
    """Everything that the last steps of schedules of one network have in common."""

    def __init__(self, network: ProjectNetwork, pools: Sequence[Pool], tails: Sequence[int]) -> None:
        self.network, self.tails = network, tails
        self.pools = [
            (pool.demand, pool.capacity, CapacityProfile(pool.supply) if pool.supply else None) for pool in pools
        ]
        lengths = network.durations
        self.work = [[each * length for each, length in zip(pool.demand, lengths, strict=True)] for pool in pools]
        by_tail = sorted(range(network.size), key=lambda index: (tails[index], index))
        self.by_tail = [[index for index in by_tail if work[index]] for work in self.work]
        self.by_latest = sorted(range(network.size), key=lambda index: -tails[index] - network.durations[index])
        self.known_shut: dict[int, list[int]] = {}
        self.known_used: dict[int, list[int]] = {}
        # What can become ready while nothing ends, and what takes no time.
        self.lagged = {after for following in network.after for after, least in following if least}
        self.lagged |= {index for index, release in enumerate(network.releases) if release > network.problem.begin}
        self.instant = [index for index, length in enumerate(lengths) if not length]
        people = network.problem.interchangeable
        self.crowd = [sum(activity.modes[0][:people]) for activity in network.problem.activities]

    def shut(self, now: int) -> list[int]:
        """When the windows end that are open at a moment, of every calendar."""
        if now not in self.known_shut:
            self.known_shut[now] = [open_until(calendar, now) for calendar in self.network.calendars]
        return self.known_shut[now]

    def used(self, now: int) -> list[int]:
        """What of each pool was at hand before a moment."""
        if now not in self.known_used:
            self.known_used[now] = [stock.until(now) if stock else capacity * now for _, capacity, stock in self.pools]
        return self.known_used[now]


class Branches:
    """One branch and bound: what is begun at `since` or later is laid anew, to end by `aim` if `limit` nodes do."""

    def __init__(self, last: LastSteps, schedule: Schedule, since: int, aim: int, limit: int, random: Random) -> None:
        self.last = last
        network = self.network = last.network
        moment = partial_schedule(network, schedule, since)
        self.starts, self.modes = moment.starts, moment.modes
        self.waiting, self.ready = moment.waiting, moment.ready
        self.standing, self.running = moment.standing, moment.running
        self.now, self.free = since, moment.free
        self.ending: Ending = tuple(sorted(moment.ending))
        self.limit, self.nodes, self.aim, self.until = limit, 0, aim, FOREVER
        self.seen: set[tuple[int, int, Ending]] = set()
        rest = [index for index, start in enumerate(schedule.starts) if start >= since]
        latest = [aim - tail - length for tail, length in zip(last.tails, network.durations, strict=True)]
        draw = random.random
        width = draw() * draw() * (aim - since)
        self.rest = sorted(rest, key=lambda index: (-last.crowd[index], latest[index] + width * draw()))
        self.left = (1 << len(self.rest)) - 1
        self.place = {index: number for number, index in enumerate(self.rest)}
        # What waits for nothing that is not begun; and all by the moment at which they must begin.
        self.open = sum(1 << number for number, index in enumerate(self.rest) if not self.waiting[index])
        self.lagged = sum(1 << number for number, index in enumerate(self.rest) if index in last.lagged)
        self.instant = sum(1 << self.place[index] for index in last.instant if index in self.place)
        self.latest = [(latest[index], 1 << self.place[index]) for index in last.by_latest if index in self.place]
        # Of every maximum lag whose last is to come: its first if that is to come as well, its last, and the time.
        self.lags = [
            (first, 1 << self.place[first] if first in self.place else 0, 1 << self.place[index], most)
            for index in rest
            for first, most in network.max_lags[index]
        ]
        # For each pool the work of the steps from one tail to the next, longest tails first: what has a longer tail
        # must end sooner. `rooms` are what is at hand of the pool from the beginning of time until that tail begins.
        self.loads: list[list[int]] = []
        self.rooms: list[list[tuple[int, int]]] = []
        self.shares: list[list[tuple[int, int, int]]] = [[] for _ in range(network.size)]
        for pool, (_, capacity, stock) in enumerate(last.pools):
            groups = cut_by_tail(last.tails, [index for index in last.by_tail[pool] if index in self.place])
            ends = [(tail, aim - tail) for tail, _ in groups]
            self.rooms.append([(tail, stock.until(end) if stock else capacity * end) for tail, end in ends])
            work = last.work[pool]
            self.loads.append([sum([work[index] for index in members]) for _, members in groups])
            for place, (_, members) in enumerate(groups):
                for index in members:
                    self.shares[index].append((pool, place, work[index]))
        going = [
            (index, start + network.durations[index])
            for index, start in enumerate(schedule.starts)
            if start < since < start + network.durations[index]
        ]
        self.going = [(end, tuple(demand[index] for demand, _, _ in last.pools)) for index, end in going]
        self.demands = [demand for demand, _, _ in last.pools]

    @property
    def effort(self) -> float:
        """What this has cost so far, in whole schedules."""
        return START + self.nodes * NODE

    def go_on(self, now: int, free: int, ending: Ending, after: int) -> bool:
        """Whether what is left can end in time; then it stands in `starts`. Starts at one moment go by place."""
        if not self.left:
            return True
        self.nodes += 1
        if self.nodes > self.limit:
            return False
        network = self.network
        guard, durations = network.guard, network.durations
        shut = self.last.shut(now) if network.calendars else ()
        later = ending[0][0] if ending else FOREVER
        if not free & network.essential and not self.open & self.instant:
            return self._wait(now, free, ending, later)
        bits = self.open >> (after + 1) << (after + 1)
        while bits:
            low = bits & -bits
            bits ^= low
            number = low.bit_length() - 1
            index = self.rest[number]
            if self.ready[index] > now:
                later = min(later, self.ready[index])
                continue
            for mode, need in enumerate(network.demands[index]):
                if not durations[index]:
                    need = 0
                elif shut:
                    slot = network.mode_calendars[index][mode]
                    if slot >= 0 and now + durations[index] > shut[slot]:
                        continue
                if free - need & guard != guard or (network.special[index] and not self._may(index, free - need, now)):
                    continue
                if self._start(number, index, mode, now, free - need, ending):
                    return True
                if self.nodes > self.limit:
                    return False
                if not durations[index] and not network.special[index]:
                    return False
        return self._wait(now, free, ending, later)

    def _wait(self, now: int, free: int, ending: Ending, later: int) -> bool:
        bits = self.open & self.lagged
        while bits:
            low = bits & -bits
            bits ^= low
            ready = self.ready[self.rest[low.bit_length() - 1]]
            if now < ready < later:
                later = ready
        openings = self.network.openings
        place = bisect_right(openings, now)
        if place < len(openings):
            later = min(later, openings[place])
        later = min(later, self.until)
        if later >= FOREVER or not self._fits(later):
            return False
        if later >= self.until:
            return True
        place = 0
        while place < len(ending) and ending[place][0] <= later:
            free += ending[place][1]
            place += 1
        ending = ending[place:]
        # The same steps left at the same moment with the same ends to come: it was tried and led nowhere.
        if (self.left, later, ending) in self.seen:
            return False
        self.seen.add((self.left, later, ending))
        return self.go_on(later, free, ending, -1)

    def _fits(self, now: int) -> bool:
        """Whether the work left still fits between a moment and the finish, by every pool and every tail."""
        left, aim = self.left, self.aim
        for first, before, after, most in self.lags:
            if left & after and not left & before and self.starts[first] + self.network.durations[first] + most < now:
                return False
        for latest, bit in self.latest:
            if latest >= now:
                break
            if left & bit:
                return False
        going = [(end, demand) for end, demand in self.going if end > now]
        for number, work in enumerate(self.last.used(now)):
            for end, demand in going:
                work += (end - now) * demand[number]
            for load, (tail, room) in zip(self.loads[number], self.rooms[number], strict=True):
                work += load
                if work > room and load:
                    # What goes on takes its part of the hours before that tail begins, and no more.
                    beyond = sum([(end - aim + tail) * demand[number] for end, demand in going if end > aim - tail])
                    if work - beyond > room:
                        return False
        return True

    def _may(self, index: int, free: int, now: int) -> bool:
        network = self.network
        if not may_begin(network, self.standing, self.running, index, free, now):
            return False
        shifts = network.problem.shifts
        if shifts is not None and network.holds_ended[index]:
            opened = shifts[max(0, bisect_right(shifts, (now, FOREVER)) - 1)][0]
            spans = [network.problem.holds[span] for span in network.holds_ended[index]]
            if any(not span.over_breaks and span.first != index and self.starts[span.first] < opened for span in spans):
                return False
        ends = ((self.starts[first] + network.durations[first], most) for first, most in network.max_lags[index])
        return all(now <= end + most for end, most in ends)

    def _start(self, number: int, index: int, mode: int, now: int, free: int, ending: Ending) -> bool:
        """Start a step, go on from there, and take it back if that leads nowhere."""
        network = self.network
        length = network.durations[index]
        end = now + length
        need = network.demands[index][mode] if length else 0
        self.left ^= 1 << number
        self.open ^= 1 << number
        for pool, place, work in self.shares[index]:
            self.loads[pool][place] -= work
        self.starts[index], self.modes[index] = now, mode
        released = need
        for span in network.holds_begun[index]:
            self.standing[span] = FOREVER
            free -= network.hold_amounts[span]
        for span in network.holds_ended[index]:
            self.standing[span] = end
            released += network.hold_amounts[span]
        self.running[index] = end
        if length:
            listed = [*ending]
            insort(listed, (end, released))
            ending = tuple(listed)
            self.going.append((end, tuple(demand[index] for demand in self.demands)))
        else:
            free += released
        saved = []
        opened = False
        for follower, least in network.after[index]:
            saved.append(self.ready[follower])
            self.waiting[follower] -= 1
            if not self.waiting[follower]:
                self.open |= 1 << self.place[follower]
            self.ready[follower] = max(self.ready[follower], end + least)
            opened = opened or (not self.waiting[follower] and self.ready[follower] <= now)
        if self.go_on(now, free, ending, -1 if opened else number):
            return True
        for (follower, _), ready in zip(network.after[index], saved, strict=True):
            if not self.waiting[follower]:
                self.open ^= 1 << self.place[follower]
            self.waiting[follower] += 1
            self.ready[follower] = ready
        if length:
            self.going.pop()
        for span in network.holds_ended[index]:
            self.standing[span] = FOREVER
        for span in network.holds_begun[index]:
            self.standing[span] = -1
        self.running[index] = -1
        self.left ^= 1 << number
        self.open ^= 1 << number
        for pool, place, work in self.shares[index]:
            self.loads[pool][place] += work
        return False


# How many steps are laid anew, and with how many nodes.
FEWEST, STEPS = 8, 90
LEAST, NODES = 60, 900


def low(random: Random) -> float:
    """A part of one, mostly a small one."""
    return random.random() * random.random()


def some_nodes(random: Random) -> int:
    """A random limit on the nodes of one branch and bound, usually a low one."""
    return LEAST + int(low(random) * NODES)


class TailSteps(LastSteps):
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
        finish = max([self.network.problem.begin, *map(int.__add__, work.starts, self.network.durations)])
        return Schedule(starts=tuple(work.starts), modes=tuple(work.modes), makespan=finish), work.effort

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
        return Schedule(starts=tuple(work.starts), modes=tuple(work.modes), makespan=0), work.effort


# How many minutes of the end are laid first, and how much later than the best a walk may end to be worth mending.
SHORTEST, LONGEST, NEAR, MENDS = 25, 150, 4, 2


class TwoEndedSearch:
    """One network, forwards and backwards. Every method gives a schedule or None, and the effort in schedules."""

    def __init__(self, network: ProjectNetwork, back: ProjectNetwork, random: Random) -> None:
        self.networks = (network, back)
        pools, turned_pools = (pools_of(each.problem) + clique_pools(each.problem) for each in self.networks)
        heads, tails = heads_and_tails(network, pools)
        # Seen from the other end, what comes before an activity is its tail: releases are kept in this way.
        self.lasts = (
            TailSteps(network, pools, tails),
            TailSteps(back, turned_pools, [head - network.problem.begin for head in heads]),
        )
        self.random = random

    def relaid(self, schedule: Schedule, aim: int, back: bool) -> tuple[Schedule | None, float]:
        """A schedule that ends by `aim` with other last steps, or with other first ones if `back`."""
        begin = self.networks[0].problem.begin
        if not back:
            return self.lasts[0].relaid(schedule, aim, self.random)
        made, spent = self.lasts[1].relaid(
            reversed_schedule(schedule, self.networks[1].problem, begin), aim - begin, self.random
        )
        return self._forth(made), spent

    def rebuilt(self, schedule: Schedule, aim: int, back: bool) -> tuple[Schedule | None, float]:
        """A schedule with some first stretch laid anew to keep `aim`, walked on from there, its last steps laid anew.

        With `back` the same with time running backwards.
        """
        begin = self.networks[0].problem.begin
        if not back:
            return self._grown(schedule, aim, 0)
        made, spent = self._grown(reversed_schedule(schedule, self.networks[1].problem, begin), aim - begin, 1)
        return self._forth(made), spent

    def _forth(self, schedule: Schedule | None) -> Schedule | None:
        """A schedule of the network backwards as one of the network forwards, if it keeps the releases."""
        if schedule is None:
            return None
        forth = reversed_schedule(schedule, self.networks[0].problem, 0)
        held = all(map(int.__ge__, forth.starts, self.networks[0].releases))
        return forth if held else None

    def _grown(self, schedule: Schedule, aim: int, side: int) -> tuple[Schedule | None, float]:
        """As `rebuilt`, on the network forwards (0) or backwards (1)."""
        network, last = self.networks[side], self.lasts[side]
        begin = network.problem.begin
        until = begin + SHORTEST + int(low(self.random) * LONGEST)
        partial, spent = last.filled(schedule, begin, until, aim, some_nodes(self.random), self.random)
        if partial is None:
            return None, spent
        moment = partial_schedule(network, partial, until)
        latest = [float(aim - tail - length) for tail, length in zip(last.tails, network.durations, strict=True)]
        best: Schedule | None = None
        for ranks in ([float(start) for start in schedule.starts], latest):
            spent += 0.2 + moment.left / network.size
            try:
                made = complete(moment.copy(), ranks)
            except MaxLagViolated:
                continue
            if made is not None and (best is None or made.makespan < best.makespan):
                best = made
        if best is None or best.makespan > schedule.makespan + NEAR:
            return best, spent
        if best.makespan <= aim and (not side or self._forth(best) is not None):
            return best, spent
        for _ in range(MENDS):
            mended, more = last.relaid(best, aim, self.random)
            spent += more
            if mended is not None:
                return mended, spent
        return best, spent
