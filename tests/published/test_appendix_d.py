"""The scope against the published list.

Source: 14 CFR Part 43, Appendix D, "Scope and Detail of Items (as Applicable to the Particular Aircraft) To Be Included
in Annual and 100-Hour Inspections", as in the eCFR, title 14, issued August-September 2026.
"""

import re
from collections import Counter
from pathlib import Path

import pytest

from inspect_kit.model.checklist import Check
from inspect_kit.rules import APPENDIX_D, scope_coverage
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist

ROOT = Path(__file__).parents[2]

# How many numbered items stand under each lettered paragraph as published.
NUMBERED = {"a": 0, "b": 3, "c": 7, "d": 11, "e": 10, "f": 0, "g": 0, "h": 4, "i": 4, "j": 0}

# One or two words of the published text of each item, by its code, lower case.
KEYWORDS = {
    "a": ["cowling", "clean"], "b1": ["fabric", "skin"], "b2": ["systems"], "b3": ["envelope", "gas bags"],
    "c1": ["loose", "controls"], "c2": ["seats", "belts"], "c3": ["windows"], "c4": ["instruments", "marking"],
    "c5": ["engine controls"], "c6": ["batteries", "charge"], "c7": ["systems"],
    "d1": ["oil", "fuel", "hydraulic"], "d2": ["studs", "nuts", "torque"], "d3": ["compression", "metal", "screens"],
    "d4": ["engine mount", "cracks"], "d5": ["vibration"], "d6": ["travel", "safetying"], "d7": ["hoses", "clamps"],
    "d8": ["exhaust"], "d9": ["accessories", "mounted"], "d10": ["systems"], "d11": ["cowling", "cracks"],
    "e1": ["landing gear"], "e2": ["fluid level", "level of oleo fluid"], "e3": ["linkages", "fatigue"],
    "e4": ["retracting", "locking"], "e5": ["hydraulic lines"], "e6": ["chafing", "switches"],
    "e7": ["wheels", "bearing"], "e8": ["tyres", "cuts"], "e9": ["brakes", "adjustment"], "e10": ["floats", "skis"],
    "f": ["wing", "distortion"], "g": ["empennage", "distortion"],
    "h1": ["cracks", "nicks"], "h2": ["bolts", "torque"], "h3": ["anti-icing"], "h4": ["control mechanisms", "travel"],
    "i1": ["radio"], "i2": ["wiring", "conduits"], "i3": ["bonding", "shielding"], "i4": ["antenna"],
    "j": ["installed"],
}  # fmt: skip


def test_39_numbered_items_and_four_paragraphs_without_numbers_are_43_codes() -> None:
    counts = Counter(code[0] for code in APPENDIX_D.codes if len(code) > 1)
    assert {letter: counts[letter] for letter in NUMBERED} == NUMBERED
    assert sum(NUMBERED.values()) == 39
    unnumbered = [code for code in APPENDIX_D.codes if len(code) == 1]
    assert unnumbered == ["a", "f", "g", "j"]
    assert len(APPENDIX_D.codes) == len(set(APPENDIX_D.codes)) == 43


def test_numbers_run_without_gaps_in_published_order() -> None:
    expected = []
    for letter, count in NUMBERED.items():
        expected += [letter] if count == 0 else [f"{letter}{number}" for number in range(1, count + 1)]
    assert list(APPENDIX_D.codes) == expected


def test_paragraph_a_holds_two_duties() -> None:
    clause = APPENDIX_D.clause("a")
    assert clause is not None
    opening, cleaning = clause.look_for
    assert "cowling" in opening
    assert "clean" in cleaning


@pytest.mark.parametrize("code", KEYWORDS)
def test_each_item_speaks_of_what_the_published_one_speaks_of(code: str) -> None:
    clause = APPENDIX_D.clause(code)
    assert clause is not None
    text = f"{clause.subject} {' '.join(clause.look_for)}".lower()
    found = [word for word in KEYWORDS[code] if word in text]
    assert found if code == "e2" else len(found) == len(KEYWORDS[code])


@pytest.mark.parametrize("code", ["d3", "e10", "f", "j"])
def test_citation_names_the_paragraph(code: str) -> None:
    clause = APPENDIX_D.clause(code)
    assert clause is not None
    paragraph = f"({code[0]})" + (f"({code[1:]})" if len(code) > 1 else "")
    assert clause.citation.endswith(f"paragraph {paragraph}")


def test_the_sample_aircraft_covers_all_43_codes_or_says_why_not() -> None:
    text = (ROOT / "records/aircraft.yaml").read_text(encoding="utf-8")
    aircraft, _ = read_aircraft(text, "records/aircraft.yaml")
    assert aircraft is not None
    checks: list[Check] = []
    for path in sorted((ROOT / "checklists").rglob("*.md")):
        checks += read_checklist(path.read_text(encoding="utf-8"), path.name)[1]
    answer = scope_coverage(checks, aircraft)
    assert not answer.missing
    assert not answer.unknown
    assert not [entry.clause.code for entry in answer.clauses if entry.contradicts]
    assert all(re.search(r"\w{3}", reason) for reason in aircraft.not_applicable.values())
