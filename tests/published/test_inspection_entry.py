"""The contents of an inspection entry against what the rules ask for.

Source: 14 CFR 43.11(a)(1)-(5), (b), used as a model since Part 43 does not reach an amateur-built aircraft (43.1(b));
the operating limitations issued under FAA Order 8130.2 (second-hand: as quoted on public pages) add the printed name
and ask for "a condition for safe operation". What must stand in the entry: date, total time in service, the statement,
name, signature, certificate number, kind of certificate.
"""

from dataclasses import replace

import pytest

from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.report import entry_page, html, markdown, plain, report_page
from inspect_kit.report.asked import ReportFacts, SignatureState
from inspect_kit.report.blocks import Page
from inspect_kit.rules.entry import CONTENTS, SIGNATURE_CITATION
from tests.report.small import OPEN_FINDINGS, RECORDS, inspection, logbook

NAME = "2026-11-21-condition-bbbb"
STATEMENT = (
    "I certify that this aircraft has been inspected on 2026-11-21 in accordance with the scope and detail of appendix "
    "D to part 43, and was found to be in a condition for safe operation."
)


def asked(*, passed: bool = True) -> ReportFacts:
    path = f"records/2026/{NAME}.yaml"
    text = inspection("2026-11-21", passed=passed, findings="" if passed else OPEN_FINDINGS)
    book = logbook(RECORDS | {path: text})
    record = book.record(NAME)
    assert record is not None
    states = tuple(
        SignatureState(record=each, verdict=book.verdict(each)) for each in book.signatures(record.name)
    )
    return ReportFacts(logbook=book, record=record, signatures=states)


def words(page: Page) -> str:
    """A page as one line of text without its drawn bars."""
    return " ".join(plain.render(page, 100).replace("│", " ").split())


@pytest.mark.parametrize("make", [report_page, entry_page])
def test_report_and_entry_show_what_the_rules_ask_for(make) -> None:  # type: ignore[no-untyped-def]
    text = words(make(asked()))
    assert "2026-11-21" in text
    assert "otal time in service" in text
    assert "611.2 h" in text
    assert STATEMENT in text
    assert "Hazel Quillfeather" in text
    assert "0000000" in text
    assert "repairman (experimental aircraft builder)" in text
    assert "signed in ink, see airframe log p. 44" in text
    assert "part 43 appendix D" in text


def test_the_list_of_contents_names_all_of_them() -> None:
    names = " ".join(content.name for content in CONTENTS)
    for word in ("type", "date", "total time in service", "statement", "name", "certificate number", "kind"):
        assert word in names
    assert "43.11(a)(3)" in SIGNATURE_CITATION


def test_an_inspection_that_was_not_passed_has_a_dated_list_and_no_statement() -> None:
    for make in (report_page, entry_page):
        text = words(make(asked(passed=False)))
        assert "not passed" in text
        assert "crack, 8 mm" in text
        assert "iscrepancies" in text
        assert "2026-11-21" in text
        assert "I certify" not in text
        assert "safe operation" not in text


@pytest.mark.parametrize("passed", [True, False])
def test_nothing_printed_claims_what_belongs_to_another_kind_of_aircraft(passed: bool) -> None:
    page = report_page(asked(passed=passed))
    for text in (plain.render(page), html.render(page), markdown.render(page)):
        assert "airworthy" not in text.lower()


def test_every_report_defers() -> None:
    text = words(report_page(asked()))
    assert "operating limitations" in text
    assert "neither performs nor approves" in text
    assert "pilot in command" in text


def test_an_entry_says_what_its_record_does_not_hold() -> None:
    whole = asked()
    assert "does not hold" not in words(entry_page(whole))
    assert isinstance(whole.record, Inspection)
    lacking = replace(whole, record=replace(whole.record, basis=""))
    told = "The record does not hold what an entry shows: basis (scope and detail) (14 CFR 43.11(a)(1)"
    assert told in words(entry_page(lacking))
