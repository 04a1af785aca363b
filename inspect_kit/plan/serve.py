"""The order of a plan changed at the same elapsed time: bad news first, less walking, panels off for short.

One person who is never kept waiting takes as long in any order; then the order is free. It begins with the weighted
order of Sidney's decomposition, changed until every tie is kept, in several versions that walk less and less, and
stretches of it change places as long as that gains. With more people, or sessions, the plan is where it begins, and the
same changes are made wherever people and gear are busy at the same minutes as before. Nothing is left open over more
breaks than in the plan that was found.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

from inspect_kit.noun import dataclass
from inspect_kit.plan.answer import Plan
from inspect_kit.plan.checker import faults
from inspect_kit.plan.frame import Frame, frame_of
from inspect_kit.plan.reordered import key_of, reordered
from inspect_kit.plan.request import NEWS, PANELS, WALKING, Job, Wishes
from inspect_kit.plan.steps import JobSteps, work_of
from inspect_kit.scheduling.exchange import Objective, Roster, feasibility_test, improve
from inspect_kit.scheduling.network import ProjectNetwork
from inspect_kit.scheduling.opened_late import Breaks, open_over_breaks
from inspect_kit.scheduling.reduction import with_implied_precedence
from inspect_kit.scheduling.single_machine import (
    Ordered,
    just_in_time,
    lasting_precedences,
    ordered,
    place_instants,
    repair_order,
    start_times,
    target_by_target,
)

MINUTE = 10**9
TIE = 10**4
STEPS = 60_000
# Of a job with more steps than this, which no light aircraft has, the plan stays as it was found: these searches would
# take minutes there.
LARGEST = 1_500
CHOSEN = 2
STICKS = (0.1, 0.3, 1.0, 3.0, 10.0)


def serve(job: Job, plan: Plan, steps: int = STEPS) -> Plan:
    """The plan in an order that serves `job.wishes.ends`; the plan itself where there is none, or nothing is gained.

    So is a plan of more than `LARGEST` steps. Elapsed, labour, bound and verdict are always those of the plan, and
    the checker has passed whatever comes back. `steps` is the effort: how many changes of place are looked at, about.
    """
    if not job.wishes.ends or not 0 < len(plan.steps) <= LARGEST:
        return plan
    view = _view(job, plan)
    if view is None:
        return plan
    begun = sorted(_beginnings(view), key=lambda roster: _score(view, roster))
    best, least = plan, _score(view, view.roster(view.starts, view.teams))
    for roster in begun[:CHOSEN]:
        improve(roster, steps // min(CHOSEN, len(begun)))
        score = _score(view, roster)
        if score < least:
            told = _told(view, roster)
            if told.elapsed == plan.elapsed and not faults(job, told):
                best, least = told, score
    return best


@dataclass(frozen=True, slots=True, kw_only=True)
class _View:
    """A plan by the numbers of its activities, and what its order is worth."""

    job: Job
    plan: Plan
    work: JobSteps
    frame: Frame
    network: ProjectNetwork
    lags: Sequence[tuple[int, int, int]]
    zones: Sequence[str]
    ends: Objective
    starts: Sequence[int]
    teams: Mapping[int, tuple[str, ...]]
    holds: Callable[[Sequence[int]], bool]
    alone: bool

    def roster(self, starts: Sequence[int], teams: Mapping[int, tuple[str, ...]]) -> Roster:
        kinds: dict[int, tuple[object, object]] = {}
        for index in teams:
            task = self.work.tasks[self.frame.keys[index]]
            room = (task.alone, tuple(sorted(task.gear)))
            kinds[index] = ((), ()) if self.alone else (room, (room, task.people, task.inspectors))
        return Roster(self.network.durations, starts, teams, kinds, self.lags, self.ends, self.holds)


def _view(job: Job, plan: Plan) -> _View | None:
    work = work_of(job)
    frame = frame_of(job, work)
    tied = with_implied_precedence(frame.problem)
    if tied is None:
        return None
    network = ProjectNetwork(tied)
    place = {key: number for number, key in enumerate(frame.keys)}
    starts = [0] * network.size
    teams: dict[int, tuple[str, ...]] = {}
    for step in plan.steps:
        index = place[key_of(step.check, step.step, step.panel)]
        starts[index] = step.start
        if step.end > step.start:
            teams[index] = step.who
    zones = [_zone(job, work.tasks[key].panel) for key in frame.keys]
    return _View(
        job=job,
        plan=plan,
        work=work,
        frame=frame,
        network=network,
        lags=lasting_precedences(network),
        zones=zones,
        ends=Objective(values=delay_costs(job, work, frame.keys), zones=zones, price=_price(job.wishes)),
        starts=starts,
        teams=teams,
        holds=_holds(frame, network, starts),
        alone=job.crew.people == 1 and plan.labour == plan.elapsed,
    )


def _holds(frame: Frame, network: ProjectNetwork, starts: Sequence[int]) -> Callable[[Sequence[int]], bool]:
    """A test of other starts: everything is kept, and nothing stands open over more breaks before it is used.

    What must stand open over one is used no later either: else there might be time to open it after the break.
    """
    feasible = feasibility_test(network)
    if not network.problem.shifts:
        return feasible
    breaks, durations = Breaks(network.problem.shifts), network.durations
    before = open_over_breaks(frame.openings, breaks, starts, durations)
    uses = [each.used(starts) for each in frame.openings]

    def holds(moved: Sequence[int]) -> bool:
        now = open_over_breaks(frame.openings, breaks, moved, durations)
        used = (each.used(moved) for each in frame.openings)
        kept = all(map(int.__le__, now, before))
        in_time = all(use <= first for use, first, least in zip(used, uses, now, strict=True) if least)
        return kept and in_time and feasible(moved)

    return holds


def _zone(job: Job, panel: str) -> str:
    return job.panels[panel].zone if panel in job.panels else ""


def _price(wishes: Wishes) -> int:
    return max(1, wishes.walking) * (MINUTE if WALKING in wishes.ends else MINUTE // TIE)


def delay_costs(job: Job, work: JobSteps, keys: Sequence[str]) -> list[int]:
    """What each step costs for every minute later at which it ends, in 1/MINUTE minutes.

    A check its share of all news; a refit that the panel is off longer; a removal, turned round, that it is off less.
    """
    wishes = job.wishes
    total = sum(wishes.news.get(work.tasks[key].check or "", 0.0) for key in keys)
    news = MINUTE if NEWS in wishes.ends else MINUTE // TIE
    off = max(1, wishes.off) * (MINUTE if PANELS in wishes.ends else MINUTE // TIE) // 60
    values = []
    for key in keys:
        task = work.tasks[key]
        if task.check is not None:
            values.append(round(news * wishes.news.get(task.check, 0.0) / total) if total else 0)
        else:
            values.append({"remove": -off, "make": -off, "refit": off, "undo": off}.get(task.verb, 0))
    return values


def _score(view: _View, roster: Roster) -> int:
    starts = place_instants(view.network, roster.starts, view.ends.values)
    ends = zip(view.ends.values, starts, view.network.durations, strict=True)
    return sum(value * (start + minutes) for value, start, minutes in ends) + view.ends.price * roster.changes()


def _beginnings(view: _View) -> Iterator[Roster]:
    """The plan as it is, and schedules of the same length that are nearer to what is wanted."""
    yield view.roster(view.starts, view.teams)
    if not view.alone:
        return
    network, values = view.network, view.ends.values
    wanted = ordered(network.durations, values, network.pairs)
    team = view.job.people_names()[:1]
    ratios = _ratios(wanted, network.size)
    orders = [
        repair_order(network, wanted.order, view.zones, ratios, stick)
        for stick in (0.0, *(view.ends.price * each for each in STICKS), float("inf"))
    ]
    orders.append(repair_order(network, target_by_target(network.durations, values, network.pairs), view.zones, ratios))
    for order in dict.fromkeys(order for order in orders if order is not None):
        for made in (order, *(just_in_time(network, order, values, eager=eager) for eager in (False, True))):
            starts = start_times(network, made)
            if _in_order(view, starts):
                yield view.roster(starts, dict.fromkeys(view.teams, team))


def _ratios(wanted: Ordered, size: int) -> list[float]:
    """For each activity the value per minute of the block of activities that it belongs to."""
    ratios = [0.0] * size
    for block in wanted.blocks:
        for index in block.jobs:
            ratios[index] = block.weight / block.duration if block.duration else 0.0
    return ratios


def _in_order(view: _View, starts: Sequence[int]) -> bool:
    minutes = view.network.durations
    waits = all(starts[after] >= starts[before] + minutes[before] + least for before, after, least in view.lags)
    return waits and view.holds(starts)


def _told(view: _View, roster: Roster) -> Plan:
    keys = view.frame.keys
    starts = place_instants(view.network, roster.starts, view.ends.values)
    teams: dict[str, tuple[str, ...]] = {key_of(s.check, s.step, s.panel): s.who for s in view.plan.steps}
    teams |= {keys[index]: team for index, team in roster.teams.items()}
    rank = {keys[index]: place for place, index in enumerate(view.network.order)}
    return reordered(view.job, view.work, view.plan, dict(zip(keys, starts, strict=True)), teams, rank)
