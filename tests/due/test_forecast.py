"""The forecast: the same answer for the same store and day, its quantile against numpy, and plain sense."""

import datetime as dt
import time
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.due import due
from inspect_kit.due.forecast import Forecast, _drawn, _quantiles
from tests.bench.due import questions
from tests.due.owners import KINDS, WAYS, life
from tests.due.test_oracle import world
from tests.due.world import logbook_of

TODAY = dt.date(2016, 6, 1)


def known(kind: str, seed: int) -> list[tuple[dt.date, Decimal]]:
    return [reading for reading in life(kind, seed)[1] if reading[0] <= TODAY]


@pytest.mark.parametrize("kind", KINDS)
def test_early_likely_late_stand_in_order_and_more_hours_come_later(kind: str) -> None:
    readings = known(kind, 1)
    forecast = Forecast(readings, TODAY)
    before = (readings[-1][0], readings[-1][0], readings[-1][0])
    for hours in (1, 10, 25, 50, 100):
        dates = forecast.when(readings[-1][1] + hours)
        # Before today is what a silence may hide; nothing was reached before the last reading.
        assert readings[-1][0] <= dates[0] <= dates[1] <= dates[2]
        assert dates[1] >= before[1]
        before = dates
    assert Forecast(readings, TODAY).when(readings[-1][1] + 25) == forecast.when(readings[-1][1] + 25)


@pytest.mark.parametrize(("hours", "days"), [(38.6, 4), (88.6, 9), (5, 0)])
def test_no_early_date_asks_for_more_than_a_day_holds(hours: float, days: int) -> None:
    """Read today for the first time; 10 h is a long day's flying, so 38.6 h are four of them at least."""
    readings = [(TODAY, Decimal(812))]
    early, likely, _ = Forecast(readings, TODAY).when(Decimal(812) + Decimal(str(hours)))
    assert (early - TODAY).days >= days
    assert early <= likely
    # What a silence may hide was flown in it: ten days hold it all.
    silent = Forecast(readings, TODAY + dt.timedelta(days=10)).when(Decimal(812) + Decimal(str(hours)))
    assert TODAY <= silent[0] <= silent[1]


def test_a_past_with_few_readings_makes_no_heavy_use_that_was_never_flown() -> None:
    """Records of the past, months apart, and then a reading a week: it is 188 h in 214 days at most, and 100 h were
    looked for in 53 days, 500 h in 146.
    """
    past = ((2023, 5, 1, 12), (2023, 12, 1, 200), (2024, 1, 15, 210), (2024, 3, 16, 260), (2024, 9, 1, 295))
    readings = [(dt.date(year, month, day), Decimal(reads)) for year, month, day, reads in past]
    readings += [(dt.date(2024, 11, 23) + dt.timedelta(days=7 * week), Decimal(316 + 2 * week)) for week in range(15)]
    today = readings[-1][0]
    forecast = Forecast(readings, today)
    for hours in (100, 500):
        early, _, _ = forecast.when(readings[-1][1] + hours)
        assert hours / (early - today).days < 1.5 * 188 / 214


def test_a_new_aircraft_has_a_wide_interval_and_one_with_history_a_narrower_one() -> None:
    readings = known("steady", 3)
    old = Forecast(readings, TODAY)
    new = Forecast(readings[:1], readings[0][0])
    widths = []
    for forecast, start, total in ((new, readings[0][0], Decimal(25)), (old, TODAY, readings[-1][1] + 25)):
        early, likely, late = forecast.when(total)
        widths.append((late - early).days / max(1, (likely - start).days))
    assert widths[0] > widths[1]


def test_the_interval_holds_about_eight_of_ten() -> None:
    """A small check; the table of kinds and ways is that of `python -m tests.bench due`."""
    answers = [each for kind in KINDS for way in WAYS for each in questions(kind, 71, way, 365)]
    assert len(answers) > 900
    assert 0.72 <= sum(each.inside for each in answers) / len(answers) <= 0.90
    assert sum(each.before for each in answers) / len(answers) <= 0.13


def test_forecasts_whose_truth_is_to_come_count_as_missing_by_more() -> None:
    """Freireich's remission times, 6-mercaptopurine: survival at 6, 7, 10, 13, 16, 22, 23 weeks.

    Source: Freireich et al. 1963, as worked in Collett, Modelling Survival Data in Medical Research (from memory).
    """
    ended = [6, 6, 6, 7, 10, 13, 16, 22, 23]
    censored = [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]
    drawn = _drawn([float(week) for week in (*ended, *censored)], len(ended), [1.0] * (len(ended) + len(censored)))
    survival = {}
    left = 1.0
    for week, share in drawn:
        left -= share
        survival[week] = round(left, 3)
    assert [survival[week] for week in (6, 7, 10, 13, 16, 22, 23)] == [0.857, 0.807, 0.753, 0.690, 0.627, 0.538, 0.448]
    assert sum(share for _, share in drawn) == pytest.approx(1)


@given(st.lists(st.floats(-5, 5), min_size=1, max_size=40), st.floats(0.01, 1))
def test_the_quantile_is_numpys_inverted_distribution(values: list[float], share: float) -> None:
    """numpy.quantile(method='inverted_cdf') with equal weights."""
    drawn = sorted((value, 1.0) for value in values)
    wanted = share * len(values)
    if abs(wanted - round(wanted)) < 1e-6:
        return  # On a step itself the last digit of a product decides.
    assert _quantiles(drawn, [share]) == np.quantile(np.array(values), share, method="inverted_cdf")


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


@pytest.mark.parametrize("before", [("2024-03-10 752.6",), ("2019-05-17 0", "2024-03-10 752.6"), ("2022-01-10 520",)])
def test_a_few_readings_of_years_before_the_store_widen_nothing(before: tuple[str, ...]) -> None:
    """A store that was begun late: what was flown then is known, and no forecast can have missed there."""
    readings = [*before, "2024-11-20 812.4", "2025-01-10 820", "2025-03-05 831", "2025-06-20 874.2", "2025-11-15 915.7"]
    points = [(dt.date.fromisoformat(each[:10]), Decimal(each[11:])) for each in readings]
    day = points[-1][0]
    early, _, late = Forecast(points, day).when(Decimal("955.7"))
    # At 103 h in 360 days, 40 h take 140 days: half of that, and twice that, is what the outlook has room for.
    assert day + dt.timedelta(days=60) <= early
    assert late <= day + dt.timedelta(days=350)
    heavy, _, _ = Forecast(points, day).when(Decimal("1915.7"))
    assert (heavy - day).days > 365
