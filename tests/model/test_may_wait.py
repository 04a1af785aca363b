"""Why a finding may wait: no reason, or one that says that it may not, makes it one to fix before flight."""

import datetime as dt

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.finding import Finding, Fix
from inspect_kit.model.reason import may_not_wait

NOT = ("before flight", "to be fixed before next flight", "must be fixed before flight", "Not airworthy.", "unsafe")
NOT += ("no time", "ask mechanic", "ask the inspector", "do not fly", "must not be flown", "grounded", "-", "TBD", "ok")
WAITS = ("stop-drilled, looked at before each flight", "cosmetic only", "not dangerous: outer strands", "not unsafe")
WAITS += ("the shield is grounded at one end", "the maker allows 10 h", "part on order", "checked before flight")


@pytest.mark.parametrize("words", [*NOT, *WAITS])
def test_words_that_say_that_it_may_not_wait_are_no_reason(words: str) -> None:
    fix = Fix(by_date=dt.date(2030, 1, 1))
    finding = Finding(id="F1", panel=None, check="belts", text="frayed", fix=fix, may_wait=words, place=Place("r"))
    assert may_not_wait(words) == finding.before_flight == (words in NOT)
