"""A certificate in words that is no number, or that has ended: nobody signs an inspection by it."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Outcome, Run
from tests.cli.test_sealing import ADA, Page, page, refused

__all__ = ["page"]

NUMBER = '"0000001"'
NONE = (
    *("applied for", "pending", "none", "TBD", "0000001?", "expired", "123 (expired)", "revoked", "student"),
    *("0000001 (until 2026-10-31)", "0000001, expires 2026-10", "0000001 valid to 2025", "valid to 2020-01-01"),
    "valid to 2031-01-01",
)
HELD = ("0000001", "0000001 (until 2026-11-22)", "0000001 exp 2026-11", "A&P 2012345 valid to 2031", "R-2019-07-0042")


def called(hangar: Path, number: str) -> None:
    air = hangar / "records/aircraft.yaml"
    text = air.read_text(encoding="utf-8")
    assert NUMBER in text
    air.write_text(text.replace(NUMBER, json.dumps(number)), encoding="utf-8")


def sign(run: Run, hangar: Path) -> Outcome:
    return run(hangar, "sign", "--as", ADA, "--ink", "log p. 4", typed=(ADA,), on="2026-11-22")


@pytest.mark.parametrize("number", NONE)
def test_no_inspection_is_signed_by_what_is_no_number(run: Run, hangar: Path, page: Page, number: str) -> None:
    """It was sealed and counted; of some of them the statement was shown first."""
    page("condition", "tach=401.0")
    called(hangar, number)
    refused(run, hangar, lambda: sign(run, hangar), f"`{number}`, which records/aircraft.yaml has as the certificate")
    assert "in a condition for safe operation" not in sign(run, hangar).out


# How a day is typed elsewhere.
ENDED = (
    *("0000001 until 31 May 2026", "0000001 until May 2026", "0000001 thru 5/31/2026", "0000001, exp. 12/2025"),
    *("0000001 (temporary, good through October 31, 2026)", "0000001 expires 21.11.2026", "0000001 valid to Oct 2026"),
    *("0000001 exp: 31-OCT-2026", "0000001 (expiration date 10/2026)", "0000001 ends 2026/10/31"),
    "0000001 until Nov. 1st, 2026",
    "0000001 valid 31 May 2026",
    "0000001 exp. date: 5/2026",
)
UNREAD = (
    *("0000001 good 120 days from 2026-08-10", "0000001 until 5/6/2027", "0000001 exp 12/27"),
    "0000001 valid for 2 years",
    *("0000001 until next spring", "0000001 expires 31MAY2027", "0000001 thru 32 May 2027", "0000001 until 5/31/27"),
)
GOOD = (
    *("0000001 until 31 May 2027", "0000001 until Nov 2026", "0000001 thru 5/31/2027", "0000001, exp. 12/2026"),
    *("0000001 until 22 November 2026", "0000001 (no expiration date)", "0000001, never expires", "0000001 exp: none"),
    *("0000001 until further notice", "Exp. aircraft builder 0000001", "EXP-0000001", "0000001 through FSDO 12"),
    *("0000001 valid for N0XX", "0000001 does not expire", "MAY-2012345", "12/2025-0000001", "0000001 until 2026"),
    *("0000001 valid 12", "0000001 to 12/13"),
)


@pytest.mark.parametrize("number", ENDED)
def test_the_day_on_which_it_ends_is_read_as_typed_elsewhere(
    run: Run, hangar: Path, page: Page, number: str
) -> None:
    """Only a day that began with its year was read: it was sealed and counted."""
    page("condition", "tach=401.0")
    called(hangar, number)
    refused(run, hangar, lambda: sign(run, hangar), f"`{number[:40]}`, which records/aircraft.yaml has", "ended on 202")
    assert "in a condition for safe operation" not in sign(run, hangar).out


@pytest.mark.parametrize("number", UNREAD)
def test_one_that_ends_on_a_day_nobody_can_read_says_how_to_write_it(
    run: Run, hangar: Path, page: Page, number: str
) -> None:
    page("condition", "tach=401.0")
    called(hangar, number)
    how = "write it there as in `0000001 until 2027-05-31`"
    refused(run, hangar, lambda: sign(run, hangar), f"`{number[:40]}`, which records/aircraft.yaml has", how)
    called_again = hangar / "records/aircraft.yaml"
    text = called_again.read_text(encoding="utf-8")
    called_again.write_text(text.replace(json.dumps(number), '"0000001 until 2027-05-31"'), encoding="utf-8")
    assert "Sealed: " in sign(run, hangar).out


@pytest.mark.parametrize("number", GOOD)
def test_one_that_has_not_ended_or_never_does_signs(run: Run, hangar: Path, page: Page, number: str) -> None:
    page("condition", "tach=401.0")
    called(hangar, number)
    assert "Sealed: " in sign(run, hangar).out


@pytest.mark.parametrize("number", ["0000001 until 31 May 2026", "0000001 until 5/6/2027"])
def test_what_is_sealed_and_an_entry_on_paper_stay_as_they_are(
    run: Run, hangar: Path, page: Page, number: str
) -> None:
    page("condition", "tach=401.0")
    assert "Sealed: " in sign(run, hangar).out
    called(hangar, number)
    head = "format: 1\nkind: paper-entry\ndate: 2026-11-01\nmeters: {tach: 400.5}\ntext: Condition inspection, passed\n"
    by = f"by: {{name: {ADA}, kind: repairman (experimental aircraft builder), certificate: {json.dumps(number)}}}\n"
    entry = hangar / "records/2026/2026-11-01-paper-entry-x.yaml"
    entry.write_text(f"{head}paper: aircraft log p. 50\nlast: [condition]\n{by}", encoding="utf-8")
    assert "certificate" not in run(hangar, "verify").err
    (item,) = json.loads(run(hangar, "due", "condition", "--json").out)["items"]
    assert item["due"]["date"] == "2027-11-30"


@pytest.mark.parametrize("number", HELD)
def test_one_that_is_held_signs(run: Run, hangar: Path, page: Page, number: str) -> None:
    called(hangar, number)
    page("condition", "tach=401.0")
    assert "Sealed: " in sign(run, hangar).out


def test_work_is_signed_by_whoever_did_it(run: Run, hangar: Path, page: Page) -> None:
    called(hangar, "applied for")
    page("oil", "tach=401.0")
    assert "Sealed: " in sign(run, hangar).out


@pytest.mark.parametrize(
    ("number", "counts"),
    [
        ("applied for", False),
        ("0000001 (until 2026-10-31)", False),
        ("0000001 (until 2026-11-01)", True),
        # It may have been held when the paper was signed.
        ("0000001 (expired)", True),
        ("0000001", True),
    ],
)
def test_nor_an_entry_on_paper_under_the_name_alone(run: Run, hangar: Path, number: str, counts: bool) -> None:
    called(hangar, number)
    text = f"text: Condition inspection, passed\npaper: aircraft log p. 50\nlast: [condition]\nby: {ADA}\n"
    head = "format: 1\nkind: paper-entry\ndate: 2026-11-01\nmeters: {tach: 400.5}\n"
    entry = hangar / "records/2026/2026-11-01-paper-entry-x.yaml"
    entry.write_text(head + text, encoding="utf-8")
    (item,) = json.loads(run(hangar, "due", "condition", "--json").out)["items"]
    assert item["due"]["date"] == ("2027-11-30" if counts else "2026-12-31")
    verify = run(hangar, "verify")
    named = f"`{number}`, in records/aircraft.yaml, is the number of no" in verify.err + verify.out
    assert named is not counts, verify


def test_a_signed_inspection_stays_signed_and_its_amendment_is_refused(run: Run, hangar: Path, page: Page) -> None:
    page("condition", "tach=401.0")
    assert "Sealed: " in sign(run, hangar).out
    (record,) = hangar.glob("records/2026/*-condition-*.yaml")
    called(hangar, "0000001 (expired)")
    more = ("--reason", "misread", "--by", ADA, "--yes")
    amended = run(hangar, "amend", record.stem, "tach=401.1", *more, typed=("",) * 5)
    assert amended.code == 0, amended
    (amendment,) = hangar.glob("records/2026/*-amendment-*.yaml")
    words = ("signature", amendment.stem, "--ink", "log p. 5", "--as", ADA)
    refused(run, hangar, lambda: run(hangar, *words), "`0000001 (expired)`, which records/aircraft.yaml has")
    (item,) = json.loads(run(hangar, "due", "condition", "--json").out)["items"]
    assert item["due"]["date"] == "2027-11-30"
