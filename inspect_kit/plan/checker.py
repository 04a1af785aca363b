"""A checker of plans: shares no code with the search, looks only at the checklists, the question, and the times.

It walks through the plan as a sceptical foreman would, and says in sentences whatever is wrong.
"""

import itertools
from collections.abc import Iterable, Iterator

from inspect_kit.model.worksheet import CLOSING, OPENING, Step
from inspect_kit.plan.answer import Plan
from inspect_kit.plan.request import Job

FOREVER = 1 << 40


def faults(job: Job, plan: Plan) -> list[str]:
    """Everything that is wrong with a plan; empty when it keeps the checklists, the crew and the hours."""
    checks = {step.check: step for step in plan.steps if step.check}
    opened = {step.panel: step for step in plan.steps if step.step in OPENING}
    closed = {step.panel: step for step in plan.steps if step.step in CLOSING}
    return [
        *_complete(job, plan, checks, opened, closed),
        *_access(job, checks, opened, closed),
        *_panels(job, opened, closed),
        *_phases(job, plan, checks, closed),
        *_runs(job, checks, closed),
        *_owed(job, checks, closed),
        *_lags(job, checks, opened),
        *_people(job, plan),
        *_alone(job, plan, checks),
        *_gear(job, plan, opened, closed),
        *_hours(job, plan, opened, closed),
        *_sums(plan),
    ]


Steps = dict[str, Step]


def _complete(job: Job, plan: Plan, checks: Steps, opened: Steps, closed: Steps) -> Iterator[str]:
    if sorted(checks) != sorted(set(job.chosen)):
        yield "not every check asked for is planned exactly once, and no other"
    if len(plan.steps) != len(checks) + len(opened) + len(closed):
        yield "a step stands twice in the plan"
    for name in sorted(set(opened) & set(job.off)):
        yield f"{name} is off already and is taken off again"
    for name in sorted(set(opened) | set(job.off)):
        if name not in closed:
            yield f"{name} comes off and is not put back"
    for name in sorted(set(closed) - set(opened) - set(job.off)):
        yield f"{name} goes back on and never came off"
    for step in plan.steps:
        expected = job.checks[step.check].minutes if step.check else _minutes(job, step)
        name = step.check or f"{step.step} {step.panel}"
        if step.check and job.checks[step.check].who == "others":
            expected = 0
        elif name in job.minutes:
            expected = job.minutes[name]
        if step.end - step.start != expected:
            yield f"{name} takes {step.end - step.start} min and should take {expected}"


def _minutes(job: Job, step: Step) -> int:
    panel = job.panels[step.panel]
    return (panel.remove if step.step in OPENING else panel.refit) or 0


def _must_be_off(job: Job, names: tuple[str, ...]) -> set[str]:
    """These panels and all in front of them, places passed through."""
    found: set[str] = set()
    waiting = set(names)
    while waiting:
        name = waiting.pop()
        if name in job.panels and name not in found and job.panels[name].retired is None:
            found.add(name)
            waiting.update(job.panels[name].behind)
    return {name for name in found if (job.panels[name].remove, job.panels[name].refit) != (None, None)}


def _off(name: str, opened: Steps, closed: Steps) -> tuple[int, int]:
    """From when until when a panel is wholly off: (end of removal, start of refit)."""
    return (opened[name].end if name in opened else 0, closed[name].start if name in closed else FOREVER)


def _access(job: Job, checks: Steps, opened: Steps, closed: Steps) -> Iterator[str]:
    for name, step in checks.items():
        check = job.checks[name]
        for panel in sorted(_must_be_off(job, (check.panel, *check.with_, *check.closed_except))):
            if panel not in opened and panel not in job.off:
                yield f"{name} needs {panel}, which never comes off"
                continue
            since, until = _off(panel, opened, closed)
            if step.start < since or step.end > until:
                yield f"{name} is done while {panel} is not off"
        for setup in check.not_while:
            if _stands(job, setup, step, opened, closed):
                yield f"{name} is done while {setup} stands"


def _stands(job: Job, setup: str, step: Step, opened: Steps, closed: Steps) -> bool:
    """Whether a setup stands, or is being made or undone, at any minute of a step."""
    if setup not in opened and setup not in job.off:
        return False
    since = opened[setup].start if setup in opened else 0
    until = closed[setup].end if setup in closed else FOREVER
    return step.start < until and since < step.end


def _panels(job: Job, opened: Steps, closed: Steps) -> Iterator[str]:
    for name in sorted({*opened, *closed}):
        for outer in sorted(_must_be_off(job, job.panels[name].behind)):
            since, until = _off(outer, opened, closed)
            if outer not in opened and outer not in job.off:
                yield f"{name} is behind {outer}, which never comes off"
            if (name in opened and opened[name].start < since) or (name in closed and closed[name].end > until):
                yield f"{name} is behind {outer} and moves while that is on"
        for setup in job.panels[name].not_while:
            for step in (moves[name] for moves in (opened, closed) if name in moves):
                if _stands(job, setup, step, opened, closed):
                    yield f"{name} is moved while {setup} stands"


def _phases(job: Job, plan: Plan, checks: Steps, closed: Steps) -> Iterator[str]:
    for name, step in checks.items():
        check = job.checks[name]
        for other in plan.steps if check.when in ("before", "closed") else ():
            phase = job.checks[other.check].when if other.check else "open"
            if check.when == "before" and phase != "before" and other.start < step.end:
                yield f"{name} comes before opening, and {other.check or other.panel} starts before it has ended"
            if check.when == "closed" and phase != "closed" and other.end > step.start:
                yield f"{name} comes when all is closed, and {other.check or other.panel} has not ended"


def _runs(job: Job, checks: Steps, closed: Steps) -> Iterator[str]:
    """A `closed except` check: all but its panels back on, all other open checks ended that do not come after it."""
    earlier = {name: _comes_after(job, name, checks) for name in checks}
    for name, step in checks.items():
        check = job.checks[name]
        if not check.closed_except:
            continue
        allowed = _must_be_off(job, check.closed_except)
        for panel, refit in closed.items():
            if panel not in allowed and refit.end > step.start:
                yield f"{name} is done while {panel} is not back on"
        later = {name, *_must_be_off(job, (check.panel, *check.with_, *check.closed_except))}
        for _ in checks:
            later |= {other for other in checks if later & earlier[other]}
        for other, before in checks.items():
            noun = job.checks[other]
            if noun.when == "open" and not noun.closed_except and other not in later and before.end > step.start:
                yield f"{name} is done before {other} has ended"


def _comes_after(job: Job, name: str, checks: Steps) -> set[str]:
    """The checks, and the panels put back, that come before a check."""
    check = job.checks[name]
    lags = {lag.check for lag in (check.wait, check.within) if lag is not None}
    return {*check.after, *lags, *(maker for maker, _ in _makers(job, name, checks, job.panels))}


def _makers(job: Job, name: str, checks: Iterable[str], panels: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Of these checks and panels those that make a check owed, with what makes it so."""
    for trigger in job.checks[name].owed_after:
        for other in checks:
            noun = job.checks[other]
            fits = trigger.verb == "installed" and bool(noun.life) and noun.counts_on == trigger.what
            did = trigger.verb == "did" and other == trigger.what
            if other != name and (did or fits or (trigger.verb == "disturbed" and trigger.what in noun.disturbs)):
                yield other, str(trigger)
        for panel in panels:
            if trigger.verb == "disturbed" and trigger.what in job.panels[panel].disturbs:
                yield panel, str(trigger)


def _owed(job: Job, checks: Steps, closed: Steps) -> Iterator[str]:
    """What this work makes owed at once is planned, and starts after it."""
    for name, check in job.checks.items():
        if check.retired is not None or check.first or check.who == "others":
            continue
        for maker, trigger in _makers(job, name, checks, closed):
            if name not in checks:
                yield f"{name} is owed by {maker} (`{trigger}`) and is not planned"
            elif (checks.get(maker) or closed[maker]).end > checks[name].start:
                yield f"{name} is owed by {maker} (`{trigger}`) and starts before that has ended"


def _lags(job: Job, checks: Steps, opened: Steps) -> Iterator[str]:
    for name, step in opened.items():
        wait = job.panels[name].wait
        if wait is not None and wait.check in checks and step.start < checks[wait.check].end + wait.minutes:
            yield f"{name} does not wait {wait.minutes} min after {wait.check}"
    for name, step in checks.items():
        check = job.checks[name]
        for first in check.after:
            if first in checks and checks[first].end > step.start:
                yield f"{name} comes after {first} and starts before that has ended"
        wait = check.wait
        if wait is not None and wait.check in checks and step.start < checks[wait.check].end + wait.minutes:
            yield f"{name} does not wait {wait.minutes} min after {wait.check}"
        if check.within is not None and check.within.check in checks:
            gap = step.start - checks[check.within.check].end
            if not 0 <= gap <= check.within.minutes:
                yield f"{name} starts {gap} min after {check.within.check}, {check.within.minutes} are allowed"


def _people(job: Job, plan: Plan) -> Iterator[str]:
    names = job.people_names()
    inspectors = set(names[: job.crew.inspectors])
    for step in plan.steps:
        what = step.check or f"{step.step} {step.panel}"
        check = job.checks[step.check] if step.check else None
        others = check is not None and check.who == "others"
        wanted = 0 if others else check.people if check else job.panels[step.panel].people
        there = len(set(step.who) & set(names))
        if step.people != wanted or (step.end > step.start and there != wanted) or len(step.who) != len(set(step.who)):
            yield f"{what} takes {wanted} people and has {', '.join(step.who) or 'nobody'}"
        if check and check.who == "inspector" and step.end > step.start and not inspectors & set(step.who):
            yield f"{what} wants an inspector"
    for name in names:
        mine = sorted((step.start, step.end) for step in plan.steps if name in step.who)
        for (start, end), (then, _) in itertools.pairwise(mine):
            if then < end:
                yield f"{name} is in two places at minute {max(start, then)}"


def _alone(job: Job, plan: Plan, checks: Steps) -> Iterator[str]:
    for name, step in checks.items():
        if job.checks[name].alone and step.end > step.start:
            for other in plan.steps:
                overlaps = other.start < step.end and step.start < other.end and other.end > other.start
                if other is not step and overlaps:
                    yield f"{name} is done alone, and {other.check or other.panel} goes on meanwhile"


def _gear(job: Job, plan: Plan, opened: Steps, closed: Steps) -> Iterator[str]:
    uses: list[tuple[str, int, int]] = []
    for name in sorted({*opened, *closed}):
        start = opened[name].start if name in opened else 0
        end = closed[name].end if name in closed else FOREVER
        uses += [(gear, start, end) for gear in job.panels[name].needs]
    for step in plan.steps:
        if step.check:
            uses += [(gear, step.start, step.end) for gear in job.checks[step.check].needs]
    for gear, start, _ in uses:
        held = sum(1 for other, since, until in uses if other == gear and since <= start < until)
        if held > job.gear.get(gear, 0):
            yield f"{held} of the tooling {gear} are held at minute {start}, and there are {job.gear.get(gear, 0)}"


def _hours(job: Job, plan: Plan, opened: Steps, closed: Steps) -> Iterator[str]:
    if not job.shifts:
        return
    names, inspectors = job.people_names(), job.crew.inspectors
    for name in names:
        rank = names.index(name)
        for step in plan.steps:
            if name in step.who:
                minute = step.start
                for shift in job.shifts:
                    helpers = shift.people - shift.inspectors
                    there = rank < shift.inspectors if rank < inspectors else rank - inspectors < helpers
                    if there and shift.start <= minute < shift.end:
                        minute = shift.end
                if minute < step.end:
                    yield f"{step.check or step.panel} runs to {step.end} and {name} is not there from {minute}"
    for name, undo in closed.items():
        if not job.panels[name].overnight:
            minute = opened[name].start if name in opened else 0
            for shift in job.shifts:
                if shift.start <= minute < shift.end:
                    minute = shift.end
            if minute < undo.end:
                yield f"{name} stands over the break at minute {minute}"


def _sums(plan: Plan) -> Iterator[str]:
    if plan.elapsed != max((step.end for step in plan.steps), default=0):
        yield "the elapsed time is not the end of the last step"
    if plan.labour != sum((step.end - step.start) * step.people for step in plan.steps):
        yield "the labour is not the sum of minutes x people"
    if plan.lower_bound > plan.elapsed or plan.proved != (plan.lower_bound == plan.elapsed):
        yield "the bound and the verdict do not agree"
    if list(plan.steps) != sorted(plan.steps, key=lambda step: (step.start, step.end)):
        yield "the steps are not sorted by start, then end"
