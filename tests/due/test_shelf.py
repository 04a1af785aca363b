"""What is used on the day of a count is taken off it, whatever the files are called."""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.due.shelf import shelf
from inspect_kit.errors import Place
from inspect_kit.model.checklist import Part
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.kinds.work import Work

DAY = dt.date(2026, 6, 4)


@pytest.mark.parametrize(("count", "work"), [("a", "b"), ("b", "a")])
@pytest.mark.parametrize(("follows", "left"), [(False, 1), (True, 2)])
def test_a_count_and_what_is_used_on_one_day(count: str, work: str, follows: bool, left: int) -> None:
    place = Place("records/2026/x.yaml")
    after = (work,) if follows else ()
    counted = Stock(name=count, date=DAY, item="oil filter", amount="2", follows=after, place=place)
    used = Work(name=work, date=DAY, parts=("oil filter",), place=place)
    records = sorted((counted, used), key=lambda record: record.name)
    (lot,) = shelf(records, {work: (Part(name="oil filter", amount=""),)})
    assert lot.left == Decimal(left)
