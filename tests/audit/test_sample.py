"""The sample aircraft contradicts itself nowhere."""

import datetime as dt
from pathlib import Path

from inspect_kit import store
from inspect_kit.audit import audit

ROOT = Path(__file__).parents[2]


def test_no_problem() -> None:
    loaded = store.load(ROOT)
    assert loaded.problems == ()
    assert loaded.logbook is not None
    assert len(loaded.logbook.records) > 100
    assert audit(loaded.logbook, dt.date(2026, 11, 25)) == ()
