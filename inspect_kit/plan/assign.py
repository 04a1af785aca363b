"""Who does which step: people of one group take the steps in turn, staying in their zone where they can."""

from collections.abc import Mapping, Sequence

from inspect_kit.plan.frame import Frame
from inspect_kit.scheduling.problem import Schedule


def assigned_people(frame: Frame, schedule: Schedule, zones: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """The people of every step by its key. `zones` are the zones of the steps.

    Intervals that overlap no more often than a group has people can always be given to persons (an interval graph
    is perfect), taking them by start.
    """
    free_at = {name: 0 for group in frame.groups for name in group.names}
    last_zone: dict[str, str] = {}
    who: dict[str, tuple[str, ...]] = {}
    for index in in_time(frame, schedule):
        key, activity = frame.keys[index], frame.problem.activities[index]
        people: list[str] = []
        if activity.duration:
            for group, amount in zip(frame.groups, activity.modes[schedule.modes[index]], strict=False):
                ready = [name for name in group.names if free_at[name] <= schedule.starts[index]]
                ready.sort(key=lambda name: (last_zone.get(name) != zones.get(key), -free_at[name]))
                people += ready[:amount]
        for name in people:
            free_at[name] = schedule.starts[index] + activity.duration
            last_zone[name] = zones.get(key, "")
        who[key] = tuple(people)
    return who


def in_time(frame: Frame, schedule: Schedule) -> Sequence[int]:
    """Activities by start, then end, then as their ties have them."""
    rank = {index: place for place, index in enumerate(_tied_order(frame))}
    minutes = [activity.duration for activity in frame.problem.activities]
    starts = schedule.starts
    return sorted(range(len(starts)), key=lambda index: (starts[index], starts[index] + minutes[index], rank[index]))


def _tied_order(frame: Frame) -> Sequence[int]:
    from inspect_kit.scheduling.graphs import topological
    from inspect_kit.scheduling.reduction import precedence_pairs

    order = topological(len(frame.keys), precedence_pairs(frame.problem))
    assert order is not None
    return order
