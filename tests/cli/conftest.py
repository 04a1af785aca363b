"""Running the whole program in this process, on stores written by hand."""

import datetime as dt
import io
import shutil
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

import pytest

from inspect_kit.cli import main as program

TODAY = dt.date(2026, 11, 25)


class Outcome(NamedTuple):
    code: int
    out: str
    err: str


Run = Callable[..., Outcome]
Typed = str | Callable[[], object]


class Keys(io.StringIO):
    """Lines as they are typed; what can be called is done just before the line behind it, as in another window."""

    def __init__(self, typed: Sequence[Typed]) -> None:
        super().__init__()
        self.left = iter(typed)

    def readline(self, size: int | None = -1) -> str:
        for each in self.left:
            if isinstance(each, str):
                return f"{each}\n"
            each()
        return ""


@pytest.fixture(autouse=True)
def calm(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fixed day, a width for tables, and no colours from the machine's own environment."""
    monkeypatch.setattr(program, "today", lambda: TODAY)
    for name in ("FORCE_COLOR", "NO_COLOR", "LINES"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("COLUMNS", "100")


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """run(store, *words, typed=[...]) gives exit code, standard output and standard error."""

    def call(store: Path | None, *words: str, typed: tuple[Typed, ...] = (), on: str = "") -> Outcome:
        monkeypatch.setattr(sys, "stdin", Keys(typed))
        capsys.readouterr()
        arguments = [*(["--store", str(store)] if store else []), *(["--on", on] if on else []), *words]
        code = program.main(arguments)
        out, err = capsys.readouterr()
        return Outcome(code, out, err)

    return call


COWL = """\
---
panel: cowl
name: Cowling
zone: nose
remove: 10 min
refit: 15 min
---
- [ ] `stacks` Exhaust stacks: cracks
  - every: condition inspection
  - covers: d8
- [ ] `compression` Differential compression
  - every: condition inspection
  - covers: d3
  - time: 30 min
  - reads: cylinder 1 to 2, psi, at least 60
- [ ] `oil` Change the oil
  - every: 50 h or 4 months
  - who: anyone
  - uses: 6 qt engine oil; 1 oil filter
"""
FLOOR = """\
---
panel: floor
name: Cabin floor
zone: cabin
remove: 5 min
refit: 5 min
behind: [seats]
---
- [ ] `pulleys` Control pulleys and cables
  - every: condition inspection
  - covers: c5
- [ ] `elt` Emergency transmitter inspection
  - every: 12 calendar months
  - covers: j
"""
SEATS = """\
---
panel: seats
name: Seats
zone: cabin
remove: 3 min
refit: 3 min
---
"""
CODES = "a b1 b2 b3 c1 c2 c3 c4 c6 c7 d1 d2 d4 d5 d6 d7 d9 d10 d11 e1 e2 e3 e4 e5 e6 e7 e8 e9 e10 f g".split()  # noqa: SIM905
CODES += "h1 h2 h3 h4 i1 i2 i3 i4".split()  # noqa: SIM905
AIRCRAFT = """\
format: 1
aircraft: {registration: N0XX, make: Sparrow, model: S-1, serial: "7", certificate-date: 2020-05-01}
meters: {tach: {unit: h}}
time-in-service: tach
inspections:
  condition:
    every: 12 calendar months
    scope: part 43 appendix D
    statement: I certify that this aircraft has been inspected on {date} and found in a condition for safe operation.
    signers: [repairman (experimental aircraft builder)]
people:
  - {name: Ada Bellcrank, kind: repairman (experimental aircraft builder), certificate: "0000001"}
  - {name: Bo Cleco, kind: student, certificate: "0000002"}
not-applicable:
""" + "".join(f"  {code}: none on this small aircraft\n" for code in CODES)
PAST = """\
format: 1
kind: brought-forward
date: 2026-09-01
meters: {tach: {reads: 400.0, total: 655.5}}
last:
  condition: {date: 2025-12-13, tach: 620.0, paper: aircraft log p. 31}
  oil: {date: 2026-08-02, tach: 650.0}
  elt: {date: 2025-12-13}
"""


@pytest.fixture
def hangar(tmp_path: Path) -> Path:
    """A store as a person writes it by hand: three panels, five checks, the past brought forward."""
    root = tmp_path / "plane"
    for name, text in {
        "checklists/nose/cowl.md": COWL,
        "checklists/cabin/floor.md": FLOOR,
        "checklists/cabin/seats.md": SEATS,
        "records/aircraft.yaml": AIRCRAFT,
        "records/2026/2026-09-01-past.yaml": PAST,
    }.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root


TAILWHEEL = Path(__file__).parents[1] / "life" / "tailwheel"


@pytest.fixture
def wren(tmp_path: Path) -> Path:
    """A scratch copy of the second aircraft: a tailwheel one, two tanks of different arms, in its flight-test phase."""
    root = tmp_path / "tailwheel"
    shutil.copytree(TAILWHEEL, root)
    return root


def entered(store: Path, name: str, text: str) -> None:
    """A record of 2026, as a person writes it."""
    (store / "records/2026" / f"{name}.yaml").write_text(f"format: 1\n{text}", encoding="utf-8")
