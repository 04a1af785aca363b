"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

from random import Random
from typing import Any

from inspect_kit.plan import Wishes
from inspect_kit.plan.chain import chain
from inspect_kit.plan.estimates import _estimates
from inspect_kit.plan.finish import _drawn
from tests.due.small import book


def test_of_no_steps_nothing_sets_the_finish() -> None:
    work: Any = None
    assert chain(work, [], []) == ()


def test_a_panel_without_minutes_takes_none() -> None:
    found = _estimates(book("- [ ] `look` Look\n  - every: 50 h\n  - time: 7 min\n"))
    assert sorted(found.values()) == [0, 0, 7]


def test_what_is_certain_takes_nothing_from_the_dice() -> None:
    dice, other = Random(1), Random(1)
    assert _drawn((5.0, 0.0, 1.0, 1.0), dice) == 5.0
    assert dice.random() == other.random()


def test_a_change_of_zone_counts_for_two_minutes() -> None:
    """README, `plan --zone-change`."""
    assert Wishes().walking == 2
