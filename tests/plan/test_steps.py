"""Why one step waits for another, in words: a panel is off for a check, a setup stands."""

from inspect_kit.model.checklist import Panel
from inspect_kit.plan.steps import work_of
from tests.plan.test_conflict import HERE, check, job, setup


def test_a_check_needs_its_panel_off_and_its_setup_standing() -> None:
    hatch = Panel(id="hatch", name="Hatch", zone="z", remove=5, refit=5, place=HERE)
    asked = job(check("cables", panel="hatch"), check("wheels", panel="jacks"), panels=(hatch, setup("jacks")))
    told = {tie.why for tie in work_of(asked).ties if tie.after in ("cables", "wheels") and tie.why}
    assert told == {"cables needs Hatch (hatch) off", "wheels needs jacks standing"}
