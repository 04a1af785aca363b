"""A small aircraft to walk round: one panel, a place, checks of every kind, and two inspections behind it."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.walk_keys import Keyboard
from inspect_kit.cli.walk_talk import Talk
from inspect_kit.cli.walking import walk_page
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.text.worksheet import read_worksheet

ADA, BO, CY, PIP = "Ada Bellcrank", "Bo Cleco", "Cy Dzus", "Pip Ashtally"
TODAY = dt.date(2026, 11, 25)
PAGE = "records/open/2026-11-21-condition-page.md"
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
  - {name: Bo Cleco, kind: helper}
  - {name: Cy Dzus, kind: repairman (experimental aircraft builder), certificate: "0000003"}
  - {name: Old Hand, kind: helper, retired: 2024-01-01}
"""
COWL = """\
---
panel: cowl
name: Cowling
zone: nose
remove: 10 min
refit: 15 min
fasteners: 14 quarter-turn
caution: Let the exhaust cool.
second-look: yes
---
# Cowling

Set it on the rack.

- [ ] `shell` Cowling: cracks
  - every: condition inspection
  - covers: d11
- [ ] `baffles` Baffles: cracks
  - every: condition inspection
- [ ] `stacks` Exhaust stacks: cracks
  - every: condition inspection
  - covers: d8
  - time: 20 min
- [ ] `compression` Differential compression
  - every: condition inspection
  - covers: d3
  - reads: cylinder 1 to 2, psi, at least 60
  - reads: where it leaks, words
- [ ] `mount` Engine mount: cracks
  - every: condition inspection
- [ ] `hoses` Hoses: chafing
  - every: condition inspection
  - after: compression
- [ ] `oil` Change the oil
  - every: 50 h
  - who: anyone
  - uses: 6 qt engine oil; 1 oil filter
- [ ] `hot` Heat muff off: cracks inside
  - every: condition inspection
  - caution: Hot metal.
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
- [ ] `bottle` Fire bottle
  - every: as marked
- [ ] `altimeter` Altimeter test
  - every: 24 calendar months
  - who: others: repair station
"""
RUN = """\
---
panel: run
name: Engine run
zone: aircraft
---
- [ ] `run-before` Run before
  - every: condition inspection
  - when: before
  - alone: yes
  - reads: idle, rpm, 600 to 750
- [ ] `run-after` Run after
  - every: condition inspection
  - when: closed
  - alone: yes
  - reads: idle, rpm, 600 to 750
"""
LAST = """\
format: 1
kind: inspection
date: 2025-11-22
entered: 2025-11-22
inspection: condition
outcome: passed
aircraft: {registration: N0XX, make: Sparrow, model: S-1, serial: "7"}
basis: part 43 appendix D
statement: Inspected on 2025-11-22 and found to be in a condition for safe operation.
by: {name: Ada Bellcrank, kind: repairman (experimental aircraft builder), certificate: "0000001"}
meters: {tach: 500.0}
results:
  compression: done
readings:
  compression: {cylinder 1: 74 psi (at least 60), cylinder 2: 69 psi (at least 60)}
  run-after: {idle: 700 rpm (600 to 750)}
findings:
  F1: {check: shell, found: crack 10 mm, fix: by 2027-03-31, may wait because: stop-drilled}
  F2: {check: stacks, found: rust, fix: at next condition inspection, may wait because: light}
"""
FRONT = """\
---
job: condition
aircraft: N0XX
begun: 2026-11-21
meters: {tach: 560.0}
inspector: Ada Bellcrank
helpers: [Pip Ashtally]
---
# Condition inspection

"""
BOXES = {
    "F1": "- [ ] `2025-11-22-condition-last#F1` crack 10 mm (shell; fix by 2027-03-31)",
    "F2": "- [ ] `2025-11-22-condition-last#F2` rust (stacks; fix at next condition inspection)",
    "run-before": "- [ ] `run-before` Run before\n  - idle: ____ rpm (600 to 750)",
    "remove": "- [ ] remove `cowl` Cowling",
    "shell": "- [ ] `shell` Cowling: cracks",
    "baffles": "- [ ] `baffles` Baffles: cracks",
    "stacks": "- [ ] `stacks` Exhaust stacks: cracks",
    "compression": "- [ ] `compression` Differential compression\n  - cylinder 1: ____ psi (at least 60)\n"
    "  - cylinder 2: ____ psi (at least 60)\n  - where it leaks: ____ (words)",
    "mount": "- [ ] `mount` Engine mount: cracks",
    "hoses": "- [ ] `hoses` Hoses: chafing",
    "oil": "- [ ] `oil` Change the oil",
    "hot": "- [ ] `hot` Heat muff off: cracks inside",
    "stick-bolt": "- [ ] `stick-bolt` Stick bolt safetied\n  - second look by: ____",
    "bottle": "- [ ] `bottle` Fire bottle\n  - good until: ____",
    "altimeter": "- [ ] `altimeter` Altimeter test\n  - paper: ____",
    "refit": "- [ ] refit `cowl` Cowling\n  - second look by: ____",
    "run-after": "- [ ] `run-after` Run after\n  - idle: ____ rpm (600 to 750)",
}


def page_of(*names: str, front: str = FRONT) -> str:
    """A page with these boxes, or with all of them."""
    return front + "\n\n".join(BOXES[name] for name in names or BOXES) + "\n"


def walk_store(root: Path, *names: str, front: str = FRONT) -> Path:
    """A store whose open page has these boxes."""
    files = {
        "checklists/nose/cowl.md": COWL,
        "checklists/cabin/stick.md": STICK,
        "checklists/aircraft/run.md": RUN,
        "records/aircraft.yaml": AIRCRAFT,
        "records/2025/2025-11-22-condition-last.yaml": LAST,
        PAGE: page_of(*names, front=front),
    }
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root


def walk(root: Path, source: Keyboard, *, by: str = "", on: dt.date | None = None) -> Worksheet:
    """Walk the page with these hands; the page as it is on the disk after that."""
    walk_page(Desk(folder=root, given_on=on, today=TODAY), "", by, Talk(source))
    return page(root)


def page(root: Path) -> Worksheet:
    sheet, source = read_worksheet((root / PAGE).read_text(encoding="utf-8"), PAGE)
    assert sheet is not None
    assert not source.problems
    return sheet


def ticked(sheet: Worksheet) -> list[str]:
    """The boxes that are ticked, as `verb id`."""
    return [f"{entry.verb} {entry.id}".strip() for entry in sheet.entries if entry.ticked]


def said(capsys: pytest.CaptureFixture[str]) -> str:
    """All that was said, with single blanks."""
    return " ".join(capsys.readouterr().out.split())


def entry(root: Path, name: str, verb: str = "") -> Entry:
    """A box of the page as it is on the disk."""
    return next(each for each in page(root).entries if (each.verb, each.id) == (verb, name))
