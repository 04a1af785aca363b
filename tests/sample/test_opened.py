"""The sample's work records say which panels came off, and what that made owed was done."""

import datetime as dt

import pytest

from inspect_kit.due import due
from inspect_kit.due.answer import STOP_OWED
from inspect_kit.model.finding import DONE
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.opened import taken_as_off
from inspect_kit.store.loading import load
from tests.sample.plain import ROOT

BOOK = load(ROOT).logbook
assert BOOK is not None
WORK = BOOK.of_kind(Work)
# Laid up from May to November 2022 with the plugs out for the preservative; wings and brake hoses in April 2025.
NOT_READY = (dt.date(2022, 5, 21), dt.date(2022, 11, 12)), (dt.date(2025, 4, 5), dt.date(2025, 4, 18))
# From the first inspection on: of the builder's first year not all that the new engine made owed is on record.
SINCE = dt.date(2018, 5, 26)


@pytest.mark.parametrize("record", WORK, ids=lambda record: record.name)
def test_no_record_is_silent_about_a_panel_that_disturbs(record: Work) -> None:
    done = [each.check for each in record.results if each.answer == DONE]
    assert taken_as_off(record, map(BOOK.id_now, (*record.did, *done)), BOOK) == ()


@pytest.mark.parametrize("panel", ["plugs-out", "propeller-off", "wing-left-off", "wing-right-off"])
def test_what_such_a_panel_makes_owed_was_done_by_the_next_day(panel: str) -> None:
    disturbs = BOOK.panels[panel].disturbs
    after = [each.id for each in BOOK.checks.values() if any(why.what in disturbs for why in each.owed_after)]
    assert after
    found = [record.date + dt.timedelta(days=1) for record in WORK if panel in record.opened]
    assert found
    for day in found:
        if day <= SINCE or any(first <= day <= last for first, last in NOT_READY):
            continue
        told = " ".join(stop.text for stop in due(BOOK, day, expect=False).stops if stop.kind == STOP_OWED)
        assert [each for each in after if f"({each})" in told] == [], day
