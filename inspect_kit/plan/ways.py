"""What each way to order a plan costs: when the news is known, how much walking, how long panels are off."""

from dataclasses import replace
from itertools import pairwise

from inspect_kit.noun import dataclass
from inspect_kit.plan.answer import Plan
from inspect_kit.plan.request import ENDS, Job, worked
from inspect_kit.plan.serve import STEPS, serve


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One order of a plan and what comes of it. `ends` are those it serves (none: as the search left it).

    `half_known`: minutes from the start, breaks included, until checks with half of all news weight have ended;
    `half_worked` the same in hours at hand; None where no news is likely anywhere. `changes` are the changes of zone
    of all people, `off` the minutes that panels are off and setups stand, one by one and breaks left out.
    """

    ends: tuple[str, ...]
    half_known: int | None
    half_worked: int | None
    changes: int
    off: int
    plan: Plan


def way_of(job: Job, plan: Plan) -> Way:
    """What comes of this order of the plan."""
    half = half_known(job, plan)
    return Way(
        ends=job.wishes.ends,
        half_known=half,
        half_worked=None if half is None else worked(job.shifts, half),
        changes=changes_of_zone(job, plan),
        off=sum(worked(job.shifts, bar.end) - worked(job.shifts, bar.start) for bar in plan.bars),
        plan=plan,
    )


def ways_to_serve(job: Job, plan: Plan, steps: int = STEPS // 3) -> tuple[Way, ...]:
    """The plan as it is, under the ends of the job, and beside it each single end served alone.

    All have the same elapsed time. An end that the job's wishes already serve alone is not repeated.
    """
    found = [way_of(job, plan)]
    for end in ENDS:
        if job.wishes.ends != (end,):
            other = replace(job, wishes=replace(job.wishes, ends=(end,)))
            found.append(way_of(other, serve(other, plan, steps)))
    return tuple(found)


def half_known(job: Job, plan: Plan) -> int | None:
    """The minute at which checks with half of the news weight have ended; None where there is no such weight."""
    weights = sorted((step.end, job.wishes.news.get(step.check, 0.0)) for step in plan.steps if step.check)
    total = sum(weight for _, weight in weights)
    known = 0.0
    for end, weight in weights:
        known += weight
        if total and known >= total / 2:
            return end
    return None


def changes_of_zone(job: Job, plan: Plan) -> int:
    """How often anybody goes from one zone to another between two steps."""
    changes = 0
    for name in plan.names:
        zones = [job.panels[step.panel].zone for step in plan.of_person(name) if step.end > step.start]
        changes += sum(here != there for here, there in pairwise(zones))
    return changes
