"""Why a step is in a plan, and why it stands where it stands."""

from collections.abc import Iterator

from inspect_kit.model.worksheet import Step
from inspect_kit.noun import dataclass
from inspect_kit.plan.access import panels_for_check
from inspect_kit.plan.answer import Plan
from inspect_kit.plan.reordered import key_of
from inspect_kit.plan.request import Job
from inspect_kit.plan.steps import BARRIER, JobSteps, Tie, work_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """Of a check or a panel: its steps, what it is needed for or needs, and what each step waits for.

    `needs` are panels by what must be off or stand for a check, `serves` the checks that need a panel, `inner` the
    panels behind it that come off as well. `held` are pairs of a step and the reason why it does not start earlier.
    """

    name: str
    steps: tuple[Step, ...]
    needs: tuple[str, ...] = ()
    serves: tuple[str, ...] = ()
    inner: tuple[str, ...] = ()
    held: tuple[tuple[Step, str], ...] = ()


def why(job: Job, plan: Plan, name: str) -> Why | None:
    """The reasons of a check or a panel; None when it is not in the plan."""
    steps = tuple(step for step in plan.steps if name in (step.check, None if step.check else step.panel))
    if not steps:
        return None
    work = work_of(job)
    held = tuple((step, _held(work, plan, step)) for step in steps)
    if name in job.checks:
        return Why(name=name, steps=steps, needs=panels_for_check(job.panels, job.checks[name]), held=held)
    serves = [check for check in plan.checks if name in panels_for_check(job.panels, job.checks[check])]
    inner = [panel for panel in plan.panels if name in job.panels[panel].behind]
    return Why(name=name, steps=steps, serves=tuple(serves), inner=tuple(inner), held=held)


def _key(step: Step) -> str:
    return key_of(step.check, step.step, step.panel)


def _held(work: JobSteps, plan: Plan, step: Step) -> str:
    """What keeps a step from starting earlier: a rule that has just been met, or the people it takes."""
    if not step.start:
        return "nothing comes before it"
    by_key = {_key(each): each for each in plan.steps}
    for tie in sorted(_ties_to(work, _key(step)), key=lambda tie: (tie.before, tie.after)):
        before = by_key.get(tie.before)
        if before is not None and before.end + tie.least == step.start:
            return f"not before, because {tie.why}"
    busy = [each for each in plan.steps if each.end == step.start and set(each.who) & set(step.who)]
    if busy:
        names = " and ".join(name for name in step.who if name in busy[0].who)
        return f"until then {names} {'are' if ' and ' in names else 'is'} at {_key(busy[0])}"
    ended = [each for each in plan.steps if each.end == step.start]
    if ended:
        return f"it follows {_key(ended[0])}"
    return "it fits here without making anything later"


def _ties_to(work: JobSteps, key: str) -> Iterator[Tie]:
    """The ties that lead to a step; those through a barrier are led back to the steps before it."""
    for tie in work.ties:
        if tie.after != key:
            continue
        if work.tasks[tie.before].verb != BARRIER:
            yield tie
            continue
        for other in work.ties:
            if other.after == tie.before:
                yield Tie(before=other.before, after=key, least=other.least, why=tie.why)
