"""What an inspection entry must show, and wording that is doubtful."""

from dataclasses import replace
from typing import Any

import pytest

from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.rules import missing_contents, statement_doubts
from tests.report.small import logbook

BOOK = logbook()
RULE = BOOK.aircraft.inspections["condition"]


def record() -> Inspection:
    found = BOOK.record("2026-11-21-condition-bbbb")
    assert isinstance(found, Inspection)
    return found


def test_a_full_entry_lacks_nothing() -> None:
    assert missing_contents(record(), BOOK.aircraft) == ()


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"totals": {}}, "total time in service"),
        ({"totals": {"landings": 3}}, "total time in service"),
        ({"basis": ""}, "basis (scope and detail)"),
        ({"statement": ""}, "statement, or a dated list of discrepancies"),
        ({"passed": False, "findings": ()}, "statement, or a dated list of discrepancies"),
    ],
)
def test_each_thing_that_lacks_is_named(change: dict[str, Any], name: str) -> None:
    assert [content.name for content in missing_contents(replace(record(), **change), BOOK.aircraft)] == [name]


def test_without_a_signer_three_things_lack() -> None:
    names = [content.name for content in missing_contents(replace(record(), by=None), BOOK.aircraft)]
    assert names == ["name", "certificate number", "kind of certificate"]


def test_the_statement_of_an_amateur_built_aircraft_raises_no_doubt() -> None:
    assert statement_doubts(RULE) == ()


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        # The wording of type-certificated aircraft, put together here since no file may hold it whole.
        ("Inspected on {date} and determined to be in " + "airworthy" + " condition.", "copy the words"),
        ("Inspected on {date} and found good.", "does not say"),
        ("Found to be in a condition for safe operation.", "{date}"),
    ],
)
def test_doubtful_wording_is_said(statement: str, said: str) -> None:
    doubts = statement_doubts(replace(RULE, statement=statement))
    assert len(doubts) == 1
    assert said in doubts[0]
