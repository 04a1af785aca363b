"""What is asked of a plan: which checks, on which panels, by whom, in which hours; and what is done already."""

from collections.abc import Mapping, Sequence
from dataclasses import field

from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Panel, named
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """Hours at hand, in minutes from the start of the plan, and how many people and inspectors are there."""

    start: int
    end: int
    people: int
    inspectors: int

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end:
            raise ValueError("a shift ends after it starts, and none starts before the plan")
        if not 0 <= self.inspectors <= self.people or not self.people:
            raise ValueError("in a shift there is somebody, and no more inspectors than people")


def worked(shifts: Sequence[Shift], until: int) -> int:
    """How many minutes of working hours lie between the start of the plan and minute `until`; breaks are left out."""
    if not shifts:
        return until
    return sum(max(0, min(until, shift.end) - shift.start) for shift in shifts)


NEWS, WALKING, PANELS = "news", "walking", "panels"
ENDS = (NEWS, WALKING, PANELS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What the order serves besides the shortest time, and what each end is worth against the others, in minutes.

    `ends` are any of `news` (bad news first: each minute later at which the news is known on average counts one),
    `walking` (each change of zone counts `walking` minutes) and `panels` (each hour that a panel is off counts `off`
    minutes). Without any the order stays as the search made it. An end that is not named only decides between orders
    that serve the others alike. `news` are weights by check: how likely, how grave, how long the part takes to come.
    """

    ends: tuple[str, ...] = ()
    walking: int = 2
    off: int = 1
    news: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not set(self.ends) <= set(ENDS):
            raise ValueError(f"an order serves {', '.join(ENDS)} and nothing else")
        if self.walking < 0 or self.off < 0 or any(weight < 0 for weight in self.news.values()):
            raise ValueError("what an end is worth, and the weight of news, are not negative")


# A step of a panel in a sentence.
MOVES = {"remove": "take off", "refit": "put back", "make": "set up", "undo": "take down"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """The whole question. `panels` and `checks` by id; `chosen` the ids of the checks to be done.

    `names` are the people, inspectors first; without them they are called by what they do. `off` are panels off and
    setups standing already, `done` the checks ticked already. `minutes` are better estimates than the checklist's, by
    check, or by panel with its verb (`remove cowl-lower`). Without `shifts` everybody is there at any time.
    """

    panels: Mapping[str, Panel]
    checks: Mapping[str, Check]
    chosen: tuple[str, ...]
    crew: Crew = Crew()
    names: tuple[str, ...] = ()
    gear: Mapping[str, int] = field(default_factory=dict)
    shifts: tuple[Shift, ...] = ()
    off: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    minutes: Mapping[str, int] = field(default_factory=dict)
    wishes: Wishes = Wishes()

    def __post_init__(self) -> None:
        if self.names and len(self.names) < self.crew.people:
            raise ValueError(f"{self.crew.people} people are to work and only {len(self.names)} are named")
        for earlier, later in zip(self.shifts, self.shifts[1:], strict=False):
            if later.start < earlier.end:
                raise ValueError("shifts come one after another")

    def people_names(self) -> tuple[str, ...]:
        """The people by name, inspectors first."""
        if self.names:
            return self.names[: self.crew.people]
        return _numbered("inspector", self.crew.inspectors) + _numbered(
            "helper", self.crew.people - self.crew.inspectors
        )

    def named(self, key: str) -> str:
        """A check, a panel, or the step of one, by its words with the id behind them: `put back Seats (seats)`."""
        verb, _, panel = key.partition(" ")
        if panel in self.panels and verb in MOVES:
            return f"{MOVES[verb]} {self.named(panel)}"
        if key in self.checks:
            return self.checks[key].named
        return named(self.panels[key].name, key) if key in self.panels else key

    def check_minutes(self, check: Check) -> int:
        """How long a check takes; one that others do elsewhere takes none of our time."""
        return 0 if check.who == "others" else self.minutes.get(check.id, check.minutes)

    def panel_minutes(self, panel: Panel, closing: bool) -> int:
        """How long a panel takes to come off (or go back on, when `closing`)."""
        plain = (panel.refit if closing else panel.remove) or 0
        return self.minutes.get(f"{panel.verbs[closing]} {panel.id}", plain)


def _numbered(word: str, amount: int) -> tuple[str, ...]:
    return (word,) if amount == 1 else tuple(f"{word} {number}" for number in range(1, amount + 1))
