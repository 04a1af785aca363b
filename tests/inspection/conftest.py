"""A small store in memory for the verbs on a worksheet: two panels, a place, and the checks that the tests need."""

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal
from typing import NamedTuple

import pytest

from inspect_kit.inspection import edit
from inspect_kit.inspection.signing import Request
from inspect_kit.inspection.start import new_page
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Step
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record

AIRCRAFT = """\
format: 1
aircraft: {registration: N0XX, make: Sparrow, model: S-1, serial: "7", certificate-date: 2020-05-01}
meters: {tach: {unit: h}}
time-in-service: tach
inspections:
  condition:
    every: 12 calendar months
    scope: part 43 appendix D
    statement: Inspected on {date} and found to be in a condition for safe operation.
    signers: [repairman (experimental aircraft builder)]
people:
  - {name: Ada Bellcrank, kind: repairman (experimental aircraft builder), certificate: "0000001"}
  - {name: Bo Cleco, kind: student, certificate: "0000002"}
not-applicable: {%s}
""" % ", ".join(  # noqa: UP031 - the braces of YAML would all have to be doubled
    f"{code}: not on this aircraft"
    for code in (
        *("a", "b1", "b2", "b3", "c1", "c2", "c3", "c4", "c6", "c7", "d1", "d2", "d4", "d5", "d6", "d7", "d9"),
        *("d10", "d11", "e1", "e2", "e3", "e4", "e5", "e6", "e7", "e8", "e9", "e10", "f", "g"),
        *("h1", "h2", "h3", "h4", "i1", "i2", "i3", "i4", "j"),
    )
)
COWL = """\
---
panel: cowl
name: Cowling
zone: nose
remove: 5 min
refit: 5 min
second-look: yes
caution: Let the exhaust cool.
---
- [ ] `stacks` Exhaust stacks: cracks
  - every: condition inspection
  - covers: d8
- [ ] `compression` Differential compression
  - every: condition inspection
  - covers: d3
  - reads: cylinder 1 to 2, psi, at least 60
  - caution: A second person holds the propeller.
- [ ] `oil` Change the oil
  - every: 50 h
  - who: anyone
  - uses: 6 qt engine oil
- [ ] `bottle` Fire bottle
  - every: as marked
- [ ] `altimeter` Altimeter test
  - every: 24 calendar months
  - who: others: repair station
"""
STICK = """\
---
panel: stick
name: Control stick
zone: cabin
---
- [ ] `stick-bolt` Stick bolt safetied
  - every: condition inspection
  - covers: c5
  - second-look: yes
- [ ] `stick-travel` Full and free travel
  - every: condition inspection
  - covers: c5
"""


class Small(NamedTuple):
    logbook: Logbook
    sheet: edit.OpenPage


def logbook() -> Logbook:
    aircraft, source = read_aircraft(AIRCRAFT, "records/aircraft.yaml")
    assert aircraft is not None
    assert not source.problems
    panels, checks = {}, {}
    for text, name in ((COWL, "cowl"), (STICK, "stick")):
        panel, found, source = read_checklist(text, f"checklists/x/{name}.md")
        assert panel is not None
        assert not source.problems
        panels[panel.id] = panel
        checks |= {check.id: check for check in found}
    return Logbook(aircraft=aircraft, panels=panels, checks=checks)


def steps(names: tuple[str, ...]) -> tuple[Step, ...]:
    made = []
    for name in names:
        verb, _, panel = name.rpartition(" ")
        if verb:
            made.append(Step(step=verb, panel=panel, start=0, end=5))
        else:
            panel = "stick" if name.startswith("stick") else "cowl"
            made.append(Step(step="check", panel=panel, check=name, start=0, end=5))
    return tuple(made)


def page_of(book: Logbook, names: tuple[str, ...], job: str = "condition") -> str:
    return new_page(
        book,
        job=job,
        steps=steps(names),
        begun=dt.date(2026, 5, 1),
        meters={"tach": Decimal("100.5")},
        inspector="Ada Bellcrank",
    )


def with_findings(where: Mapping[str, str]) -> Logbook:
    """The logbook with a finding before flight in each of these records, at the check or panel of its line."""
    records = []
    for name, at in where.items():
        text = f"format: 1\nkind: finding\ndate: {name[:10]}\nfound: worn\n{at}\nfix: before flight\nby: Ada\n"
        record, source = read_record(text, f"records/2026/{name}.yaml")
        assert record is not None
        assert not source.problems, source.problems
        records.append(record)
    return logbook().with_records(tuple(records))


def sheet_of(names: tuple[str, ...], job: str = "condition", book: Logbook | None = None) -> Small:
    book = book or logbook()
    sheet = edit.opened(page_of(book, names, job), "records/open/page.md")
    assert sheet is not None
    return Small(book, sheet)


ALL = ("remove cowl", "stacks", "compression", "refit cowl", "stick-bolt", "stick-travel")


@pytest.fixture
def small() -> Small:
    """A page of the condition inspection, nothing ticked."""
    return sheet_of(ALL)


def filled(sheet: edit.OpenPage) -> edit.OpenPage:
    """The page with every box ticked and everything written, fit to be signed."""
    for at in range(len(sheet.entries)):
        sheet = edit.tick_in_order(sheet, at)
    compression = sheet.box("compression")
    assert compression is not None
    for label in ("cylinder 1", "cylinder 2"):
        sheet = edit.measure(sheet, compression, label, "75")
    for name, verb in (("stick-bolt", ""), ("cowl", "refit")):
        box = sheet.box(name, verb)
        assert box is not None
        sheet = edit.write(sheet, box, "second look by", "Bo Cleco")
    return sheet


def request_for(small: Small, sheet: edit.OpenPage, signer: str = "Ada Bellcrank") -> Request:
    return Request(
        logbook=small.logbook,
        page=sheet.page,
        signer=small.logbook.aircraft.person(signer),
        on=dt.date(2026, 5, 3),
        last_totals={"tach": Decimal("100.0")},
        offsets={},
    )
