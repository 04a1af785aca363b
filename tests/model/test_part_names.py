"""Which known part a name may be in other words: none that is truly another part."""

import pytest

from inspect_kit.model.part_names import alike

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
