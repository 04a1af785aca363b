"""Which words make a directive bar flight: whoever writes `AD` means what the trade means by it."""

import pytest

from inspect_kit.model.kinds.directive import is_directive, may_be_directive

ARE = (
    *("airworthiness directive", "Airworthiness  Directive.", "AD", "A.D.", "FAA airworthiness directive", "FAA AD"),
    *("airworthiness directive (emergency)", "AIRWORTHINESS-DIRECTIVE", "airworthiness directives"),
)
MAY_BE = (
    *("airworthines directive", "airwothiness directve", "letter named in an AD", "no airworthiness directive"),
    *("mandatory", "air worthiness directive", "airworthinessdirective", "emergency directive", "federal directive"),
    *("14 CFR part 39", "FAA", "the authority", "airworthiness", "binding", "maker's letter, made mandatory"),
)
ARE_NONE = ("maker's letter", "service bulletin", "mandatory service bulletin", "letter of the type club", "advisory")


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
