"""Which codes of the scope the checks cover."""

import datetime as dt
from dataclasses import replace

from inspect_kit.errors import Place
from inspect_kit.model.checklist import Check, Retired
from inspect_kit.rules import APPENDIX_D, scope_coverage
from inspect_kit.rules.coverage import COVERED, MISSING, NOT_APPLICABLE
from tests.report.small import logbook

AIRCRAFT = logbook(records={}).aircraft
HERE = Place("checklists/nose/cowl.md", 7)


def check(name: str, *covers: str) -> Check:
    return Check(id=name, panel="cowl", text=name, covers=covers, place=HERE)


def state(checks: list[Check], code: str) -> str:
    answer = scope_coverage(checks, AIRCRAFT)
    return next(entry.state for entry in answer.clauses if entry.clause.code == code)


def test_a_check_covers_what_it_names_and_nothing_else() -> None:
    answer = scope_coverage([check("stacks", "d8", "d9")], AIRCRAFT)
    assert {entry.clause.code for entry in answer.clauses if entry.state == COVERED} == {"d8", "d9"}
    assert {entry.clause.code for entry in answer.clauses if entry.state == NOT_APPLICABLE} == {"b3", "e10"}
    assert len(answer.missing) == 43 - 4
    assert not answer.complete


def test_a_split_covers_its_paragraph() -> None:
    assert state([check("spar", "f.2")], "f") == COVERED
    assert state([check("leaks", "d1.1")], "d1") == COVERED
    assert state([check("leaks", "d1.1")], "d11") == MISSING


def test_a_retired_check_covers_nothing() -> None:
    gone = replace(check("stacks", "d8"), retired=Retired(date=dt.date(2026, 1, 1)))
    assert state([gone], "d8") == MISSING


def test_a_reason_for_one_split_does_not_answer_for_the_paragraph() -> None:
    aircraft = replace(AIRCRAFT, not_applicable={"f.2": "no flaps"})
    answer = scope_coverage([], aircraft)
    wing = next(entry for entry in answer.clauses if entry.clause.code == "f")
    assert wing.state == MISSING
    assert wing.in_part == {"f.2": "no flaps"}
    assert not answer.unknown


def test_unknown_codes_are_named_with_their_place() -> None:
    aircraft = replace(AIRCRAFT, not_applicable={"k": "no such paragraph"})
    answer = scope_coverage([check("odd", "d12", "d3")], aircraft)
    assert [(each.code, each.check, each.place.line) for each in answer.unknown] == [
        ("d12", "odd", 7),
        ("k", "", aircraft.place.line),
    ]


def test_covered_and_not_applicable_is_a_contradiction() -> None:
    answer = scope_coverage([check("bags", "b3")], AIRCRAFT)
    assert [entry.clause.code for entry in answer.clauses if entry.contradicts] == ["b3"]


def test_all_codes_covered_is_complete() -> None:
    answer = scope_coverage([check("all", *APPENDIX_D.codes)], replace(AIRCRAFT, not_applicable={}))
    assert answer.complete
