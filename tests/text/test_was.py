"""An old id is told in the form that README shows, as a list or alone, of everything that has one."""

import pytest

from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist

FORMS = ["was: [{0}]", "was: {0}", "was: [{0}, {1}]", "was: {0}, {1}", "was:  [ {0} ,{1} ]"]
FRONT = "---\npanel: belly\nname: Belly\nzone: tail\n{}---\n# Belly\n\n- [ ] `look` Look at the belly\n{}"
AIRCRAFT = """\
format: 1
aircraft: {{registration: N0TS, make: Turnstone, model: TS-2, serial: "001", certificate-date: 2017-06-08}}
meters: {{tach: {{unit: h}}}}
time-in-service: tach
positions:
  magneto:
    {}
inspections:
  condition: {{every: 12 calendar months, scope: part 43 appendix D, statement: I certify., signers: [builder]}}
people:
  - name: Ada Bellcrank
    {}
"""


def old(form: str, *ids: str) -> tuple[str, ...]:
    return tuple(each for index, each in enumerate(ids) if f"{{{index}}}" in form)


@pytest.mark.parametrize("form", FORMS)
def test_of_a_panel_and_of_a_check(form: str) -> None:
    panel, _, source = read_checklist(FRONT.format(form.format("belly-2", "keel") + "\n", ""), "a.md")
    assert (panel and panel.was, source.problems) == (old(form, "belly-2", "keel"), [])
    _, (check,), source = read_checklist(FRONT.format("", "  - " + form.format("peek", "gaze") + "\n"), "a.md")
    assert (check.was, source.problems) == (old(form, "peek", "gaze"), [])


@pytest.mark.parametrize("form", FORMS)
def test_of_a_position_and_of_a_person(form: str) -> None:
    # A comma is part of a name, unless it stands in a list.
    people = form.replace("was: {0}, {1}", "was: [{0}, {1}]").format("Ada Spring", "Ada Lark")
    aircraft, source = read_aircraft(AIRCRAFT.format(form.format("magneto-left", "mag"), people), "a.yaml")
    assert aircraft is not None
    assert source.problems == []
    assert aircraft.positions["magneto"].was == old(form, "magneto-left", "mag")
    (person,) = aircraft.people
    assert person.was == old(form, "Ada Spring", "Ada Lark")
