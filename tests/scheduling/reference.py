"""Scheduling problems as a plain model for OR-Tools' constraint solver CP-SAT (`ortools.sat.python.cp_model`)."""

from ortools.sat.python import cp_model

from inspect_kit.scheduling.problem import Project, Schedule


def optimum(
    problem: Project, *, effort: float = 10.0, workers: int = 1, hint: Schedule | None = None, at_least: int = 0
) -> tuple[int | None, int]:
    """The least makespan that CP-SAT finds and what it proves of it; None when it finds none.

    `effort` is in the solver's own deterministic time, so that every machine asks alike.
    `hint` is a schedule to begin with, `at_least` a bound that is known already.
    """
    model = cp_model.CpModel()
    horizon = max(
        [end for windows in problem.windows for _, end in windows or ()]
        + [
            problem.begin
            + sum(activity.duration for activity in problem.activities)
            + sum(precedence.min_lag for precedence in problem.precedences)
            + sum(activity.release for activity in problem.activities)
        ]
    )
    starts, ends = [], []
    uses: list[list[tuple[cp_model.IntervalVar, int]]] = [[] for _ in problem.capacities]
    for index, activity in enumerate(problem.activities):
        start = model.new_int_var(max(problem.begin, activity.release), horizon, f"start {index}")
        ways = [model.new_bool_var(f"mode {index} {number}") for number in range(len(activity.modes))]
        model.add_exactly_one(ways)
        for number, (way, mode) in enumerate(zip(ways, activity.modes, strict=True)):
            if hint is not None:
                model.add_hint(way, hint.modes[index] == number)
            if not activity.duration:
                continue
            interval = model.new_optional_fixed_size_interval_var(start, activity.duration, way, f"mode {index}")
            for resource, amount in enumerate(mode):
                if amount:
                    uses[resource].append((interval, amount))
                    windows = problem.windows[resource]
                    if windows is not None:
                        rooms = [(a, b - activity.duration) for a, b in windows if b - a >= activity.duration]
                        domain = cp_model.Domain.from_intervals(rooms)
                        model.add_linear_expression_in_domain(start, domain).only_enforce_if(way)
        if hint is not None:
            model.add_hint(start, hint.starts[index])
        starts.append(start)
        ends.append(start + activity.duration)
    for precedence in problem.precedences:
        model.add(starts[precedence.after] >= ends[precedence.before] + precedence.min_lag)
        if precedence.max_lag is not None:
            model.add(starts[precedence.after] <= ends[precedence.before] + precedence.max_lag)
    # Implied, and of great help: the interchangeable resources together, which every mode draws on alike.
    together = []
    for index, activity in enumerate(problem.activities):
        totals = {sum(mode[: problem.interchangeable]) for mode in activity.modes}
        if activity.duration and len(totals) == 1 and (total := totals.pop()):
            name = f"activity {index}"
            together.append((model.new_fixed_size_interval_var(starts[index], activity.duration, name), total))
    capacity = sum(problem.capacities[: problem.interchangeable])
    model.add_cumulative([interval for interval, _ in together], [total for _, total in together], capacity)
    held = []
    for hold in problem.holds:
        size = model.new_int_var(0, horizon, "size")
        held.append(model.new_interval_var(starts[hold.first], size, ends[hold.last], "hold"))
        for resource, amount in enumerate(hold.amounts):
            if amount:
                uses[resource].append((held[-1], amount))
        if not hold.over_breaks and problem.shifts is not None:
            inside = [model.new_bool_var("inside") for _ in problem.shifts]
            model.add_exactly_one(inside)
            for here, (opened, closed) in zip(inside, problem.shifts, strict=True):
                model.add(starts[hold.first] >= opened).only_enforce_if(here)
                model.add(ends[hold.last] <= closed).only_enforce_if(here)
    for disjunction in problem.disjunctions:
        length = problem.activities[disjunction.activity].duration
        own = model.new_fixed_size_interval_var(starts[disjunction.activity], length, "apart")
        model.add_no_overlap([own, held[disjunction.hold]])
    for use, capacity in zip(uses, problem.capacities, strict=True):
        model.add_cumulative([interval for interval, _ in use], [amount for _, amount in use], capacity)
    makespan = model.new_int_var(at_least, horizon, "makespan")
    for end in ends:
        model.add(makespan >= end)
    model.minimize(makespan)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = effort
    solver.parameters.use_overload_checker_in_cumulative = True
    solver.parameters.linearization_level = 2
    status = solver.solve(model)
    found = round(solver.objective_value) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    return found, round(solver.best_objective_bound)
