"""A check that wants all closed stands below the panels of every zone, and the program itself writes it there."""

from dataclasses import replace

import pytest

from inspect_kit.inspection import edit
from inspect_kit.inspection.missing import missing, missing_for_discrepancies
from inspect_kit.inspection.order_missing import order_missing, panels_missing
from inspect_kit.model.checklist import SETUP
from inspect_kit.model.logbook import Logbook
from tests.inspection.conftest import Small, logbook, request_for, sheet_of


def book(kind: str = "panel") -> Logbook:
    """The nose has a cowl, the tail a fairing, or jacks under it; the run and the walk round want all closed."""
    made = logbook()
    tail = replace(made.panels["cowl"], id="tail", name="Tail", zone="tail", kind=kind)
    checks = {
        **made.checks,
        "stick-travel": replace(made.checks["stick-travel"], when="closed"),
        "oil": replace(made.checks["oil"], panel="stick", when="closed"),
    }
    return replace(made, panels={**made.panels, "tail": tail}, checks=checks)


def ticked(made: Logbook, *names: str) -> Small:
    small = sheet_of(names, job="work", book=made)
    sheet = small.sheet
    for at in range(len(sheet.entries)):
        sheet = edit.tick_in_order(sheet, at)
    return Small(made, sheet)


def out_of_order(small: Small, sheet: edit.OpenPage) -> list[str]:
    return [f"{gap.about}: {gap.text}" for gap in order_missing(request_for(small, sheet))]


@pytest.mark.parametrize(
    ("kind", "verbs", "state"), [("panel", ("remove", "refit"), "is off"), (SETUP, ("make", "undo"), "stands")]
)
def test_it_stands_where_something_of_another_zone_is_off(kind: str, verbs: tuple[str, str], state: str) -> None:
    opening, closing = (f"{verb} tail" for verb in verbs)
    small = ticked(book(kind), opening, "stick-travel", closing, "oil")
    (gap,) = out_of_order(small, small.sheet)
    assert gap.startswith(f"stick-travel: is done when all is closed, and stands where `tail` {state}, and a page is")
    asked = request_for(small, small.sheet)
    assert all(any(told.text in gap for told in gaps) for gaps in (missing(asked), missing_for_discrepancies(asked)))
    small = ticked(book(kind), opening, closing, "stick-travel", "oil")
    assert out_of_order(small, small.sheet) == []


def test_a_panel_that_never_came_off_is_closed() -> None:
    """Its boxes are not ticked, as on a page on which work stopped."""
    small = ticked(book(), "remove tail", "stick-travel", "refit tail")
    sheet = edit.untick(edit.untick(small.sheet, 0), 2)
    assert out_of_order(small, sheet) == []


def test_what_is_off_twice_is_closed_when_it_is_back_on_twice() -> None:
    small = ticked(book(), "remove tail", "refit tail", "remove tail", "stick-travel", "refit tail")
    assert [gap.partition(" and")[0] for gap in out_of_order(small, small.sheet)] == [
        "stick-travel: is done when all is closed,"
    ]


def test_what_comes_off_again_owes_it_below_the_panels_of_other_zones() -> None:
    """It stood right below the refit, where the tail was still off: `sign` would refuse what the program wrote."""
    made = book()
    small = ticked(made, "remove tail", "remove cowl", "refit cowl", "stick-bolt", "refit tail", "compression")
    owed = [made.checks[name] for name in ("oil", "stacks", "stick-travel")]
    sheet = edit.take_off_again(small.sheet, made.panels["cowl"], owed)
    assert [f"{entry.verb} {entry.id}".strip() for entry in sheet.entries] == [
        *("remove tail", "remove cowl", "refit cowl"),
        *("remove cowl", "refit cowl", "stacks"),
        *("stick-bolt", "refit tail", "oil", "stick-travel", "compression"),
    ]
    for at in range(len(sheet.entries)):
        sheet = edit.tick_in_order(sheet, at)
    assert not [gap for gap in out_of_order(small, sheet) if "all is closed" in gap]


def test_what_was_done_of_it_since_stays_above() -> None:
    made = book()
    small = ticked(made, "remove cowl", "refit cowl", "remove tail", "refit tail", "oil", "stick-travel")
    sheet = edit.take_off_again(small.sheet, made.panels["cowl"], [made.checks["oil"]])
    assert [f"{entry.verb} {entry.id}".strip() for entry in sheet.entries[4:]] == [
        *("oil", "remove cowl", "refit cowl", "oil", "stick-travel")
    ]


@pytest.mark.parametrize("names", [("stick-bolt", "remove tail", "refit tail"), ()])
def test_of_a_panel_without_a_box_it_comes_below_that(names: tuple[str, ...]) -> None:
    made = book()
    small = ticked(made, *names)
    sheet = edit.take_off_again(small.sheet, made.panels["cowl"], [made.checks["oil"]])
    assert [f"{entry.verb} {entry.id}".strip() for entry in sheet.entries] == [
        *names,
        *("remove cowl", "refit cowl", "oil"),
    ]


def book_of_nose() -> Logbook:
    """The place of the stick is the closed nose."""
    made = book()
    return replace(made, panels={**made.panels, "stick": replace(made.panels["stick"], zone="nose")})


@pytest.mark.parametrize("panel", ["cowl", "tail"])
@pytest.mark.parametrize("times", [1, 2])
def test_what_was_ticked_before_a_panel_comes_off_again_is_not_out_of_order(panel: str, times: int) -> None:
    """The program writes the boxes above it; until they are ticked, and where work stops before the refit."""
    made = book_of_nose()
    small = ticked(made, "remove cowl", "remove tail", "refit cowl", "refit tail", "stick-travel", "oil")
    sheet = small.sheet
    for _ in range(times):
        sheet = edit.take_off_again(sheet, made.panels[panel], [made.checks["oil"]] * (panel == "cowl"))
        assert out_of_order(small, sheet) == []
        *_, off, on = (at for at, entry in enumerate(sheet.entries) if entry.id == panel)
        for at in (off, on):
            sheet = edit.tick_in_order(sheet, at)
            assert out_of_order(small, sheet) == []


def test_what_stays_off_on_a_list_of_discrepancies_stands_where_it_does() -> None:
    """`opened all` asks what was taken off, and may be ticked while it is: no other order of the boxes is right."""
    small = ticked(book(), "remove tail", "refit tail", "stick-travel")
    sheet = edit.untick(small.sheet, 1)
    assert out_of_order(small, sheet) == []
    assert out_of_order(small, edit.answer(sheet, 1, "not done", "left off")) == []
    assert "tail: is not back on" in [f"{gap.about}: {gap.text}" for gap in panels_missing(request_for(small, sheet))]


def test_a_check_of_the_closed_nose_was_done_with_it_closed_only_where_it_was_once() -> None:
    small = ticked(book_of_nose(), "remove cowl", "refit cowl", "stick-travel")
    (gap,) = out_of_order(small, edit.untick(small.sheet, 1))
    assert gap.startswith("stick-travel: is done with `cowl` closed, and stands where it is off")
