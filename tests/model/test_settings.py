"""Settings of one day are laid one after another by what they say, never by the names of their files."""

import datetime as dt
from itertools import permutations

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.settings import day_orders

DAY = dt.date(2026, 6, 4)


def of(name: str, found: str, to: str) -> Setting:
    because = "slow to climb"
    return Setting(name=name, date=DAY, setting="pitch", from_=found, to=to, because=because, place=Place("pitch.yaml"))


@pytest.mark.parametrize("names", [*permutations("abc")])
def test_one_after_another_whatever_their_names(names: tuple[str, ...]) -> None:
    """By chance of the code in the name the second was refused, and the first stood as what is set now."""
    values = zip(names, ("12", "13", "14"), ("13", "14", "15"), strict=True)
    day = sorted((of(*each) for each in values), key=lambda each: each.name)
    assert [[each.to for each in way] for way in day_orders(day, "")] == [["13", "14", "15"]]


def test_what_was_set_before_tells_which_of_two_that_undo_each_other_came_first() -> None:
    day = [of("a", "13", "12"), of("b", "12", "13")]
    assert [[each.to for each in way] for way in day_orders(day, "12")] == [["13", "12"]]
    assert len(day_orders(day, "")) == 2


def test_two_that_do_not_go_on_have_no_order() -> None:
    assert day_orders([of("a", "12", "13"), of("b", "12", "14")], "12") == []
