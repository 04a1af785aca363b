"""Which known part a name may be in other words: none that is truly another part."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.model.checklist import part_key
from inspect_kit.model.part_names import ByName, alike

KNOWN = ("oil filter", "engine oil", "AN3-5A bolt", "5.00-5 tube", "rocker cover gaskets", "safety wire 0.032 in")


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("one oil filter", "oil filter"),
        ("1x oil filter", "oil filter"),
        ("oil filter, 1", "oil filter"),
        ("oil filters 1", "oil filter"),
        ("oil filter (lot 2605)", "oil filter"),
        ("spin-on oil filter", "oil filter"),
        ("oil-filter", "oil filter"),
        ("filter oil", "oil filter"),
        ("a filter", "oil filter"),
        ("oil filer", "oil filter"),
        ("oil", "engine oil"),
        ("engine oi1", "engine oil"),
        ("engine oil 15W50", "engine oil"),
        ("quarts of engine oil", "engine oil"),
        ("rocker gasket", "rocker cover gaskets"),
        ("safety wire", "safety wire 0.032 in"),
        ("bolt", "AN3-5A bolt"),
    ],
)
def test_a_known_part_in_other_words(name: str, meant: str) -> None:
    assert alike(name, KNOWN) == meant


@pytest.mark.parametrize(
    "name",
    [
        *("oil filter", "Oil Filters", "rocker cover gasket"),
        *("air filter", "oil filter gasket", "exhaust gasket", "AN3-6A bolt", "6.00-6 tube", "safety wire 0.041 in"),
        *("cotter pin", "W100", ")"),
    ],
)
def test_a_part_that_is_known_or_another(name: str) -> None:
    assert alike(name, KNOWN) == ""


WORDS = ("oil", "filter", "bolt", "bolts", "an3-5a", "5.00-5", "tube", "gasket", "o", "a", "1", "oi1", "(2605)")
NAMES = st.lists(st.sampled_from(WORDS), min_size=1, max_size=4).map(" ".join)


@st.composite
def slipped(draw: st.DrawFn) -> str:
    """A name in which a letter may be more, less, turned or another."""
    name = draw(NAMES)
    at, letter = draw(st.integers(0, len(name) - 1)), draw(st.sampled_from("aflo1 -,"))
    turned = name[at + 1 : at + 2] + name[at]
    ways = [name[at], letter, "", letter + name[at]]
    made = [name[:at] + way + name[at + 1 :] for way in ways] + [name[:at] + turned + name[at + 2 :]]
    return draw(st.sampled_from(made)) or name


@given(st.lists(slipped(), max_size=12), slipped(), st.booleans())
def test_of_many_the_same_is_found_as_by_a_look_at_each(names: list[str], name: str, early: bool) -> None:
    known, by = dict[str, str](), ByName[str]({})
    for each in names:
        if early:
            by.near(each)
        known[part_key(each)] = by[part_key(each)] = each
    assert alike(name, by.near(name).values()) == alike(name, known.values())


def test_of_thousands_few_are_looked_at() -> None:
    both = itertools.product(("left", "right"), ("bolt", "nut"), range(700))
    names = [f"{where} {what} AN{number}" for where, what, number in both]
    by = ByName({part_key(each): each for each in names})
    assert [*by.near("left bolts AN69").values()] == ["left bolt AN69"]
    assert alike("left blot AN69", by.near("left blot AN69").values()) == "left bolt AN69"
    assert len(by.near("left blot AN69")) < 5
