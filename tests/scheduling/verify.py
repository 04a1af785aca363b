"""A checker of schedules: takes nothing from the search, looks only at the problem and at the times."""

from inspect_kit.scheduling.problem import Project, Schedule


def faults(problem: Project, schedule: Schedule) -> list[str]:
    """Everything that is wrong with a schedule, as sentences; empty when it keeps the problem in every minute."""
    found = []
    activities, starts = problem.activities, schedule.starts
    ends = [start + activity.duration for start, activity in zip(starts, activities, strict=True)]
    for activity, start in zip(activities, starts, strict=True):
        if start < problem.begin or start < activity.release:
            found.append(f"{activity.name} starts too early, at {start}")
    if schedule.makespan != max([problem.begin, *ends]):
        found.append(f"the finish is said to be {schedule.makespan} and is {max([problem.begin, *ends])}")
    for lag in problem.precedences:
        gap = starts[lag.after] - ends[lag.before]
        names = f"{activities[lag.before].name} and {activities[lag.after].name}"
        if gap < lag.min_lag:
            found.append(f"between {names} there are {gap} min, at least {lag.min_lag} are needed")
        if lag.max_lag is not None and gap > lag.max_lag:
            found.append(f"between {names} there are {gap} min, at most {lag.max_lag} are allowed")
    for resource, (capacity, windows) in enumerate(zip(problem.capacities, problem.windows, strict=True)):
        changes: dict[int, int] = {}
        for activity, start, end, mode in zip(activities, starts, ends, schedule.modes, strict=True):
            amount = activity.modes[mode][resource]
            if amount and end > start:
                changes[start] = changes.get(start, 0) + amount
                changes[end] = changes.get(end, 0) - amount
                if windows is not None and not any(a <= start and end <= b for a, b in windows):
                    found.append(f"{activity.name} runs over a break, {start} to {end}")
        for span in problem.holds:
            changes[starts[span.first]] = changes.get(starts[span.first], 0) + span.amounts[resource]
            changes[ends[span.last]] = changes.get(ends[span.last], 0) - span.amounts[resource]
        level = 0
        for at in sorted(changes):
            level += changes[at]
            if level > capacity:
                found.append(f"resource {resource}: {level} of {capacity} in use at {at}")
    for span in problem.holds:
        opened, closed = starts[span.first], ends[span.last]
        names = f"{activities[span.first].name} to {activities[span.last].name}"
        if closed < opened:
            found.append(f"{names} ends before it begins")
        within = any(start <= opened and closed <= end for start, end in problem.shifts or ())
        if not span.over_breaks and problem.shifts is not None and not within:
            found.append(f"{names} stands over a break")
    for apart in problem.disjunctions:
        span = problem.holds[apart.hold]
        if starts[apart.activity] < ends[span.last] and starts[span.first] < ends[apart.activity]:
            found.append(f"{activities[apart.activity].name} is done while {activities[span.first].name} stands")
    return found
