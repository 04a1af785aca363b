"""What a plan answers: steps by person and clock, how good it is, what to have ready; or why there can be none."""

from dataclasses import field

from inspect_kit.model.checklist import Part, duration
from inspect_kit.model.worksheet import Step
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class StepCaution:
    """A caution and the step before which it is read: `at` is a check or a panel."""

    at: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """How long a panel is off or a setup stands, in minutes from the start of the plan."""

    panel: str
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """Why there can be no plan, and what would cure it; `about` are the checks and panels concerned."""

    about: tuple[str, ...]
    reason: str
    cure: str

    def __str__(self) -> str:
        return f"{self.reason}; {self.cure}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Steps sorted by start, then end. Minutes count from the start of the plan, breaks included.

    `labour` is the sum of minutes x people, `elapsed` the end of the last step, `lower_bound` what no plan can beat,
    `proved` whether they are equal. `worked` and `worked_bound` are the same in hours at hand, breaks left out.
    `critical` are the places in `steps` of the chain that sets the finish. `others` are checks left to others.
    `schedules` is how many were generated.
    """

    people: int
    inspectors: int
    names: tuple[str, ...]
    checks: tuple[str, ...]
    panels: tuple[str, ...]
    labour: int
    elapsed: int
    lower_bound: int
    proved: bool
    worked: int
    worked_bound: int
    steps: tuple[Step, ...]
    critical: tuple[int, ...]
    bars: tuple[Bar, ...]
    cautions: tuple[StepCaution, ...]
    parts: tuple[Part, ...]
    tools: tuple[str, ...]
    others: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    schedules: int = field(default=0, compare=False)

    @property
    def verdict(self) -> str:
        """How good the plan is, in words."""
        if self.proved:
            return "proved shortest"
        return f"at most {duration(self.worked - self.worked_bound)} could be saved"

    def of_person(self, name: str) -> tuple[Step, ...]:
        """The steps of one person, in order."""
        return tuple(step for step in self.steps if name in step.who)
