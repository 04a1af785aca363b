"""The forecast: the same answer for the same store and day, its quantile against numpy, and plain sense."""

import datetime as dt
import time
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.due import Forecast, due
from inspect_kit.due.forecast import _quantile
from tests.due.owners import KINDS, life
from tests.due.test_oracle import world
from tests.due.world import logbook_of

TODAY = dt.date(2016, 6, 1)


def known(kind: str, seed: int) -> list[tuple[dt.date, Decimal]]:
    return [reading for reading in life(kind, seed)[1] if reading[0] <= TODAY]


@pytest.mark.parametrize("kind", KINDS)
def test_early_likely_late_stand_in_order_and_more_hours_come_later(kind: str) -> None:
    readings = known(kind, 1)
    forecast = Forecast(readings, TODAY)
    before = (TODAY, TODAY, TODAY)
    for hours in (1, 10, 25, 50, 100):
        dates = forecast.when(readings[-1][1] + hours)
        assert TODAY <= dates[0] <= dates[1] <= dates[2]
        assert dates[1] >= before[1]
        before = dates
    assert Forecast(readings, TODAY).when(readings[-1][1] + 25) == forecast.when(readings[-1][1] + 25)


def test_a_new_aircraft_has_a_wide_interval_and_one_with_history_a_narrower_one() -> None:
    readings = known("steady", 3)
    old = Forecast(readings, TODAY)
    new = Forecast(readings[:1], readings[0][0])
    widths = []
    for forecast, start, total in ((new, readings[0][0], Decimal(25)), (old, TODAY, readings[-1][1] + 25)):
        early, likely, late = forecast.when(total)
        widths.append((late - early).days / max(1, (likely - start).days))
    assert widths[0] > widths[1]


@given(st.lists(st.floats(-5, 5), min_size=1, max_size=40), st.floats(0.01, 1))
def test_the_quantile_is_numpys_inverted_distribution(values: list[float], share: float) -> None:
    """numpy.quantile(method='inverted_cdf') with equal weights."""
    drawn = sorted((value, 1.0) for value in values)
    wanted = share * len(values)
    if abs(wanted - round(wanted)) < 1e-6:
        return  # On a step itself the last digit of a product decides.
    assert _quantile(drawn, share) == np.quantile(np.array(values), share, method="inverted_cdf")


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "America/Adak", "Asia/Kathmandu"])
def test_the_clocks_zone_changes_nothing(zone: str, monkeypatch: pytest.MonkeyPatch) -> None:
    checks, events, today = world(5)
    here = due(logbook_of(checks, events), today)
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        assert due(logbook_of(checks, events), today).items == here.items
    finally:
        monkeypatch.undo()
        time.tzset()
