"""Sessions as shifts, with the minutes counted by hand from the first one."""

import datetime as dt

from inspect_kit.model.aircraft import Crew, Session
from inspect_kit.plan import Shift, shifts_of

CREW = Crew(people=2, inspectors=1)
WEEK = 7 * 24 * 60


def test_a_weekly_habit_comes_round_from_its_next_day_on() -> None:
    """2026-11-25 is a Wednesday: the first Saturday is the 28th, the others follow week by week."""
    saturday = Session(weekday=5, start=9 * 60, end=12 * 60)
    began, shifts = shifts_of((saturday,), CREW, dt.date(2026, 11, 25), weeks=3)
    assert began == dt.datetime(2026, 11, 28, 9, 0)
    assert shifts == tuple(
        Shift(start=week * WEEK, end=week * WEEK + 180, people=2, inspectors=1) for week in range(3)
    )


def test_where_sessions_overlap_those_of_the_larger_are_there_and_those_before_are_gone() -> None:
    sessions = (
        Session(date=dt.date(2026, 11, 24), start=0, end=600),
        Session(date=dt.date(2026, 11, 25), start=8 * 60, end=10 * 60, people=1),
        Session(date=dt.date(2026, 11, 25), start=9 * 60, end=12 * 60),
        Session(date=dt.date(2026, 11, 25), start=9 * 60, end=11 * 60),
    )
    began, shifts = shifts_of(sessions, CREW, dt.date(2026, 11, 25))
    assert began == dt.datetime(2026, 11, 25, 8, 0)
    assert [(each.start, each.end, each.people) for each in shifts] == [(0, 60, 1), (60, 240, 2)]


def test_without_a_session_to_come_there_is_no_shift() -> None:
    past = Session(date=dt.date(2026, 11, 24), start=0, end=600)
    assert shifts_of((past,), CREW, dt.date(2026, 11, 25)) == (None, ())
