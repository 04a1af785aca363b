"""Plans of invented inspections: how many are proved shortest, how far the others may be from it,
and the processor time that it takes.

python -m tests.bench plan [--instances N] [--family WORDS] [--schedules N] [--psplib DIR] [--each]
"""

import argparse
import subprocess
import sys
import time
from pathlib import Path

from inspect_kit.plan import Plan, plan
from tests.bench._psplib import measure
from tests.plan.instances import FAMILIES, Family, job_of


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench plan")
    parser.add_argument("--instances", type=int, default=10, help="inspections of each family")
    parser.add_argument("--first", type=int, default=1000, help="seed of the first of them")
    parser.add_argument("--family", default="", help="only families whose name has these words")
    parser.add_argument("--schedules", type=int, default=None, help="effort of one plan")
    parser.add_argument("--each", action="store_true", help="a line for every inspection")
    parser.add_argument("--psplib", default="", help="folder with Patterson's and the J30 instances")
    options = parser.parse_args(argv)
    if options.psplib:
        measure(Path(options.psplib))
        return 0
    print(f"start of a command, to be added to every time below: {_command_start():.2f} s")
    for family in FAMILIES:
        if options.family in family.name:
            _measure(family, options)
    return 0


def _command_start() -> float:
    """Seconds until a command that does nothing has ended, the least of three."""
    command = [sys.executable, "-c", "from inspect_kit.cli.main import main; main(['--version'])"]
    times = []
    for _ in range(3):
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        times.append(time.perf_counter() - start)
    return min(times)


def _measure(family: Family, options: argparse.Namespace) -> None:
    proved, gaps, times, labour = 0, [], [], []
    for seed in range(options.first, options.first + options.instances):
        job = job_of(family, seed)
        start = time.process_time()
        made = plan(job) if options.schedules is None else plan(job, options.schedules)
        times.append(time.process_time() - start)
        if not isinstance(made, Plan):
            print(family.name, seed, *map(str, made[:2]))
            continue
        proved += made.proved
        gaps.append(100 * (made.worked - made.worked_bound) / max(1, made.worked_bound))
        labour.append(made.labour)
        if options.each:
            print(f"  {seed} {made.worked} {made.worked_bound} {made.schedules} {times[-1]:.2f}")
    times.sort()
    print(
        f"{family.name:24} proved {proved}/{options.instances}"
        f"  gap mean {sum(gaps) / len(gaps):.3f} % worst {max(gaps):.2f} %"
        f"  s median {times[len(times) // 2]:.2f} worst {times[-1]:.2f}  h {sum(labour) / len(labour) / 60:.0f}",
        flush=True,
    )
