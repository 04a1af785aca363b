"""Readings over time where nothing bounds them, and where nobody asks for them any more."""

import pytest

from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.fitting import all_fittings
from inspect_kit.due.oil import oil_added
from inspect_kit.due.trends import Series, series_of
from tests.due.small import book, on

ASKED = "- [ ] `oil` Change the oil\n  - every: 4 months\n  - reads: iron, ppm\n"
NO_MORE = "- [ ] `oil` Change the oil\n  - every: 4 months\n  - reads: copper, ppm\n"


def measured(bound: str = "") -> dict[str, str]:
    """Five oil changes, a month apart; iron rises by 2 ppm each time."""
    return {
        f"2018-0{number}-01-oil": (
            f"kind: work\nmeters: {{tach: {50 * number}.0}}\ndid: [oil]\n"
            f"readings: {{oil: {{iron: {10 + 2 * number} ppm{bound}}}}}\nby: Ada\n"
        )
        for number in range(1, 6)
    }


def iron(checks: str, bound: str = "") -> Series:
    facts = chronicle(book(checks, measured(bound)))
    (one,) = [each for each in series_of(facts, all_fittings(facts), {}, on("2018-06-01")) if each.label == "iron"]
    return one


def test_a_clear_trend_without_a_limit_reaches_none() -> None:
    series = iron(ASKED)
    assert series.slope is not None
    assert series.slope.clear
    assert (series.bound, series.reached) == (None, None)


def test_what_nobody_asks_for_any_more_keeps_the_limit_that_was_written_with_it() -> None:
    assert str(iron(NO_MORE, " (at most 30)").bound) == "at most 30"


def test_the_oil_between_oil_changes_is_that_of_the_engine() -> None:
    """An oil change uses oil by the quart; a drop on a hinge between two of them parts nothing."""
    checks = "- [ ] `oil` Oil\n  - every: 50 h\n  - uses: 6 qt oil\n- [ ] `hinges` Hinges\n  - uses: 1 oz oil\n"
    days = {"2018-02-01": ("oil", 10), "2018-03-01": ("hinges", 20), "2018-04-01": ("oil", 30)}
    records = {f"{day}-w": f"kind: work\ndid: [{did}]\nmeters: {{tach: {at}}}\n" for day, (did, at) in days.items()}
    records["2018-03-02-hours"] = "kind: hours\nmeters: {tach: 25}\nadded: {oil: 2 qt}\n"
    (first,) = oil_added(chronicle(book(checks, records)))
    assert (str(first.start), str(first.end), first.hours_per_quart) == ("2018-02-01", "2018-04-01", 10)


@pytest.mark.parametrize(("serial", "values"), [("none", ["16", "18", "20"]), ("B7", ["14", "16", "18", "20"])])
def test_a_part_without_a_serial_is_a_new_one_at_each_fitting(serial: str, values: list[str]) -> None:
    """What was read on the one before it is of another part, though both have one name; a serial that comes back is
    the same part."""
    fitted = f"kind: installed\nposition: left\npart: filter F1\nserial: {serial}\nmeters: {{tach: %s}}\n"
    moves = {"2018-01-16-in": fitted % 60, "2018-02-15-in": fitted % 120}
    checks = ASKED.replace("  - reads", "  - counts-on: left\n  - reads")
    facts = chronicle(book(checks, {**moves, **measured()}))
    (one,) = series_of(facts, all_fittings(facts), {}, on("2018-06-01"))
    assert [str(each.value) for each in one.taken] == values
