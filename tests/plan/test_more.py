"""What an hour or a helper more in one session would save: worked out by hand for one person and one long look."""

from dataclasses import replace

from inspect_kit.plan import Plan, Shift, plan, what_more
from tests.plan.test_conflict import check, job

DAY = 24 * 60


def test_an_hour_more_lets_it_end_the_same_day() -> None:
    """Two hours a day: of two looks of 90 min the second waits for the next day, unless the first day has an hour more.

    A helper more cannot inspect and saves nothing.
    """
    shifts = tuple(Shift(start=day * DAY, end=day * DAY + 120, people=1, inspectors=1) for day in range(3))
    asked = replace(job(check("wings", minutes=90), check("tail", minutes=90)), shifts=shifts)
    made = plan(asked)
    assert isinstance(made, Plan)
    assert made.elapsed == DAY + 90
    found = [(each.session, each.helper, each.elapsed) for each in what_more(asked, made)]
    assert found == [(0, False, 180)]


def test_an_hour_more_ends_where_the_next_session_begins() -> None:
    """The first session grows by its half hour and joins the next one: the second look is done from 90 to 170 min. The
    next one grows by a whole hour, and holds the second look from 150 to 230 min.
    """
    shifts = (
        Shift(start=0, end=120, people=1, inspectors=1),
        Shift(start=150, end=170, people=1, inspectors=1),
        Shift(start=DAY, end=DAY + 120, people=1, inspectors=1),
    )
    asked = replace(job(check("wings", minutes=90), check("tail", minutes=80)), shifts=shifts)
    made = plan(asked)
    assert isinstance(made, Plan)
    assert made.elapsed == DAY + 80
    found = [(each.session, each.helper, each.elapsed) for each in what_more(asked, made)]
    assert found == [(0, False, 170), (1, False, 230)]


def test_a_helper_more_takes_what_need_not_be_inspected() -> None:
    """Two hours a day and two jobs of 90 min, of which a helper may do one: both are done on the first day."""
    shifts = tuple(Shift(start=day * DAY, end=day * DAY + 120, people=1, inspectors=1) for day in range(3))
    asked = replace(job(check("wings", minutes=90), check("polish", minutes=90, who="anyone")), shifts=shifts)
    made = plan(asked)
    assert isinstance(made, Plan)
    found = [(each.session, each.helper, each.elapsed) for each in what_more(asked, made)]
    assert found == [(0, False, 180), (0, True, 90)]
