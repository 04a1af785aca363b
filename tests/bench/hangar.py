"""A club: how long `due` and `status` take on so many copies of the sample aircraft.

    python -m tests.bench hangar [MOST]
"""

import contextlib
import io
import shutil
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from inspect_kit.cli import main as program

SAMPLE = Path(__file__).parents[2]


def main(words: Sequence[str]) -> int:
    most = int(words[0]) if words else 40
    with tempfile.TemporaryDirectory() as folder:
        stores = []
        for number in range(most):
            stores.append(Path(folder) / f"aircraft-{number:02}")
            for part in ("checklists", "records"):
                shutil.copytree(SAMPLE / part, stores[-1] / part)
        for command in (("due", "--all"), ("status",)):
            for many in sorted({1, most // 4, most // 2, most} - {0}):
                spent = time.process_time()
                named = [word for store in stores[:many] for word in ("--store", str(store))]
                with contextlib.redirect_stdout(io.StringIO()) as told:
                    code = program.main([*named, "--on", "2026-11-26", *command])
                spent = time.process_time() - spent
                lines = told.getvalue().count("\n")
                each = f"{spent:6.1f} s, {spent / many:.2f} s each"
                print(f"{command[0]}, {many:3} aircraft: {each}, {lines} lines, exit {code}")
    return 0
