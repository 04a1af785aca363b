"""The machine-readable answers keep their promise: keys, types, null for what is not known."""

import datetime as dt
import json
from decimal import Decimal
from typing import Any

import pytest

from inspect_kit.due import due
from inspect_kit.report import due_json, history_json, history_of, json_text, plan_json, scope_json, status_json
from inspect_kit.rules import scope_coverage
from tests.report.answers import ITEMS, PROBLEMS, due_answer, plan
from tests.report.small import TODAY, logbook

BOOK = logbook()


def read(facts: dict[str, Any]) -> Any:
    return json.loads(json_text(facts))


def test_due_has_the_promised_keys() -> None:
    facts = read(due_json(due_answer(problems=PROBLEMS)))
    assert {"format", "on", "meters", "problems", "stops", "items"} <= set(facts)
    assert facts["format"] == 2
    assert facts["on"] == "2026-11-25"
    assert facts["meters"] == {
        "tach": {"reads": 0.5, "total": 611.2, "age_days": 4},
        "landings": {"reads": None, "total": None, "age_days": None},
    }
    assert facts["problems"] == [
        {"file": "records/2025/2025-03-01-hours.yaml", "line": 7, "message": "tach: expected a number, not `sixty`"}
    ]
    assert facts["stops"][0] == {
        "kind": "panel-off",
        "text": "Lower cowling is off since 2026-11-24",
        "file": "records/open/oil.md",
        "line": 9,
    }
    assert facts["not_to_be_used"] == [{"what": "the transponder", "check": "static-test"}]


def test_an_item_of_due_has_the_promised_shape() -> None:
    items = {each["check"]: each for each in read(due_json(due_answer()))["items"]}
    assert items["oil-change"] == {
        "check": "oil-change",
        "kind": "check",
        "panel": "cowl-lower",
        "state": "soon",
        "last": {"date": "2026-08-14", "total": 590.1, "estimated": True},
        "amended": False,
        "due": {"date": "2026-12-14", "meter": "tach", "total": 640.1, "reads": 29.4},
        "left": {"days": 19, "amount": 28.9, "unit": "h"},
        "expected": {
            **{"early": "2026-12-10", "likely": "2026-12-14", "late": "2026-12-14"},
            **{"age_days": 0, "reached": False},
        },
        "source": "engine maker",
    }
    assert items["elt-battery"]["last"] is None
    assert items["elt-battery"]["expected"] is None
    assert items["elt-battery"]["due"] == {"date": None, "meter": None, "total": None, "reads": None}
    assert items["condition"]["kind"] == "inspection"
    assert items["condition"]["panel"] is None


def test_one_item_comes_with_its_arithmetic() -> None:
    [only] = read(due_json(due_answer(), ITEMS[4]))["items"]
    assert only["check"] == "oil-change"
    assert only["lines"][0] == {
        "text": "last done at 590.1 h total on tach; + 50 h = 640.1 h",
        "places": [{"file": "records/2026/2026-05-14-oil.yaml", "line": 1}],
    }


def test_plan_has_the_promised_shape() -> None:
    facts = read(plan_json(plan()))
    assert {key: facts[key] for key in ("format", "people", "inspectors", "labour_min", "elapsed_min", "proved")} == {
        "format": 2,
        "people": 2,
        "inspectors": 1,
        "labour_min": 193,
        "elapsed_min": 119,
        "proved": False,
    }
    assert facts["lower_bound_min"] == 114
    assert facts["checks"] == ["compression", "oil-change"]
    assert facts["panels"] == ["cowl-lower"]
    assert facts["steps"][1] == {
        "step": "check",
        "panel": "cowl-lower",
        "check": "compression",
        "start_min": 14,
        "end_min": 54,
        "people": 2,
        "who": ["inspector", "helper"],
    }
    assert facts["steps"][0]["check"] is None
    assert facts["cautions"][1]["at"] == "compression"
    assert facts["parts"][0] == {"amount": "6 qt", "name": "engine oil"}
    assert facts["tools"] == ["screwdriver no. 2"]


@pytest.mark.parametrize(("text", "number"), [("612.6", "612.6"), ("50", "50"), ("-2.1", "-2.1"), ("0.10", "0.1")])
def test_amounts_are_numbers_as_they_were_written(text: str, number: str) -> None:
    answer = due_answer(flying=Decimal(text))
    assert f'"flying": {number},' in json_text(due_json(answer))


def test_scope_status_and_history() -> None:
    scope = read(scope_json(scope_coverage(BOOK.checks.values(), BOOK.aircraft)))
    assert len(scope["codes"]) == 43
    assert {each["state"] for each in scope["codes"]} == {"covered", "not applicable", "missing"}
    assert scope["complete"] is False
    assert len(scope["missing"]) == 38
    status = read(status_json(due(BOOK, TODAY)))
    assert status["time_in_service"] == "tach"
    assert {"stops", "not_to_be_used"} <= set(status)
    assert status["meters"]["tach"]["age_days"] == (TODAY - dt.date(2026, 11, 21)).days
    magneto = next(each for each in status["positions"] if each["position"] == "magneto-left")
    assert (magneto["since_new"], magneto["serial"], magneto["fitted"]) == (611.2, "A-17", "2017-06-08")
    history = read(history_json(history_of(BOOK, "magneto-left")))
    assert history["kind"] == "position"
    assert history["events"][0]["record"] == "2017-06-08-magneto"


def test_json_text_is_ascii_so_that_no_terminal_acts_on_it() -> None:
    assert json_text({"text": "a\x1bb\u202ec °F"}).isascii()
