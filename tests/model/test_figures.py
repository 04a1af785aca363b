"""Whether what stands behind a value holds a second one. The remarks are written by hand, as mechanics write them."""

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.figures import second_figure
from inspect_kit.model.finding import Reading

SECOND = [
    *("27 psi, 20 after a minute", "27 psi falling to 20", "27 psi, then 20psi", "27 psi (20 hot)", "27 psi, 20"),
    *("27 psi cold, 58 psi hot", "27 psi after 5 min 20", "27 psi at idle 20", "27 psi; 1.4 bar after a minute"),
    *("27 psi falling below 1.4 bar", "27 psi, 58/60", "27 psi down to 20.5 in 1 min", "27 psi, at 20 after a minute"),
    *("27 PSI, 20 after a minute", "27 psi, from 20 psi", "27 psi after 20 psi", "27 psi - 20 later"),
    *("120 rpm left, 150 right", "120 rpm at 1700 rpm, 180 at 2000 rpm", "0.05 in, 0.1 other side", "7 min, 9 after"),
]
CONDITION = [
    *("120 rpm at 1700 rpm", "68 psi after 5 min run", "68 psi, after a 2nd run", "68 psi at 80 \N{DEGREE SIGN}C"),
    *("68 psi", "68 psi after ten days", "68 psi, gauge no. 2", "68 psi on 2026-11-20", "68 psi, plug 3 changed"),
    *("14.4 degrees at 3/4 radius", "68 psi (at least 60)", "27 psi (25 to 30)", "12.1 V at 25 A", "27 psi, 5 min run"),
    *("68 psi; F2 corrected", "68 psi after a 5-min run", "0.2 mm with 20 N", "68 psi, seal A-17"),
    *("68 psi after 5 min run at 1700 rpm", "68 PSI after 5 min run", "30 s after 5 min run", "68"),
]


def reading(value: str) -> tuple[Reading, str]:
    measure = (value.split(" ")[1:2] or ["psi"])[0].strip(",;").replace("PSI", "psi")
    at = Place("page.md", 7)
    again_at = (Place("page.md", 9),)
    return Reading(
        check="oil", label="warm", value="20", measure=measure, again=(value,), place=at, again_at=again_at
    ), measure


@pytest.mark.parametrize("value", SECOND)
def test_a_second_figure_is_told_at_the_line_of_its_again(value: str) -> None:
    """It counts as within its limit otherwise, by the first of two values."""
    made, measure = reading(value)
    ((place, words, second),) = made.astray(measure)
    assert (place.line, words) == (9, value)
    assert second
    assert second in value


@pytest.mark.parametrize("value", CONDITION)
def test_under_which_condition_a_value_was_read_is_no_second_one(value: str) -> None:
    made, measure = reading(value)
    assert made.astray(measure) == ()


def test_no_figure_at_all_and_no_measure() -> None:
    assert second_figure(", leaks at the valve", "psi") == ""
