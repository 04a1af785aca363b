"""The likely and the late finish: PERT's worked example, a plain simulation of its own, and what must always hold."""

from dataclasses import replace
from random import Random
from statistics import mean, median, pvariance

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.plan import Job, Plan, Shift, plan
from inspect_kit.plan.estimates import Spread, ThreePoint
from inspect_kit.plan.finish import finish_estimate, finishes
from tests.plan.instances import FAMILIES, job_of

HERE = Place("x.md", 1)
EXACT = ThreePoint(optimistic=1, likely=1, pessimistic=1)
AS_PLANNED = Spread(common=EXACT, pace=EXACT)
CHOSEN = [family for family in FAMILIES if family.panels == 40]


def made(job: Job) -> Plan:
    answer = plan(job)
    assert isinstance(answer, Plan), answer
    return answer


@pytest.mark.parametrize("family", CHOSEN, ids=lambda family: family.name)
def test_at_the_planned_minutes_it_never_ends_later_than_the_plan(family) -> None:  # type: ignore[no-untyped-def]
    job = job_of(replace(family, panels=12, checks=36), 21)
    answer = made(job)
    told = finish_estimate(job, answer, AS_PLANNED, draws=1)
    assert told.likely is not None
    assert answer.lower_bound <= told.likely <= answer.elapsed


# The critical chain of Reliable Construction with its estimates in weeks (Hillier & Lieberman, Introduction to
# Operations Research, chapter on PERT/CPM): mean 44, variance 9, done within 47 weeks with probability 0.8413.
CHAIN = {
    "a": (1, 2, 3), "b": (2, 3.5, 8), "c": (6, 9, 18), "e": (1, 4.5, 5),
    "f": (4, 4, 10), "j": (3, 9, 9), "l": (1, 5.5, 7), "n": (5, 5.5, 9),
}  # fmt: skip
WEEK = 60


def chain() -> tuple[Job, Spread]:
    """The chain as checks of one person, a week being an hour."""
    own, checks, last = {}, {}, ""
    for name, (low, likely, high) in CHAIN.items():
        weeks = (low + 4 * likely + high) / 6
        own[name] = ThreePoint(optimistic=low / weeks, likely=likely / weeks, pessimistic=high / weeks)
        checks[name] = Check(
            id=name, panel="p", text=name, minutes=round(weeks * WEEK), after=(last,) if last else (), place=HERE
        )
        last = name
    job = Job(
        panels={"p": Panel(id="p", name="p", zone="z", kind="place", place=HERE)},
        checks=checks,
        chosen=tuple(checks),
        crew=Crew(people=1, inspectors=1),
    )
    return job, Spread(own=own, pace=EXACT)


def test_the_drawn_finishes_have_perts_mean_and_variance() -> None:
    job, spread = chain()
    ends = finishes(job, made(job), spread, draws=4000, seed=3)
    weeks = [end / WEEK for end in ends]
    # Three standard errors of the mean of 4000 draws are 0.14 weeks, of the variance about 0.6.
    assert abs(mean(weeks) - 44) < 0.14
    assert abs(pvariance(weeks) - 9) < 0.7
    # The chain is not exactly normal, so the share is near to the book's and not equal to it.
    assert abs(sum(week <= 47 for week in weeks) / len(weeks) - 0.8413) < 0.025


def test_a_plain_simulation_says_the_same() -> None:
    """Two people, walked through minute by minute of their own lists, with another generator of the same betas."""
    job = job_of(next(family for family in FAMILIES if family.name == "2 people, small"), 5)
    job = replace(job, chosen=tuple(name for name in job.chosen if not job.checks[name].needs))
    answer = made(job)
    spread = Spread()
    draw = Random(77)

    def drawn(low: float, likely: float, high: float) -> float:
        """PERT's beta with its own variance, from two gamma draws."""
        middle = ((low + 4 * likely + high) / 6 - low) / (high - low)
        size = 36 * middle * (1 - middle) - 1
        one, other = draw.gammavariate(middle * size, 1), draw.gammavariate((1 - middle) * size, 1)
        return low + (high - low) * one / (one + other)

    ends = []
    for _ in range(600):
        pace = drawn(0.75, 1, 1.5)
        free = dict.fromkeys(answer.names, 0.0)
        done: dict[int, float] = {}
        for index, step in enumerate(answer.steps):
            # In the order of the plan, after its people and after everything that had ended when it began.
            ready = max([free[name] for name in step.who], default=0.0)
            lasts = step.end - step.start
            done[index] = ready + (pace * drawn(0.5 * lasts, lasts, 2 * lasts) if lasts else 0)
            for name in step.who:
                free[name] = done[index]
        ends.append(max(done.values()))
    told = finish_estimate(job, answer, spread, draws=600)
    assert told.likely is not None
    # Without the checklists' ties people wait less, so this one is a little earlier, and by no more than a tenth.
    assert 0.97 * median(ends) <= told.likely <= 1.1 * median(ends)


def test_late_is_later_and_wider_spread_is_later_still() -> None:
    job = job_of(CHOSEN[1], 4)
    answer = made(job)
    usual = finish_estimate(job, answer, Spread())
    wide = finish_estimate(job, answer, Spread(pace=ThreePoint(optimistic=0.5, likely=1, pessimistic=3)))
    assert usual.likely is not None
    assert usual.late is not None
    assert wide.late is not None
    assert usual.likely < usual.late < wide.late
    assert finish_estimate(job, answer, Spread()) == usual


def test_in_sessions_it_ends_in_one_or_not_at_all() -> None:
    job = job_of(next(family for family in FAMILIES if family.name == "evenings, 2 people"), 4)
    answer = made(job)
    ends = finishes(job, answer, Spread(), draws=60, seed=1)
    assert all(any(shift.start < end <= shift.end for shift in job.shifts) for end in ends)
    few = replace(job, shifts=tuple(shift for shift in job.shifts if shift.start < answer.elapsed))
    short = finish_estimate(few, answer, Spread(pace=ThreePoint(optimistic=2, likely=2, pessimistic=2)))
    assert short.likely is None
    assert isinstance(job.shifts[0], Shift)
