"""People as groups who are there at the same times with the same permission, and the ways to staff a step from them."""

from collections.abc import Sequence
from itertools import product

from inspect_kit.noun import dataclass
from inspect_kit.plan.request import Job, Shift
from inspect_kit.scheduling.problem import Window


@dataclass(frozen=True, slots=True, kw_only=True)
class StaffGroup:
    """People who can stand in for each other. `windows` None: always there."""

    names: tuple[str, ...]
    inspects: bool
    windows: tuple[Window, ...] | None


def groups_of(job: Job) -> tuple[StaffGroup, ...]:
    """The crew in groups, inspectors first."""
    grouped: dict[tuple[bool, tuple[Window, ...] | None], list[str]] = {}
    inspectors = job.crew.inspectors
    for number, name in enumerate(job.people_names()):
        inspects = number < inspectors
        windows: tuple[Window, ...] | None = None
        if job.shifts:
            rank = number if inspects else number - inspectors
            windows = joined_windows(
                [
                    (shift.start, shift.end)
                    for shift in job.shifts
                    if rank < (shift.inspectors if inspects else shift.people - shift.inspectors)
                ]
            )
        if windows != ():
            grouped.setdefault((inspects, windows), []).append(name)
    return tuple(
        StaffGroup(names=tuple(names), inspects=inspects, windows=windows)
        for (inspects, windows), names in grouped.items()
    )


def joined_windows(windows: Sequence[Window]) -> tuple[Window, ...]:
    """Windows that touch as one."""
    merged: list[Window] = []
    for start, end in sorted(windows):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], end))
        else:
            merged.append((start, end))
    return tuple(merged)


def working_hours(shifts: Sequence[Shift]) -> tuple[Window, ...] | None:
    """The hours in which anybody works; None: all of them."""
    return joined_windows([(shift.start, shift.end) for shift in shifts]) if shifts else None


def ways_to_staff(groups: Sequence[StaffGroup], people: int, inspectors: int) -> tuple[tuple[int, ...], ...]:
    """Every way to take so many people from the groups with so many inspectors among them, fewest inspectors first."""
    choices = product(*(range(min(people, len(group.names)), -1, -1) for group in groups))
    fitting = []
    for choice in choices:
        inspecting = sum(amount for amount, group in zip(choice, groups, strict=True) if group.inspects)
        if sum(choice) == people and inspecting >= inspectors:
            fitting.append((inspecting, choice))
    return tuple(choice for _, choice in sorted(fitting, key=lambda entry: entry[0]))
