"""More people, more hours or more jacks: whatever could be done before still can be, so no proved plan gets longer."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

import pytest

from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import OPEN, SETUP
from inspect_kit.plan import Job, Plan, Shift, plan
from tests.plan.instances import Family, job_of

DAY = 24 * 60
Pair = tuple[Job, Job]


def made(job: Job) -> Plan:
    answer = plan(job)
    assert isinstance(answer, Plan), answer
    return answer


SIZES = ((10, 25), (11, 28), (13, 36))


def inspections(
    people: int, inspectors: int | None = None, anyone: float = 0.0, sizes: int = 3, first: int = 0
) -> Iterator[Job]:
    """One of each size, by seeds from `first` on: where the first of all are searched long and not proved."""
    for seed, (panels, checks) in enumerate(SIZES[:sizes], first):
        yield job_of(
            Family(name="", panels=panels, checks=checks, people=people, inspectors=inspectors, anyone=anyone), seed
        )


def crewed(job: Job, people: int, inspectors: int) -> Job:
    return replace(job, crew=Crew(people=people, inspectors=inspectors))


def an_inspector_more() -> Iterator[Pair]:
    for job in (*inspections(1), *inspections(2), *inspections(3, sizes=2, first=3)):
        yield job, crewed(job, job.crew.people + 1, job.crew.people + 1)


def a_helper_more() -> Iterator[Pair]:
    for job in (*inspections(1), *inspections(2, 1, anyone=0.3, first=3)):
        yield job, crewed(job, job.crew.people + 1, job.crew.inspectors)


def a_helper_who_may_inspect() -> Iterator[Pair]:
    for job in (*inspections(2, 1, anyone=0.3, first=3), *inspections(3, 1, anyone=0.5)):
        yield job, crewed(job, job.crew.people, 2)


def in_sessions(job: Job, hours: int) -> Job:
    crew = job.crew
    return replace(
        job,
        shifts=tuple(
            Shift(start=day * DAY, end=day * DAY + hours * 60, people=crew.people, inspectors=crew.inspectors)
            for day in range(20)
        ),
    )


def with_session(job: Job, number: int, **changed: int) -> Job:
    shifts = list(job.shifts)
    shifts[number] = replace(shifts[number], **changed)
    return replace(job, shifts=tuple(shifts))


def an_hour_more_in_a_session() -> Iterator[Pair]:
    for people in (1, 2, 3):
        for job in inspections(people, sizes=2):
            short = in_sessions(job, 4)
            for number in (0, 1):
                yield short, with_session(short, number, end=short.shifts[number].end + 60)


def an_hour_earlier_in_a_session() -> Iterator[Pair]:
    for people in (1, 2):
        for job in inspections(people, sizes=3):
            short = in_sessions(job, 4)
            yield short, with_session(short, 1, start=short.shifts[1].start - 60)


def a_helper_more_in_a_session() -> Iterator[Pair]:
    for job in inspections(2, sizes=3):
        full = in_sessions(job, 4)
        for number in (0, 1):
            yield with_session(full, number, people=1, inspectors=1), full


def on_jacks(job: Job, amount: int) -> Job:
    """What some places hold in the open phase, each of them a setup that holds the jacks while it stands."""
    shared = {name for panel in job.panels.values() for name in panel.behind}
    shared |= {name for check in job.checks.values() for name in (*check.with_, *check.closed_except)}
    free = [name for name, panel in job.panels.items() if panel.remove is not None and name not in shared][:amount]
    assert len(free) == amount
    setups = {name: replace(job.panels[name], kind=SETUP, behind=(), needs=("jacks",)) for name in free}
    # A check that is not to be done while the jacks stand could then need them itself.
    checks = {name: replace(check, not_while=()) for name, check in job.checks.items()}
    chosen = tuple(name for name, check in checks.items() if check.panel in setups and check.when == OPEN)
    return replace(job, panels={**job.panels, **setups}, checks=checks, chosen=chosen, gear={**job.gear, "jacks": 1})


def a_jack_more() -> Iterator[Pair]:
    for people in (2, 3):
        for amount in (3, 5):
            for job in inspections(people):
                one = on_jacks(job, amount)
                yield one, replace(one, gear={**one.gear, "jacks": 2})


MORE = (
    an_inspector_more,
    a_helper_more,
    a_helper_who_may_inspect,
    an_hour_more_in_a_session,
    an_hour_earlier_in_a_session,
    a_helper_more_in_a_session,
    a_jack_more,
)


@pytest.mark.parametrize("more", MORE, ids=lambda more: more.__name__)
def test_more_never_lengthens_a_proved_plan(more) -> None:  # type: ignore[no-untyped-def]
    """Where both are proved the elapsed times are optima; and proved or not, a bound stays below any plan with less."""
    both, shorter = _compared(more())
    assert both >= 3
    assert shorter, "it never made a difference, so nothing was tried"


def _compared(pairs: Iterable[Pair]) -> tuple[int, int]:
    """How many pairs were proved on both sides, and how many of those got shorter."""
    both = shorter = 0
    for less, more in pairs:
        before, after = made(less), made(more)
        assert after.lower_bound <= before.elapsed
        if before.proved and after.proved:
            assert after.elapsed <= before.elapsed
            both += 1
            shorter += after.elapsed < before.elapsed
    return both, shorter
