"""A checker of schedules: takes nothing from the search, looks only at the problem and at the times."""

from inspect_kit.scheduling.problem import Problem, Schedule


def faults(problem: Problem, schedule: Schedule) -> list[str]:
    """Everything that is wrong with a schedule, as sentences; empty when it keeps the problem in every minute."""
    found = []
    activities, starts = problem.activities, schedule.starts
    ends = [start + activity.minutes for start, activity in zip(starts, activities, strict=True)]
    for activity, start in zip(activities, starts, strict=True):
        if start < problem.begin or start < activity.release:
            found.append(f"{activity.key} starts too early, at {start}")
    if schedule.finish != max([problem.begin, *ends]):
        found.append(f"the finish is said to be {schedule.finish} and is {max([problem.begin, *ends])}")
    for lag in problem.lags:
        gap = starts[lag.after] - ends[lag.before]
        names = f"{activities[lag.before].key} and {activities[lag.after].key}"
        if gap < lag.least:
            found.append(f"between {names} there are {gap} min, at least {lag.least} are needed")
        if lag.most is not None and gap > lag.most:
            found.append(f"between {names} there are {gap} min, at most {lag.most} are allowed")
    for resource, (capacity, windows) in enumerate(zip(problem.capacities, problem.windows, strict=True)):
        changes: dict[int, int] = {}
        for activity, start, end, mode in zip(activities, starts, ends, schedule.modes, strict=True):
            amount = activity.modes[mode][resource]
            if amount and end > start:
                changes[start] = changes.get(start, 0) + amount
                changes[end] = changes.get(end, 0) - amount
                if windows is not None and not any(a <= start and end <= b for a, b in windows):
                    found.append(f"{activity.key} runs over a break, {start} to {end}")
        for span in problem.spans:
            changes[starts[span.first]] = changes.get(starts[span.first], 0) + span.holds[resource]
            changes[ends[span.last]] = changes.get(ends[span.last], 0) - span.holds[resource]
        level = 0
        for at in sorted(changes):
            level += changes[at]
            if level > capacity:
                found.append(f"resource {resource}: {level} of {capacity} in use at {at}")
    for span in problem.spans:
        opened, closed = starts[span.first], ends[span.last]
        names = f"{activities[span.first].key} to {activities[span.last].key}"
        if closed < opened:
            found.append(f"{names} ends before it begins")
        within = any(start <= opened and closed <= end for start, end in problem.shifts or ())
        if not span.overnight and problem.shifts is not None and not within:
            found.append(f"{names} stands over a break")
    for apart in problem.apart:
        span = problem.spans[apart.span]
        if starts[apart.activity] < ends[span.last] and starts[span.first] < ends[apart.activity]:
            found.append(f"{activities[apart.activity].key} is done while {activities[span.first].key} stands")
    return found
