"""What a meter will show: between two days along a line, before the first and after the last as it was there."""

import datetime as dt
from decimal import ROUND_HALF_EVEN, Decimal

import pytest

from inspect_kit.visits.outlook import Curve

FIRST = dt.date(2026, 1, 1)
CURVE = Curve(
    days=(FIRST.toordinal(), FIRST.toordinal() + 10, FIRST.toordinal() + 30),
    totals=(100.0, 105.0, 105.0),
    smallest=Decimal("0.1"),
    rounding=ROUND_HALF_EVEN,
)


@pytest.mark.parametrize(
    ("day", "total"),
    [(-400, "100.0"), (0, "100.0"), (4, "102.0"), (10, "105.0"), (20, "105.0"), (30, "105.0"), (900, "105.0")],
)
def test_a_total_stands_still_where_nothing_is_known(day: int, total: str) -> None:
    assert CURVE.at(FIRST + dt.timedelta(days=day)) == Decimal(total)
