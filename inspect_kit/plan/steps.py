"""The steps of a job and what ties them: which come first, how soon, and what stands meanwhile. No people yet."""

import itertools
from collections.abc import Iterator, Mapping, Sequence

from inspect_kit.model.checklist import BEFORE, CLOSED, INSPECTOR, OPEN, OTHERS, Check, Panel, duration
from inspect_kit.model.owed import at_once
from inspect_kit.noun import dataclass
from inspect_kit.plan.access import behind, opens, panels_for
from inspect_kit.plan.owed import owed_after
from inspect_kit.plan.request import Job

CHECK, BARRIER = "check", "barrier"
STANDING, OPENING, CLOSING = "(what stands already)", "(before opening)", "(all closed)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A step before it has a time. `verb` is check, remove, refit, make, undo, or barrier (which takes no time)."""

    key: str
    verb: str
    panel: str = ""
    check: str | None = None
    minutes: int = 0
    people: int = 0
    inspectors: int = 0
    alone: bool = False
    gear: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """`after` starts `least` to `most` minutes after `before` ends; `why` is the rule in trade words."""

    before: str
    after: str
    least: int = 0
    most: int | None = None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """From the start of `first` to the end of `last` this panel is off or this setup stands, with its gear held."""

    panel: str
    first: str
    last: str
    gear: tuple[str, ...] = ()
    overnight: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class JobSteps:
    """All steps of a job by key, their ties, what stands, and (step, setup) pairs that must not overlap."""

    tasks: Mapping[str, Task]
    ties: tuple[Tie, ...]
    stands: tuple[Stand, ...]
    apart: tuple[tuple[str, str], ...] = ()


def work_of(job: Job) -> JobSteps:
    """The steps and ties of a job whose ids are all known."""
    checks = [job.checks[name] for name in sorted(set(job.chosen))]
    panels = [job.panels[name] for name in panels_for(job.panels, checks, job.off)]
    tasks = [*_panel_tasks(job, panels), *(_check_task(job, check) for check in checks)]
    keys = {task.key for task in tasks}
    ties = [
        tie for tie in (*_panel_ties(job, panels), *_check_ties(job, checks, panels)) if {tie.before, tie.after} <= keys
    ]
    ties += _owed_ties(job, checks, ties)
    ties += _last_ties(checks, ties)
    barriers = [Task(key=key, verb=BARRIER) for key in _barriers(checks, job, panels)]
    ties += _barrier_ties([*tasks, *barriers], checks, ties)
    stands = tuple(
        Stand(
            panel=panel.id,
            first=opening(panel) if opening(panel) in keys else STANDING,
            last=closing_step(panel),
            gear=panel.needs,
            overnight=panel.overnight,
        )
        for panel in panels
    )
    opened = {panel.id for panel in panels}
    kept_apart = [(check.id, check.not_while) for check in checks]
    kept_apart += [(move(panel), panel.not_while) for panel in panels for move in (opening, closing_step)]
    apart = tuple((key, setup) for key, setups in kept_apart for setup in setups if setup in opened and key in keys)
    return JobSteps(
        tasks={task.key: task for task in (*barriers, *tasks)},
        ties=tuple(dict.fromkeys(ties)),
        stands=stands,
        apart=apart,
    )


def opening(panel: Panel) -> str:
    """The key of the step that takes a panel off or makes a setup."""
    return f"{panel.verbs[0]} {panel.id}"


def closing_step(panel: Panel) -> str:
    """The key of the step that puts a panel back on or undoes a setup."""
    return f"{panel.verbs[1]} {panel.id}"


def _panel_tasks(job: Job, panels: Sequence[Panel]) -> Iterator[Task]:
    for panel in panels:
        for last in (False, True):
            if last or panel.id not in job.off:
                yield Task(
                    key=closing_step(panel) if last else opening(panel),
                    verb=panel.verbs[last],
                    panel=panel.id,
                    minutes=job.panel_minutes(panel, last),
                    people=panel.people,
                )


def _check_task(job: Job, check: Check) -> Task:
    ours = check.who != OTHERS
    return Task(
        key=check.id,
        verb=CHECK,
        panel=check.panel,
        check=check.id,
        minutes=job.check_minutes(check),
        people=check.people if ours else 0,
        inspectors=int(check.who == INSPECTOR),
        alone=check.alone and ours,
        gear=check.needs if ours else (),
    )


def _direct(job: Job, ids: Sequence[str]) -> Iterator[Panel]:
    """The panels of these ids that open; a place stands for what it is behind."""
    for name in dict.fromkeys(ids):
        panel = job.panels.get(name)
        if panel is not None and panel.retired is None:
            if opens(panel):
                yield panel
            else:
                yield from _direct(job, panel.behind)


def _panel_ties(job: Job, panels: Sequence[Panel]) -> Iterator[Tie]:
    for panel in panels:
        yield Tie(before=opening(panel), after=closing_step(panel), why="it goes back after it came off")
        if panel.wait is not None:
            why = f"{job.named(panel.id)} waits {duration(panel.wait.minutes)} after {job.named(panel.wait.check)}"
            yield Tie(before=panel.wait.check, after=opening(panel), least=panel.wait.minutes, why=why)
        for outer in _direct(job, panel.behind):
            why = f"{job.named(panel.id)} is behind {job.named(outer.id)}"
            yield Tie(before=opening(outer), after=opening(panel), why=why)
            yield Tie(before=closing_step(panel), after=closing_step(outer), why=why)


def _check_ties(job: Job, checks: Sequence[Check], panels: Sequence[Panel]) -> Iterator[Tie]:
    for check in checks:
        for panel in _direct(job, (check.panel, *check.with_, *check.closed_except)):
            why = f"{check.named} needs {job.named(panel.id)} {'standing' if panel.verbs[0] == 'make' else 'off'}"
            yield Tie(before=opening(panel), after=check.id, why=why)
            yield Tie(before=check.id, after=closing_step(panel), why=why)
        if check.closed_except:
            still_off = set(behind(job.panels, check.closed_except))
            for panel in panels:
                if panel.id not in still_off:
                    why = f"{check.named} wants all closed except {', '.join(map(job.named, check.closed_except))}"
                    yield Tie(before=closing_step(panel), after=check.id, why=why)
        for first in check.after:
            yield Tie(before=first, after=check.id, why=f"{check.named} comes after {job.named(first)}")
        if check.wait is not None:
            why = f"{check.named} waits {duration(check.wait.minutes)} after {job.named(check.wait.check)}"
            yield Tie(before=check.wait.check, after=check.id, least=check.wait.minutes, why=why)
        if check.within is not None:
            why = f"{check.named} starts within {duration(check.within.minutes)} of {job.named(check.within.check)}"
            yield Tie(before=check.within.check, after=check.id, most=check.within.minutes, why=why)


def _owed_ties(job: Job, checks: Sequence[Check], ties: Sequence[Tie]) -> Iterator[Tie]:
    """An owed check starts after whatever made it owed: the checks, and the panels and setups once they are back.

    What is owed some hours later is done after it too, unless the other ties or the phases have it before.
    """
    chosen = {check.id: check for check in checks}
    phases = {BEFORE: 0, OPEN: 1, CLOSED: 2}
    following = _graph(ties)
    for name, why in owed_after(job, tuple(chosen)).items():
        if name not in chosen:
            continue
        led_to = _reached(following, name)
        for cause in why:
            before = cause.by if cause.by in chosen else closing_step(job.panels[cause.by])
            phase = phases[chosen[before].when if before in chosen else OPEN]
            if at_once(chosen[name]) or (before not in led_to and phase <= phases[chosen[name].when]):
                yield Tie(before=before, after=name, why=f"{job.named(name)} is owed after {cause.words(job.named)}")


def _last_ties(checks: Sequence[Check], ties: Sequence[Tie]) -> Iterator[Tie]:
    """A `closed except` check starts when every other open check has ended, except those that come after it.

    Only the last of them are tied, and none that the ties have before it already.
    """
    runs = [check for check in checks if check.closed_except]
    if not runs:
        return
    following, preceding = _graph(ties), _graph(ties, backwards=True)
    others = {
        check.id: _reached(following, check.id) for check in checks if check.when == OPEN and not check.closed_except
    }
    for run in runs:
        later, earlier = _reached(following, run.id), _reached(preceding, run.id)
        for name in sorted(others, key=lambda name: (len(others[name]), name)):
            if name not in later and name not in earlier:
                earlier |= {name, *_reached(preceding, name)}
                yield Tie(before=name, after=run.id, why=f"{run.named} starts when every other open check has ended")


def _graph(ties: Sequence[Tie], *, backwards: bool = False) -> Mapping[str, Sequence[str]]:
    """The steps right after each step, or right before it."""
    found: dict[str, list[str]] = {}
    for tie in ties:
        before, after = (tie.after, tie.before) if backwards else (tie.before, tie.after)
        found.setdefault(before, []).append(after)
    return found


def _reached(graph: Mapping[str, Sequence[str]], start: str) -> set[str]:
    """All steps that a graph leads to from one."""
    seen: set[str] = set()
    waiting = [start]
    while waiting:
        for name in graph.get(waiting.pop(), ()):
            if name not in seen:
                seen.add(name)
                waiting.append(name)
    return seen


def _barriers(checks: Sequence[Check], job: Job, panels: Sequence[Panel]) -> Iterator[str]:
    if any(panel.id in job.off for panel in panels):
        yield STANDING
    if any(check.when == BEFORE for check in checks):
        yield OPENING
    if any(check.when == CLOSED for check in checks):
        yield CLOSING


def _barrier_ties(tasks: Sequence[Task], checks: Sequence[Check], ties: Sequence[Tie]) -> Iterator[Tie]:
    """The three phases one wholly after another: only firsts and lasts of a phase are tied, the rest follows."""
    barriers = {task.key for task in tasks if task.verb == BARRIER}
    when = {check.id: check.when for check in checks}
    phases = [
        {STANDING} & barriers,
        {name for name in when if when[name] == BEFORE},
        {OPENING} & barriers,
        {task.key for task in tasks if task.verb != BARRIER and when.get(task.key) not in (BEFORE, CLOSED)},
        {CLOSING} & barriers,
        {name for name in when if when[name] == CLOSED},
    ]
    filled = [phase for phase in phases if phase]
    for _place, (phase, following) in enumerate(itertools.pairwise(filled)):
        if not (phase | following) & barriers:
            continue
        lasts = phase - {tie.before for tie in ties if tie.after in phase}
        firsts = following - {tie.after for tie in ties if tie.before in following}
        # A circle inside a phase has no first and no last; it is found and named elsewhere.
        for before in sorted(lasts or phase):
            for after in sorted(firsts or following):
                yield Tie(before=before, after=after, why=_phase_reason(before, after))


def _phase_reason(before: str, after: str) -> str:
    if STANDING in (before, after):
        return "it stands already"
    if OPENING in (before, after):
        return "every check before opening comes before anything else"
    return "the closed checks come when all is back on"
