"""The shortest schedule of a small problem, closed in on from both sides.

From below, makespan by makespan: propagation and branch and bound look for a schedule that ends by then, or refute it,
forwards and with time running backwards. From above: the same for a makespan just shorter than the best one known.
Every turn may cost twice as much as the one before. Where there are breaks each way to share out the work among the
sessions that propagation leaves is a search of its own: there are few of them.
"""

from random import Random

from inspect_kit.scheduling.bounds import clique_pools, heavy_cliques, lower_bound, pools_of, rounded_up
from inspect_kit.scheduling.branch_and_bound import BranchAndBound, horizon_of
from inspect_kit.scheduling.network import ProjectNetwork
from inspect_kit.scheduling.problem import Project, Schedule
from inspect_kit.scheduling.propagation import Propagation, TimeWindows
from inspect_kit.scheduling.reduction import reversed_in_time

# Nodes of the first turn, one way, and the fewest for one way to share out the work; so much energetic reasoning costs
# one node; and so many ways are tried to share out the work among the sessions.
FIRST, LEAST, CHEAP, SPLITS = 500, 300, 60, 150


class Bracket:
    """`best` is the shortest schedule known, `bound` what none can beat, `effort` what it has cost, in nodes."""

    def __init__(self, problem: Project, bound: int, best: Schedule | None) -> None:
        self.problem, self.best = problem, best
        self.network = ProjectNetwork(problem, gates=False)
        self.cliques = heavy_cliques(self.network)
        self.propagation = Propagation(self.network, self.cliques)
        pools = pools_of(problem) + clique_pools(problem) + self.cliques
        self.bound = max(bound, rounded_up(problem, lower_bound(self.network, pools)))
        self.last = horizon_of(self.network)
        self.effort, self.turn, self.possible = 0, 0, True
        self.trees: dict[tuple[int, int, bool], BranchAndBound] = {}
        self.random = Random(1)
        self.parts: dict[tuple[int, int], dict[int, TimeWindows]] = {}

    @property
    def over(self) -> bool:
        """Whether the optimum is known, or that there is no schedule."""
        return not self.possible or (self.best is not None and self.best.makespan <= self.bound)

    def take(self, schedule: Schedule | None) -> None:
        """A schedule that was found elsewhere, if it is shorter."""
        if schedule is not None and (self.best is None or schedule.makespan < self.best.makespan):
            self.best = schedule

    def run(self, limit: int) -> None:
        """Close in until the optimum is known or the effort has reached its limit."""
        while not self.over and self.effort < limit:
            nodes = FIRST << self.turn
            was = self.bound, self.best
            above = self.best.makespan - 1 if self.best else self.last
            aims = (self.bound, (self.bound + above) // 2, above)
            # Where no schedule is known it is first asked whether there is any.
            for aim in dict.fromkeys(aims if self.best else aims[::-1]):
                if was == (self.bound, self.best) and self.effort < limit:
                    self._ask(aim, min(nodes, limit - self.effort), limit)
            if was == (self.bound, self.best):
                self.turn += 1

    def _ask(self, aim: int, nodes: int, limit: int) -> None:
        """Look for a schedule that ends by `aim`, with so many nodes forwards and as many backwards, up to `limit`."""
        dated = bool(self.network.calendars)
        # As a whole in one turn, and in the next session by session.
        parts = self._parts(aim, SPLITS if dated and self.turn % 2 and self.best else 0)
        # Straight on, or from the beginning again and again.
        again = self.turn // 2 % 2 if dated else self.turn % 2
        share = max(LEAST, nodes // len(parts)) if parts else 0
        for number in list(parts):
            if self.effort >= limit:
                return
            for turned in (False, True):
                tree = self._tree(aim, number, parts[number], turned)
                before, tree.limit = tree.effort, tree.effort + share
                tree.run(self.random if again else None)
                self.effort += tree.effort - before
                if tree.best is not None:
                    self.best = self._forth(tree.best, aim) if turned else tree.best
                    self.trees.clear()
                    return
                if tree.complete:
                    del parts[number]
                    break
        if not parts:
            self._refute(aim)

    def _parts(self, aim: int, splits: int) -> dict[int, TimeWindows]:
        """The windows of schedules that end by then, split so many times, less what is refuted."""
        if (aim, splits) not in self.parts:
            windows = self.propagation.within(aim)
            parts = self.propagation.split(windows, splits) if windows else []
            self.parts[aim, splits] = dict(enumerate(parts, splits))
            self.effort += self.network.size + self.propagation.work // CHEAP
            self.propagation.work = 0
        return self.parts[aim, splits]

    def _refute(self, aim: int) -> None:
        if aim >= self.last:
            self.possible = False
        self.bound = max(self.bound, rounded_up(self.problem, aim + 1))
        self.trees = {key: tree for key, tree in self.trees.items() if key[0] > aim}

    def _tree(self, aim: int, number: int, windows: TimeWindows, turned: bool) -> BranchAndBound:
        """The search of one part for a schedule that ends by then, as far as it has come."""
        if (aim, number, turned) not in self.trees:
            network, goal = self.network, aim
            if turned:
                network = ProjectNetwork(reversed_in_time(self.problem, aim), gates=False)
                goal = aim - self.problem.begin
                windows = _turned(windows, aim, network.durations)
            pools = pools_of(network.problem) + self.cliques
            self.trees[aim, number, turned] = BranchAndBound(network, pools, None, goal, 0, windows)
        return self.trees[aim, number, turned]

    def _forth(self, back: Schedule, aim: int) -> Schedule:
        lengths = self.network.durations
        starts = tuple(aim - start - length for start, length in zip(back.starts, lengths, strict=True))
        return Schedule(starts=starts, modes=back.modes, makespan=max(map(int.__add__, starts, lengths)))


def _turned(windows: TimeWindows, aim: int, lengths: list[int]) -> TimeWindows:
    """The windows seen from the other end of time."""
    return TimeWindows(
        heads=[aim - last - length for last, length in zip(windows.lasts, lengths, strict=True)],
        lasts=[aim - head - length for head, length in zip(windows.heads, lengths, strict=True)],
        modes=windows.modes,
    )
