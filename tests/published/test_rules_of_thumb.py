"""Panel times of the sample against the trade's rules of thumb.

Source: common practice, no source. A quick-release side panel comes off in about 5 minutes, a whole front end takes
about an hour off and on, a detachable wing about 20 minutes, a hinged windscreen unit about 10. "About" is taken as
within a half more or less.
"""

from pathlib import Path

import pytest

from inspect_kit.model.checklist import Panel
from inspect_kit.text.checklist import read_checklist

ROOT = Path(__file__).parents[2] / "checklists"


def panels() -> dict[str, Panel]:
    found = (read_checklist(path.read_text(encoding="utf-8"), path.name)[0] for path in sorted(ROOT.rglob("*.md")))
    return {panel.id: panel for panel in found if panel is not None}


def off(name: str) -> int:
    minutes = panels()[name].remove
    assert minutes is not None
    return minutes


def both(name: str) -> int:
    refit = panels()[name].refit
    assert refit is not None
    return off(name) + refit


def about(minutes: float, thumb: float) -> bool:
    return 0.5 * thumb <= minutes <= 1.5 * thumb


@pytest.mark.parametrize("panel", ["side-panel-left", "side-panel-right"])
def test_a_side_panel_takes_about_5_minutes(panel: str) -> None:
    assert about(off(panel), 5)


def test_a_whole_front_end_takes_about_an_hour() -> None:
    assert about(sum(both(panel) for panel in ("spinner", "cowl-upper", "cowl-lower")), 60)


@pytest.mark.parametrize("panel", ["wing-left-off", "wing-right-off"])
def test_a_detachable_wing_takes_about_20_minutes(panel: str) -> None:
    assert about(off(panel), 20)


def test_a_hinged_windscreen_unit_takes_about_10_minutes() -> None:
    assert about(off("windscreen"), 10)
