"""A limit that falls due before the work of a visit can be done, in the sessions that the owner has."""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.due import CHECK, INSPECTION
from inspect_kit.visits.answer import Doing, Visit
from inspect_kit.visits.outlasted import outlasted
from tests.due.small import AIRCRAFT, book

CHECKS = """\
- [ ] `belts` Belts
  - every: 30 days
  - bars: flight
- [ ] `paint` Paint
  - every: 30 days
- [ ] `oil` Oil
  - every: 50 h or 4 months
  - bars: flight
- [ ] `altimeter` Altimeter
  - every: 24 calendar months
  - who: others: repair station
  - bars: flight
"""
SATURDAYS = AIRCRAFT + "sessions: [Saturday 09:00-10:00]\ncrew: {people: 1, inspectors: 1}\n"
ON = dt.date(2026, 11, 26)


def told(item: str, due: dt.date | None, kind: str = CHECK, aircraft: str = SATURDAYS) -> list[str]:
    """Of a visit on a Thursday with two hours of work: Saturdays the 28th and the 5th hold them."""
    doing = Doing(
        item=item,
        kind=kind,
        words=item,
        panel="box",
        on=ON,
        due=due,
        early=0,
        pulled=False,
        given_away="",
        wastes=0.0,
        saves=0.0,
    )
    visit = Visit(
        on=ON,
        reads={},
        reads_heavy={},
        names=(item,),
        findings=(),
        checks=(item,) if kind == CHECK else ("belts",),
        panels=(),
        panel_labour=0,
        check_labour=120,
        doings=(doing,),
        outside=False,
        money=Decimal(0),
    )
    return list(outlasted((visit,), book(CHECKS, aircraft=aircraft)))


def test_a_check_and_an_inspection_are_named_with_the_days_between() -> None:
    said = "The work of 2026-11-26 is done on 2026-12-05 at the earliest, in your sessions: "
    assert told("belts", dt.date(2026, 12, 1)) == [f"{said}4 days after Belts (belts) is due (2026-12-01)."]
    assert told("condition", dt.date(2026, 12, 4), INSPECTION) == [
        f"{said}1 day after the condition inspection runs out (2026-12-04)."
    ]


@pytest.mark.parametrize(
    ("item", "due"),
    [
        ("belts", dt.date(2026, 12, 5)),
        ("belts", None),
        # It bars nothing; it counts hours too, and nobody flies meanwhile; others do it.
        ("paint", dt.date(2026, 12, 1)),
        ("oil", dt.date(2026, 12, 1)),
        ("altimeter", dt.date(2026, 12, 1)),
    ],
)
def test_what_is_done_in_time_or_binds_nobody_is_not_told(item: str, due: dt.date | None) -> None:
    assert told(item, due) == []


def test_without_sessions_nobody_knows_how_long_it_takes() -> None:
    assert told("belts", dt.date(2026, 12, 1), aircraft=AIRCRAFT) == []
