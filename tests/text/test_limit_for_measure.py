"""A limit in the place of the measure would be a reading without a limit."""

import pytest

from inspect_kit.text.check_values import parse_reads
from inspect_kit.text.grammar import Unreadable

BOUNDS = ("at least 18", "at most 24", "falls at most 10 in 100 h", "by tension at temperature")


@pytest.mark.parametrize("bound", BOUNDS)
def test_it_is_refused_and_says_where_the_measure_stands(bound: str) -> None:
    with pytest.raises(Unreadable, match="is a limit: the measure stands before it"):
        parse_reads(f"tension lb, {bound}, at most 24")
    assert parse_reads(f"tension, lb, {bound}").bound is not None
