"""Small stores to break: an aircraft, a checklist, a page in progress, and the shortest sealed record."""

import datetime as dt
import re
from collections.abc import Iterable
from pathlib import Path

from inspect_kit import store

TODAY = dt.date(2026, 11, 28)
PAGE = "records/open/2026-11-21-condition-page.md"
RECORD = "records/2026/2026-11-28-condition-seal.yaml"
WORKSHEET = "records/2026/2026-11-28-condition-seal.md"
HOURS = "records/2026/2026-11-20-hours-tach.yaml"

AIRCRAFT = b"""\
format: 1
aircraft: {registration: N0TS, make: Turnstone, model: TS-2, serial: "001", certificate-date: 2017-06-08}
meters:
  tach: {unit: h}
time-in-service: tach
inspections:
  condition:
    every: 12 calendar months
    scope: part 43 appendix D
    statement: I certify that this aircraft has been inspected on {date}.
    signers: [repairman (experimental aircraft builder)]
people:
  - {name: Sample Builder, kind: repairman (experimental aircraft builder), certificate: "0000000"}
"""

CHECKLIST = b"""\
---
panel: cowl-upper
name: Upper cowling
zone: nose
remove: 5 min
refit: 5 min
---
# Upper cowling

- [ ] `oil-change` Change the oil
  - every: 50 h
- [ ] `baffles` Baffles: cracks
  - every: condition inspection
"""

WORKSHEET_TEXT = b"""\
---
job: condition
aircraft: N0TS
begun: 2026-11-21
meters: {tach: 611.2}
inspector: Sample Builder
helpers: []
---
# Condition inspection

- [x] remove `cowl-upper` Upper cowling

- [x] `oil-change` Change the oil

- [x] `baffles` Baffles: cracks
  - found: F1 crack, 8 mm
    - fix: by 2027-01-31
    - may wait because: it is stop-drilled

- [x] refit `cowl-upper` Upper cowling
"""

BODY = b"""\
format: 1
kind: inspection
date: 2026-11-28
entered: 2026-11-28
inspection: condition
outcome: passed
aircraft: {registration: N0TS, make: Turnstone, model: TS-2, serial: "001"}
basis: part 43 appendix D
statement: I certify that this aircraft has been inspected on 2026-11-28.
by: {name: Sample Builder, kind: repairman (experimental aircraft builder), certificate: "0000000"}
meters: {tach: 611.2}
did: [oil-change]
"""

HOURS_TEXT = b"""\
format: 1
kind: hours
date: 2026-11-20
meters: {tach: 611.0}
"""


def make_store(root: Path) -> Path:
    """A store with a page that can be signed."""
    files = {
        "records/aircraft.yaml": AIRCRAFT,
        "checklists/nose/cowl-upper.md": CHECKLIST,
        PAGE: WORKSHEET_TEXT,
        HOURS: HOURS_TEXT,
    }
    for name, data in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return store.at(root)


def sign(root: Path, page: str = PAGE, record: str = RECORD, body: bytes = BODY) -> bytes:
    """Sign the page as it stands."""
    with store.writing(root, command="sign") as writer:
        return store.sign(writer, page=page, read=(root / page).read_bytes(), record=record, body=body)


def start(root: Path, page: str, text: bytes = WORKSHEET_TEXT) -> None:
    """Open a new page."""
    with store.writing(root, command="start") as writer:
        store.create(writer, page, text)


def after_block(root: Path) -> str:
    """The lines by which a record names the newest seals of a store; "" if there are none."""
    heads = store.heads(store.read_settled(root).files)
    return "".join(["after:\n", *(f"  - {seal}\n" for seal in heads)]) if heads else ""


def record_hours(root: Path, name: str, date: str, tach: str, *, witness: bool = True) -> None:
    """Write a reading down, as the tool does: with the seals that no record names yet."""
    after = after_block(root) if witness else ""
    text = f"format: 1\nkind: hours\ndate: {date}\nmeters: {{tach: {tach}}}\n{after}"
    with store.writing(root, command="hours") as writer:
        store.create(writer, name, text.encode())


def complaints(root: Path) -> list[str]:
    """Every problem of the store, seals included, as it is printed without the excerpt."""
    loaded = store.load(root)
    seals = store.check_seals(loaded.files, store.registered(root))
    return [f"{problem.place}: {problem.message}" for problem in (*loaded.problems, *seals)]


def settled(root: Path) -> dict[str, bytes]:
    """What readers see."""
    return dict(store.read_settled(root).files)


def tools_files(root: Path, folders: Iterable[str] = ("half", "pages", "together")) -> list[str]:
    """What the tool left in its own folders."""
    return sorted(path.name for folder in folders for path in (root / ".inspect-kit" / folder).glob("*"))


def without_codes(text: str) -> str:
    """SHA-256 values shortened to one word, for comparing messages."""
    return re.sub(r"[0-9a-f]{12,64}", "SHA", text)
