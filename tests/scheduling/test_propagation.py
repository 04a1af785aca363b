"""What propagation says of every schedule that ends by some moment, against all schedules of tiny problems.

No optimum is copied from the search: schedules are enumerated start by start and held to tests/scheduling/verify.py.
"""

from functools import cache
from itertools import product
from random import Random

import pytest

from inspect_kit.plan.frame import frame_of
from inspect_kit.plan.steps import work_of
from inspect_kit.scheduling.bounds import heavy_cliques
from inspect_kit.scheduling.bracket import Bracket
from inspect_kit.scheduling.network import ProjectNetwork
from inspect_kit.scheduling.problem import Activity, Disjunction, Precedence, Project, ResourceHold, Schedule
from inspect_kit.scheduling.propagation import Propagation, TimeWindows
from inspect_kit.scheduling.reduction import with_implied_precedence
from tests.plan.small import small_job
from tests.scheduling.verify import faults

# Hours at hand in problems with breaks; every schedule that is looked at ends by LATEST.
HOURS, LATEST = ((0, 4), (6, 10)), 10
SEEDS = range(16)


def tiny(seed: int) -> Project:
    """Four activities, an inspector and a helper, one piece of gear, a hold or two, lags; every other one in sessions.

    Resources: inspector, helper, gear.
    """
    draw = Random(seed).random
    windows = HOURS if seed % 2 else None

    def modes(index: int) -> tuple[tuple[int, ...], ...]:
        gear = int(index > 1 and draw() < 0.4)
        ways = (((0, 1, gear), (1, 0, gear)), ((1, 0, gear),), ((1, 1, gear),))
        return ways[int(draw() * 3)]

    holds = [ResourceHold(first=0, last=1, amounts=(0, 0, int(draw() < 0.6)), over_breaks=draw() < 0.5)]
    if draw() < 0.4:
        holds.append(ResourceHold(first=2, last=2, amounts=(0, 0, 1), over_breaks=draw() < 0.5))
    lags = [Precedence(before=0, after=1, min_lag=int(draw() * 3), max_lag=5 if draw() < 0.3 else None)]
    if draw() < 0.5:
        lags.append(Precedence(before=2, after=3, max_lag=int(draw() * 5) if draw() < 0.5 else None))
    return Project(
        activities=tuple(
            Activity(name=str(index), duration=1 + int(draw() * 3), modes=modes(index)) for index in range(4)
        ),
        capacities=(1, 1, 1),
        windows=(windows, windows, None),
        precedences=tuple(lags),
        holds=tuple(holds),
        disjunctions=(Disjunction(activity=2 + int(draw() * 2), hold=0),) if draw() < 0.4 and len(holds) == 1 else (),
        interchangeable=2,
        shifts=windows,
    )


@cache
def all_schedules(problem: Project) -> list[Schedule]:
    """Every schedule that ends by LATEST, one way to staff it for each list of starts."""
    lengths = [activity.duration for activity in problem.activities]
    within = [
        [
            start
            for start in range(LATEST - length + 1)
            if problem.shifts is None or any(a <= start and start + length <= b for a, b in problem.shifts)
        ]
        for length in lengths
    ]
    found = []
    ways = list(product(*(range(len(activity.modes)) for activity in problem.activities)))
    for starts in product(*within):
        ends = list(map(int.__add__, starts, lengths))
        if any(
            not lag.min_lag <= starts[lag.after] - ends[lag.before] <= (LATEST if lag.max_lag is None else lag.max_lag)
            for lag in problem.precedences
        ):
            continue
        for modes in ways:
            schedule = Schedule(starts=starts, modes=modes, makespan=max(ends))
            if not faults(problem, schedule):
                found.append(schedule)
    return found


def keeps(windows: TimeWindows, schedule: Schedule) -> bool:
    """Whether a schedule lies within windows of starts and modes."""
    return all(
        head <= start <= last and modes >> mode & 1
        for head, last, modes, start, mode in zip(
            windows.heads, windows.lasts, windows.modes, schedule.starts, schedule.modes, strict=True
        )
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_no_schedule_lies_outside_the_windows_and_each_lies_in_one_part(seed: int) -> None:
    problem = with_implied_precedence(tiny(seed))
    assert problem is not None
    network = ProjectNetwork(problem, gates=False)
    propagation = Propagation(network, heavy_cliques(network))
    schedules = all_schedules(tiny(seed))
    for aim in range(1, LATEST + 1):
        in_time = [schedule for schedule in schedules if schedule.makespan <= aim]
        windows = propagation.within(aim)
        assert windows is not None or not in_time
        if windows is not None:
            assert all(keeps(windows, schedule) for schedule in in_time)
            parts = propagation.split(windows, 50)
            assert all(sum(keeps(part, schedule) for part in parts) == 1 for schedule in in_time)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_bracket_closes_on_the_optimum(seed: int) -> None:
    problem = with_implied_precedence(tiny(seed))
    assert problem is not None
    schedules = all_schedules(tiny(seed))
    optimum = min((schedule.makespan for schedule in schedules), default=None)
    bracket = Bracket(problem, 0, None)
    bracket.run(20000)
    assert bracket.over
    if optimum is None:
        assert bracket.best is None or bracket.best.makespan > LATEST
    else:
        assert bracket.best is not None
        assert faults(problem, bracket.best) == []
        assert bracket.bound == bracket.best.makespan == optimum


def test_the_tiny_problems_have_schedules_half_of_the_time() -> None:
    """So that the tests above say something, with breaks and without."""
    answers = [bool(all_schedules(tiny(seed))) for seed in SEEDS]
    assert sum(answers[::2]) >= 4
    assert sum(answers[1::2]) >= 4


@pytest.mark.parametrize(("seed", "optimum"), [(41, 1587), (64, 1513)])
def test_sharing_out_the_work_among_sessions_refutes_what_propagation_alone_does_not(seed: int, optimum: int) -> None:
    """Source of the figures: CP-SAT proves them (`python -m tests.bench small --each`)."""
    job = small_job(seed)
    problem = with_implied_precedence(frame_of(job, work_of(job)).problem)
    assert problem is not None
    network = ProjectNetwork(problem, gates=False)
    propagation = Propagation(network, heavy_cliques(network))
    windows = propagation.within(optimum - 1)
    assert windows is not None
    parts = propagation.split(windows, 150)
    assert len(parts) < 10
