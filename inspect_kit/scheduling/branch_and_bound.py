"""Branch and bound: activities in the order of their starts, each as early as it then fits, until no better is left.

A precedence tree (Patterson, Slowinski, Talbot & Weglarz 1989). What it does not look at:

- what cannot end in time, by the tails of single activities and by the work left of every pool of resources;
- what starts after a gap in which something else would have fitted, or could start earlier by itself (left shift);
- two activities that start at the same moment in both orders (sleep sets, Godefroid 1996);
- states of the same activities that leave no more than an earlier state did (cut sets, Demeulemeester & Herroelen 1992,
  Management Science 38:1803-1818): not free sooner, no resource and no activity ready sooner.

For a given order of starts and given modes the earliest starts are the least ones that keep all lags. So a broken
maximum lag is repaired by a later release of its first activity, and the order is placed anew; nothing is missed. While
such a chain is open its first activity may still move; then gaps prune nothing, and a state below which one moved
stands for no other.
"""

from bisect import bisect_right
from collections.abc import Sequence
from random import Random

from inspect_kit.scheduling.bounds import CapacityProfile, Pool, cut_by_tail, first_fit, heads_and_tails
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Schedule
from inspect_kit.scheduling.propagation import TimeWindows

# So many states of one set of activities are remembered; a repair counts as a node for so many activities placed anew.
STATES, REPLAYS = 60, 8
# Nodes until it begins anew, and by how much of the longest tail the order is then changed at most.
RESTART, SHAKEN = 600, 0.5

Running = tuple[tuple[int, int, int], ...]
"""What has started and not ended at the last start: (end, activity, packed amounts that come free), by end."""
Child = tuple[int, int, int, int]
"""What can come next: (start, urgency, activity, mode), the most promising first."""


class _State:
    """What matters of a partial schedule to those who come after: when what is free, and who is ready when."""

    __slots__ = ("frees", "latest_end", "moments", "now", "ready", "settled")

    def __init__(
        self, now: int, moments: list[int], frees: list[int], ready: list[tuple[int, int]], latest_end: int
    ) -> None:
        self.now, self.moments, self.frees, self.ready, self.latest_end = now, moments, frees, ready, latest_end
        # Nothing that was placed by then moved later on.
        self.settled = True


class BranchAndBound:
    """One search. `best` is the shortest schedule known, `complete` whether nothing shorter has been missed.

    It stops when `bound` is reached or `limit` nodes have been seen. With `windows`, which every schedule that ends by
    `bound` keeps, it only looks for one of these.
    """

    def __init__(
        self,
        network: ProjectNetwork,
        pools: Sequence[Pool],
        best: Schedule | None,
        bound: int,
        limit: int,
        windows: TimeWindows | None = None,
    ) -> None:
        self.network, self.bound, self.limit, self.best = network, bound, limit, best
        self.aim = bound if windows else FOREVER
        self.depth = FOREVER
        self.nodes, self.replays = 0, 0
        self.complete = True
        size, durations = network.size, network.durations
        self.full = (1 << size) - 1
        self.tails = heads_and_tails(network, pools)[1]
        if windows:
            latest = [bound - last - length for last, length in zip(windows.lasts, durations, strict=True)]
            self.tails = list(map(max, self.tails, latest))
        self.before: list[list[tuple[int, int]]] = [[] for _ in range(size)]
        for index, following in enumerate(network.after):
            for after, least in following:
                self.before[after].append((index, least))
        self._chains()
        self.horizon = horizon_of(network)
        self.pools = [(pool.capacity, CapacityProfile(pool.supply) if pool.supply else None) for pool in pools]
        self.demand = [[pool.demand[index] for pool in pools] for index in range(size)]
        # For each pool the work left from one tail to the next, the longest first, and to whom it belongs.
        self.thresholds: list[list[int]] = []
        self.loads: list[list[int]] = []
        self.shares: list[list[tuple[int, int, int]]] = [[] for _ in range(size)]
        by_tail = sorted(range(size), key=lambda index: (self.tails[index], index))
        for place, pool in enumerate(pools):
            groups = cut_by_tail(self.tails, [i for i in by_tail if pool.demand[i] and durations[i]])
            self.thresholds.append([tail for tail, _ in groups])
            self.loads.append([sum(pool.demand[i] * durations[i] for i in members) for _, members in groups])
            for number, (_, members) in enumerate(groups):
                for index in members:
                    self.shares[index].append((place, number, pool.demand[index] * durations[index]))
        self.urgency = [length + tail for length, tail in zip(durations, self.tails, strict=True)]
        self.releases = list(windows.heads if windows else network.releases)
        self.left_modes = windows.modes if windows else [(1 << len(demands)) - 1 for demands in network.demands]
        self.starts, self.ends, self.modes = [0] * size, [0] * size, [0] * size
        self.ready, self.waiting, self.held = list(self.releases), [0] * size, 0
        self.earliest = [0] * size
        self.known: dict[int, list[_State]] = {}
        self.path: list[tuple[int, int]] = []
        self.states: list[tuple[int, _State | None]] = []

    def _chains(self) -> None:
        """What is tied down by more than precedence and resources."""
        network = self.network
        problem, size = network.problem, network.size
        chains = [(first, last) for last in range(size) for first, _ in network.max_lags[last]]
        if problem.shifts is not None:
            chains += [(h.first, h.last) for h in problem.holds if not h.over_breaks and h.first != h.last]
        self.chains = list(dict.fromkeys(chains))
        # The least of the greatest lags of each pair; none where it is a break that parts them.
        self.most: dict[tuple[int, int], int] = {}
        for last in range(size):
            for first, most in network.max_lags[last]:
                self.most[first, last] = min(most, self.most.get((first, last), most))
        firsts = {first for first, _ in chains}
        held = network.held_fields
        # What may start earlier at no one's cost.
        self.simple = [index not in firsts and not network.holds_begun[index] for index in range(size)]
        self.shifts_alone = [
            self.simple[index] and not network.holds_ended[index] and not network.excluded_holds[index]
            for index in range(size)
        ]
        # What takes no time and ties nothing down happens as soon as it can, whatever else goes on.
        self.instant = [not network.durations[index] and self.shifts_alone[index] for index in range(size)]
        # What never fits earlier than it does now: no hold that ends makes room for it.
        self.monotone = [
            not any(need & held for need in network.demands[index])
            and not network.holds_begun[index]
            and not network.excluded_holds[index]
            for index in range(size)
        ]

    def run(self, restarts: Random | None = None) -> None:
        """Search until all is seen, the bound is reached, or the nodes are spent.

        With `restarts` it begins anew every so many nodes with another order of what to try first: what was seen whole
        is not looked at again, and what was tried first and kept from all the rest comes later (Gomes, Selman & Kautz
        1998).
        """
        network, limit = self.network, self.limit
        if not restarts:
            self.urgency = [length + tail for length, tail in zip(network.durations, self.tails, strict=True)]
        self._aim()
        self.root = min(self.releases, default=network.problem.begin)
        while True:
            self.ready, self.held = list(self.releases), 0
            self.waiting = [len(before) for before in self.before]
            opened = sum(1 << index for index in range(network.size) if not self.waiting[index])
            self.complete = True
            if restarts:
                self.limit = min(limit, self.effort + RESTART)
            self._visit(0, opened, self.root, network.free, (), 0)
            found = self.best is not None and self.best.makespan <= self.bound
            if restarts is None or self.complete or found or self.effort >= limit:
                break
            self._shuffle(restarts)
        self.limit = limit

    def _shuffle(self, random: Random) -> None:
        """Another order of what to try first: the longest tail, give or take a part of the longest of all."""
        width = random.random() * SHAKEN * max(self.urgency, default=0)
        self.urgency = [
            length + tail + int(width * random.random())
            for length, tail in zip(self.network.durations, self.tails, strict=True)
        ]

    @property
    def effort(self) -> int:
        """Nodes, and what repairs have cost, in nodes."""
        return self.nodes + self.replays // REPLAYS

    def survives(self, aim: int, depth: int) -> bool:
        """Whether `depth` activities can be placed without a bound ruling out a finish of `aim` or earlier.

        No means that no schedule finishes by then; yes, also when the nodes are spent, means nothing.
        """
        self.aim, self.depth = aim, depth
        self.complete, self.nodes, self.replays = True, 0, 0
        self.best = None
        self.known.clear()
        self.run()
        # With few activities it may have found a whole schedule, and that there is none shorter.
        return not self.complete or self.best is not None

    def _aim(self) -> None:
        """Only a finish before `upper` is of interest: what each pool has to give until then, tail by tail."""
        self.upper = min(self.aim + 1, self.best.makespan if self.best else self.horizon + 1)
        last = self.upper - 1
        self.rooms = [
            [profile.until(last - tail) if profile else capacity * (last - tail) for tail in tails]
            for (capacity, profile), tails in zip(self.pools, self.thresholds, strict=True)
        ]
        self.used: dict[int, list[int]] = {}

    def _visit(self, mask: int, opened: int, now: int, before: int, running: Running, asleep: int) -> None:
        """Everything that can follow a partial schedule.

        `mask` has started, `opened` waits for nobody; `now` is the last start, `before` what was free just before it.
        `asleep` are (activity, mode) that have been looked at as starting now, one after the other as bits.
        """
        self.nodes += 1
        if self.effort > self.limit or len(self.path) >= self.depth:
            self.complete = False
            return
        if mask == self.full:
            makespan = max([self.network.problem.begin, *self.ends])
            if makespan < self.upper:
                self.best = Schedule(starts=tuple(self.starts), modes=tuple(self.modes), makespan=makespan)
                self._aim()
            return
        pending = any(
            mask >> first & 1 and not mask >> last & 1 and self._may_move(first, last) for first, last in self.chains
        )
        children = self._children(mask, opened, now, before, running, pending, asleep)
        if not children:
            return
        broken = self._overdue(mask) if pending else None
        if broken:
            self._repair(mask, opened, broken)
            return
        first = children[0]
        if not self._fits(now if self.instant[first[2]] else first[0], running):
            return
        state = self._new_state(mask, now, running)
        if state is None:
            return
        self.states.append((mask, state))
        width, moment = self.network.most_modes, now
        for start, _, index, mode in children:
            if not self.complete or (self.best is not None and self.best.makespan <= self.bound):
                break
            if start != moment:
                moment, asleep = start, 0
            self._place(mask, opened, now, before, running, asleep, index, mode, start)
            if self.simple[index] and not pending:
                asleep |= 1 << index * width + mode
        self.states.pop()
        if not self.complete:
            state.settled = False

    def _may_move(self, first: int, last: int) -> bool:
        """Whether the first of a chain may have to start later for its last, which its tail does not let come late."""
        latest = self.upper - 1 - self.tails[last] - self.network.durations[last]
        most = self.most.get((first, last))
        return most is None or self.ends[first] + most < latest

    def _overdue(self, mask: int) -> tuple[int, int] | None:
        """A first of a chain whose last can no longer follow in time, as all now stands, and when it may start."""
        for (first, last), most in self.most.items():
            if mask >> first & 1 and not mask >> last & 1 and self.earliest[last] > self.ends[first] + most:
                return first, self.earliest[last] - most - self.network.durations[first]
        return None

    def _fits(self, now: int, running: Running) -> bool:
        """Whether the work left still fits between a moment and the finish, by every pool and every tail."""
        used = self.used.get(now)
        if used is None:
            used = [profile.until(now) if profile else capacity * now for capacity, profile in self.pools]
            self.used[now] = used
        last = self.upper - 1
        going = [(end, self.demand[index]) for end, index, _ in running if end > now]
        for number, (work, loads) in enumerate(zip(used, self.loads, strict=True)):
            for end, demand in going:
                work += (end - now) * demand[number]
            for load, room, tail in zip(loads, self.rooms[number], self.thresholds[number], strict=True):
                work += load
                if work > room and load:
                    # What goes on takes its part of the hours before that tail begins, and no more.
                    beyond = sum([(end - last + tail) * demand[number] for end, demand in going if end > last - tail])
                    if work - beyond > room:
                        return False
        return True

    def _new_state(self, mask: int, now: int, running: Running) -> _State | None:
        """The state, remembered; None when one that was seen before leaves as much to those who come after."""
        moments, frees = self._free_from(now, running)
        ready = [(i, at) for i, at in enumerate(self.ready) if at > now and not mask >> i & 1]
        mine = _State(now, moments, frees, ready, running[-1][0] if running else now)
        known = self.known.setdefault(mask, [])
        for place, state in enumerate(known):
            if state.settled and self._covers(state, mine):
                if place > 3:
                    known.insert(0, known.pop(place))
                return None
        if len(known) < STATES:
            known.append(mine)
        return mine

    def _covers(self, one: _State, other: _State) -> bool:
        now = other.now
        if one.now > now or one.latest_end > other.latest_end:
            return False
        ready = self.ready
        for index, at in one.ready:
            if at > now and at > ready[index]:
                return False
        guard, place, last = self.network.guard, 0, len(one.moments) - 1
        for moment, free in zip(other.moments, other.frees, strict=True):
            while place < last and one.moments[place + 1] <= moment:
                place += 1
            if one.frees[place] - (free ^ guard) & guard != guard:
                return False
        return True

    def _free_from(self, now: int, running: Running) -> tuple[list[int], list[int]]:
        """The moments from now on at which something ends, and what is free from each of them, by what has started."""
        free = self.network.free - self.held
        for end, _, taken in running:
            if end > now:
                free -= taken
        moments, frees = [now], [free]
        for end, _, taken in running:
            if end > now:
                free += taken
                if end == moments[-1]:
                    frees[-1] = free
                else:
                    moments.append(end)
                    frees.append(free)
        return moments, frees

    def _children(
        self, mask: int, opened: int, now: int, before: int, running: Running, pending: bool, asleep: int
    ) -> list[Child]:
        """What can come next, the most promising first; nothing when something can no longer end in time."""
        network, upper, tails = self.network, self.upper, self.tails
        guard, durations, ready, width = network.guard, network.durations, self.ready, network.most_modes
        moments, frees = self._free_from(now, running)
        found: list[Child] = []
        hole = soonest = FOREVER
        bits = opened
        while bits:
            low = bits & -bits
            bits ^= low
            index = low.bit_length() - 1
            length = durations[index]
            rest = length + tails[index]
            if self.instant[index]:
                return [(ready[index], 0, index, 0)] if ready[index] + rest < upper else []
            base, hold = self._base(index, mask, now)
            if base >= FOREVER:
                continue
            in_time = False
            for mode, need in enumerate(network.demands[index]):
                if not self.left_modes[index] >> mode & 1:
                    continue
                calendar = network.mode_calendars[index][mode]
                start = self._fit(base, length, (need if length else 0) + hold, calendar, moments, frees)
                if start + rest >= upper:
                    continue
                in_time = True
                soonest = min(soonest, start)
                if not pending and length and self.simple[index]:
                    hole = min(hole, start + length)
                    if start == now and (
                        asleep >> index * width + mode & 1
                        or (
                            ready[index] < now
                            and self.shifts_alone[index]
                            and before - need & guard == guard
                            and (calendar < 0 or _goes_on(network.calendars[calendar], now))
                        )
                    ):
                        continue
                found.append((start, -self.urgency[index], index, mode))
            if not in_time and self.monotone[index]:
                return []
        if found and not self._in_time(mask, soonest):
            return []
        if hole < FOREVER:
            found = [child for child in found if child[0] < hole]
        found.sort()
        return found

    def _in_time(self, mask: int, soonest: int) -> bool:
        """Whether all that is left can still end in time when nothing starts before `soonest`, one after the other."""
        earliest, durations, tails, upper = self.earliest, self.network.durations, self.tails, self.upper
        for index in self.network.order:
            if not mask >> index & 1:
                at = max(self.ready[index], soonest)
                for first, least in self.before[index]:
                    if not mask >> first & 1:
                        after = earliest[first] + durations[first] + least
                        if after > at:
                            at = after
                if at + durations[index] + tails[index] >= upper:
                    return False
                earliest[index] = at
        return True

    def _base(self, index: int, mask: int, now: int) -> tuple[int, int]:
        """When an activity is ready, and what the holds take that it begins; FOREVER while it must not start."""
        network = self.network
        base, hold = max(now, self.ready[index]), 0
        if network.special[index]:
            holds = network.problem.holds
            for number in network.excluded_holds[index]:
                if mask >> holds[number].first & 1:
                    if not mask >> holds[number].last & 1:
                        return FOREVER, 0
                    base = max(base, self.ends[holds[number].last])
            for number in network.holds_begun[index]:
                hold += network.hold_amounts[number]
                base = max([base, *[self.ends[i] for i in network.excluded_activities[number] if mask >> i & 1]])
            if hold and not network.safe(mask, index):
                return FOREVER, 0
        return base, hold

    def _fit(self, start: int, length: int, need: int, calendar: int, moments: list[int], frees: list[int]) -> int:
        guard = self.network.guard
        place = max(0, bisect_right(moments, start) - 1)
        while frees[place] - need & guard != guard:
            place += 1
            if place == len(frees):
                return FOREVER
        start = max(start, moments[place])
        # What is free only grows from here on, so a later window is as good.
        return first_fit(self.network.calendars[calendar], start, length) if calendar >= 0 and length else start

    def _place(
        self,
        mask: int,
        opened: int,
        now: int,
        before: int,
        running: Running,
        asleep: int,
        index: int,
        mode: int,
        start: int,
    ) -> None:
        """Start an activity, look at all that can follow, and take it back."""
        network = self.network
        following = network.after[index]
        saved, held = [self.ready[after] for after, _ in following], self.held
        later, ahead, still = self._started(now, before, running, index, mode, start)
        opened ^= 1 << index
        for after, _ in following:
            self.waiting[after] -= 1
            if not self.waiting[after]:
                opened |= 1 << after
        for pool, place, work in self.shares[index]:
            self.loads[pool][place] -= work
        self.path.append((index, mode))
        broken = self._broken(index)
        if broken is None:
            self._visit(mask | 1 << index, opened, later, ahead, still, asleep if self.simple[index] else 0)
        else:
            self._repair(mask | 1 << index, opened, broken)
        self.path.pop()
        for pool, place, work in self.shares[index]:
            self.loads[pool][place] += work
        for (after, _), ready in zip(following, saved, strict=True):
            self.waiting[after] += 1
            self.ready[after] = ready
        self.held = held

    def _started(
        self, now: int, before: int, running: Running, index: int, mode: int, start: int
    ) -> tuple[int, int, Running]:
        """Write down a start; the last start after it, what was free just before that, and what goes on then."""
        network = self.network
        length = network.durations[index]
        self.starts[index], self.modes[index] = start, mode
        self.ends[index] = end = start + length
        if not self.instant[index]:
            if start > now:
                before = network.free - self.held - sum([taken for ending, _, taken in running if ending >= start])
                now = start
            taken = network.demands[index][mode] if length else 0
            for hold in network.holds_ended[index]:
                taken += network.hold_amounts[hold]
            running = tuple(sorted([*[each for each in running if each[0] > now], (end, index, taken)]))
            for hold in network.holds_begun[index]:
                self.held += network.hold_amounts[hold]
            for hold in network.holds_ended[index]:
                self.held -= network.hold_amounts[hold]
        for after, least in network.after[index]:
            if end + least > self.ready[after]:
                self.ready[after] = end + least
        return now, before, running

    def _broken(self, index: int) -> tuple[int, int] | None:
        """A maximum lag that this start breaks: its first activity and the earliest start that may keep it."""
        network = self.network
        for first, most in network.max_lags[index]:
            if self.starts[index] > self.ends[first] + most:
                return first, self.starts[index] - most - network.durations[first]
        shifts = network.problem.shifts
        if shifts is not None:
            for number in network.holds_ended[index]:
                hold = network.problem.holds[number]
                place = bisect_right(shifts, (self.starts[index], FOREVER)) - 1
                if not hold.over_breaks and place >= 0 and self.starts[hold.first] < shifts[place][0]:
                    return hold.first, shifts[place][0]
        return None

    def _repair(self, mask: int, opened: int, broken: tuple[int, int] | None) -> None:
        """Place the same order anew with a later release until no lag is broken, go on from there, restore all."""
        saved = (self.releases[:], self.starts[:], self.ends[:], self.modes[:], self.ready[:], self.held)
        state: tuple[int, int, Running] = (0, 0, ())
        while broken is not None and broken[1] < self.upper and any(first == broken[0] for first, _ in self.path):
            for placed, earlier in self.states:
                if placed >> broken[0] & 1 and earlier is not None:
                    earlier.settled = False
            self.releases[broken[0]] = broken[1]
            broken, state = self._replayed()
        if broken is None:
            self._visit(mask, opened, *state, 0)
        self.releases, self.starts, self.ends, self.modes, self.ready = (list(each) for each in saved[:5])
        self.held = saved[5]

    def _replayed(self) -> tuple[tuple[int, int] | None, tuple[int, int, Running]]:
        """The order so far placed anew: what is broken then, and where it leads."""
        network = self.network
        self.ready, self.held = list(self.releases), 0
        now, before, mask = self.root, network.free, 0
        running: Running = ()
        for index, mode in self.path:
            self.replays += 1
            start = self.ready[index]
            if not self.instant[index]:
                length = network.durations[index]
                base, hold = self._base(index, mask, now)
                need = (network.demands[index][mode] if length else 0) + hold
                calendar = network.mode_calendars[index][mode]
                start = base
                if base < FOREVER:
                    start = self._fit(base, length, need, calendar, *self._free_from(now, running))
            if start + network.durations[index] + self.tails[index] >= self.upper:
                return (index, FOREVER), (now, before, running)
            now, before, running = self._started(now, before, running, index, mode, start)
            broken = self._broken(index)
            if broken is not None:
                return broken, (now, before, running)
            mask |= 1 << index
        return None, (now, before, running)


def _goes_on(calendar: Sequence[tuple[int, int]], now: int) -> bool:
    """Whether a window that is open at a moment was open just before it."""
    place = bisect_right(calendar, (now, FOREVER)) - 1
    return place >= 0 and calendar[place][0] < now < calendar[place][1]


def horizon_of(network: ProjectNetwork) -> int:
    """A finish that the shortest schedule never passes: one activity after another, each waiting out its lags."""
    if network.calendars:
        return max(end for calendar in network.calendars for _, end in calendar)
    waits = [max([least for _, least in following], default=0) for following in network.after]
    return max(network.releases, default=0) + sum(network.durations) + sum(waits)
