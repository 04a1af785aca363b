"""Figures and intervals in the sample's checklists against their published sources.

Sources: AC 43.13-1B table 7-1 (torque, dry cadmium-plated threads, tension nuts) and paragraph 8-14 (differential
compression); former 14 CFR 23.955 (fuel flow); 14 CFR 91.207, 91.411, 91.413. Intervals marked so are common practice,
no source. A maker's own figure always prevails.
"""

import re
from decimal import Decimal

import pytest

from tests.sample.plain import items

CURRENT = {item.id: item for item in items() if not item.one("retired")}

TABLE_7_1 = {"1/4-28": (50, 70), "3/8-24": (160, 190), "7/16-20": (450, 500)}

# Check, and its interval.
INTERVALS = {
    "elt-inspection": "12 calendar months",  # 14 CFR 91.207(d)
    "transponder-test": "24 calendar months",  # 14 CFR 91.413(a)
    "altimeter-static": "24 calendar months",  # 14 CFR 91.411(a)(1)
    "beacon-registration": "2 years",  # beacon registry, from memory
    "oil-change": "50 h or 4 months or condition inspection",  # common practice, no source
    "spark-plugs": "100 h or condition inspection",  # common practice, no source
    "magneto-left-bench": "500 h or 5 years",  # common practice, no source
    "air-filter-change": "500 h",  # common practice, no source
    "compass-swing": "2 years",  # common practice, no source
}


def test_a_torque_that_names_table_7_1_is_the_one_of_its_thread() -> None:
    named = [item for item in CURRENT.values() if "table 7-1" in item.one("source")]
    threads = {item.id: re.search(r"\d+/\d+-\d+", item.text) for item in named}
    # The first torque of the engine mount is on the same bolts as the later ones, and does not name the thread again.
    assert [name for name, thread in threads.items() if thread is None] == ["mount-first-torque"]
    assert {thread[0] for thread in threads.values() if thread} == set(TABLE_7_1)
    for item in named:
        thread = threads[item.id]
        bound = re.search(r"in-lb, (\d+) to (\d+)$", item.one("reads"))
        assert bound is not None
        assert (int(bound[1]), int(bound[2])) == TABLE_7_1[thread[0] if thread else "3/8-24"], item.id


def test_every_torque_has_a_source_and_leaves_the_last_word_to_the_maker() -> None:
    torqued = [item for item in CURRENT.values() if any("in-lb" in value for value in item.all("reads"))]
    assert len(torqued) >= 5
    assert [item.id for item in torqued if "prevails" not in item.one("source")] == []


def test_compression_keeps_60_of_80() -> None:
    # A loss of more than 25 % of 80 psi makes a cylinder suspect: 60 passes, 59 does not.
    check = CURRENT["compression"]
    assert "80 psi in" in check.text
    assert check.all("reads")[0].startswith(f"cylinder 1 to 4, psi, at least {80 * 3 // 4},")
    assert "spin the propeller" in check.one("caution")


def test_gravity_feed_gives_150_percent_of_take_off_consumption() -> None:
    check = CURRENT["gravity-flow"]
    consumption = re.search(r"take-off consumption \(([\d.]+) gal/h here, 100 hp\)", check.one("source"))
    assert consumption is not None
    bounds = {Decimal(re.findall(r"at least ([\d.]+) =", value)[0]) for value in check.all("reckons")}
    assert bounds == {Decimal(consumption[1]) * Decimal("1.5")}


def test_a_tyre_is_worn_at_the_base_of_any_groove() -> None:
    # AC 43.13-1B 9-14.
    tyres = [item for name, item in CURRENT.items() if name.startswith("tyre-") and name.endswith("-look")]
    assert len(tyres) == 3
    assert all("base of any groove" in item.text and "9-14" in item.one("source") for item in tyres)


def test_at_most_three_threads_show_at_a_turnbuckle() -> None:
    # AC 43.13-1B chapter 7.
    told = [name for name, item in CURRENT.items() if "at most three threads showing" in item.text]
    assert set(told) == {"flap-system", "rear-turnbuckles"}


@pytest.mark.parametrize("check", INTERVALS)
def test_an_item_keeps_its_interval(check: str) -> None:
    assert CURRENT[check].one("every") == INTERVALS[check]
