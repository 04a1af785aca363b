"""The plan of the whole inspection of the sample is nearly as short as any can be."""

from pathlib import Path

from inspect_kit import store
from inspect_kit.model.aircraft import Crew
from inspect_kit.plan import Job, Plan, plan

ROOT = Path(__file__).parents[2]


def test_two_people_lose_next_to_nothing() -> None:
    """One of the two has almost all of the work: every minute in which the other one holds him up is lost."""
    logbook = store.load(store.at(ROOT)).logbook
    assert logbook is not None
    live = tuple(check.id for check in logbook.checks.values() if check.retired is None and check.who != "others")
    crew = Crew(people=2, inspectors=1)
    job = Job(panels=logbook.panels, checks=logbook.checks, chosen=live, crew=crew, gear=logbook.aircraft.tooling)
    made = plan(job)
    assert isinstance(made, Plan)
    # Before whole chains were pulled to where time is lost it ended 1.4 % above the bound, now 0.6 %.
    assert made.lower_bound <= made.elapsed <= 1.01 * made.lower_bound
