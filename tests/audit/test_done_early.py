"""A directive that was done before it was issued is no slip where a record of that day tells of the work."""

import datetime as dt

import pytest

from inspect_kit.audit import done_early
from tests.due.small import book

DAY, ISSUED = dt.date(2018, 3, 1), dt.date(2018, 6, 1)


@pytest.mark.parametrize(
    ("record", "told"),
    [
        ("kind: work\ntext: hub bolts renewed\n", False),
        ("kind: paper-entry\nmeters: {tach: 5}\ntext: hub bolts renewed\npaper: log p. 5\n", False),
        ("kind: installed\nposition: prop\nserial: P-2\npart: Makers P\nsince-new: 0\nby: Ada\n", False),
        # Flown, and no more.
        ("kind: hours\nmeters: {tach: 5}\n", True),
    ],
)
def test_whatever_tells_of_work_on_that_day(record: str, told: bool) -> None:
    assert bool(done_early(book(records={f"{DAY}-a": record}), ISSUED, DAY)) == told
