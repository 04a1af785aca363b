"""What a job makes owed by its own work: taken in at once, or said for later."""

from collections.abc import Mapping, Sequence
from dataclasses import field, replace

from inspect_kit.model.checklist import OTHERS
from inspect_kit.model.owed import Cause, at_once, deeds, owed_by
from inspect_kit.noun import dataclass
from inspect_kit.plan.access import panels_for
from inspect_kit.plan.request import Job

Why = Mapping[str, tuple[Cause, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwedHere:
    """The checks that the work of a job makes owed, each with what it is owed after.

    `taken` are done in the job itself; `later` come some hours or days after it; `others` are for others to do.
    """

    taken: Why = field(default_factory=dict)
    later: Why = field(default_factory=dict)
    others: Why = field(default_factory=dict)


def owed_here(job: Job) -> OwedHere:
    """What the chosen checks, the panels they move and what is off already make owed, and what that makes owed."""
    chosen = list(job.chosen)
    while more := [name for name in owed_after(job, chosen) if name not in chosen and at_once(job.checks[name])]:
        chosen += more
    found = owed_after(job, chosen)
    rest = {name: why for name, why in found.items() if name not in chosen}
    return OwedHere(
        taken={name: why for name, why in found.items() if name in chosen[len(job.chosen) :]},
        later={name: why for name, why in rest.items() if job.checks[name].who != OTHERS},
        others={name: why for name, why in rest.items() if job.checks[name].who == OTHERS},
    )


def with_owed(job: Job) -> Job:
    """The job with everything that its own work makes owed at once."""
    return replace(job, chosen=(*job.chosen, *owed_here(job).taken))


def owed_after(job: Job, chosen: Sequence[str]) -> Why:
    """Every check that is owed after these are done and the panels for them are back on, with what it is owed after."""
    known = [name for name in chosen if name in job.checks]
    closed = panels_for(job.panels, [job.checks[name] for name in known], job.off)
    return owed_by(job.checks, deeds(job.checks, job.panels, did=known, closed=closed, renews=True))
