"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

import datetime as dt
from dataclasses import replace

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from inspect_kit.model.asked_once import asked_once
from inspect_kit.model.kinds.installed import plain_serial
from inspect_kit.model.withdrawn import Withdrawn
from tests.audit.conftest import Write
from tests.due.small import book


@pytest.mark.parametrize("words", ["by 30 September 2027", "by 30 Sep 2027", "before Sep 30, 2027", "2027-09-30"])
def test_a_day_that_a_directive_names(words: str) -> None:
    assert asked_once(words) == dt.date(2027, 9, 30)


def test_a_month_that_is_none() -> None:
    assert asked_once("by 30 Sept 2027") is None


@pytest.mark.parametrize("serial", ["12 34", "12\u00a034", "12\u200b34", "1234 "])
def test_blanks_in_a_serial_are_passed_over(serial: str) -> None:
    assert plain_serial(serial) == plain_serial("1234")


def test_a_directive_of_a_check_that_comes_at_an_unknown_inspection_is_no_fault_of_the_program() -> None:
    checks = "- [ ] `look` Look\n  - every: yearly inspection\n"
    letter = (
        "kind: directive\nnumber: SL-1\nissuer: maker\nsubject: cracks\nauthority: maker's letter\non: aircraft\n"
        'applies: "yes"\nonce: within 25 h\ncheck: look\n'
    )
    told = [each.message for each in audit(book(checks, {"2018-02-01-letter": letter}), dt.date(2018, 3, 1))]
    assert any("yearly" in message for message in told)


def test_a_record_that_was_withdrawn_for_no_reason() -> None:
    logbook = book(records={"2018-02-01-hours": "kind: hours\nmeters: {tach: 1}\n"})
    (record,) = logbook.records
    # Of a long one the first forty characters are told.
    for reason, quoted in (("n/a", ["n/a"]), ("?" * 40 + "!!", ["?" * 40]), ("entered twice", [])):
        gone = Withdrawn(record=record, date=record.date, reason=reason, by="Ada", place=record.place)
        told = [each.message for each in audit(replace(logbook, withdrawn=(gone,)), record.date)]
        assert told == [f"withdrawn: `{words}` is no reason: say why, in words" for words in quoted]


def test_a_meter_that_runs_back_is_no_note_in_a_sealed_record_either() -> None:
    """Every total rests on the meters; what else a sealed record says wrongly only an amendment can say otherwise."""
    records = {f"2018-02-0{day}-hours": f"kind: hours\nmeters: {{tach: {reads}}}\n" for day, reads in ((1, 9), (2, 5))}
    logbook = book(records=records)
    sealed = logbook.with_records(replace(each, seal="a" * 64) for each in logbook.records)
    (told,) = audit(sealed, dt.date(2018, 3, 1))
    assert (told.message.partition(" on ")[0], told.note) == ("tach reads 5", False)


@pytest.mark.parametrize(
    ("read", "found", "is_problem"),
    [
        ("cyl. 1: 76 psi", "", True),
        ("c1: 76 psi", "", True),
        ("front left: 40 psi", "", True),
        ("'1': 40", "", True),
        ("front left: 76 psi", "", False),
        ("front left: 40 psi", "findings: {F1: {check: compression, found: leaks, fix: before flight}}\n", False),
        ("front left: 40 kg", "", False),
    ],
)
def test_a_value_by_a_label_that_its_check_does_not_ask_for(
    write: Write, read: str, found: str, is_problem: bool
) -> None:
    """In fewer letters, or out of what would be its limit, it was a note, and 40 psi of 60 went by."""
    head = "@ records/2026/2026-06-02-w.yaml\nformat: 1\nkind: work\ndate: 2026-06-02\ndid: [compression]\n"
    loaded = store.load(write(f"{head}readings:\n  compression: {{{read}}}\n{found}"))
    assert loaded.logbook is not None
    told = [each for each in audit(loaded.logbook) if "`compression` asks for no" in each.message]
    assert [not each.note for each in told] == ([is_problem] if "kg" not in read else [])
