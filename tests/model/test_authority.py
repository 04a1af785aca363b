"""Which words make a directive bar flight: whoever writes `AD` means what the trade means by it."""

import pytest

from inspect_kit.model.kind import ChosenWord
from inspect_kit.model.kinds.directive import is_directive, leaves_why_open, may_be_directive

ARE = (
    *("airworthiness directive", "Airworthiness  Directive.", "AD", "A.D.", "FAA airworthiness directive", "FAA AD"),
    *("airworthiness directive (emergency)", "AIRWORTHINESS-DIRECTIVE", "airworthiness directives"),
)
MAY_BE = (
    *("airworthines directive", "airwothiness directve", "letter named in an AD", "no airworthiness directive"),
    *("mandatory", "air worthiness directive", "airworthinessdirective", "emergency directive", "federal directive"),
    *("letter made binding by the authority", "service bulletin required by law", "bulletin, compulsory", "ad hoc"),
    *("kit maker's directive", "mandatory continuing airworthiness information", "letter, mandatory", "AD note"),
    # Neither a paper nor whose it is, or a slip of it.
    *("airworthiness notice", "safety order", "lettter", "important", "see text", "LTA", "owner", "decree"),
    *("letter from the FAA", "emergency letter"),
    *("14 CFR part 39", "FAA", "the authority", "airworthiness", "binding", "maker's letter, made mandatory"),
)
ARE_NONE = (
    "mandatory service letter",
    *("maker's letter", "service bulletin", "mandatory service bulletin", "letter of the type club", "advisory"),
    *("letter", "Service Letter", "SB", "MSB", "alert service bulletin", "kit maker", "Makers"),
    *("manufacturer's recommendation", "special airworthiness information bulletin"),
    *("maker's letter, maker of the exhaust", "service information", "advice of the maker", "SIL"),
    *("newsletter of the type club", "instructions of the maker", "advisory circular", "FAA information bulletin"),
)


@pytest.mark.parametrize("words", ARE)
def test_one_is(words: str) -> None:
    assert is_directive(words)


@pytest.mark.parametrize("words", MAY_BE)
def test_one_may_be(words: str) -> None:
    assert not is_directive(words)
    assert may_be_directive(words)


@pytest.mark.parametrize("words", ARE_NONE)
def test_a_letter_is_none(words: str) -> None:
    assert not is_directive(words)
    assert not may_be_directive(words)


@pytest.mark.parametrize(
    "reason",
    [
        *("complied with", "it has been complied with in 2019", "already done", "the part was replaced", "not needed"),
        *("at the annual", "mechanic says no", "I do not want to", "no money", "unclear", "cannot find it", "skipped"),
        *("lost the paper", "should ask", "never had trouble", "experimental", "too late", "looks ok"),
    ],
)
def test_a_reason_that_names_no_thing_leaves_open_why(reason: str) -> None:
    """It is asked of what binds; of a letter, and of another decision, nothing is."""
    no = ChosenWord(word="no", reason=reason)
    assert f"`{reason}` does not say what of this product it is not for" in leaves_why_open("AD", no)
    assert leaves_why_open("airworthiness notice", no) != ""
    assert leaves_why_open("maker's letter", no) == ""
    assert leaves_why_open("AD", ChosenWord(word="not decided")) == ""


@pytest.mark.parametrize(
    "reason",
    [
        *("crankshaft is of another batch", "serial 123 is not in the range", "no floats", "wooden prop", "not fitted"),
        *("engine is E-4, it is for E-5", "different serial", "no such pump", "for helicopters", "turbo engines"),
        *("checked the data plate: later series", "it has a carburettor, not injection", "built after 2015"),
        *("exhaust made by myself", "all cylinders are steel", "another engine", "electronic ignition"),
    ],
)
def test_a_reason_that_names_what_it_is_not_for(reason: str) -> None:
    assert leaves_why_open("AD", ChosenWord(word="no", reason=reason)) == ""
