"""What is used on the day of a count is taken off it, whatever the files are called; what is open stays open."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_kit.due.shelf import shelf
from inspect_kit.errors import Place
from inspect_kit.model.checklist import Part
from inspect_kit.model.interval import Limit
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.record import Record

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


FEBRUARY, AUGUST = dt.date(2026, 2, 1), dt.date(2026, 8, 20)
SIX_MONTHS = (Limit(number=Decimal(6), unit="months"),)


def counted(name: str, day: dt.date, amount: str, lot: str = "A", opened_on: dt.date | None = None) -> Stock:
    return Stock(
        name=name,
        date=day,
        item="sealant",
        amount=amount,
        lot=lot,
        good_until=dt.date(2028, 1, 1),
        good_for=SIX_MONTHS,
        opened_on=opened_on,
        place=Place("records/2026/x.yaml"),
    )


def opened(*records: Record) -> list[tuple[str, dt.date | None, bool]]:
    """Each lot on the shelf: its name, when it was opened, and whether it is good on the last day."""
    works = [each.name for each in records if isinstance(each, Work)]
    lots = shelf(records, dict.fromkeys(works, (Part(name="sealant", amount="2 oz"),)))
    return [(lot.stock.lot, lot.opened, lot.good_on(AUGUST)) for lot in lots]


BOUGHT = counted("a", dt.date(2026, 1, 10), "8 oz")
USED = Work(name="b", date=FEBRUARY, parts=("2 oz sealant",), place=Place("records/2026/x.yaml"))


@pytest.mark.parametrize(
    "before",
    [
        (BOUGHT, USED),
        (counted("a", FEBRUARY, "8 oz", opened_on=FEBRUARY),),
        (BOUGHT, USED, counted("c", dt.date(2026, 5, 1), "6 oz")),
        (BOUGHT, USED, replace(USED, name="c", date=dt.date(2026, 3, 1))),
    ],
    ids=["by work", "by a count", "counted twice", "used twice"],
)
def test_an_open_box_is_not_fresh_again_by_counting_it(before: tuple[Record, ...]) -> None:
    assert opened(*before, counted("z", AUGUST, "4 oz")) == [("A", FEBRUARY, False)]


def test_nor_where_the_count_does_not_say_how_long_it_is_good() -> None:
    silent = replace(counted("z", AUGUST, "4 oz"), good_for=())
    assert opened(BOUGHT, USED, silent) == [("A", FEBRUARY, False)]
    year = (Limit(number=Decimal(12), unit="months"),)
    assert opened(BOUGHT, USED, replace(silent, good_for=year)) == [("A", FEBRUARY, True)]


def test_a_count_of_the_day_of_the_work_that_came_after_it_keeps_that_it_was_opened() -> None:
    again = replace(counted("c", FEBRUARY, "6 oz"), follows=("b",))
    assert opened(BOUGHT, USED, again) == [("A", FEBRUARY, False)]


def test_a_count_that_says_when_it_was_opened_is_believed() -> None:
    july = dt.date(2026, 7, 1)
    assert opened(BOUGHT, USED, counted("z", AUGUST, "8 oz", opened_on=july)) == [("A", july, True)]


def test_a_new_lot_and_one_that_was_gone_are_new_boxes() -> None:
    new = counted("z", AUGUST, "8 oz", lot="B")
    assert opened(BOUGHT, USED, new) == [("A", FEBRUARY, False), ("B", None, True)]
    assert opened(BOUGHT, USED, counted("c", AUGUST, "0 oz"), counted("z", AUGUST, "8 oz")) == [("A", None, True)]
