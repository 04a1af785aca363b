"""The plan of a job: contradictions first, then the search, then a checker that shares nothing with the search."""

from collections.abc import Iterator
from dataclasses import replace

from inspect_kit.errors import ProgramFault
from inspect_kit.model.checklist import OTHERS, duration
from inspect_kit.model.worksheet import Step
from inspect_kit.plan.access import panels_for
from inspect_kit.plan.answer import Bar, Plan
from inspect_kit.plan.assign import assigned_people, in_time
from inspect_kit.plan.chain import chain
from inspect_kit.plan.checker import faults
from inspect_kit.plan.conflict import conflict
from inspect_kit.plan.contradictions import Contradictions, no_order, unplannable
from inspect_kit.plan.frame import Frame, frame_of
from inspect_kit.plan.ready import cautions_for, parts_for, tools_for
from inspect_kit.plan.request import Job, worked
from inspect_kit.plan.serve import serve
from inspect_kit.plan.steps import BARRIER, JobSteps, work_of
from inspect_kit.scheduling.opened_late import opened_late
from inspect_kit.scheduling.problem import Schedule, Solution
from inspect_kit.scheduling.solve import SCHEDULES, solve


def plan(job: Job, schedules: int = SCHEDULES) -> Plan | Contradictions:
    """The shortest plan that about so many schedules find, or what stands against any plan.

    Raises ProgramFault when the checker finds fault with the plan: it is then not shown.
    """
    if against := unplannable(job):
        return against
    work = work_of(job)
    frame = frame_of(job, work)
    if against := no_order(job, work, frame):
        return against
    answer = solve(frame.problem, schedules)
    if answer.schedule is None:
        return (conflict(job, work, answer, solve),)
    made = _told(job, work, frame, _opened_late(frame, answer, answer.schedule))
    wrong = faults(job, made)
    if wrong:
        raise ProgramFault("the plan contradicts itself: " + "; ".join(wrong[:5]))
    return serve(job, made)


def _opened_late(frame: Frame, answer: Solution, schedule: Schedule) -> Solution:
    """The answer with panels opened after a break, not before, that are wanted only then, if it gets no longer."""
    late = opened_late(frame.problem, schedule, frame.openings)
    return replace(answer, schedule=late, proved=answer.bound == late.makespan)


def _told(job: Job, work: JobSteps, frame: Frame, answer: Solution) -> Plan:
    """The schedule as a plan for people."""
    schedule = answer.schedule
    assert schedule is not None
    zones = {key: job.panels[task.panel].zone for key, task in work.tasks.items() if task.panel in job.panels}
    who = assigned_people(frame, schedule, zones)
    steps, keys = [], []
    for index in in_time(frame, schedule):
        task = work.tasks[frame.keys[index]]
        if task.verb == BARRIER:
            continue
        start = schedule.starts[index]
        steps.append(
            Step(
                step=task.verb,
                panel=task.panel,
                check=task.check,
                start=start,
                end=start + task.minutes,
                people=task.people,
                who=who[task.key],
            )
        )
        keys.append(task.key)
    checks = [job.checks[name] for name in job.chosen]
    return Plan(
        people=job.crew.people,
        inspectors=job.crew.inspectors,
        names=job.people_names(),
        checks=tuple(step.check for step in steps if step.check),
        panels=panels_for(job.panels, checks, job.off),
        labour=sum((step.end - step.start) * step.people for step in steps),
        elapsed=schedule.makespan,
        lower_bound=answer.bound,
        proved=answer.proved,
        worked=worked(job.shifts, schedule.makespan),
        worked_bound=worked(job.shifts, answer.bound),
        steps=tuple(steps),
        critical=chain(work, steps, keys),
        bars=_bars(job, steps, schedule.makespan),
        cautions=cautions_for(job, steps),
        parts=parts_for(job, steps),
        tools=tools_for(job, steps),
        others=tuple(check.id for check in checks if check.who == OTHERS),
        notes=_notes(job),
        schedules=answer.tried,
    )


def _bars(job: Job, steps: list[Step], finish: int) -> tuple[Bar, ...]:
    """How long every panel is off, by when it comes off."""
    off: dict[str, int] = dict.fromkeys(job.off, 0)
    bars: list[Bar] = []
    for step in steps:
        if step.step in ("remove", "make"):
            off[step.panel] = step.start
        elif step.step in ("refit", "undo"):
            bars.append(Bar(panel=step.panel, start=off.pop(step.panel, 0), end=step.end))
    return tuple(sorted(bars, key=lambda bar: (bar.start, bar.end, bar.panel)))


def _notes(job: Job) -> tuple[str, ...]:
    """What the plan cannot know: how long ago a check was ticked that another one must soon follow, and that one which
    is none of this plan is to be done before it: an engine is run warm.
    """
    notes = [*_before_it(job)]
    for name in job.chosen:
        check = job.checks[name]
        if check.within is not None and check.within.check in job.done:
            notes.append(
                f"{check.named} must start within {duration(check.within.minutes)} of {job.named(check.within.check)}, "
                "which is done already; "
                "do that one again if it is longer ago"
            )
        if check.wait is not None and check.wait.check in job.done:
            notes.append(
                f"{check.named} must wait until {duration(check.wait.minutes)} after {job.named(check.wait.check)}, "
                "which is done already: the plan waits for it no more, so see that this time has passed"
            )
    return tuple(notes)


def _before_it(job: Job) -> Iterator[str]:
    """What must be done shortly before the plan begins, as a check of it follows that closely and it is none of it."""
    near: dict[str, dict[str, list[str]]] = {}
    checks = [job.checks[name] for name in job.chosen]
    for check in checks:
        if check.within is not None and check.within.check not in (*job.chosen, *job.done):
            when = f"within {duration(check.within.minutes)}"
            near.setdefault(check.within.check, {}).setdefault(when, []).append(check.named)
    for check in checks:
        if check.wait is not None and check.wait.check in near:
            when = f"not within {duration(check.wait.minutes)}"
            near[check.wait.check].setdefault(when, []).append(check.named)
    for first, told in near.items():
        known = job.checks.get(first)
        cautions = ", with its cautions" if known is not None and known.cautions else ""
        then = "; ".join(f"{when}: {' and '.join(names)}" for when, names in told.items())
        yield f"First, outside this plan: {job.named(first)}{cautions}; after it {then}"
