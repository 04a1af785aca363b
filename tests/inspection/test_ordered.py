"""The code of the ordered boxes: what a number on a printed sheet means, and what has changed since."""

import hashlib
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.inspection.ordered import as_code, box_lines, changed, code_of, sheet_lines
from inspect_kit.text.grammar import CODE_ALPHABET
from tests.inspection.conftest import ALL, Small, sheet_of

LINES = st.lists(st.sampled_from(["oil", "remove cowl", "refit cowl", "compression: cylinder 1, psi"]), max_size=8)


def test_a_line_says_what_a_number_on_the_paper_means(small: Small) -> None:
    assert box_lines(small.logbook, small.sheet.page) == (
        "remove cowl",
        "stacks",
        "compression: cylinder 1, psi; cylinder 2, psi",
        "refit cowl",
        "stick-bolt",
        "stick-travel",
    )


def test_the_code_is_the_digest_of_the_lines() -> None:
    """Worked out here by the words of its docstring, digit by digit."""
    number = int(hashlib.sha256(b"remove cowl\noil\n").hexdigest(), 16)
    expected = [number // len(CODE_ALPHABET) ** power % len(CODE_ALPHABET) for power in range(6)]
    assert code_of(["remove cowl", "oil"]) == "".join(CODE_ALPHABET[digit] for digit in expected)


@given(LINES, LINES)
def test_other_boxes_or_another_order_have_another_code(one: list[str], other: list[str]) -> None:
    assert (code_of(one) == code_of(other)) == (one == other)


def test_words_ticks_and_values_change_no_code_but_wells_do(small: Small) -> None:
    logbook, page = small.logbook, small.sheet.page
    code = code_of(box_lines(logbook, page))
    reworded = replace(page, entries=tuple(replace(entry, text="x", ticked=True) for entry in page.entries))
    assert code_of(box_lines(logbook, reworded)) == code
    check = logbook.checks["compression"]
    for reads in (replace(check.reads[0], measure="bar"), replace(check.reads[0], labels=("cylinder 2", "cylinder 1"))):
        other = replace(logbook, checks={**logbook.checks, "compression": replace(check, reads=(reads,))})
        assert code_of(box_lines(other, page)) != code


@pytest.mark.parametrize("typed", ["k3f9qx", "K3F9QX", " k3f 9qx ", "k3f-9qx", "K3F-9 QX"])
def test_a_code_is_typed_as_people_type(typed: str) -> None:
    assert as_code(typed) == "k3f9qx"


@pytest.mark.parametrize(
    ("before", "now", "told"),
    [
        (["a", "b", "c"], ["a", "b", "c"], ()),
        (["a", "b", "c"], ["a", "c"], ("no longer there: 2 `b`",)),
        (["a", "c"], ["a", "b", "c"], ("new behind box 1: `b`",)),
        (["c"], ["a", "b", "c"], ("new at the top: `a`, `b`",)),
        (["a", "b", "c"], ["a", "x", "c"], ("2 `b` became `x`",)),
        (["a", "b", "c"], ["b", "c", "a"], ("no longer there: 1 `a`", "new behind box 3: `a`")),
    ],
)
def test_what_has_changed_is_named(before: list[str], now: list[str], told: tuple[str, ...]) -> None:
    assert changed(before, now) == told


@given(LINES, LINES)
def test_something_is_named_whenever_something_changed(one: list[str], other: list[str]) -> None:
    assert bool(changed(one, other)) == (one != other)


def test_a_page_of_another_job_has_another_code() -> None:
    codes = {code_of(box_lines(small.logbook, small.sheet.page)) for small in (sheet_of(ALL), sheet_of(ALL[:3]))}
    assert len(codes) == 2


def test_the_same_boxes_of_another_page_or_another_aircraft_have_another_code() -> None:
    """Last year's sheet, or that of a sister aircraft with the same checklists, was taken for this one."""
    small = sheet_of(ALL)
    book, page = small.logbook, small.sheet.page
    codes = {code_of(sheet_lines(book, page)), code_of(sheet_lines(book, replace(page, name="2025-11-20-condition-x")))}
    for key, value in (("registration", "N0OTHER"), ("make", "Other"), ("serial", "8")):
        identity = replace(book.aircraft.identity, **{key: value})
        sister = replace(book, aircraft=replace(book.aircraft, identity=identity))
        codes.add(code_of(sheet_lines(sister, page)))
    assert len(codes) == 5
