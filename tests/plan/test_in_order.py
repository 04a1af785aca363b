"""The order in which named checks can be done, and engine runs that are named too early."""

import itertools
from pathlib import Path

import pytest

import inspect_kit.starter
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.plan import in_order, out_of_order
from inspect_kit.text.checklist import read_checklist

CHECKS: dict[str, Check] = {}
PANELS: dict[str, Panel] = {}
for path in sorted((Path(inspect_kit.starter.__file__).parent / "checklists").rglob("*.md")):
    panel, checks, _ = read_checklist(path.read_text(encoding="utf-8"), path.name)
    assert panel is not None
    PANELS[panel.id] = panel
    CHECKS |= {check.id: check for check in checks}

IGNITION = ("spark-plugs-in", "tools-counted", "magneto-grounding")


@pytest.mark.parametrize("names", [*itertools.permutations(IGNITION)])
def test_plugs_in_then_tools_counted_then_the_engine_runs(names: tuple[str, ...]) -> None:
    assert in_order(CHECKS, PANELS, names) == IGNITION
    wrong = [*out_of_order(CHECKS, PANELS, names, ())]
    assert bool(wrong) == (names != IGNITION)


@pytest.mark.parametrize("undone", ["spark-plugs-in", "tools-counted"])
def test_a_run_while_what_closes_the_aircraft_is_owed_and_undone(undone: str) -> None:
    (wrong,) = out_of_order(CHECKS, PANELS, ["magneto-grounding"], [undone, "static-leak"])
    assert (wrong.run, wrong.before) == ("magneto-grounding", undone)


def test_an_oil_change() -> None:
    names = ("oil-change", "oil-screens", "oil-fill", "tools-before-run", "idle-leaks", "leaks-after")
    for order in itertools.permutations(names):
        assert in_order(CHECKS, PANELS, order) == names
    assert not [*out_of_order(CHECKS, PANELS, names, ())]


def test_every_suggested_order_of_what_one_disturbance_owes_is_taken_as_typed() -> None:
    triggers = {each for check in CHECKS.values() for each in check.owed_after}
    for trigger in triggers:
        owed = [check.id for check in CHECKS.values() if trigger in check.owed_after]
        for names in (owed, owed[::-1]):
            assert not [*out_of_order(CHECKS, PANELS, in_order(CHECKS, PANELS, names), ())], trigger


def test_what_opens_nothing_keeps_no_engine_from_running() -> None:
    """A test of a detector in the cabin makes no leak run safe; a panel that is off for a look under it does."""
    run = ("tools-before-run", "idle-leaks")
    assert not [*out_of_order(CHECKS, PANELS, (*run, "co-detector"), ())]
    # The cowlings are off while it runs: what is looked at below them asks nothing to be opened.
    assert not [*out_of_order(CHECKS, PANELS, (*run, "air-filter"), ())]
    (wrong, *_) = out_of_order(CHECKS, PANELS, (*run, "tail-controls"), ())
    assert (wrong.run, wrong.before, wrong.off) == ("tools-before-run", "tail-controls", ("tail-fairings",))
