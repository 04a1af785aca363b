"""The year ahead on the sample aircraft: nothing past its limit, every panel that is needed, every cost adds up."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.due import CHECK, PAST_DUE, DueAnswer, due
from inspect_kit.plan import access_labour, panels_for
from inspect_kit.visits import VisitPlan, year_ahead

ROOT = Path(__file__).parents[2]
DAY = dt.date(2026, 11, 25)


@pytest.fixture(scope="module")
def answer() -> DueAnswer:
    loaded = store.load(store.at(ROOT))
    assert loaded.logbook is not None
    return due(loaded.logbook, DAY)


@pytest.fixture(scope="module")
def year(answer: DueAnswer) -> VisitPlan:
    return year_ahead(answer.seen, answer, months=12)


def test_no_item_is_left_past_its_calendar_limit(answer: DueAnswer, year: VisitPlan) -> None:
    """The first doing of an item is no later than its calendar limit; what is past due comes on the first visit."""
    first: dict[str, dt.date] = {}
    for visit in year.visits:
        for name in (*visit.names, *visit.checks, *(doing.item for doing in visit.doings)):
            first.setdefault(name, visit.on)
    end = DAY + dt.timedelta(days=330)
    looked_at = 0
    for item in answer.items:
        if item.kind != CHECK or item.due.date is None or item.due.date > end:
            continue
        if item.check not in first:
            continue
        looked_at += 1
        if item.state == PAST_DUE:
            assert first[item.check] == year.visits[0].on, item.check
        else:
            assert first[item.check] <= item.due.date, item.check
    assert looked_at >= 20


def test_panels_are_closed_and_their_labour_adds_up(answer: DueAnswer, year: VisitPlan) -> None:
    book = answer.seen
    for visit in year.visits:
        needed = panels_for(book.panels, [book.checks[name] for name in visit.checks])
        assert set(needed) <= set(visit.panels)
        assert visit.panel_labour == access_labour(book.panels, visit.panels)
    assert [visit.on for visit in year.visits] == sorted(visit.on for visit in year.visits)
    assert all(visit.on >= DAY for visit in year.visits)


def test_it_saves_against_each_item_when_due_and_says_how_good_it_is(year: VisitPlan) -> None:
    assert year.costs.total <= year.when_due.total
    assert year.bound <= year.costs.total + 1e-6


def test_the_same_store_gives_the_same_year(answer: DueAnswer, year: VisitPlan) -> None:
    assert year_ahead(answer.seen, answer, months=12) == year
