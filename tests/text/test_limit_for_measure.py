"""A limit in the place of the measure would be a reading without a limit."""

import pytest

from inspect_kit.text.check_values import parse_reads, parse_reckons
from inspect_kit.text.grammar import Unreadable

BOUNDS = ("at least 18", "at most 24", "falls at most 10 in 100 h", "by tension at temperature")


@pytest.mark.parametrize("bound", BOUNDS)
def test_it_is_refused_and_says_where_the_measure_stands(bound: str) -> None:
    with pytest.raises(Unreadable, match="is a limit: the measure stands before it"):
        parse_reads(f"tension lb, {bound}, at most 24")
    assert parse_reads(f"tension, lb, {bound}").bound is not None


GLUED = (
    *("lb at least 60", "lb min 60", "psi 60 to 90", "psi; at least 60", "psi at most 3", "psi >60", "psi at 60"),
    *("psi/at least 60", "psi. at least 60", "psi at least sixty", "psi or more than 60", "psi -60", "psi (60 to 90)"),
    *("psi60", "psi ≥60", "psi AT LEAST 60", "psi between 60 and 90", "psi=60", "psi/60 to 90"),
    *("lb by cable-tension at temperature", "psi falls at most 10 in 100 h", "deg -10 to 10", "psi up to 60"),
)


@pytest.mark.parametrize("glued", GLUED)
def test_a_forgotten_comma_makes_no_limit_part_of_the_measure(glued: str) -> None:
    with pytest.raises(Unreadable, match="is part of a limit"):
        parse_reads(f"left, {glued}")
    with pytest.raises(Unreadable, match="is part of a limit"):
        parse_reckons(f"flow, {glued.partition('=')[0]}; = flow of left fuel, left time")


@pytest.mark.parametrize("label", ["left at least 60", "left >60", "left; 60"])
def test_nor_part_of_the_label(label: str) -> None:
    with pytest.raises(Unreadable, match="is part of a limit"):
        parse_reads(f"{label}, lb")


MEASURES = (
    *("psi", "m3", "psi/5", "m/s2", "in H2O", "psi at 20 °C", "V at 20 A", "qt per 10 h", "l/100 km", "min"),
    *("deg before top dead centre", "in aft of datum", "% by volume", "rpm max", "ft above sea level", "V after 5 min"),
)


@pytest.mark.parametrize("measure", MEASURES)
def test_what_a_value_is_read_at_or_per_may_stand_in_its_measure(measure: str) -> None:
    assert parse_reads(f"left at 1700 rpm, {measure}, at least 60").measure == measure
