"""What aircraft.yaml says of somebody's certificate, against what a record says of it."""

import datetime as dt

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from inspect_kit.due import chronicle, due
from inspect_kit.model.logbook import Logbook
from tests.due.small import AIRCRAFT, book

PEOPLE = """people:
  - {name: Ada, kind: builder, certificate: "1"}
  - {name: Sam Student, kind: student pilot, certificate: "333"}
  - {name: Pip Ash, kind: helper}
  - {name: Paul Pilot, kind: private pilot, certificate: "222"}
  - {name: Una Owed, kind: repairman}
phases: {test: {hours: 1, statement: It flies well}}
"""
LISTED = AIRCRAFT.replace('people: [{name: Ada, kind: builder, certificate: "1"}]\n', PEOPLE)
ON = dt.date(2026, 5, 9)


def made(records: dict[str, str]) -> Logbook:
    assert LISTED != AIRCRAFT
    return book("", records, aircraft=LISTED)


def told(logbook: Logbook) -> list[tuple[str, bool]]:
    found = [each for each in audit(logbook) if "records/aircraft.yaml" in each.message]
    return [(each.message.split(":")[0], each.note) for each in found]


@pytest.mark.parametrize(
    ("pilot", "counts", "named"),
    [
        ('{name: Sam Student, kind: private pilot, certificate: "333"}', False, [False]),
        ('{name: Pip Ash, kind: private pilot, certificate: "777"}', False, [False]),
        ('{name: Paul Pilot, kind: private pilot, certificate: "999"}', True, [True]),
        # Two certificates, one that is not issued yet, one that was lower then, somebody on no list.
        ('{name: Ada, kind: private pilot, certificate: "9"}', True, []),
        ('{name: Una Owed, kind: private pilot, certificate: "9"}', True, []),
        ('{name: Paul Pilot, kind: commercial pilot, certificate: "222"}', True, []),
        ('{name: Al Roe, kind: private pilot, certificate: "9"}', True, []),
    ],
)
def test_a_flight_check_is_flown_by_whoever_may(pilot: str, counts: bool, named: list[bool]) -> None:
    flown = f"kind: work\ntext: flown\nflight-check: {{done: 2026-05-02, pilot: {pilot}, words: flew well}}"
    logbook = made({"2026-05-02-a": flown})
    assert (due(logbook, ON, expect=False).no_passengers.unflown == ()) is counts
    assert told(logbook) == [("flight-check", note) for note in named]


@pytest.mark.parametrize(
    ("by", "counts"),
    [('{name: Pip Ash, kind: builder, certificate: "9"}', False), ('{name: Paul Pilot, kind: builder}', True)],
)
def test_an_inspection_on_paper_is_by_whoever_may(by: str, counts: bool) -> None:
    paper = f"kind: paper-entry\ntext: inspected\nlast: [condition]\npaper: log p. 9\nby: {by}"
    logbook = made({"2026-05-02-a": paper})
    assert ("condition" in chronicle(logbook).inspections) is counts
    assert (told(logbook) == []) is counts


@pytest.mark.parametrize(
    ("by", "fault"),
    [
        ("{name: Sam Student, kind: private pilot, certificate: '333'}", "student pilot in records/aircraft.yaml"),
        # What the statement says is what is signed: `signature` wrote the number of today, and that is no signature.
        ("{name: Paul Pilot, kind: private pilot, certificate: '999'}", ""),
    ],
)
def test_a_statement_is_signed_as_it_says(by: str, fault: str) -> None:
    logbook = made({"2026-05-02-a": f"kind: phase\ncloses: test\nstatement: It flies well\nby: {by}"})
    (closing,) = logbook.records
    assert closing.by is not None
    named = closing.by.__class__(name=closing.by.name)
    who, said = store.signer_of(named, closing, {}, logbook.aircraft, ON)
    again = store.signer_of(who, closing, {}, logbook.aircraft, ON)[1]
    for each in (said, again):
        assert fault in (each or "")
        assert (each is None) is (not fault)
    assert fault or who.certificate == "999"
