"""Which readings a box wants, and what an earlier box of the same panel has for the same label."""

from dataclasses import replace

from inspect_kit.inspection import edit
from inspect_kit.inspection.wanted import wanted
from inspect_kit.text.checklist import read_checklist
from tests.inspection.conftest import logbook

RUN = """\
---
panel: cowl
name: Cowling
zone: nose
---
- [ ] `warm` Warm
  - every: condition inspection
  - reads: oil pressure, psi, 30 to 90
- [ ] `again` Again
  - every: condition inspection
  - reads: oil pressure, psi, 30 to 90
"""


def test_the_value_of_the_run_before_is_that_of_a_box_that_is_ticked() -> None:
    panel, checks, source = read_checklist(RUN, "checklists/x/cowl.md")
    assert panel is not None
    assert not source.problems
    book = replace(logbook(), panels={"cowl": panel}, checks={each.id: each for each in checks})
    page = "---\njob: condition\naircraft: N0XX\nbegun: 2026-05-01\n---\n"
    page += "- [{}] `warm` Warm\n  - oil pressure: 61 psi\n\n- [ ] `again` Again\n  - oil pressure: ____ psi\n"
    told = {}
    for mark in "x ":
        sheet = edit.opened(page.format(mark), "records/open/page.md")
        assert sheet is not None
        (again,) = wanted(book, sheet.page, 1, {})
        told[mark] = again.before
    assert told == {"x": "61", " ": ""}
