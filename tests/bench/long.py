"""A page of very many checks, in one panel and in panels of 100: `python -m tests.bench long [CHECKS]`."""

import contextlib
import os
import tempfile
import time
from pathlib import Path

from inspect_kit.cli.main import main as program

CHECKS = 10_000
AIRCRAFT = """\
format: 1
aircraft: {registration: N0XX, make: Sparrow, model: S-1, serial: "7", certificate-date: 2020-05-01}
meters: {tach: {unit: h}}
time-in-service: tach
inspections:
  condition: {every: 12 calendar months, scope: part 43 appendix D, statement: I certify., signers: [builder]}
people: [{name: Ada Bellcrank, kind: builder, certificate: "1"}]
"""


def make(root: Path, checks: int, panel: int) -> None:
    """A store of so many checks, `panel` of them behind each panel."""
    (root / "checklists/tail").mkdir(parents=True)
    (root / "records").mkdir()
    (root / "records/aircraft.yaml").write_text(AIRCRAFT)
    for first in range(0, checks, panel):
        text = f"---\npanel: belly-{first}\nname: Belly {first}\nzone: tail\n"
        text += "remove: 5 min\nrefit: 5 min\n---\n# Belly\n"
        for number in range(first, min(checks, first + panel)):
            text += f"\n- [ ] `look-{number}` Look at number {number}\n  - every: condition inspection\n"
            text += "  - covers: d8\n  - time: 2 min\n"
        (root / f"checklists/tail/belly-{first}.md").write_text(text)


def main(arguments: list[str]) -> int:
    checks = int(arguments[0]) if arguments else CHECKS
    for panel in (checks, 100):
        with tempfile.TemporaryDirectory() as folder:
            make(Path(folder), checks, panel)
            for words in (("due",), ("start", "condition", "tach=10", "--by", "Ada Bellcrank"), ("verify",)):
                before = time.process_time()
                with open(os.devnull, "w") as nowhere, contextlib.redirect_stdout(nowhere):
                    code = program(["--store", folder, *words])
                spent = time.process_time() - before
                told = f"{checks:,} checks in panels of {panel:,}: {words[0]} {spent:.1f} s of processor time"
                print(f"{told}, exit {code}", flush=True)
    return 0
