"""The optimum of small inspections, of single phases and of a few sessions, against OR-Tools CP-SAT.

Source of the reference: OR-Tools 9.15, constraint solver CP-SAT (`ortools.sat.python.cp_model`), one plain model built
below from the checklist's own nouns; it shares no code with the search. At 15 panels and 45 checks it needs
`use_overload_checker_in_cumulative`, `linearization_level = 2` and the bound by work as a constraint of each phase;
with `use_timetable_edge_finding_in_cumulative` it was seen to prove far more of them in the same effort. One worker,
a fixed seed, and effort in the solver's own deterministic time: every machine with that version asks alike.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise

import pytest
from ortools.sat.python import cp_model

from inspect_kit.model.checklist import BEFORE, CLOSED, INSPECTOR, OPEN, OTHERS, SETUP, Check
from inspect_kit.plan import Job, Plan, Shift, plan
from tests.plan.instances import FAMILIES, job_of

PHASES = (BEFORE, OPEN, CLOSED)
EFFORT = 1.0

FAMILY = {family.name: family for family in FAMILIES}
WHOLE = "all phases"
TWELVE = "open phase of 12 panels"
SESSIONS = "in sessions, never overnight on jacks"
JACKS = "three setups on one pair of jacks"
INSTANCES = (
    # Of the first seeds those of which the solver proves most in this effort.
    *((name, seed, WHOLE) for name, first in (("2 people, small", 2), ("3 people, small", 1)) for seed in (first, 3)),
    *((name, 5, TWELVE) for name in ("2 people", "3 people", "1 inspector, 1 helper")),
    *((name, seed, JACKS) for name in ("2 people", "3 people, scarce gear") for seed in (5,)),
    *((name, seed, SESSIONS) for name in ("2 people", "3 people") for seed in (0, 1)),
    *((name, 0, SESSIONS) for name in ("1 person", "1 inspector, 1 helper")),
    *((name, seed, phase) for name in ("2 people", "3 people") for seed in (1, 2) for phase in (BEFORE, CLOSED)),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A step of the reference: when it starts and ends, which is asked; what it takes, and its phase."""

    start: cp_model.IntVar
    end: cp_model.LinearExpr
    interval: cp_model.IntervalVar
    minutes: int
    people: int
    inspector: bool
    alone: bool
    phase: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    """What the solver is asked: the steps by what they do, and the end of all."""

    model: cp_model.CpModel
    steps: dict[str, Step]
    finish: cp_model.IntVar


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What the solver answers: the shortest it found (None: nothing yet) and what none can be shorter than."""

    shortest: int | None
    bound: int

    @property
    def proved(self) -> bool:
        return self.shortest == self.bound


def reached(job: Job, names: Iterable[str]) -> set[str]:
    """All that is off (or stands) when these are: themselves and what they are behind; places only pass it on."""
    found: set[str] = set()
    for name in names:
        panel = job.panels[name]
        found |= reached(job, panel.behind)
        if panel.remove is not None or panel.refit is not None:
            found.add(name)
    return found


def wanted(job: Job, check: Check) -> set[str]:
    return reached(job, (check.panel, *check.with_, *check.closed_except))


def followers(checks: Iterable[Check], name: str) -> set[str]:
    """The checks that come after one, however far."""
    found = {name}
    known = list(checks)
    for _ in known:
        for check in known:
            before = {*check.after, *(each.check for each in (check.wait, check.within) if each)}
            if before & found:
                found.add(check.id)
    return found


def reference_of(job: Job) -> Reference:
    """The job as the solver's model: with nothing done or off already, and the whole crew in every session."""
    assert not any((job.off, job.done, job.minutes))
    assert all((each.people, each.inspectors) == (job.crew.people, job.crew.inspectors) for each in job.shifts)
    model = cp_model.CpModel()
    checks = [job.checks[name] for name in job.chosen]
    panels = [job.panels[name] for name in sorted(set().union(*(wanted(job, check) for check in checks)))]
    horizon = sum(check.minutes for check in checks) + sum((each.remove or 0) + (each.refit or 0) for each in panels)
    horizon += sum(check.wait.minutes for check in checks if check.wait)
    hours = [(each.start, each.end) for each in job.shifts] or [(0, horizon)]
    horizon = hours[-1][1]

    def step(name: str, minutes: int, people: int, *, phase: str, inspector: bool = False, alone: bool = False) -> Step:
        # No step is split over a break.
        fitting = [[since, until - minutes] for since, until in hours if until - since >= minutes]
        start = model.new_int_var_from_domain(cp_model.Domain.from_intervals(fitting), name)
        return Step(
            start=start,
            end=start + minutes,
            interval=model.new_fixed_size_interval_var(start, minutes, name),
            minutes=minutes,
            people=people,
            inspector=inspector,
            alone=alone,
            phase=phase,
        )

    off, on = {}, {}
    for each in panels:
        opens, closes = ("make", "undo") if each.kind == SETUP else ("remove", "refit")
        off[each.id] = step(f"{opens} {each.id}", each.remove or 0, each.people, phase=OPEN)
        on[each.id] = step(f"{closes} {each.id}", each.refit or 0, each.people, phase=OPEN)
    done = {
        check.id: step(
            check.id,
            0 if check.who == OTHERS else check.minutes,
            0 if check.who == OTHERS else check.people,
            phase=check.when,
            inspector=check.who == INSPECTOR,
            alone=check.alone and check.who != OTHERS,
        )
        for check in checks
    }

    for each in panels:
        model.add(on[each.id].start >= off[each.id].end)
        for outer in sorted(reached(job, each.behind)):
            model.add(off[each.id].start >= off[outer].end)
            model.add(on[outer].start >= on[each.id].end)
        if not each.overnight:
            within = [model.new_bool_var(f"{each.id} stands within hours from {since}") for since, _ in hours]
            model.add_exactly_one(within)
            for chosen, (since, until) in zip(within, hours, strict=True):
                model.add(off[each.id].start >= since).only_enforce_if(chosen)
                model.add(on[each.id].end <= until).only_enforce_if(chosen)
    for check in checks:
        mine = done[check.id]
        for name in sorted(wanted(job, check)):
            model.add(mine.start >= off[name].end)
            model.add(on[name].start >= mine.end)
        if check.closed_except:
            for name in sorted(set(on) - reached(job, check.closed_except)):
                model.add(mine.start >= on[name].end)
            later = followers(checks, check.id)
            for other in checks:
                if other.when == OPEN and not other.closed_except and other.id not in later:
                    model.add(mine.start >= done[other.id].end)
        for name in check.after:
            if name in done:
                model.add(mine.start >= done[name].end)
        if check.wait and check.wait.check in done:
            model.add(mine.start >= done[check.wait.check].end + check.wait.minutes)
        if check.within and check.within.check in done:
            model.add(mine.start >= done[check.within.check].end)
            model.add(mine.start <= done[check.within.check].end + check.within.minutes)
        for setup in check.not_while:
            if setup in off:
                earlier = model.new_bool_var(f"{check.id} before {setup}")
                model.add(mine.end <= off[setup].start).only_enforce_if(earlier)
                model.add(mine.start >= on[setup].end).only_enforce_if(~earlier)

    steps = {each.interval.name: each for each in (*off.values(), *on.values(), *done.values())}
    finish = model.new_int_var(0, horizon, "finish")
    _people(job, model, steps.values())
    _gear(job, model, done, off, on, horizon)
    _phases(job, model, steps.values(), finish, horizon)
    model.minimize(finish)
    return Reference(model=model, steps=steps, finish=finish)


def _people(job: Job, model: cp_model.CpModel, steps: Iterable[Step]) -> None:
    """Nobody is in two places, an inspector's check has one, and beside a check done alone nobody does anything."""
    crew = job.crew
    busy = [each for each in steps if each.people and each.minutes]
    breaks = [
        model.new_fixed_size_interval_var(earlier.end, later.start - earlier.end, "break")
        for earlier, later in pairwise(job.shifts)
    ]
    model.add_cumulative(
        [each.interval for each in busy] + breaks,
        [crew.people if each.alone else each.people for each in busy] + [crew.people] * len(breaks),
        crew.people,
    )
    helpers = crew.people - crew.inspectors
    if helpers:
        # Who is of which kind is chosen for a whole step, so how many there are in all is not enough.
        inspecting = [
            model.new_int_var(max(int(each.inspector), each.people - helpers), min(each.people, crew.inspectors), "")
            for each in busy
        ]
        helping = [each.people - number for each, number in zip(busy, inspecting, strict=True)]
        model.add_cumulative([each.interval for each in busy], inspecting, crew.inspectors)
        model.add_cumulative([each.interval for each in busy], helping, helpers)


def _gear(
    job: Job,
    model: cp_model.CpModel,
    done: Mapping[str, Step],
    off: Mapping[str, Step],
    on: Mapping[str, Step],
    horizon: int,
) -> None:
    """A check holds its gear while it lasts; a panel or setup from the start of opening to the end of closing."""
    held: dict[str, list[cp_model.IntervalVar]] = {}
    for name, each in done.items():
        if job.checks[name].who != OTHERS and each.minutes:
            for gear in job.checks[name].needs:
                held.setdefault(gear, []).append(each.interval)
    for name in off:
        for gear in job.panels[name].needs:
            size = model.new_int_var(0, horizon, f"{name} stands")
            held.setdefault(gear, []).append(
                model.new_interval_var(off[name].start, size, on[name].end, f"{name} holds {gear}")
            )
    for gear, intervals in held.items():
        model.add_cumulative(intervals, [1] * len(intervals), job.gear.get(gear, 0))


def _phases(job: Job, model: cp_model.CpModel, steps: Iterable[Step], finish: cp_model.IntVar, horizon: int) -> None:
    """One phase wholly after another, and none shorter than its work by everybody, or its inspectors' by them."""
    crew = job.crew
    limits: list[cp_model.LinearExprT] = [0, *(model.new_int_var(0, horizon, "") for _ in PHASES[1:]), finish]
    for phase, (begin, end) in zip(PHASES, pairwise(limits), strict=True):
        mine = [each for each in steps if each.phase == phase]
        for each in mine:
            model.add(each.start >= begin)
            model.add(each.end <= end)
        work = sum(each.minutes * (crew.people if each.alone else each.people) for each in mine)
        model.add(crew.people * (end - begin) >= work)
        inspectors_work = sum(each.minutes for each in mine if each.inspector)
        model.add(crew.inspectors * (end - begin) >= inspectors_work)


def solved(reference: Reference, effort: float = EFFORT, workers: int = 1) -> Verdict:
    solver = cp_model.CpSolver()
    settings = solver.parameters
    settings.num_workers = workers
    settings.interleave_search = workers > 1
    settings.random_seed = 1
    settings.max_deterministic_time = effort
    settings.use_overload_checker_in_cumulative = True
    settings.use_timetable_edge_finding_in_cumulative = True
    settings.linearization_level = 2
    status = solver.solve(reference.model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.UNKNOWN), solver.status_name(status)
    return Verdict(
        shortest=None if status == cp_model.UNKNOWN else solver.value(reference.finish),
        bound=round(solver.best_objective_bound),
    )


def in_sessions(job: Job) -> Job:
    crew, day = job.crew, 24 * 60
    return replace(
        job,
        panels={name: replace(panel, overnight=not panel.needs) for name, panel in job.panels.items()},
        shifts=tuple(
            Shift(start=number * day, end=number * day + 240, people=crew.people, inspectors=crew.inspectors)
            for number in range(6)
        ),
    )


SMALLER = {TWELVE: (18, 50), JACKS: (18, 50), SESSIONS: (11, 30)}


def job_for(name: str, seed: int, part: str) -> Job:
    """An invented inspection, whole or in sessions, or one phase; of the open phase 12 panels, or what is on jacks."""
    family = FAMILY[name]
    panels, checks = SMALLER.get(part, (family.panels, family.checks))
    job = job_of(replace(family, panels=panels, checks=checks), seed)
    if part == SESSIONS:
        return in_sessions(job)
    twelve = list(job.panels)[6:18]
    chosen = {
        WHOLE: job.chosen,
        TWELVE: [each.id for each in job.checks.values() if each.when == OPEN and each.panel in twelve],
        JACKS: [each.id for each in job.checks.values() if each.when == OPEN and job.panels[each.panel].needs],
        BEFORE: [each.id for each in job.checks.values() if each.when == BEFORE],
        CLOSED: [each.id for each in job.checks.values() if each.when == CLOSED],
    }
    return replace(job, chosen=tuple(chosen[part]))


@cache
def compared(name: str, seed: int, part: str) -> tuple[Plan, Verdict]:
    job = job_for(name, seed, part)
    made = plan(job)
    assert isinstance(made, Plan), made
    return made, solved(reference_of(job))


@pytest.mark.parametrize(("name", "seed", "part"), INSTANCES)
def test_neither_bound_is_above_what_the_other_found(name: str, seed: int, part: str) -> None:
    made, verdict = compared(name, seed, part)
    assert verdict.bound <= made.elapsed
    assert verdict.shortest is not None
    assert made.lower_bound <= verdict.shortest
    if made.proved and verdict.proved:
        assert made.elapsed == verdict.shortest


def test_most_of_them_are_proved_by_both() -> None:
    """So the comparison above is one of optima: of the whole inspections as of the single phases and the sessions."""
    for parts in ((WHOLE,), (TWELVE,), (JACKS,), (SESSIONS,), (BEFORE, CLOSED)):
        both = [
            made.proved and verdict.proved
            for made, verdict in (compared(*instance) for instance in INSTANCES if instance[2] in parts)
        ]
        assert sum(both) * 2 >= len(both), (parts, both)


@pytest.mark.parametrize(("name", "seed", "part"), INSTANCES)
def test_the_plan_is_a_solution_of_the_reference_(name: str, seed: int, part: str) -> None:
    made, _ = compared(name, seed, part)
    reference = reference_of(job_for(name, seed, part))
    named = {step.check or f"{step.step} {step.panel}": step for step in made.steps}
    assert sorted(named) == sorted(reference.steps)
    for key, step in named.items():
        assert step.end - step.start == reference.steps[key].minutes
        reference.model.add(reference.steps[key].start == step.start)
    verdict = solved(reference)
    assert verdict.shortest == made.elapsed
