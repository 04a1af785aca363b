"""A shorter schedule of a small problem, looked for in breadth: of all that has so many activities started the best.

A beam search (Ow & Morton 1988, International Journal of Production Research 26:35-62) over the states of branch and
bound, cut by the same rules, cut sets among them: a dynamic programme of which a part is kept (Bautista & Pereira 2009,
EJOR 194:787-794). Where nearly every minute of the people is work, depth first dies below a first few steps that hardly
vary; in breadth what wastes least so far goes on together.
"""

from operator import itemgetter
from typing import Any

from inspect_kit.scheduling.bounds import pools_of
from inspect_kit.scheduling.bracket import Bracket, turned_windows
from inspect_kit.scheduling.branch_and_bound import BranchAndBound, Running
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Schedule
from inspect_kit.scheduling.reduction import reversed_in_time

# So many states go on from each number of activities started; a state costs so many nodes of branch and bound.
WIDTH, COST = 200, 2

Kept = tuple[float, int, int, int, int, Running, int, tuple[Any, ...]]
"""A state to go on from: how tight it is, what `_visit` was told of it, and what the search had in hand."""


class BeamSearch(BranchAndBound):
    """One search for a schedule that ends by `bound`; what it does not find may be there all the same."""

    def broadly(self) -> None:
        """From one activity started to all of them; `best` is the first schedule that ends in time."""
        self._aim()
        self.root = min(self.releases, default=self.network.problem.begin)
        self.next: list[Kept] = []
        self._visit(0, self._opened(), self.root, self.network.free, (), 0)
        while self.next and self.best is None and self.nodes < self.limit:
            level, self.next = sorted(self.next, key=itemgetter(0)), []
            width = 0
            for kept in level:
                if width == WIDTH or self.best is not None:
                    break
                width += self._gone_on(kept)
        self.complete = self.best is not None

    def _visit(self, mask: int, opened: int, now: int, before: int, running: Running, asleep: int) -> None:
        """Put a partial schedule with those to go on from, if it can still end in time; or take a whole one."""
        if mask == self.full:
            makespan = max([self.network.problem.begin, *self.ends])
            if makespan < self.upper:
                self.best = Schedule(starts=tuple(self.starts), modes=tuple(self.modes), makespan=makespan)
            return
        tight = self._tightness(now, running)
        if tight < FOREVER:
            lists = (self.path, self.releases, self.ready, self.waiting, self.starts, self.ends, self.modes)
            hand = (self.held, [load[:] for load in self.loads], *[each[:] for each in lists])
            self.next.append((tight, mask, opened, now, before, running, asleep, hand))

    def _gone_on(self, kept: Kept) -> bool:
        """Everything that can follow a state; False where it was no use to go on."""
        _, mask, opened, now, before, running, asleep, hand = kept
        self.held, self.loads, self.path, self.releases, self.ready, self.waiting, self.starts, self.ends, self.modes = hand
        self.nodes += 1
        return self._followed(mask, opened, now, before, running, asleep)

    def _repair(self, mask: int, opened: int, broken: tuple[int, int] | None) -> None:
        """As depth first, but a state whose chain moved below it goes on standing for others: nothing is proved here."""
        states, self.states = self.states, []
        super()._repair(mask, opened, broken)
        self.states = states

    def _tightness(self, now: int, running: Running) -> float:
        """How little room the work left has, pool by pool; FOREVER where it has not enough."""
        used = self.used.get(now)
        if used is None:
            used = [profile.until(now) if profile else capacity * now for capacity, profile in self.pools]
            self.used[now] = used
        last = self.upper - 1
        going = [(end, end - now, self.demand[index]) for end, index, _ in running if end > now]
        # Nothing that goes on reaches beyond the moments before this tail.
        beyond = last - max([end for end, _, _ in going], default=now)
        tight = 0.0
        for number, (work, loads) in enumerate(zip(used, self.loads, strict=True)):
            for _, length, demand in going:
                work += length * demand[number]
            least = FOREVER
            for load, room, tail in zip(loads, self.rooms[number], self.thresholds[number], strict=True):
                if load:
                    work += load
                    left = room - work
                    if left < least:
                        if tail > beyond:
                            # What goes on takes its part of the hours before that tail begins, and no more.
                            for end, _, demand in going:
                                if end > last - tail:
                                    left += (end - last + tail) * demand[number]
                        if left < least:
                            least = left
            if least < 0:
                return FOREVER
            if least < FOREVER:
                capacity = self.pools[number][0]
                tight += capacity / (capacity + least)
        return tight


def shortened(bracket: Bracket, limit: int) -> None:
    """Shorten the best schedule of a bracket, forwards and backwards, until that fails or costs more than `limit`."""
    network, problem = bracket.network, bracket.problem
    while not bracket.over and bracket.best is not None and bracket.effort < limit:
        was, aim = bracket.best, bracket.best.makespan - 1
        windows = bracket.propagation.within(aim)
        if windows is None:
            return
        for turned in (False, True):
            side, goal, told = network, aim, windows
            if turned:
                side = ProjectNetwork(reversed_in_time(problem, aim), gates=False)
                goal, told = aim - problem.begin, turned_windows(windows, aim, network.durations)
            pools = pools_of(side.problem) + bracket.cliques
            beam = BeamSearch(side, pools, None, goal, max(0, limit - bracket.effort) // COST, told)
            beam.broadly()
            bracket.effort += beam.nodes * COST
            if beam.best is not None:
                bracket.take(bracket.forth(beam.best, aim) if turned else beam.best)
                break
        if bracket.best is was:
            return
