"""In sessions nothing comes off days before its first check where that costs no time; beside every other order."""

from dataclasses import replace
from functools import cache
from math import inf
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.model.checklist import Check, Panel
from inspect_kit.plan import ENDS, Job, Plan, Shift, Wishes, faults, plan
from inspect_kit.plan.frame import frame_of
from inspect_kit.plan.steps import work_of
from inspect_kit.scheduling.opened_late import opened_late
from inspect_kit.scheduling.solve import solve
from tests.plan.instances import NOWHERE, Family, job_of
from tests.sample.order_rules import Steps, book_of_job, nights, steps_of_plan

EVENING, DAY = 100, 24 * 60
SESSIONS = tuple(range(0, 40 * DAY, DAY))


def small(seed: int) -> Job:
    """One person, three panels and four checks, in evenings of 100 min."""
    chance = Random(seed)
    panels = {
        name: Panel(
            id=name,
            name=name,
            zone="nose",
            kind="panel",
            remove=chance.randint(5, 40),
            refit=chance.randint(5, 40),
            behind=("outer",) if name != "outer" and chance.random() < 0.3 else (),
            place=NOWHERE,
        )
        for name in ("outer", "left", "right")
    }
    where = ["outer", "left", "right", chance.choice(("left", "right"))]
    checks = {
        f"check-{number}": Check(
            id=f"check-{number}",
            panel=panel,
            text="",
            minutes=chance.randint(20, 90),
            after=(f"check-{number - 1}",) if number and chance.random() < 0.3 else (),
            place=NOWHERE,
        )
        for number, panel in enumerate(where)
    }
    shifts = tuple(Shift(start=start, end=start + EVENING, people=1, inspectors=1) for start in SESSIONS)
    return Job(panels=panels, checks=checks, chosen=tuple(checks), shifts=shifts)


def least_nights(job: Job, until: int) -> int:
    """The least of all orders of the steps of one person that end by then, each at once or at the next evening.

    Counted night by night: how many panels are off then, and nothing behind them has been checked yet.
    """
    minutes = {name: check.minutes for name, check in job.checks.items()}
    before: dict[str, set[str]] = {name: {f"off {job.checks[name].panel}", *job.checks[name].after} for name in minutes}
    for name, panel in job.panels.items():
        minutes |= {f"off {name}": panel.remove or 0, f"on {name}": panel.refit or 0}
        inner = [each for each in job.panels if name in job.panels[each].behind]
        before[f"off {name}"] = {f"off {outer}" for outer in panel.behind}
        before[f"on {name}"] = {each for each in job.checks if job.checks[each].panel == name}
        before[f"on {name}"] |= {f"on {each}" for each in inner}

    def waiting(done: frozenset[str]) -> int:
        off = [name for name in job.panels if f"off {name}" in done]
        return sum(1 for name in off if not checks_behind(job, name) & done)

    @cache
    def least(now: int, done: frozenset[str]) -> float:
        if len(done) == len(minutes):
            return 0
        tonight, found = now // DAY * DAY, inf
        rest = [name for name in minutes if name not in done and before[name] <= done]
        for start, cost in ((now, 0), (tonight + DAY, waiting(done))):
            for name in rest:
                end = start + minutes[name]
                if end <= start // DAY * DAY + EVENING and end <= until:
                    found = min(found, cost + least(end, done | {name}))
        return found

    return int(least(0, frozenset()))


def checks_behind(job: Job, name: str) -> set[str]:
    behind = {name} | {each for each in job.panels if name in job.panels[each].behind}
    return {each for each in job.checks if job.checks[each].panel in behind}


def off_over_nights(job: Job, starts: dict[str, int]) -> int:
    """How many nights lie between the removals and the first checks behind them, together."""
    total = 0
    for name in job.panels:
        first = min(starts[check] for check in checks_behind(job, name))
        total += first // DAY - starts[f"off {name}"] // DAY
    return total


def starts_of(steps: Steps) -> dict[str, int]:
    found = {name: start for name, (start, _, _) in steps.checks.items()}
    return found | {f"off {name}": start for name, (start, _, _) in steps.off.items()}


def test_beside_every_other_order_of_the_same_length() -> None:
    """A search, no proof: when written 96 of a hundred jobs had the least that there is. One in ten may miss it."""
    more = 0
    for seed in range(5):
        job = small(seed)
        made = plan(job, 60)
        assert isinstance(made, Plan)
        ours = off_over_nights(job, starts_of(steps_of_plan(made, job)))
        least = least_nights(job, made.elapsed)
        assert ours >= least
        more += ours > least
    assert more <= 1


@settings(max_examples=8)
@given(st.integers(0, 10_000), st.integers(1, 3), st.sampled_from(("evening", "helper")), st.booleans())
def test_no_plan_gets_longer_and_no_night_more(seed: int, people: int, hours: str, served: bool) -> None:
    job = job_of(Family(name="", panels=9, checks=26, people=people, anyone=0.3, gear=0.2, hours=hours), seed)
    frame = frame_of(job, work_of(job))
    answer = solve(frame.problem, 30)
    if answer.schedule is None:
        return
    late = opened_late(frame.problem, answer.schedule, frame.openings)
    assert late.makespan <= answer.schedule.makespan
    made = plan(replace(job, wishes=Wishes(ends=ENDS if served else ())), 30)
    assert isinstance(made, Plan)
    assert not faults(job, made)
    assert made.elapsed <= answer.schedule.makespan
    assert list(nights(book_of_job(job), steps_of_plan(made, job))) == []


def test_without_sessions_a_schedule_stays_as_it_is() -> None:
    job = job_of(Family(name="", panels=9, checks=26), 3)
    frame = frame_of(job, work_of(job))
    schedule = solve(frame.problem, 30).schedule
    assert schedule is not None
    assert opened_late(frame.problem, schedule, frame.openings) is schedule


def test_the_rule_tells_what_comes_off_a_night_too_soon() -> None:
    job = small(1)
    made = plan(job, 60)
    assert isinstance(made, Plan)
    right = steps_of_plan(made, job)
    book = book_of_job(job)
    assert list(nights(book, right)) == []
    # The same with an evening more in front, and one panel off in it.
    later = {
        part: {name: (start + DAY, end + DAY, who) for name, (start, end, who) in getattr(right, part).items()}
        for part in ("checks", "off", "on")
    }
    name = next(iter(job.panels))
    start, end, who = later["off"][name]
    early = {**later["off"], name: (start % DAY, end % DAY, who)}
    late = replace(right, checks=later["checks"], on=later["on"], off=early)
    assert [told.split(",")[0] for told in nights(book, late)] == [f"{name} comes off at {start % DAY}"]
