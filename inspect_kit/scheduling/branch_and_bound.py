"""Branch and bound for small parts: activities in the order of their starts, each as early as it then fits.

A precedence tree (Patterson, Slowinski, Talbot & Weglarz 1989) cut by bounds, by left shift (nothing starts after a
hole in which something simple would have fitted) and by cut sets (Demeulemeester & Herroelen 1992, Management Science
38:1803-1818). For a given order of starts and given modes the earliest starts are the least ones that keep all lags, so
that a broken maximum lag is mended by moving its first activity and placing the order anew, and nothing is missed.
"""

from bisect import bisect_right
from collections.abc import Sequence

from inspect_kit.scheduling.bounds import CapacityProfile, Pool, first_fit, heads_and_tails
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Schedule

Running = tuple[tuple[int, int], ...]
Child = tuple[int, int, int, int]


class BranchAndBound:
    """The search. `best` is the shortest schedule known, `complete` whether nothing shorter has been missed.

    It stops when `bound` is reached or `limit` nodes have been seen.
    """

    def __init__(
        self, network: ProjectNetwork, pools: Sequence[Pool], best: Schedule | None, bound: int, limit: int
    ) -> None:
        self.network, self.bound, self.limit = network, bound, limit
        self.best = best
        self.aim = self.depth = FOREVER
        self.nodes = 0
        self.complete = True
        size = network.size
        heads, self.tails = heads_and_tails(network, pools)
        self.pools = [(pool.capacity, CapacityProfile(pool.supply) if pool.supply else None) for pool in pools]
        self.work = [[pool.demand[i] * network.durations[i] for pool in pools] for i in range(size)]
        self.demand = [[pool.demand[i] for pool in pools] for i in range(size)]
        users = [[i for i in range(size) if pool.demand[i] and network.durations[i]] for pool in pools]
        self.by_head = [sorted((heads[i], i) for i in group) for group in users]
        self.by_tail = [sorted((self.tails[i], i) for i in group) for group in users]
        self.by_length = sorted(((network.durations[i] + self.tails[i], i) for i in range(size)), reverse=True)
        self.before: list[list[tuple[int, int]]] = [[] for _ in range(size)]
        for index, following in enumerate(network.after):
            for after, least in following:
                self.before[after].append((index, least))
        self.preds = [sum(1 << before for before, _ in self.before[index]) for index in range(size)]
        firsts = {first for latest in network.max_lags for first, _ in latest}
        shifts = network.problem.shifts is not None
        self.simple = [index not in firsts and not network.holds_begun[index] for index in range(size)]
        # What takes no time and ties nothing down happens as soon as it can, whatever else goes on.
        self.idle = [
            not network.durations[index]
            and self.simple[index]
            and not network.holds_ended[index]
            and not network.excluded_holds[index]
            for index in range(size)
        ]
        self.tight = [index for index in range(size) if index in firsts]
        self.tight += [s.first for s in network.problem.holds if shifts and not s.over_breaks]
        # Ends that still matter after everything that runs has ended: those with a lag to somebody after.
        self.lagging = [any(least for _, least in following) for following in network.after]
        self.release = list(network.releases)
        self.horizon = _horizon(network)
        self.starts, self.ends, self.modes = [0] * size, [0] * size, [0] * size
        self.known: dict[int, list[tuple[int, tuple[tuple[int, int, int], ...]]]] = {}
        self.path: list[tuple[int, int]] = []
        self.todo = list(network.order)
        self.root: tuple[int, int, Running] = (0, min(self.release, default=network.problem.begin), ())

    def run(self) -> None:
        """Search until all is seen, the bound is reached, or the nodes are spent."""
        left = [0] * len(self.pools)
        for index in self.todo:
            left = [amount + own for amount, own in zip(left, self.work[index], strict=True)]
        self._visit(*self.root, left)

    def survives(self, aim: int, depth: int) -> bool:
        """Whether `depth` activities can be placed without a bound ruling out a finish of `aim` or earlier.

        No means that no schedule finishes by then; yes, also when the nodes are spent, means nothing.
        """
        self.aim, self.depth = aim, depth
        self.complete, self.nodes = True, 0
        self.known.clear()
        self.run()
        return not self.complete

    @property
    def upper(self) -> int:
        """Only a finish before this one is of interest."""
        return min(self.aim + 1, self.best.makespan if self.best else self.horizon + 1)

    def _visit(self, mask: int, now: int, running: Running, left: list[int]) -> None:
        self.nodes += 1
        if self.nodes > self.limit or len(self.path) >= self.depth:
            self.complete = False
            return
        network = self.network
        if mask == (1 << network.size) - 1:
            finish = max([network.problem.begin, *self.ends])
            if finish < self.upper:
                self.best = Schedule(starts=tuple(self.starts), modes=tuple(self.modes), makespan=finish)
            return
        if not self._may_win(mask, now, running, left) or self._dominated(mask, now, running):
            return
        for start, _, index, mode in self._children(mask, now, running):
            if not self.complete or (self.best is not None and self.best.makespan <= self.bound):
                return
            self._place(mask, now, running, left, index, mode, start)

    def _may_win(self, mask: int, now: int, running: Running, left: list[int]) -> bool:
        """Whether a schedule from here on may still be shorter than the best."""
        upper = self.upper
        for place, (capacity, stock) in enumerate(self.pools):
            work = left[place]
            if work:
                # Nobody who is left starts before the least head, and the last one still has the least tail to come.
                base = next(head for head, index in self.by_head[place] if not mask >> index & 1)
                tail = next(tail for tail, index in self.by_tail[place] if not mask >> index & 1)
                base = max(base, now)
                if base == now:
                    for end, index in running:
                        if end > now and self.demand[index][place]:
                            work += (end - now) * self.demand[index][place]
                            tail = min(tail, self.tails[index])
                if stock is None:
                    if base - (-work // capacity) + tail >= upper:
                        return False
                elif stock.when(stock.until(base) + work) + tail >= upper:
                    return False
        # What waits longest for its own end and for all that follows begins now at the soonest.
        most = next((most for most, index in self.by_length if not mask >> index & 1), 0)
        return now + most < upper

    def _dominated(self, mask: int, now: int, running: Running) -> bool:
        """Whether the same activities were placed before with nothing ending later."""
        if any(mask >> first & 1 for first in self.tight):
            return False
        mine = tuple(
            (index, self.ends[index], self.modes[index])
            for index in {*[i for end, i in running if end > now], *[i for i, _ in self.path if self.lagging[i]]}
        )
        known = self.known.setdefault(mask, [])
        for then, theirs in known:
            if then <= now and self._covers(theirs, now):
                return True
        if len(known) < 12:
            known.append((now, mine))
        return False

    def _covers(self, theirs: tuple[tuple[int, int, int], ...], now: int) -> bool:
        for index, end, mode in theirs:
            if end > now and (end > self.ends[index] or mode != self.modes[index]):
                return False
            if self.lagging[index] and end > self.ends[index]:
                return False
        return True

    def _children(self, mask: int, now: int, running: Running) -> list[Child]:
        """What can come next, the most promising first, and nothing that leaves a hole for something simple."""
        found = self._next(mask, now, running)
        hole = FOREVER
        for child in found:
            if self.idle[child[2]]:
                return [child]
            length = self.network.durations[child[2]]
            if self.simple[child[2]] and length:
                hole = min(hole, child[0] + length)
        return sorted(child for child in found if child[0] < hole)

    def _next(self, mask: int, now: int, running: Running) -> list[Child]:
        """Every activity that can be placed next, in every mode: (start, urgency, activity, mode)."""
        network = self.network
        free = network.free
        for number in range(len(network.hold_amounts)):
            if self._stands(number, mask):
                free -= network.hold_amounts[number]
        moments = [now, *sorted({end for end, _ in running if end > now})]
        frees = [free - sum([self._taken(i) for end, i in running if end > at]) for at in moments]
        found: list[Child] = []
        for index in self.todo:
            if mask >> index & 1 or self.preds[index] & ~mask:
                continue
            if any(self._stands(span, mask) for span in network.excluded_holds[index]):
                continue
            length = network.durations[index]
            base = 0 if self.idle[index] else now
            base = max([base, self.release[index], *[self.ends[b] + least for b, least in self.before[index]]])
            for span in network.excluded_holds[index]:
                last = network.problem.holds[span].last
                if mask >> last & 1:
                    base = max(base, self.ends[last])
            hold = 0
            for span in network.holds_begun[index]:
                hold += network.hold_amounts[span]
                base = max(
                    [base, *[self.ends[rival] for rival in network.excluded_activities[span] if mask >> rival & 1]]
                )
            for mode, need in enumerate(network.demands[index]):
                start = base
                if not self.idle[index]:
                    slot = network.mode_calendars[index][mode]
                    start = self._fit(base, length, (need if length else 0) + hold, slot, moments, frees)
                if start < FOREVER:
                    found.append((start, -self.tails[index] - length, index, mode))
        return found

    def _taken(self, index: int) -> int:
        network = self.network
        need = network.demands[index][self.modes[index]] if network.durations[index] else 0
        return need + sum(network.hold_amounts[span] for span in network.holds_ended[index])

    def _stands(self, span: int, mask: int) -> bool:
        each = self.network.problem.holds[span]
        return bool(mask >> each.first & 1) and not mask >> each.last & 1

    def _fit(self, start: int, length: int, need: int, slot: int, moments: list[int], frees: list[int]) -> int:
        guard = self.network.guard
        place = max(0, bisect_right(moments, start) - 1)
        while frees[place] - need & guard != guard:
            place += 1
            if place == len(frees):
                return FOREVER
        start = max(start, moments[place])
        # What is free only grows from here on, so a later window is as good.
        return first_fit(self.network.calendars[slot], start, length) if slot >= 0 and length else start

    def _place(self, mask: int, now: int, running: Running, left: list[int], index: int, mode: int, start: int) -> None:
        network = self.network
        self.starts[index], self.modes[index] = start, mode
        self.ends[index] = end = start + network.durations[index]
        if end + self.tails[index] >= self.upper:
            return
        broken = self._broken(index)
        self.path.append((index, mode))
        rest = [amount - own for amount, own in zip(left, self.work[index], strict=True)]
        if broken is None:
            later = now if self.idle[index] else max(now, start)
            still = tuple(sorted([(e, i) for e, i in running if e > later] + [(end, index)]))
            self._visit(mask | 1 << index, later, still, rest)
        else:
            self._mend(mask | 1 << index, broken, rest)
        self.path.pop()

    def _broken(self, index: int) -> tuple[int, int] | None:
        """A maximum lag that this start breaks: its first activity and the earliest start that may keep it."""
        network = self.network
        for first, most in network.max_lags[index]:
            if self.starts[index] > self.ends[first] + most:
                return first, self.starts[index] - most - network.durations[first]
        shifts = network.problem.shifts
        if shifts is not None:
            for number in network.holds_ended[index]:
                span = network.problem.holds[number]
                place = bisect_right(shifts, (self.starts[index], FOREVER)) - 1
                if not span.over_breaks and place >= 0 and self.starts[span.first] < shifts[place][0]:
                    return span.first, shifts[place][0]
        return None

    def _mend(self, mask: int, broken: tuple[int, int] | None, left: list[int]) -> None:
        """Place the same order anew with a later release until no lag is broken, go on from there, restore all."""
        saved = (self.release[:], self.starts[:], self.ends[:], self.modes[:])
        _, now, running = self.root
        while broken is not None and broken[1] < self.upper and any(first == broken[0] for first, _ in self.path):
            self.release[broken[0]] = broken[1]
            broken, now, running = self._replay()
        if broken is None:
            self._visit(mask, now, running, left)
        self.release, self.starts, self.ends, self.modes = (list(each) for each in saved)

    def _replay(self) -> tuple[tuple[int, int] | None, int, Running]:
        network = self.network
        mask, now, running = self.root
        for index, mode in self.path:
            starts = [child[0] for child in self._next(mask, now, running) if child[2:] == (index, mode)]
            if not starts:
                return (index, FOREVER), now, running
            self.starts[index], self.modes[index] = starts[0], mode
            self.ends[index] = starts[0] + network.durations[index]
            broken = self._broken(index)
            if broken is not None:
                return broken, now, running
            if not self.idle[index]:
                now = max(now, starts[0])
            mask |= 1 << index
            running = tuple(sorted([(e, i) for e, i in running if e > now] + [(self.ends[index], index)]))
        return None, now, running


def _horizon(network: ProjectNetwork) -> int:
    """A finish that the shortest schedule never passes: one activity after another, each waiting out its lags."""
    if network.calendars:
        return max(end for calendar in network.calendars for _, end in calendar)
    waits = [max([least for _, least in following], default=0) for following in network.after]
    return max(network.releases, default=0) + sum(network.durations) + sum(waits)
