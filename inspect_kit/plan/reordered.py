"""A plan with its steps at other times: the steps that set the finish, panels off, tools and cautions anew."""

from collections.abc import Mapping
from dataclasses import replace

from inspect_kit.plan.answer import Bar, Plan
from inspect_kit.plan.chain import chain
from inspect_kit.plan.ready import cautions_for, tools_for
from inspect_kit.plan.request import Job
from inspect_kit.plan.steps import CHECK, JobSteps


def key_of(check: str | None, verb: str, panel: str) -> str:
    """The key of a step among the tasks of its work."""
    return check or f"{verb} {panel}"


def reordered(
    job: Job,
    work: JobSteps,
    plan: Plan,
    starts: Mapping[str, int],
    teams: Mapping[str, tuple[str, ...]],
    order: Mapping[str, int],
) -> Plan:
    """The plan with these starts and teams by step; `order` decides among steps with the same start and end."""
    told = []
    for step in plan.steps:
        key = key_of(step.check, step.step, step.panel)
        start = starts[key]
        told.append((replace(step, start=start, end=start + step.end - step.start, who=teams[key]), key))
    told.sort(key=lambda pair: (pair[0].start, pair[0].end, order[pair[1]]))
    steps = tuple(step for step, _ in told)
    off = dict.fromkeys(job.off, 0)
    off |= {step.panel: step.start for step in steps if step.step in ("remove", "make")}
    bars = [Bar(panel=s.panel, start=off.get(s.panel, 0), end=s.end) for s in steps if s.step in ("refit", "undo")]
    return replace(
        plan,
        checks=tuple(step.check for step in steps if step.step == CHECK and step.check),
        steps=steps,
        critical=chain(work, steps, [key for _, key in told]),
        bars=tuple(sorted(bars, key=lambda bar: (bar.start, bar.end, bar.panel))),
        cautions=cautions_for(job, steps),
        tools=tools_for(job, steps),
    )
