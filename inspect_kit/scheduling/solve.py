"""The shortest schedule of a problem: split where everything earlier comes before everything later, solve in turn.

The parts' optima add up to the optimum: each part finishes as early as it can before the next begins, and to begin
later never makes a part end earlier. Every part carries two times: the `begin` that the schedule found so far allows,
and the earliest one (`least`) that no schedule can beat.
"""

from inspect_kit.scheduling.bounds import clique_pools, lower_bound, pools_of, rounded_up, windows_bound
from inspect_kit.scheduling.branch_and_bound import BranchAndBound
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Problem, Schedule, Solution
from inspect_kit.scheduling.reduction import Part, reversed_in_time, series_parts, subproblem, with_implied_precedence
from inspect_kit.scheduling.search import Search

SCHEDULES = 600
SMALL, MIDDLE, NODES = 26, 64, 4000
# So small a part is worth so many times the effort, because it can be proved: in schedules where nobody is away.
FEW, TIMES = 40, 4
TINY, TINY_TIMES = 20, 8
DEEP, DEEP_NODES, MOST_NODES = 30, 2000, 3000


def solve(problem: Problem, budget: int = SCHEDULES) -> Solution:
    """The best schedule that about `budget` schedules find, with its bound and whether it is proved shortest."""
    tied = with_implied_precedence(problem)
    if tied is None:
        return Solution(schedule=None, bound=problem.begin, proved=False, reason="circle")
    network = ProjectNetwork(tied, gates=False)
    starts, modes = [0] * network.size, [0] * network.size
    ends = [0] * network.size
    begin = least = problem.begin
    tried = nodes = 0
    shortest = True
    for group in series_parts(tied, network.order, network.predecessors):
        members = sorted(index for part in group for index in part)
        releases = [_release(tied, index, set(members), begin, ends) for index in members]
        part = subproblem(tied, members, begin, releases)
        target = _least(tied, group, least)
        answer = _best(part, target if network.calendars else target - least + begin, budget)
        tried, nodes = tried + answer.tried, nodes + answer.nodes
        if answer.schedule is None:
            return Solution(schedule=None, bound=target, proved=False, tried=tried, nodes=nodes, reason=answer.reason)
        for index, start, mode in zip(members, answer.schedule.starts, answer.schedule.modes, strict=True):
            starts[index], modes[index] = start, mode
            ends[index] = start + network.durations[index]
        shortest = shortest and answer.proved
        least = max(target, _proved_end(tied, members, least, target, begin, part, answer, budget))
        begin = answer.schedule.makespan
    least = max(least, _whole(tied, network))
    schedule = Schedule(starts=tuple(starts), modes=tuple(modes), makespan=begin)
    if least < begin and shortest and network.size <= MIDDLE:
        # A wait from one part into the next ties them: shortest parts are then no shortest whole.
        tree = BranchAndBound(network, pools_of(tied), schedule, least, NODES * TIMES)
        tree.run()
        assert tree.best is not None
        schedule, nodes = tree.best, nodes + tree.nodes
        least = schedule.makespan if tree.complete else least
    return Solution(schedule=schedule, bound=least, proved=least == schedule.makespan, tried=tried, nodes=nodes)


def _proved_end(
    problem: Problem,
    members: list[int],
    least: int,
    target: int,
    begin: int,
    part: Problem,
    answer: Solution,
    budget: int,
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
        return _best(bare, target, budget).bound
    upper = answer.schedule.makespan if still else least + answer.schedule.makespan - begin
    return two_ended_bound(bare, target, upper)[0]


def _release(problem: Problem, index: int, inside: set[int], begin: int, ends: list[int]) -> int:
    """When the lags from earlier parts let an activity start; 0 where they let it start at once."""
    lags = [lag for lag in problem.precedences if lag.after == index and lag.before not in inside]
    release = max([0, *(ends[lag.before] + lag.min_lag for lag in lags)])
    return release if release > begin else 0


def _least(problem: Problem, group: tuple[Part, ...], begin: int) -> int:
    """The earliest end of a group that begins at `begin`, by its parts in turn and as a whole."""
    least = begin
    for part in group if len(group) > 1 else ():
        least = _whole(subproblem(problem, part, least))
    members = sorted(index for part in group for index in part)
    return max(least, _whole(subproblem(problem, members, begin)))


def _whole(problem: Problem, network: ProjectNetwork | None = None) -> int:
    network = network or ProjectNetwork(problem, gates=False)
    return rounded_up(problem, lower_bound(network, pools_of(problem) + clique_pools(problem)))


def _best(part: Problem, bound: int, budget: int) -> Solution:
    """The best schedule of one part, by search; if it is small, by branch and bound shortly before and longer after."""
    network = ProjectNetwork(part)
    few = network.size <= FEW
    search = Search(part, network, bound, budget * (TIMES if few and not network.calendars else 1))
    search.begin()
    nodes = 0
    if search.best is not None and not search.over and network.size > SMALL:
        search.bound, nodes = two_ended_bound(part, bound, search.best.makespan)
    exact = False
    most = NODES * max(budget, SCHEDULES) // SCHEDULES * (TINY_TIMES if network.size <= TINY else TIMES if few else 1)
    limits = (NODES // 2, most) if network.size <= MIDDLE else (0,)
    for limit in limits:
        if limit and not exact and (search.best is None or search.best.makespan > search.bound):
            tree = BranchAndBound(ProjectNetwork(part, gates=False), pools_of(part), search.best, search.bound, limit)
            tree.run()
            nodes += tree.nodes
            exact = tree.complete
            if exact and tree.best is None:
                return Solution(
                    schedule=None, bound=search.bound, proved=False, tried=search.tried, nodes=nodes, reason="none"
                )
            search.take(tree.best)
        if not exact:
            search.run()
    best = search.best
    bound = best.makespan if exact and best is not None else search.bound
    return Solution(
        schedule=best,
        bound=bound,
        proved=best is not None and best.makespan <= bound,
        tried=search.tried,
        nodes=nodes,
        reason="" if best else "search",
    )


def two_ended_bound(problem: Problem, bound: int, upper: int) -> tuple[int, int]:
    """A bound that is raised as long as neither end of the work can be begun in time; and the nodes that took.

    Few activities can be the very last ones, so that people wait for each other there (as at the beginning): a
    search that places only those shows that some minutes are lost whatever happens in between.
    """
    nodes, most = 0, FOREVER
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
                tree = BranchAndBound(
                    ProjectNetwork(side, gates=False), pools_of(side) + clique_pools(side), None, aim, DEEP_NODES
                )
            survives = tree.survives(aim - problem.begin if turned else aim, DEEP)
            nodes += tree.nodes
            if survives and step == 1:
                break
            if survives:
                step //= 2
            else:
                bound, step = rounded_up(problem, aim + 1), 2 * step
    return min(bound, upper), nodes
