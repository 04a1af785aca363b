"""A thousand random stores agree, item by item, with an oracle that shares no code; and what must always hold.

The suite asks the first 300; `python -m tests.bench oracle` asks as many as you like. Every disagreement is a fault of
one of the two: none is left to be explained.
"""

import datetime as dt
import random
from decimal import Decimal
from functools import cache

import pytest

from inspect_kit.due import STATES, DueAnswer, due
from tests.due import oracle
from tests.due.world import METERS, Fact, logbook_of, make_checks, make_events

SEEDS = range(200)
# On these the oracle, or the audit, was wrong once: of parts that come, go and come back on one day, or grow younger.
FOUND = (40313, 93055, 93518, 93881, 93900, 93964, 95536, 132284, 220862, 310483, 320381)
SOON = (10, 30, 10)


@cache
def world(seed: int) -> tuple[list[Fact], list[Fact], dt.date]:
    chance = random.Random(f"due {seed}")
    checks = make_checks(chance)
    events = make_events(chance, checks)
    return checks, events, events[-1]["date"] + dt.timedelta(days=chance.randint(0, 60))


@cache
def answered(seed: int) -> DueAnswer:
    checks, events, today = world(seed)
    return due(logbook_of(checks, events), today, expect=False)


def disagreements(seed: int) -> list[tuple[Fact, Fact, Fact]]:
    """(check, what the oracle says, what the program says) wherever they differ."""
    checks, events, today = world(seed)
    answer = answered(seed)
    expected = oracle.due_items(checks, events, today, SOON)
    return [
        (check, expected[check["id"]], shown(answer, check["id"]))
        for check in checks
        if not agree(expected[check["id"]], shown(answer, check["id"]))
    ]


def shown(answer: DueAnswer, check: str) -> Fact:
    item = answer.item(check)
    assert item is not None, check
    return {"state": item.state, "owed": item.owed, "date": item.due.date, "total": item.due.total}


def agree(truth: Fact, found: Fact) -> bool:
    if (found["state"], found["owed"]) != (truth["state"], truth["owed"]):
        return False
    if not truth["owed"] and found["date"] != min(truth["dates"], default=None):
        return False
    totals = [total for _, total in truth["totals"]]
    return found["total"] in totals if totals else found["total"] is None


@pytest.mark.parametrize("seed", [*SEEDS, *FOUND])
def test_every_item_as_the_oracle_says(seed: int) -> None:
    assert disagreements(seed) == []


def test_the_worlds_hold_what_they_should() -> None:
    """The comparison above means something: every shape, every state, every hard case comes up often."""
    shapes: dict[str, int] = {}
    states: dict[str, int] = {}
    cases = dict.fromkeys(("same day", "unread", "never read", "brought", "history", "moved", "graced"), 0)
    for seed in SEEDS:
        checks, events, today = world(seed)
        for name, item in oracle.due_items(checks, events, today, SOON).items():
            shape = next(check["shape"] for check in checks if check["id"] == name)
            shapes[shape] = shapes.get(shape, 0) + 1
            states[item["state"]] = states.get(item["state"], 0) + 1
        days = [event["date"] for event in events]
        where: dict[str, set[str]] = {}
        for event in events:
            if event["kind"] == "installed" and event["serial"] != "none":
                where.setdefault(event["serial"], set()).add(event["position"])
        cases["same day"] += len(days) != len(set(days))
        cases["unread"] += any(not event["reads"] for event in events)
        cases["never read"] += any(all(meter not in event["reads"] for event in events) for meter in METERS)
        cases["brought"] += any(event.get("fitted") for event in events)
        cases["history"] += any(event["kind"] == "start" for event in events[1:])
        cases["moved"] += any(len(positions) > 1 for positions in where.values())
        cases["graced"] += any(check["shape"] == "grace" for check in checks)
    assert len(shapes) == 9
    assert min(shapes.values()) >= 60
    assert set(states) == set(STATES)
    assert min(states.values()) >= 12
    assert min(cases.values()) >= 12, cases


# Where fewer readings make an item due later all the same, and why.
LATER = {
    (57, "c7"): "what it is owed after is of the same day and unread: taken to come before the last reading of the day",
}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_record_that_reads_no_meter_never_makes_anything_due_later(seed: int) -> None:
    """The same events with every reading written down: what is left open must err on the early side."""
    checks, events, today = world(seed)
    known = {meter for event in events for meter in event["reads"]}
    whole = [event if event["kind"] == "change" else event | {"reads": known} for event in events]
    full = due(logbook_of(checks, whole), today, expect=False)
    late = []
    for item in answered(seed).items:
        true = full.item(item.check)
        assert true is not None
        dates = item.due.date is not None and true.due.date is not None and item.due.date > true.due.date
        lost = item.due.date is None and true.due.date is not None and item.state != "unknown"
        totals = (item.due.total, true.due.total) if item.due.meter == true.due.meter else (None, None)
        more = totals[0] is not None and totals[1] is not None and totals[0] > totals[1]
        if (dates and not true.owed) or lost or more or (true.owed and not item.owed):
            late.append(item.check)
    assert late == [check for number, check in LATER if number == seed]


@pytest.mark.parametrize("seed", range(40))
def test_the_order_of_files_changes_nothing(seed: int) -> None:
    checks, events, today = world(seed)
    first = due(logbook_of(checks, events), today)
    second = due(logbook_of(checks, events, random.Random(seed)), today)
    assert first.items == second.items
    assert first.stops == second.stops


@pytest.mark.parametrize("seed", range(40))
def test_a_day_later_without_a_record_is_never_better(seed: int) -> None:
    checks, events, today = world(seed)
    book = logbook_of(checks, events)
    for days in (1, 17, 200):
        after = due(book, today + dt.timedelta(days=days), expect=False)
        for item in answered(seed).items:
            later = after.item(item.check)
            assert later is not None
            assert STATES.index(later.state) <= STATES.index(item.state), (seed, item.check)
            assert later.due == item.due or item.owed


@pytest.mark.parametrize("seed", range(40))
def test_flying_more_never_moves_a_due_point_later(seed: int) -> None:
    checks, events, today = world(seed)
    book = logbook_of(checks, events)
    flown = due(book, today, flying=Decimal("15.5"), expect=False)
    last = events[-1]
    more = last | {"kind": "hours", "date": today + dt.timedelta(days=1), "reads": {"tach"}, "h": last["h"] + 9}
    recorded = due(logbook_of(checks, [*events, more]), more["date"], expect=False)
    for item in answered(seed).items:
        for other in (flown.item(item.check), recorded.item(item.check)):
            assert other is not None
            assert STATES.index(other.state) <= STATES.index(item.state), (seed, item.check)
            if item.due.meter == other.due.meter and item.due.total is not None and other.due.total is not None:
                assert other.due.total <= item.due.total, (seed, item.check)
            if item.due.date is not None and other.due.date is not None:
                assert other.due.date <= item.due.date


@pytest.mark.parametrize("seed", range(40))
def test_recording_something_done_makes_nothing_else_worse_but_what_it_owes(seed: int) -> None:
    checks, events, today = world(seed)
    last = events[-1]
    chance = random.Random(seed)
    did = chance.choice(checks)
    done = last | {"kind": "did", "date": today + dt.timedelta(days=1), "did": [did["id"]], "reads": set()}
    done |= {"number": last["number"] + 1}
    quiet = due(logbook_of(checks, events), done["date"], expect=False)
    after = due(logbook_of(checks, [*events, done]), done["date"], expect=False)
    owing = {c["id"] for c in checks if c.get("trigger") == ("did", did["id"])}
    for item in quiet.items:
        other = after.item(item.check)
        assert other is not None
        if item.check not in owing:
            assert STATES.index(other.state) >= STATES.index(item.state) or item.check == did["id"], (seed, item.check)
