"""Text of records is shown and never acts."""

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.report.inert import inert

ACTING = ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")


@given(st.text())
def test_nothing_that_acts_is_left(text: str) -> None:
    assert not [each for each in inert(text) if unicodedata.category(each) in ACTING]


@given(st.text())
def test_making_inert_twice_is_making_inert_once(text: str) -> None:
    assert inert(inert(text)) == inert(text)


@given(st.text(alphabet=st.characters(categories=("L", "N", "P", "S"), include_characters=" ")))
def test_ordinary_text_stays_as_it_is(text: str) -> None:
    assert inert(text) == text


def test_what_is_hidden_is_shown_by_its_number() -> None:
    assert inert("a\x1b[31mb") == "a\\x1b[31mb"
    assert inert("pay\u202egnp") == "pay\\u202egnp"
    assert inert("zero\u200bwidth") == "zero\\u200bwidth"
    assert inert("\x9b1m") == "\\x9b1m"
    assert inert("one\r\ntwo\ttabs") == "one two tabs"
    assert inert("one\ntwo", lines=True) == "one\ntwo"
    assert inert("one\rtwo", lines=True) == "one\\x0dtwo"
