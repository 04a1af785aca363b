"""The shortest schedule of a problem: split where everything earlier comes before everything later, solve in turn.

The parts' optima add up to the optimum: each part finishes as early as it can before the next begins, and to begin
later never makes a part end earlier. Every part carries two times: the `begin` that the schedule found so far allows,
and the earliest one (`least`) that no schedule can beat.
"""

from inspect_kit.scheduling.annealing import Annealing, tied
from inspect_kit.scheduling.bounds import clique_pools, lower_bound, pools_of, rounded_up, windows_bound
from inspect_kit.scheduling.bracket import Bracket
from inspect_kit.scheduling.branch_and_bound import BranchAndBound
from inspect_kit.scheduling.neighbourhoods import Neighbourhoods
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Project, Schedule, Solution
from inspect_kit.scheduling.reduction import Part, reversed_in_time, series_parts, subproblem, with_implied_precedence
from inspect_kit.scheduling.search import ScheduleSearch

SCHEDULES = 600
# Up to so many activities a part is closed in on from both sides, with so many nodes, some of them before the search.
MIDDLE, NODES, SHORTLY = 64, 28000, 4
# A part has so many where those before it took all; and so small a one is solved twice where that proves it.
LEAST, SMALL = 3000, 26
# So small a part is worth so many times the schedules, because it can be proved: where nobody is away.
FEW, TIMES = 40, 4
# So many times the schedules are read from lists where lags tie a small part: one costs a third of what others cost.
LISTS = 6
# Lists and neighbourhoods take turns; all neighbourhoods together take such a part of the nodes.
TURNS, FREEING = 3, 2
DEEP, DEEP_NODES, MOST_NODES = 30, 2000, 3000


def solve(problem: Project, budget: int = SCHEDULES, most: int = NODES) -> Solution:
    """The best schedule that about `budget` schedules find, with its bound and whether it is proved shortest.

    `most` are the nodes of branch and bound that a part may take, `LEAST` at least.
    """
    tied = with_implied_precedence(problem)
    if tied is None:
        return Solution(schedule=None, bound=problem.begin, proved=False, reason="circle")
    network = ProjectNetwork(tied, gates=False)
    starts, modes = [0] * network.size, [0] * network.size
    ends = [0] * network.size
    begin = least = problem.begin
    tried = nodes = 0
    share = most * max(budget, SCHEDULES) // SCHEDULES
    for group in series_parts(tied, network.order, network.predecessors):
        members = sorted(index for part in group for index in part)
        releases = [_release(tied, index, set(members), begin, ends) for index in members]
        part = subproblem(tied, members, begin, releases)
        target = _least(tied, group, least)
        answer = _best(part, target if network.calendars else target - least + begin, budget, share - nodes)
        tried, nodes = tried + answer.tried, nodes + answer.nodes
        if answer.schedule is None:
            return Solution(schedule=None, bound=target, proved=False, tried=tried, nodes=nodes, reason=answer.reason)
        for index, start, mode in zip(members, answer.schedule.starts, answer.schedule.modes, strict=True):
            starts[index], modes[index] = start, mode
            ends[index] = start + network.durations[index]
        least = max(target, _proved_end(tied, members, least, target, begin, part, answer, budget, share - nodes))
        begin = answer.schedule.makespan
    least = max(least, _whole(tied, network))
    schedule = Schedule(starts=tuple(starts), modes=tuple(modes), makespan=begin)
    if least < begin and network.size <= MIDDLE:
        # A wait from one part into the next ties them: shortest parts are then no shortest whole.
        bracket = Bracket(tied, least, schedule)
        bracket.run(max(LEAST, most // 2 - nodes))
        assert bracket.best is not None
        schedule, least, nodes = bracket.best, bracket.bound, nodes + bracket.effort
    return Solution(schedule=schedule, bound=least, proved=least == schedule.makespan, tried=tried, nodes=nodes)


def _proved_end(
    problem: Project,
    members: list[int],
    least: int,
    target: int,
    begin: int,
    part: Project,
    answer: Solution,
    budget: int,
    most: int,
) -> int:
    """The earliest end of a part that begins at `least`, as far as it can be proved; at least `target`.

    A proof for the later `begin` holds for the earlier one when there are no windows and no release had a say.
    """
    bare = subproblem(problem, members, least)
    still = any(problem.windows)
    if answer.schedule is None or answer.schedule.makespan <= begin:
        return least
    if bare == part or (not still and subproblem(problem, members, begin) == part):
        return least + answer.bound - begin
    if len(members) <= SMALL:
        return _best(bare, target, budget, most).bound
    upper = answer.schedule.makespan if still else least + answer.schedule.makespan - begin
    return two_ended_bound(bare, target, upper)[0]


def _release(problem: Project, index: int, inside: set[int], begin: int, ends: list[int]) -> int:
    """When the lags from earlier parts let an activity start; 0 where they let it start at once."""
    lags = [lag for lag in problem.precedences if lag.after == index and lag.before not in inside]
    release = max([0, *(ends[lag.before] + lag.min_lag for lag in lags)])
    return release if release > begin else 0


def _least(problem: Project, group: tuple[Part, ...], begin: int) -> int:
    """The earliest end of a group that begins at `begin`, by its parts in turn and as a whole."""
    least = begin
    for part in group if len(group) > 1 else ():
        least = _whole(subproblem(problem, part, least))
    members = sorted(index for part in group for index in part)
    return max(least, _whole(subproblem(problem, members, begin)))


def _whole(problem: Project, network: ProjectNetwork | None = None) -> int:
    network = network or ProjectNetwork(problem, gates=False)
    return rounded_up(problem, lower_bound(network, pools_of(problem) + clique_pools(problem)))


def _best(part: Project, bound: int, budget: int, most: int) -> Solution:
    """The best schedule of one part, by search; a small one is closed in on from both sides, before it and after.

    `most` are the nodes that the parts before it left.
    """
    network = ProjectNetwork(part)
    few = network.size <= FEW and not network.calendars
    search = ScheduleSearch(part, network, bound, budget * (TIMES if few else 1))
    search.begin()
    if search.best is not None and search.best.makespan <= bound:
        return _answer(search.best, bound, search.tried, 0)
    # Holds that shut each other out lead every rule into a dead end: then nothing is good before lists are changed.
    entangled = search.best is None or tied(network)
    if network.size > MIDDLE:
        nodes = 0
        if search.best is not None and not search.over:
            search.bound, nodes = two_ended_bound(part, bound, search.best.makespan)
        best = search.run()
        return _answer(best, search.bound, search.tried, nodes)
    bracket = Bracket(part, bound, search.best)
    most = max(LEAST, most)
    bracket.run(most // SHORTLY)
    if not bracket.over:
        search.bound = bracket.bound
        search.take(bracket.best)
        search.run()
        bracket.take(search.best)
    tried = search.tried
    if bracket.best is None:
        # There is nothing to build on before all nodes have found something.
        bracket.run(most)
    if not bracket.over and bracket.best is not None:
        freeing = Neighbourhoods(part, bracket.best)
        annealing = Annealing(bracket.network, bracket.best) if entangled else None
        for turn in range(1, TURNS + 1):
            if annealing:
                annealing.best = freeing.best
                freeing.take(annealing.run(budget * LISTS // TURNS, bracket.bound))
            freeing.run(most * turn // (FREEING * TURNS), bracket.bound)
        bracket.take(freeing.best)
        bracket.effort += freeing.effort
        tried += annealing.tried if annealing else 0
    bracket.run(most)
    if not bracket.possible:
        return Solution(
            schedule=None, bound=bracket.bound, proved=False, tried=tried, nodes=bracket.effort, reason="none"
        )
    return _answer(bracket.best, bracket.bound, tried, bracket.effort)


def _answer(best: Schedule | None, bound: int, tried: int, nodes: int) -> Solution:
    proved = best is not None and best.makespan <= bound
    return Solution(
        schedule=best, bound=bound, proved=proved, tried=tried, nodes=nodes, reason="" if best else "search"
    )


def two_ended_bound(problem: Project, bound: int, upper: int) -> tuple[int, int]:
    """A bound that is raised as long as neither end of the work can be begun in time; and the nodes that took.

    Few activities can be the very last ones, so that people wait for each other there (as at the beginning): a
    search that places only those shows that some minutes are lost whatever happens in between.
    """
    nodes, most = 0, FOREVER
    # A node takes longer the more activities there are.
    deep = DEEP_NODES // (1 + len(problem.activities) // MIDDLE)
    if any(problem.windows):
        # In windows a node takes ten times as long.
        most = MOST_NODES
        bound = windows_bound(ProjectNetwork(problem, gates=False), bound, upper)
    for turned in (True, False):
        tree, step = None, 1
        while bound < upper and nodes < most:
            # Where one minute is ruled out, twice as many are asked for next.
            aim = min(bound + step, upper) - 1
            if tree is None or any(problem.windows):
                side = reversed_in_time(problem, aim) if turned else problem
                pools = pools_of(side) + clique_pools(side)
                tree = BranchAndBound(ProjectNetwork(side, gates=False), pools, None, aim, deep)
            survives = tree.survives(aim - problem.begin if turned else aim, DEEP)
            nodes += tree.nodes
            if survives and step == 1:
                break
            if survives:
                step //= 2
            else:
                bound, step = rounded_up(problem, aim + 1), 2 * step
    return min(bound, upper), nodes
