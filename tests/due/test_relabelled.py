"""A label or a measure that is another one now: what was read before is said to have ended."""

import pytest

from inspect_kit.due.relabelled import begins_anew, ended_series
from tests.due.small import book

FALLS = ", at least 60, falls at most 10 in 100 h"


def checks(labels: str = "one, two", measure: str = "psi", bound: str = FALLS) -> str:
    lines = "".join(f"  - reads: {label}, {measure}{bound}\n" for label in labels.split(", "))
    return f"- [ ] `press` Press\n  - every: 100 h\n{lines}"


def read(year: int, *labels: str, measure: str = "psi") -> dict[str, str]:
    told = ", ".join(f"{label}: {80 - year % 10} {measure} (at least 60)" for label in labels)
    text = f"kind: work\ndid: [press]\nreadings: {{press: {{{told}}}}}\nmeters: {{tach: {(year - 2017) * 40}}}\n"
    return {f"{year}-05-01-press": text}


BEFORE = {**read(2018, "one", "two"), **read(2019, "one", "two")}


def notes(text: str, records: dict[str, str]) -> list[str]:
    found = ended_series(book(text, records))
    assert all(each.note and each.place.file == "checklists/z/box.md" for each in found)
    return [each.message for each in found]


def test_an_old_label_is_named_with_the_new_one() -> None:
    assert notes(checks("left, right"), BEFORE) == [
        "reads: `one`, `two` were read until 2019-05-01, and the check asks for `left`, `right` now: `trend` and "
        "`falls at most 10 in 100 h` begin anew; where that is the same, the old label goes on; else it is a new series"
    ]


def test_another_measure_is_named_too() -> None:
    assert notes(checks("one", "kPa", ", at least 410"), read(2018, "one")) == [
        "reads: `one` was read until 2018-05-01 in psi, and the check asks for kPa now: `trend` begins anew; the old "
        "measure again goes on; in the new one it is a new series"
    ]


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (checks(), BEFORE),
        # One that is asked for no more, without another in its place.
        (checks("one"), {**BEFORE, **read(2020, "one"), **read(2021, "one"), **read(2022, "one")}),
        # A new one beside those that go on.
        (checks("one, two, three"), BEFORE),
        # What was read beside it for years was something else.
        (checks("two"), {**read(2018, "one", "two"), **read(2019, "one", "two")}),
        # Another measure: no `reads` of it can be the same.
        (checks("left", "V", ", at least 9"), BEFORE),
        (checks("left", "words", ""), BEFORE),
    ],
)
def test_where_none_took_its_place_nothing_is_said(text: str, records: dict[str, str]) -> None:
    assert notes(text, records) == []


def test_the_note_goes_once_the_new_series_has_a_slope() -> None:
    """Whoever meant it is not told for ever."""
    later = {**BEFORE, **read(2020, "left"), **read(2021, "left"), **read(2022, "left")}
    assert len(notes(checks("left"), later)) == 1
    assert notes(checks("left"), {**later, **read(2023, "left")}) == []


def press(text: str, records: dict[str, str]) -> str:
    logbook = book(text, records)
    return begins_anew(logbook, logbook.checks["press"], ["left", "right", "one"])


def test_the_first_reading_by_a_new_label_is_asked_back() -> None:
    """`falls at most` compared it with nothing, and nobody was asked what was found."""
    assert press(checks("left, right"), BEFORE) == (
        "left, right were read as one, two until 2019-05-01: `falls at most 10 in 100 h` compares this with nothing."
    )
    assert press(checks("one", "kPa", ", at least 410, falls at most 70 in 100 h"), BEFORE) == (
        "one was read in psi until 2019-05-01: `falls at most 70 in 100 h` compares this with nothing."
    )


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (checks(), BEFORE),
        (checks("left, right", bound=", at least 60"), BEFORE),
        (checks("left, right"), {**BEFORE, **read(2020, "left", "right")}),
    ],
)
def test_it_is_asked_once_and_only_where_a_change_is_judged(text: str, records: dict[str, str]) -> None:
    assert press(text, records) == ""
