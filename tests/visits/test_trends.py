"""A reading that goes to its limit is looked at once more before it gets there."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit.due import TREND, due
from inspect_kit.model.logbook import Logbook
from inspect_kit.visits import VisitPlan, year_ahead
from tests.visits.hangar import TODAY, check, small_store

FIRST = dt.date(2024, 3, 2)


def falling(root: Path, by: int, more: str = "", **keys: str) -> Logbook:
    """Compression read every 120 days from 78 psi down, at least 60; the check itself is not due for long."""
    records = {}
    for number in range(6):
        day = FIRST + dt.timedelta(days=120 * number)
        reads = f"readings: {{compression: {{cylinder 1: {78 - by * number} psi}}}}"
        tach = 100 + 2 * ((day - dt.date(2024, 1, 6)).days // 7)
        records[f"r{number}"] = (
            f"format: 1\nkind: work\ndate: {day}\nmeters: {{tach: {tach}}}\ndid: [compression]\n{reads}\n"
        )
    keys = {"every": "900 h", "reads": "cylinder 1, psi, at least 60", "time": "30 min"} | keys
    return small_store(root, check("compression", **keys) + more, records=records)


def ahead(logbook: Logbook) -> VisitPlan:
    return year_ahead(logbook, due(logbook, TODAY), months=12, seconds=0.2)


@pytest.mark.parametrize("keys", [{}, {"every": "1 years"}])
def test_a_reading_that_goes_to_its_limit_is_looked_at_before_that(keys: dict[str, str], tmp_path: Path) -> None:
    """78, 75.. 63 psi on 2025-10-23: 60 about four months later; the next reading by its own rule comes in October."""
    logbook = falling(tmp_path / "store", 3, **keys)
    (item,) = [each for each in due(logbook, TODAY).items if each.kind == TREND]
    assert item.expected is not None
    plan = ahead(logbook)
    visit = next(visit for visit in plan.visits if "compression" in visit.checks)
    assert visit.on <= item.expected.likely
    assert "compression" in visit.names
    (doing,) = [each for each in visit.doings if each.kind == TREND]
    assert doing.item == "compression/cylinder-1"
    assert doing.words.endswith(f" about {item.expected.likely}")
    assert "cowling" in visit.panels


def test_a_reading_that_stays_is_no_item_of_the_year(tmp_path: Path) -> None:
    plan = ahead(falling(tmp_path / "store", 0))
    assert not any(doing.kind == TREND for visit in plan.visits for doing in visit.doings)
