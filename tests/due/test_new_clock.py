"""A clock that is first read after another had run: no new aircraft begins with it."""

from decimal import Decimal

import pytest

from inspect_kit.audit import audit
from inspect_kit.due import PAST_DUE, SOON, UNKNOWN, Item, due
from inspect_kit.due.unwritten import gap_of
from inspect_kit.model.logbook import Logbook
from tests.due.small import AIRCRAFT, book, on

TWO = AIRCRAFT.replace("meters: {tach: {unit: h}", "meters: {tach: {unit: h}, ems: {unit: h}")
ON_EMS = TWO.replace("time-in-service: tach", "time-in-service: ems")
CHECKS = """\
- [ ] `grease` Grease
  - every: 25 h
- [ ] `look` Look
  - every: 100 h
- [ ] `blade` Blade
  - life: 1000 h
  - counts-on: prop
- [ ] `yearly` Yearly
  - every: 12 months
- [ ] `gear` Gear
  - every: 200 landings
"""
FLOWN = {
    "2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n",
    "2018-01-15-prop": "kind: installed\nposition: prop\nserial: P-1\nsince-new: 0\nmeters: {tach: 0.0}\n",
    "2018-05-01-grease": "kind: work\ndid: [grease]\nmeters: {tach: 70, landings: 90}\n",
    "2018-06-01-hours": "kind: hours\nmeters: {tach: 82}\n",
}
NEW = {"2018-06-10-ems": "kind: hours\nmeters: {ems: 0.0, tach: 82}\n"}
BROUGHT = {"2018-06-10-total": "kind: brought-forward\nmeters: {ems: {reads: 0.0, total: 82}}\n"}


def kept(records: dict[str, str], aircraft: str = ON_EMS) -> Logbook:
    return book(CHECKS, {**FLOWN, **records}, aircraft=aircraft)


def told(logbook: Logbook, name: str, day: str = "2018-07-01") -> Item:
    item = due(logbook, on(day), expect=False).item(name)
    assert item is not None
    return item


@pytest.mark.parametrize("name", ["grease", "look", "blade"])
def test_what_counts_on_it_is_unknown_until_somebody_says_what_the_aircraft_had(name: str) -> None:
    item = told(kept(NEW), name)
    assert (item.state, item.due.total) == (UNKNOWN, None)
    assert any(line.text.startswith("ems was first read on 2018-06-10, when tach had 82 h") for line in item.lines)


def test_the_calendar_and_the_landings_go_on_from_the_beginning() -> None:
    assert told(kept(NEW), "yearly").due.date == on("2019-01-15")
    assert told(kept(NEW), "gear").due.total == Decimal(200)


def test_it_is_a_problem_that_says_both_ways_out() -> None:
    (problem,) = (each for each in audit(kept(NEW)) if "first read" in each.message)
    assert problem.place.file == "records/2018/2018-06-10-ems.yaml"
    assert not problem.note
    assert "`time-in-service: tach`" in problem.message
    assert "`inspect-kit meter tach --old 82 --new 0.0`" in problem.message
    assert "`meters: {ems: {reads: 0.0, total: 82}}`" in problem.message


def test_an_unknown_item_says_where_that_total_belongs() -> None:
    answer = due(kept(NEW), on("2018-07-01"), expect=False)
    item = answer.item("blade")
    assert item is not None
    gap = gap_of(answer, item)
    assert gap is not None
    assert gap.place.file == "records/2018/2018-06-10-ems.yaml"
    assert gap.words.startswith("ems: {reads: 0.0, total: TOTAL}, under `meters` of a record `kind: brought-forward`")


@pytest.mark.parametrize("also", [{}, NEW])
def test_brought_forward_it_goes_on_from_what_the_other_had(also: dict[str, str]) -> None:
    records = kept({**BROUGHT, **also, "2018-06-20-h": "kind: hours\nmeters: {ems: 6.0}\n"})
    assert [each for each in audit(records) if "first read" in each.message] == []
    assert [told(records, name).due.total for name in ("grease", "look", "blade")] == [*map(Decimal, (95, 100, 1000))]
    assert told(records, "grease").state == SOON
    flown = kept({**BROUGHT, "2018-06-20-h": "kind: hours\nmeters: {ems: 13.1}\n"})
    assert told(flown, "grease").state == PAST_DUE


def test_where_the_totals_are_not_the_same_the_use_since_counts() -> None:
    """300 h of an earlier tach that no record reads: 12 h since the grease all the same."""
    records = kept({"2018-06-10-total": "kind: brought-forward\nmeters: {ems: {reads: 0.0, total: 382}}\n"})
    assert told(records, "grease").due.total == Decimal(395)


def test_a_record_between_two_readings_lies_between_their_totals() -> None:
    done = {"2018-05-20-look": "kind: work\ndid: [look]\n"}
    history = kept({**BROUGHT, **done}).meter_history("ems")
    assert (history.earlier(on("2018-05-20")), history.later(on("2018-05-20"))) == (Decimal(70), Decimal(82))
    assert (history.by(on("2018-05-01")), history.is_read_on(on("2018-05-01"))) == (Decimal(70), True)
    assert told(kept({**BROUGHT, **done}), "look").due.total == Decimal(170)


@pytest.mark.parametrize(
    "records",
    [
        # A tach of the first day that runs slower than the other, and was written down later.
        {"2018-06-10-ems": "kind: hours\nmeters: {ems: 60}\n"},
        {"2018-01-15-ems": "kind: hours\nmeters: {ems: 0.0}\n"},
    ],
)
def test_one_that_ran_all_along_is_none(records: dict[str, str]) -> None:
    logbook = kept(records)
    assert [each for each in audit(logbook) if "first read" in each.message] == []
    assert told(logbook, "grease").due.total == Decimal(25)


def test_a_second_meter_that_does_not_count_is_none() -> None:
    logbook = kept(NEW, TWO)
    assert [each for each in audit(logbook) if "first read" in each.message] == []
    assert told(logbook, "grease").due.total == Decimal(95)


def test_a_part_whose_hours_are_not_known_at_its_fitting_is_named_by_them() -> None:
    """No `None` stands in the arithmetic."""
    for logbook in (kept(NEW), kept({"2018-06-10-ems": "kind: hours\nmeters: {ems: 0.0}\n"})):
        assert not [line.text for line in told(logbook, "blade").lines if "None" in line.text]


def test_a_finding_put_off_by_the_clock_before_is_due_on_that_clock() -> None:
    """By 90 h of the tach, 8 h on; on the new clock that is 390 h, and without its total nobody knows."""
    found = "kind: finding\ncheck: look\nfound: chafed\nfix: by 90 h\nmay wait because: outer braid\n"
    records = {"2018-06-02-f": found}
    assert told(kept(records), "2018-06-02-f#F1").state == UNKNOWN
    assert told(kept({**records, **NEW}), "2018-06-02-f#F1").state == UNKNOWN
    brought = {"2018-06-10-total": "kind: brought-forward\nmeters: {ems: {reads: 0.0, total: 382}}\n"}
    item = told(kept({**records, **brought}), "2018-06-02-f#F1")
    assert (item.state, item.due.total) == (SOON, Decimal(390))
    later = {"2018-06-11-f": found.replace("90", "390")}
    assert told(kept({**later, **brought}), "2018-06-11-f#F1").due.total == Decimal(390)
