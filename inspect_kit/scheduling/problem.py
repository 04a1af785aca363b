"""What is to be scheduled: activities, resources with their windows, lags, spans; and what a schedule is.

The resource-constrained project scheduling problem (RCPSP; Kolisch & Sprecher 1996) with several modes of one
duration, minimum and maximum time lags (Bartusch, Moehring & Radermacher 1988), gear that is held over a span between
two activities, and windows of time that an activity may not straddle. All times are whole minutes.
"""

from dataclasses import dataclass, field

Window = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity:
    """Something that lasts `minutes` and is never interrupted.

    `modes` are the ways to staff it: for each, the amount of every resource that it occupies, the preferred one first.
    It starts no earlier than `release`.
    """

    key: str
    minutes: int
    modes: tuple[tuple[int, ...], ...]
    release: int = 0

    def __post_init__(self) -> None:
        if self.minutes < 0 or not self.modes:
            raise ValueError(f"{self.key}: an activity lasts no less than 0 min and can be staffed in some way")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lag:
    """`after` starts at least `least`, and at most `most`, minutes after `before` ends (`most` None: no limit)."""

    before: int
    after: int
    least: int = 0
    most: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From the start of `first` to the end of `last`: holds resources meanwhile; may it stand over a break?"""

    first: int
    last: int
    holds: tuple[int, ...]
    overnight: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """This activity does not overlap that span: it ends before the span begins or starts after it ended."""

    activity: int
    span: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Activities are named by their index. Windows None: always at hand; else ascending and not touching.

    `people` is how many of the first resources are groups of people; the others are gear and room.
    Nothing starts before `begin`. `shifts` are the hours in which anyone works (None: all hours), for `overnight`.
    """

    activities: tuple[Activity, ...]
    capacities: tuple[int, ...]
    windows: tuple[tuple[Window, ...] | None, ...] = ()
    lags: tuple[Lag, ...] = ()
    spans: tuple[Span, ...] = ()
    apart: tuple[Apart, ...] = ()
    people: int = 0
    begin: int = 0
    shifts: tuple[Window, ...] | None = None

    def __post_init__(self) -> None:
        if not self.windows:
            object.__setattr__(self, "windows", (None,) * len(self.capacities))
        if len(self.windows) != len(self.capacities):
            raise ValueError("every resource has its windows, or none has any")


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """A start and a mode for every activity, and when the last one ends."""

    starts: tuple[int, ...]
    modes: tuple[int, ...]
    finish: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The best schedule found and what is known of the best possible finish; `schedule` None when none was found.

    `tried` is the number of schedules generated, `nodes` of branch and bound nodes.
    """

    schedule: Schedule | None
    bound: int
    proved: bool
    tried: int = 0
    nodes: int = 0
    reason: str = field(default="")
