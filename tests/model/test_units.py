"""Units of meters are one table: what is peculiar to one stands in its row, and nothing else names it."""

import re
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_kit.model.aircraft import Soon
from inspect_kit.model.interval import METER_UNITS, UNITS, Limit, so_many
from inspect_kit.text.limits import parse_limit

HOUSE = Path(__file__).parents[2] / "inspect_kit"


@pytest.mark.parametrize("unit", UNITS)
def test_a_limit_of_every_unit_is_read_as_it_is_written(unit: str) -> None:
    for number, word in (("500", unit), ("1", UNITS[unit].one)):
        limit = Limit(number=Decimal(number), unit=unit)
        assert str(limit) == so_many(Decimal(number), unit) == f"{number} {word}"
        assert parse_limit(str(limit)) == limit


def test_cycles_are_counted_whole_and_one_is_a_cycle() -> None:
    assert METER_UNITS == ("h", "landings", "cycles")
    assert so_many(1, "cycles") == "1 cycle"
    assert UNITS["cycles"].smallest == 1


def test_what_is_not_named_keeps_its_customary_amount() -> None:
    soon = Soon(use={"cycles": Decimal(3)})
    assert (soon.days, soon.of("h"), soon.of("landings"), soon.of("cycles")) == (30, 10, 10, 3)


def test_no_other_module_names_landings_or_cycles_as_a_unit() -> None:
    named = re.compile(r"""["'](landings?|cycles?)["']""")
    found = [
        f"{path.relative_to(HOUSE)}: {line.strip()}"
        for path in sorted(HOUSE.rglob("*.py"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if named.search(line) and '"h" |' not in line
    ]
    assert found == [
        'model/interval.py: MeterUnit(word="landings", one="landing", on_ground=Decimal(0)),',
        'model/interval.py: MeterUnit(word="cycles", one="cycle"),',
    ]
