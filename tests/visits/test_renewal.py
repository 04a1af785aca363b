"""Past its limit is after the day, and above the total; on it and at it, it is not."""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.due.chronicle import Moment
from inspect_kit.due.limits import LimitPoint
from inspect_kit.errors import Place
from inspect_kit.visits.renewal import is_past

DAY = dt.date(2026, 11, 27)


def moment(day: dt.date, total: str) -> Moment:
    reads = Decimal(total)
    return Moment(date=day, totals={"tach": reads}, clock=reads, place=Place("x"), order=(day, reads))


@pytest.mark.parametrize(("days", "past"), [(-1, False), (0, False), (1, True)])
def test_a_limit_by_the_calendar(days: int, past: bool) -> None:
    assert is_past(LimitPoint(date=DAY), moment(DAY + dt.timedelta(days=days), "0")) is past


@pytest.mark.parametrize(("total", "past"), [("109.9", False), ("110.0", False), ("110.1", True)])
def test_a_limit_on_a_meter(total: str, past: bool) -> None:
    point = LimitPoint(meter="tach", total=Decimal(110), unit="h")
    assert is_past(point, moment(DAY, total)) is past
