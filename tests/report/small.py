"""A small invented aircraft with a past, read from text as the store reads it. Nothing in it exists."""

import datetime as dt
from collections.abc import Mapping

from inspect_kit.model.logbook import Logbook
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record

TODAY = dt.date(2026, 11, 25)

AIRCRAFT = """\
format: 1
aircraft: {registration: N0TS, make: Turnstone, model: TS-2, serial: "001", certificate-date: 2017-06-08}
meters:
  tach: {unit: h}
  landings: {unit: landings}
time-in-service: tach
positions: {engine: {}, magneto-left: {on: engine}}
inspections:
  condition:
    every: 12 calendar months
    scope: part 43 appendix D
    statement: >-
      I certify that this aircraft has been inspected on {date} in accordance with the scope and detail of
      appendix D to part 43, and was found to be in a condition for safe operation.
    signers: [repairman (experimental aircraft builder)]
people:
  - {name: Hazel Quillfeather, kind: repairman (experimental aircraft builder), certificate: "0000000"}
  - {name: Pip Ashtally, kind: helper}
not-applicable: {b3: no envelope or gas bags, e10: no floats or skis}
"""

CHECKLISTS = {
    "checklists/nose/cowl-lower.md": """\
---
panel: cowl-lower
name: Lower cowling
zone: nose
remove: 14 min
refit: 20 min
people: 2
caution: Let the exhaust cool before you reach past the stacks.
---
- [ ] `exhaust-stacks` Exhaust stacks, joints and hangers: cracks, leak stains, security
  - every: condition inspection
  - covers: d8
  - time: 15 min
- [ ] `oil-change` Change the oil and the filter; cut the filter open and look for metal
  - every: 50 h or 4 months
  - time: 45 min
  - who: anyone
  - uses: 6 qt engine oil; 1 oil filter
  - source: engine maker
- [ ] `compression` Differential compression, engine warm: 80 psi, leakage
  - every: condition inspection
  - covers: d3
  - time: 40 min, 2 people
  - reads: cylinder 1 to 4, psi, at least 60
  - caution: Air turns the propeller: one holds it, nobody in the arc.
""",
    "checklists/tail/empennage.md": """\
---
panel: tail-fairing
name: Tail fairing
zone: tail
remove: 5 min
refit: 6 min
---
- [ ] `trim-grease` Grease the trim screw
  - every: 100 h
- [ ] `tail-bolts` Tail attachment: bolts, bushes, cracks
  - every: condition inspection
  - covers: g.1
  - second-look: yes
""",
    "checklists/aircraft/papers.md": """\
---
panel: papers
name: Papers
zone: aircraft
---
- [ ] `elt-battery` Emergency transmitter battery
  - every: as marked
  - source: 14 CFR 91.207(c)
- [ ] `static-test` Static system, altimeter and encoder
  - every: 24 calendar months
  - who: others: repair station
  - source: 14 CFR 91.411
""",
}

INSPECTION = """\
format: 1
kind: inspection
date: {date}
entered: {entered}
inspection: condition
outcome: {outcome}
aircraft: {{registration: N0TS, make: Turnstone, model: TS-2, serial: "001"}}
basis: part 43 appendix D
{statement}meters: {{tach: {tach}, landings: {landings}}}
totals: {{tach: {total}, landings: {landings}}}
begun: {begun}
helpers: [Pip Ashtally]
not-applicable: {{b3: no envelope or gas bags, e10: no floats or skis}}
results:
  exhaust-stacks: {{answer: done, took: 25 min, notes: [heat shield cleaned]}}
  compression: done
  tail-bolts: {{answer: done, second-look: Pip Ashtally}}
  trim-grease: {{answer: not done, reason: no grease in the hangar}}
  oil-change: done
  static-test: {{answer: done, by: Marsh Lane Instruments, paper: work order 88 (invented)}}
readings:
  compression:
    cylinder 1: 76 psi (at least 60)
    cylinder 2: ["58 psi (at least 60)", "{again} psi after 5 min run"]
{findings}
did: [exhaust-stacks, compression, tail-bolts, oil-change, static-test]
opened: [cowl-lower, tail-fairing]
parts: [1 oil filter, 6 qt engine oil]
by: {{name: Hazel Quillfeather, kind: repairman (experimental aircraft builder), certificate: "0000000"}}
"""
STATEMENT = (
    "statement: I certify that this aircraft has been inspected on {date} in accordance with the scope and detail of "
    "appendix D to part 43, and was found to be in a condition for safe operation.\n"
)
FINDINGS = """\
findings:
  F1:
    check: exhaust-stacks
    found: crack, 8 mm, at the number 3 weld
    fix: before flight
    cleared: "2026-11-20 stack replaced; by: Hazel Quillfeather"
  F2:
    panel: tail-fairing
    found: paint blistered along the lower edge
    fix: by 2027-05-31
    may wait because: not structural, no corrosion below
"""
EARLY_FINDINGS = """\
findings:
  F1:
    check: tail-bolts
    found: light surface rust on two washers
    fix: at next condition inspection
    may wait because: washers only
"""
OPEN_FINDINGS = """\
findings:
  F1:
    check: exhaust-stacks
    found: crack, 8 mm, at the number 3 weld
    fix: before flight
    waiting: exhaust stack, ordered
"""


def inspection(date: str, *, passed: bool = True, tach: str = "611.2", again: str = "68", findings: str = "") -> str:
    """The text of an inspection record."""
    return INSPECTION.format(
        date=date,
        entered=date,
        begun=date,
        outcome="passed" if passed else "not passed",
        statement=STATEMENT.format(date=date) if passed else "",
        tach=tach,
        total=tach,
        landings=str(int(float(tach) * 2)),
        again=again,
        findings=findings or FINDINGS,
    )


RECORDS = {
    "records/2017/2017-06-08-first.yaml": (
        "format: 1\nkind: hours\ndate: 2017-06-08\nmeters: {tach: 0.0, landings: 0}\n"
    ),
    "records/2017/2017-06-08-magneto.yaml": (
        "format: 1\nkind: installed\ndate: 2017-06-08\nposition: magneto-left\npart: Sparrow M4\nserial: A-17\n"
        "since-new: 0\nmeters: {tach: 0.0}\n"
    ),
    "records/2024/2024-05-02-bolt.yaml": (
        "format: 1\nkind: finding\ndate: 2024-05-02\npanel: cowl-lower\nfound: one fastener loose\n"
        "fix: at next condition inspection\nmay wait because: 21 others hold\n"
    ),
    "records/2025/2025-11-22-condition-aaaa.yaml": inspection(
        "2025-11-22", tach="560.4", again="70", findings=EARLY_FINDINGS
    ),
    "records/2025/2025-11-23-ink.yaml": (
        "format: 1\nkind: signature\ndate: 2025-11-23\nof: 2025-11-22-condition-aaaa\nink: airframe log p. 41\n"
    ),
    "records/2026/2026-05-14-oil.yaml": (
        "format: 1\nkind: work\ndate: 2026-05-14\nentered: 2026-05-16\nmeters: {tach: 590.1}\ndid: [oil-change]\n"
        "text: Changed the oil and the filter. No metal in the pleats.\nparts: [1 oil filter]\n"
        "clears: {2024-05-02-bolt#F1: 2026-05-14 fastener replaced}\nby: Hazel Quillfeather\n"
    ),
    "records/2026/2026-11-21-condition-bbbb.yaml": inspection("2026-11-21"),
    "records/2026/2026-11-22-ink.yaml": (
        "format: 1\nkind: signature\ndate: 2026-11-22\nof: 2026-11-21-condition-bbbb\nink: airframe log p. 44\n"
    ),
    "records/2026/2026-11-24-amendment.yaml": (
        "format: 1\nkind: amendment\ndate: 2026-11-24\nof: 2026-11-21-condition-bbbb\n"
        "text: The filter was part 12-B, not 12-A.\nby: Hazel Quillfeather\n"
    ),
}


def logbook(
    records: Mapping[str, str] | None = None,
    checklists: Mapping[str, str] = CHECKLISTS,
    aircraft: str = AIRCRAFT,
) -> Logbook:
    """The small aircraft with its records, or with these; a text that cannot be read whole is an error of the test."""
    made, source = read_aircraft(aircraft, "records/aircraft.yaml")
    assert made is not None
    assert not source.problems
    panels, checks, read = {}, {}, []
    for name, text in checklists.items():
        panel, found, source = read_checklist(text, name)
        assert panel is not None
        assert not source.problems, source.problems
        panels[panel.id] = panel
        checks |= {check.id: check for check in found}
    for name, text in (RECORDS if records is None else records).items():
        record, source = read_record(text, name)
        assert not source.problems, source.problems
        assert record is not None
        read.append(record)
    read.sort(key=lambda record: (record.date, record.name))
    return Logbook(aircraft=made, panels=panels, checks=checks).with_records(read)
