"""The shortest schedule of a problem: split where everything earlier comes before everything later, solve in turn.

The parts' optima add up to the optimum: each part finishes as early as it can before the next begins, and to begin
later never makes a part end earlier. Every part carries two times: the `begin` that the schedule found so far allows,
and the earliest one (`least`) that no schedule can beat.
"""

from inspect_kit.plan.core.bounds import clique_pools, lower_bound, pools_of
from inspect_kit.plan.core.improve import Search
from inspect_kit.plan.core.network import Network
from inspect_kit.plan.core.order import in_order
from inspect_kit.plan.core.parts import Part, groups_of, part_of
from inspect_kit.plan.core.problem import Answer, Problem, Schedule

SCHEDULES = 600


def solve(problem: Problem, budget: int = SCHEDULES) -> Answer:
    """The best schedule that about `budget` schedules find, with its bound and whether it is proved shortest."""
    tied = in_order(problem)
    if tied is None:
        return Answer(schedule=None, bound=problem.begin, proved=False, reason="circle")
    network = Network(tied, gates=False)
    starts, modes = [0] * network.size, [0] * network.size
    ends = [0] * network.size
    begin = least = problem.begin
    tried = nodes = 0
    for group in groups_of(tied, network):
        members = sorted(index for part in group for index in part)
        releases = [_release(tied, network, index, set(members), ends) for index in members]
        part = part_of(tied, members, begin, releases)
        target = _least(tied, group, least)
        answer = _best(part, target if network.calendars else target - least + begin, budget)
        tried, nodes = tried + answer.tried, nodes + answer.nodes
        if answer.schedule is None:
            return Answer(schedule=None, bound=target, proved=False, tried=tried, nodes=nodes, reason=answer.reason)
        for index, start, mode in zip(members, answer.schedule.starts, answer.schedule.modes, strict=True):
            starts[index], modes[index] = start, mode
            ends[index] = start + network.minutes[index]
        least = target
        begin = answer.schedule.finish
    least = max(least, _whole(tied, network))
    schedule = Schedule(starts=tuple(starts), modes=tuple(modes), finish=begin)
    return Answer(schedule=schedule, bound=least, proved=least == begin, tried=tried, nodes=nodes)


def _release(problem: Problem, network: Network, index: int, inside: set[int], ends: list[int]) -> int:
    """When the lags from earlier parts let an activity start."""
    return max(
        [0, *(ends[lag.before] + lag.least for lag in problem.lags if lag.after == index and lag.before not in inside)]
    )


def _least(problem: Problem, group: tuple[Part, ...], begin: int) -> int:
    """The earliest end of a group that begins at `begin`, by its parts in turn and as a whole."""
    least = begin
    for part in group if len(group) > 1 else ():
        least = _whole(part_of(problem, part, least))
    members = sorted(index for part in group for index in part)
    return max(least, _whole(part_of(problem, members, begin)))


def _whole(problem: Problem, network: Network | None = None) -> int:
    network = network or Network(problem, gates=False)
    return lower_bound(network, pools_of(problem) + clique_pools(problem))


def _best(part: Problem, bound: int, budget: int) -> Answer:
    network = Network(part)
    search = Search(part, network, bound, budget)
    schedule = search.run()
    reason = "" if schedule else "search"
    return Answer(schedule=schedule, bound=bound, proved=False, tried=search.tried, reason=reason)
