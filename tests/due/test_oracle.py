"""Four hundred random stores agree, item by item, with an oracle that shares no code; and what must always hold."""

import datetime as dt
import random
from decimal import Decimal

import pytest

from inspect_kit.due import STATES, DueAnswer, due
from tests.due import oracle
from tests.due.world import Fact, logbook_of, make_checks, make_events

SEEDS = range(400)
SOON = (10, 30, 10)


def world(seed: int) -> tuple[list[Fact], list[Fact], dt.date]:
    chance = random.Random(f"due {seed}")
    checks = make_checks(chance)
    events = make_events(chance, checks)
    return checks, events, events[-1]["date"] + dt.timedelta(days=chance.randint(0, 60))


def shown(answer: DueAnswer, check: str) -> Fact:
    item = answer.item(check)
    assert item is not None, check
    return {"state": item.state, "owed": item.owed, "date": item.due.date, "total": item.due.total}


@pytest.mark.parametrize("seed", SEEDS)
def test_every_item_as_the_oracle_says(seed: int) -> None:
    checks, events, today = world(seed)
    answer = due(logbook_of(checks, events), today, expect=False)
    expected = oracle.due_items(checks, events, today, SOON)
    for check in checks:
        truth = expected[check["id"]]
        found = shown(answer, check["id"])
        context = (seed, check, truth, found)
        assert found["state"] == truth["state"], context
        assert found["owed"] == truth["owed"], context
        if not truth["owed"]:
            assert found["date"] == min(truth["dates"], default=None), context
        if truth["totals"]:
            assert found["total"] in [total for _, total in truth["totals"]], context
            if len(truth["totals"]) == 1:
                assert found["total"] == truth["totals"][0][1], context
        else:
            assert found["total"] is None, context


def test_the_worlds_hold_what_they_should() -> None:
    """The comparison above means something: every shape and every state comes up often."""
    shapes: dict[str, int] = {}
    states: dict[str, int] = {}
    for seed in SEEDS:
        checks, events, today = world(seed)
        for name, item in oracle.due_items(checks, events, today, SOON).items():
            shape = next(check["shape"] for check in checks if check["id"] == name)
            shapes[shape] = shapes.get(shape, 0) + 1
            states[item["state"]] = states.get(item["state"], 0) + 1
    assert len(shapes) == 8
    assert min(shapes.values()) >= 100
    assert set(states) == set(STATES)
    assert min(states.values()) >= 20


@pytest.mark.parametrize("seed", range(60))
def test_the_order_of_files_changes_nothing(seed: int) -> None:
    checks, events, today = world(seed)
    first = due(logbook_of(checks, events), today)
    second = due(logbook_of(checks, events, random.Random(seed)), today)
    assert first.items == second.items
    assert first.stops == second.stops


@pytest.mark.parametrize("seed", range(60))
def test_a_day_later_without_a_record_is_never_better(seed: int) -> None:
    checks, events, today = world(seed)
    book = logbook_of(checks, events)
    before = due(book, today, expect=False)
    for days in (1, 17, 200):
        after = due(book, today + dt.timedelta(days=days), expect=False)
        for item in before.items:
            later = after.item(item.check)
            assert later is not None
            assert STATES.index(later.state) <= STATES.index(item.state), (seed, item.check)
            assert later.due == item.due or item.owed


@pytest.mark.parametrize("seed", range(60))
def test_flying_more_never_moves_a_due_point_later(seed: int) -> None:
    checks, events, today = world(seed)
    book = logbook_of(checks, events)
    before = due(book, today, expect=False)
    flown = due(book, today, flying=Decimal("15.5"), expect=False)
    last = events[-1]
    more = last | {"kind": "hours", "date": today + dt.timedelta(days=1), "told": True, "total": last["total"] + 9}
    recorded = due(logbook_of(checks, [*events, more]), more["date"], expect=False)
    for item in before.items:
        for other in (flown.item(item.check), recorded.item(item.check)):
            assert other is not None
            assert STATES.index(other.state) <= STATES.index(item.state), (seed, item.check)
            if item.due.meter == other.due.meter and item.due.total is not None and other.due.total is not None:
                assert other.due.total <= item.due.total, (seed, item.check)
            if item.due.date is not None and other.due.date is not None:
                assert other.due.date <= item.due.date


@pytest.mark.parametrize("seed", range(60))
def test_recording_something_done_makes_nothing_else_worse_but_what_it_owes(seed: int) -> None:
    checks, events, today = world(seed)
    before = due(logbook_of(checks, events), today, expect=False)
    last = events[-1]
    told = [event for event in events if event["told"] or event["kind"] == "change"][-1]
    chance = random.Random(seed)
    did = chance.choice(checks)
    done = last | {"kind": "did", "date": today + dt.timedelta(days=1), "did": [did["id"]], "told": False}
    done |= {"total": told["total"], "offset": last["offset"]}
    quiet = due(logbook_of(checks, events), done["date"], expect=False)
    after = due(logbook_of(checks, [*events, done]), done["date"], expect=False)
    owing = {c["id"] for c in checks if c.get("trigger") == ("did", did["id"])}
    assert before.on < after.on
    for item in quiet.items:
        other = after.item(item.check)
        assert other is not None
        if item.check not in owing:
            assert STATES.index(other.state) >= STATES.index(item.state) or item.check == did["id"], (seed, item.check)
