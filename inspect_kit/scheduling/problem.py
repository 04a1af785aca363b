"""What is to be scheduled (activities, precedences, resources, holds), and what a schedule is.

The resource-constrained project scheduling problem (RCPSP; Kolisch & Sprecher 1996) with several modes of one
duration, minimum and maximum time lags (Bartusch, Moehring & Radermacher 1988), resources that are held from the start
of one activity to the end of another, and time windows that an activity may not straddle. All times are whole units.
"""

from dataclasses import field

from inspect_kit.noun import dataclass

Window = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity:
    """Something that lasts `duration` and is never interrupted.

    `modes` are the ways to do it: for each, the amount of every resource that it occupies, the preferred one first.
    It starts no earlier than `release`.
    """

    name: str
    duration: int
    modes: tuple[tuple[int, ...], ...]
    release: int = 0

    def __post_init__(self) -> None:
        if self.duration < 0 or not self.modes:
            raise ValueError(f"{self.name}: an activity lasts no less than 0 and has a mode at least")


@dataclass(frozen=True, slots=True, kw_only=True)
class Precedence:
    """`after` starts at least `min_lag`, and at most `max_lag`, after `before` ends (`max_lag` None: no limit)."""

    before: int
    after: int
    min_lag: int = 0
    max_lag: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ResourceHold:
    """`amounts` of the resources are occupied from the start of `first` to the end of `last`.

    Without `over_breaks` all of that lies within one window of hours.
    """

    first: int
    last: int
    amounts: tuple[int, ...]
    over_breaks: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Disjunction:
    """An activity and a hold that never overlap: one of them ends before the other begins."""

    activity: int
    hold: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Project:
    """Activities are named by their index. Windows None: always at hand; else ascending and not touching.

    The first `interchangeable` resources can stand in for each other in some modes (groups of workers with different
    skills or hours): bounds look at every set of them together. Nothing starts before `begin`. `shifts` are the hours
    in which anything is done (None: all hours), for holds that may not go on over a break.
    """

    activities: tuple[Activity, ...]
    capacities: tuple[int, ...]
    windows: tuple[tuple[Window, ...] | None, ...] = ()
    precedences: tuple[Precedence, ...] = ()
    holds: tuple[ResourceHold, ...] = ()
    disjunctions: tuple[Disjunction, ...] = ()
    interchangeable: int = 0
    begin: int = 0
    shifts: tuple[Window, ...] | None = None

    def __post_init__(self) -> None:
        if not self.windows:
            object.__setattr__(self, "windows", (None,) * len(self.capacities))
        if len(self.windows) != len(self.capacities):
            raise ValueError("every resource has its windows, or none has any")


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """A start and a mode for every activity, and the makespan: when the last one ends, counted from 0."""

    starts: tuple[int, ...]
    modes: tuple[int, ...]
    makespan: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """The best schedule found and a lower bound of every makespan; `schedule` None when none was found.

    `tried` is the number of schedules generated, `nodes` of branch and bound nodes.
    """

    schedule: Schedule | None
    bound: int
    proved: bool
    tried: int = 0
    nodes: int = 0
    reason: str = field(default="")
