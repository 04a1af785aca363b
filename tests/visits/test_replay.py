"""The year replayed through the due engine: fly, look at the due list, do what the plan says, write it down, fly on."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.due import due
from inspect_kit.due.answer import RECHECK, TREND
from inspect_kit.model.aircraft import VisitHabit
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import access_labour, panels_for
from inspect_kit.visits import VisitPlan, year_ahead
from tests.visits.replay import faults, until

ROOT = Path(__file__).parents[2]
QUICK = 0.4
ASKED = [(dt.date(2026, 11, 17), 12), (dt.date(2022, 1, 20), 12)]
KEPT_FREE = VisitHabit(minutes=60, weekdays=(5,), not_in=(7, 8))


@pytest.fixture(scope="module")
def logbook() -> Logbook:
    loaded = store.load(store.at(ROOT))
    assert loaded.logbook is not None
    return loaded.logbook


Asked = tuple[Logbook, VisitPlan]


@pytest.fixture(scope="module", params=ASKED, ids=lambda each: str(each[0]))
def asked(request: pytest.FixtureRequest, logbook: Logbook) -> Asked:
    on, months = request.param
    then = until(logbook, on)
    return then, year_ahead(then, due(then, on), months=months, seconds=QUICK)


def test_nothing_that_is_planned_is_ever_past_due(asked: Asked) -> None:
    then, plan = asked
    assert plan.visits
    for heavy in (False, True):
        assert list(faults(plan, then, heavy=heavy)) == []


def test_a_visit_left_out_is_seen(asked: Asked) -> None:
    then, plan = asked
    less = replace(plan, visits=plan.visits[:1] + plan.visits[2:])
    assert list(faults(less, then, heavy=True))


def test_days_kept_free_stay_free_unless_a_limit_asks(logbook: Logbook) -> None:
    on, months = dt.date(2024, 7, 3), 18
    then = until(logbook, on)
    then = replace(then, aircraft=replace(then.aircraft, visits=KEPT_FREE))
    plan = year_ahead(then, due(then, on), months=months, seconds=QUICK)
    for visit in plan.visits:
        free = visit.on.month not in KEPT_FREE.not_in and visit.on.weekday() in KEPT_FREE.weekdays
        assert free != visit.outside, visit.on
    assert sum(visit.outside for visit in plan.visits) < len(plan.visits) / 2
    assert list(faults(plan, then, heavy=True)) == []


def test_every_panel_is_open_and_every_cost_adds_up(asked: Asked) -> None:
    then, plan = asked
    for visit in plan.visits:
        checks = [then.checks[name] for name in visit.checks]
        assert set(panels_for(then.panels, checks)) <= set(visit.panels)
        assert visit.panel_labour == access_labour(then.panels, visit.panels)
        assert visit.check_labour == sum(check.minutes * check.people for check in checks if check.who != "others")
        # Where a reading leads, and what is to be looked at again, is answered by doing their check.
        items = {doing.item for doing in visit.doings if doing.kind not in (TREND, RECHECK)}
        reads = {doing.item.partition("/")[0] for doing in visit.doings if doing.kind in (TREND, RECHECK)}
        assert items <= {*visit.names, *visit.findings} <= items | reads
        assert reads <= set(visit.checks)
    assert plan.costs.panels == sum(visit.panel_labour for visit in plan.visits)
    assert plan.costs.checks == sum(visit.check_labour for visit in plan.visits)
    assert plan.costs.number == len(plan.visits)
    wasted = sum(doing.wastes for visit in plan.visits for doing in visit.doings)
    assert plan.costs.given_away == pytest.approx(wasted)
    assert plan.bound <= plan.costs.total <= plan.when_due.total
    items = {item.check for item in due(then, plan.on).items}
    named = {doing.item for visit in plan.visits for doing in visit.doings} | {each.item for each in plan.left_out}
    assert named <= items
