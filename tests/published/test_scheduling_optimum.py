"""Small scheduling problems with breaks, helpers, lags, gear and releases, against the optimum.

Source of the reference: OR-Tools 9.15, constraint solver CP-SAT (`ortools.sat.python.cp_model`), the plain model built
below from the problem itself. Here it proves every one of them. The problems are invented.
"""

from functools import cache
from random import Random

import pytest
from ortools.sat.python import cp_model

from inspect_kit.scheduling.bounds import heavy_cliques, incompatible, lower_bound, pools_of
from inspect_kit.scheduling.bracket import Bracket
from inspect_kit.scheduling.generation import parallel_schedule
from inspect_kit.scheduling.graphs import members
from inspect_kit.scheduling.network import ProjectNetwork
from inspect_kit.scheduling.problem import Activity, Disjunction, Precedence, Project, ResourceHold, Schedule
from inspect_kit.scheduling.propagation import Propagation
from inspect_kit.scheduling.reduction import reversed_in_time
from inspect_kit.scheduling.solve import solve, two_ended_bound
from inspect_kit.scheduling.tail_search import TwoEndedSearch
from inspect_kit.scheduling.windows import WindowSearch
from tests.scheduling.verify import faults

# The last one has a chain whose gate was passed when the schedule was turned.
SEEDS = (*range(20), 2025)


def invented(seed: int) -> Project:
    """Ten to fourteen activities of two people, gear for one, and all that may tie them; every third without breaks."""
    random = Random(seed)
    size = random.randint(10, 14)
    helper = ((0, 40), (80, 120), (160, 200), (240, 280))
    evenings = tuple((number * 100, number * 100 + 45) for number in range(12))
    windows = {0: (None, None, None), 1: (None, helper, None), 2: (evenings, evenings, None)}[seed % 3]
    activities = []
    for index in range(size):
        gear = int(random.random() < 0.2)
        kind = random.random()
        modes = ((1, 1, gear),) if kind < 0.2 else ((1, 0, gear),) if kind < 0.4 else ((1, 0, gear), (0, 1, gear))
        release = random.choice((0, 0, 0, 17))
        activities.append(Activity(name=f"a{index}", duration=random.randint(2, 20), modes=modes, release=release))
    lags = []
    for after in range(1, size):
        for before in random.sample(range(after), min(after, random.choice((0, 1, 1, 2)))):
            least = random.choice((0, 0, 0, 6))
            most = least + 90 if random.random() < 0.1 else None
            lags.append(Precedence(before=before, after=after, min_lag=least, max_lag=most))
    spans: tuple[ResourceHold, ...] = ()
    apart: tuple[Disjunction, ...] = ()
    if random.random() < 0.4:
        lags.append(Precedence(before=0, after=size - 1))
        spans = (ResourceHold(first=0, last=size - 1, amounts=(0, 0, 1)),)
        # The gear is held by the span, so nothing between may need it.
        activities = [
            Activity(name=a.name, duration=a.duration, modes=tuple((*m[:2], 0) for m in a.modes), release=a.release)
            for a in activities
        ]
        follows = {lag.before for lag in lags} | {lag.after for lag in lags}
        loose = [index for index in range(1, size - 1) if index not in follows]
        apart = tuple(Disjunction(activity=index, hold=0) for index in loose[:1])
    return Project(
        activities=tuple(activities),
        capacities=(1, 1, 1),
        windows=windows,
        precedences=tuple(lags),
        holds=spans,
        disjunctions=apart,
        interchangeable=2,
    )


@cache
def optimum(problem: Project) -> int:
    model = cp_model.CpModel()
    horizon = 1100
    uses: list[list[tuple[cp_model.IntervalVar, int]]] = [[] for _ in problem.capacities]
    starts = []
    for index, activity in enumerate(problem.activities):
        start = model.new_int_var(activity.release, horizon, f"s{index}")
        starts.append(start)
        chosen = [model.new_bool_var(f"m{index}.{number}") for number in range(len(activity.modes))]
        model.add_exactly_one(chosen)
        for mode, literal in zip(activity.modes, chosen, strict=True):
            for resource, amount in enumerate(mode):
                if not amount:
                    continue
                interval = model.new_optional_fixed_size_interval_var(start, activity.duration, literal, "i")
                uses[resource].append((interval, amount))
                hours = problem.windows[resource]
                if hours is not None:
                    fits = [[a, b - activity.duration] for a, b in hours if b - a >= activity.duration]
                    domain = cp_model.Domain.from_intervals(fits)
                    model.add_linear_expression_in_domain(start, domain).only_enforce_if(literal)
    ends = [start + activity.duration for start, activity in zip(starts, problem.activities, strict=True)]
    for lag in problem.precedences:
        model.add(starts[lag.after] >= ends[lag.before] + lag.min_lag)
        if lag.max_lag is not None:
            model.add(starts[lag.after] <= ends[lag.before] + lag.max_lag)
    held = []
    for span in problem.holds:
        size = model.new_int_var(0, horizon, "size")
        held.append(model.new_interval_var(starts[span.first], size, ends[span.last], "span"))
        for resource, amount in enumerate(span.amounts):
            if amount:
                uses[resource].append((held[-1], amount))
    for apart in problem.disjunctions:
        length = problem.activities[apart.activity].duration
        own = model.new_fixed_size_interval_var(starts[apart.activity], length, "apart")
        model.add_no_overlap([own, held[apart.hold]])
    for use, capacity in zip(uses, problem.capacities, strict=True):
        model.add_cumulative([interval for interval, _ in use], [amount for _, amount in use], capacity)
    finish = model.new_int_var(0, 2 * horizon, "finish")
    model.add_max_equality(finish, ends)
    model.minimize(finish)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_plan_beats_the_optimum_and_no_bound_exceeds_it(seed: int) -> None:
    problem = invented(seed)
    best = optimum(problem)
    for budget in (1, 600):
        answer = solve(problem, budget)
        assert answer.schedule is not None
        assert not faults(problem, answer.schedule)
        assert answer.bound <= best <= answer.schedule.makespan
        assert answer.proved == (answer.bound == answer.schedule.makespan)
    # So much is always found, and mostly the optimum.
    assert answer.schedule.makespan <= 1.02 * best


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_laid_from_either_end_keeps_the_problem(seed: int) -> None:
    problem = invented(seed)
    network, random = ProjectNetwork(problem), Random(seed)
    schedule = parallel_schedule(network, [float(random.random()) for _ in range(network.size)])
    assert schedule is not None
    best = optimum(problem)
    found: list[Schedule | None] = []
    if any(problem.windows):
        hours = WindowSearch(network, random)
        for aim in (best, best + 7):
            found.append(hours.filled(schedule, aim, schedule.makespan))
            found.append(hours.filled_back(schedule, aim, schedule.makespan)[0])
    else:
        ends = TwoEndedSearch(network, ProjectNetwork(reversed_in_time(problem, 0)), random)
        for _ in range(6):
            for back in (False, True):
                found.append(ends.relaid(schedule, best, back)[0])
                found.append(ends.rebuilt(schedule, best, back)[0])
    for made in found:
        assert made is None or not faults(problem, made)
        assert made is None or made.makespan >= best


@cache
def bracketed(seed: int) -> Bracket:
    bracket = Bracket(invented(seed), 0, None)
    bracket.run(30_000)
    return bracket


@pytest.mark.parametrize("seed", SEEDS)
def test_closing_in_from_both_sides_never_passes_the_optimum(seed: int) -> None:
    problem, bracket = invented(seed), bracketed(seed)
    assert bracket.possible
    assert bracket.bound <= optimum(problem)
    assert bracket.best is not None
    assert not faults(problem, bracket.best)
    assert bracket.best.makespan >= optimum(problem)


def test_closing_in_from_both_sides_mostly_ends_at_the_optimum() -> None:
    assert sum(bracketed(seed).over for seed in SEEDS) >= len(SEEDS) - 3


@pytest.mark.parametrize("seed", SEEDS)
def test_the_windows_hold_every_schedule_that_ends_in_time(seed: int) -> None:
    problem, bracket = invented(seed), bracketed(seed)
    assert bracket.best is not None
    network = ProjectNetwork(problem, gates=False)
    propagation = Propagation(network, heavy_cliques(network))
    for aim in (bracket.best.makespan, bracket.best.makespan + 40):
        windows = propagation.within(aim)
        assert windows is not None
        for index, (start, mode) in enumerate(zip(bracket.best.starts, bracket.best.modes, strict=True)):
            assert windows.heads[index] <= start <= windows.lasts[index]
            assert windows.modes[index] >> mode & 1
    # Not every makespan that is too short is refuted without a search, but one below the critical path is.
    assert propagation.within(max(map(int.__add__, propagation.heads, network.durations)) - 1) is None


@pytest.mark.parametrize("seed", SEEDS)
def test_no_two_of_a_clique_overlap_and_its_bound_is_one(seed: int) -> None:
    problem = invented(seed)
    network = ProjectNetwork(problem, gates=False)
    cliques = heavy_cliques(network)
    assert lower_bound(network, pools_of(problem) + cliques) <= optimum(problem)
    schedule = solve(problem).schedule
    assert schedule is not None
    spans = list(zip(schedule.starts, map(int.__add__, schedule.starts, network.durations), strict=True))
    for one, bits in enumerate(incompatible(network)):
        for other in members(bits):
            assert spans[one][1] <= spans[other][0] or spans[other][1] <= spans[one][0], (one, other)


@pytest.mark.parametrize("seed", SEEDS)
def test_laying_both_ends_refutes_nothing_that_can_be(seed: int) -> None:
    """Also where so few activities are laid that it comes to whole schedules."""
    problem = invented(seed)
    best = optimum(problem)
    assert two_ended_bound(problem, max(0, best - 10), best + 10)[0] <= best
