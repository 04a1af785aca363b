"""The year replayed through the due engine: fly, look at the due list, do what the plan says, write it down, fly on."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.due import PAST_DUE, chronicle, due
from inspect_kit.model.aircraft import VisitHabit
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Hours, Inspection, Installed, Record, Signature, Work
from inspect_kit.plan import access_labour, panels_for
from inspect_kit.visits import Visit, VisitPlan, year_ahead
from inspect_kit.visits.outlook import outlook

ROOT = Path(__file__).parents[2]
QUICK = 0.4
EVERY_DAYS = 20
ASKED = [(dt.date(2026, 11, 17), 12), (dt.date(2024, 7, 3), 18), (dt.date(2022, 1, 20), 12)]
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


def until(logbook: Logbook, on: dt.date) -> Logbook:
    """The logbook as it stood on a day."""
    records = tuple(record for record in logbook.records if record.date <= on)
    return replace(logbook, records=records, pages=tuple(page for page in logbook.pages if page.begun <= on))


def added(logbook: Logbook, *records: Record) -> Logbook:
    everything = (*logbook.records, *records)
    return replace(logbook, records=tuple(sorted(everything, key=lambda record: (record.date, record.name))))


def written(visit: Visit, logbook: Logbook, meters: Mapping[str, Decimal]) -> Iterator[Record]:
    """The records that an owner would write after a visit: the inspection signed, new parts fitted and marked."""
    place = logbook.aircraft.place
    name = f"{visit.on}-planned"
    marked = {check: visit.on + dt.timedelta(days=3650) for check in visit.checks if logbook.checks[check].marked}
    common = {"date": visit.on, "meters": meters, "place": place}
    page = {**common, "did": visit.checks, "next": marked, "clears": visit.findings}
    inspections = [each for each in visit.names if each in logbook.aircraft.inspections]
    if inspections:
        yield Inspection(
            name=name,
            inspection=inspections[0],
            passed=True,
            identity=logbook.aircraft.identity,
            basis="",
            statement="",
            **page,
        )
        yield Signature(name=f"{name}-ink", of=name, ink="airframe log p. 1", **common)
    else:
        yield Work(name=name, **page)
    for check in (logbook.checks[each] for each in visit.names if each in logbook.checks):
        if check.life and check.counts_on:
            serial = f"new-{visit.on}"
            yield Installed(
                name=f"{name}-{check.counts_on}",
                position=check.counts_on,
                serial=serial,
                since_new=Decimal(0),
                **common,
            )


def faults(plan: VisitPlan, logbook: Logbook, *, heavy: bool) -> Iterator[str]:
    """Everything that the due engine finds past due on the way, of what the plan says it has planned."""
    book = chronicle(logbook)
    ahead = outlook(book, plan.on, plan.end)
    now = logbook
    began_past = {item.check for item in due(logbook, plan.on, expect=False).items if item.state == PAST_DUE}
    visits = {visit.on: visit for visit in plan.visits}
    left_out = {each.item for each in plan.left_out}
    days = sorted({*visits, plan.end, *(plan.on + dt.timedelta(days=day) for day in range(1, 999, EVERY_DAYS))})
    owed_later: set[str] = set()
    for day in (day for day in days if day <= plan.end):
        totals = ahead.totals(day, heavy=heavy)
        meters = {meter: book.histories[meter].reading_for(total) for meter, total in totals.items()}
        flown = added(now, Hours(name=f"{day}-a-reading", date=day, meters=meters, place=now.aircraft.place))
        for item in due(flown, day, expect=False).items:
            if item.state == PAST_DUE and item.check not in left_out | began_past | owed_later:
                yield f"{day}: {item.check} is past due ({'heavy' if heavy else 'likely'} use)"
        now = flown
        if day in visits:
            now = added(now, *written(visits[day], now, meters))
            began_past = set()
            owed_later |= {words.split()[0] for words in visits[day].owed}


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
        assert {doing.item for doing in visit.doings} == {*visit.names, *visit.findings}
    assert plan.costs.panels == sum(visit.panel_labour for visit in plan.visits)
    assert plan.costs.checks == sum(visit.check_labour for visit in plan.visits)
    assert plan.costs.number == len(plan.visits)
    wasted = sum(doing.wastes for visit in plan.visits for doing in visit.doings)
    assert plan.costs.given_away == pytest.approx(wasted)
    assert plan.bound <= plan.costs.total <= plan.when_due.total
    items = {item.check for item in due(then, plan.on).items}
    named = {doing.item for visit in plan.visits for doing in visit.doings} | {each.item for each in plan.left_out}
    assert named <= items
