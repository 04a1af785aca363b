"""Published instances of the resource-constrained project scheduling problem, which the project does not carry.

A folder with `j30.sm/*.sm` and `j30-optimum.csv` (20 instances of PSPLIB; Kolisch & Sprecher 1996, EJOR 96:205-216)
and `patterson.rcp/*.rcp` with `optimum.csv` (the 110 instances of Patterson 1984, Management Science 30:854-867).
"""

import csv
import time
from pathlib import Path

from inspect_kit.scheduling.problem import Activity, Precedence, Project, Solution
from inspect_kit.scheduling.solve import solve
from tests.scheduling.verify import faults

J30_SCHEDULES = 5000
PATTERSON_SCHEDULES = 20_000


def measure(folder: Path) -> None:
    """Solve all of them and print how many were proved and how far the others are from the optimum."""
    _measure("Patterson", PATTERSON_SCHEDULES, read_rcp, folder / "patterson.rcp", folder / "patterson.rcp/optimum.csv")
    _measure("J30", J30_SCHEDULES, read_sm, folder / "j30.sm", folder / "j30-optimum.csv")


def _measure(name: str, schedules: int, read, folder: Path, optima: Path) -> None:  # type: ignore[no-untyped-def]
    with optima.open(encoding="utf-8") as lines:
        rows = list(csv.reader(lines))[1:]
    proved, equal, above, times = 0, 0, [], []
    for file, known in rows:
        problem, optimum = read((folder / file).read_text(encoding="utf-8")), int(known)
        start = time.process_time()
        answer: Solution = solve(problem, schedules)
        times.append(time.process_time() - start)
        assert answer.schedule is not None
        assert not faults(problem, answer.schedule)
        if answer.bound > optimum or answer.schedule.makespan < optimum:
            found = answer.schedule.makespan
            print(f"  {file}: bound {answer.bound}, found {found}, published optimum {optimum}: WRONG")
        proved += answer.proved
        equal += answer.schedule.makespan == optimum
        above.append(100 * (answer.schedule.makespan - optimum) / optimum)
        if not answer.proved:
            print(f"  {file}: {answer.bound} <= {optimum} <= {answer.schedule.makespan}, {times[-1]:.1f} s")
    times.sort()
    print(
        f"{name}: {len(rows)} instances, {proved} proved, {equal} at the published optimum, on average "
        f"{sum(above) / len(above):.2f} % above it; s median {times[len(times) // 2]:.2f} worst {times[-1]:.1f}",
        flush=True,
    )


def read_rcp(text: str) -> Project:
    """Patterson's format: jobs, resources, capacities, then for each job duration, needs, successors (from 1)."""
    numbers = iter(map(int, text.split()))
    size, kinds = next(numbers), next(numbers)
    capacities = tuple(next(numbers) for _ in range(kinds))
    activities, lags = [], []
    for index in range(size):
        duration = next(numbers)
        mode = tuple(next(numbers) for _ in range(kinds))
        activities.append(Activity(name=str(index), duration=duration, modes=(mode,)))
        lags += [Precedence(before=index, after=next(numbers) - 1) for _ in range(next(numbers))]
    return Project(activities=tuple(activities), capacities=capacities, precedences=tuple(lags))


def read_sm(text: str) -> Project:
    """PSPLIB's single-mode format: tables under PRECEDENCE RELATIONS, REQUESTS/DURATIONS, RESOURCEAVAILABILITIES."""
    tables: dict[str, list[list[int]]] = {}
    rows: list[list[int]] = []
    for line in text.splitlines():
        if line.endswith(":") and line.isupper():
            rows = tables.setdefault(line, [])
        elif line.split() and all(word.isdigit() for word in line.split()):
            rows.append([int(word) for word in line.split()])
    lags = [
        Precedence(before=row[0] - 1, after=after - 1) for row in tables["PRECEDENCE RELATIONS:"] for after in row[3:]
    ]  # fmt: skip
    activities = [
        Activity(name=str(row[0]), duration=row[2], modes=(tuple(row[3:]),)) for row in tables["REQUESTS/DURATIONS:"]
    ]
    capacities = tuple(tables["RESOURCEAVAILABILITIES:"][0])
    return Project(activities=tuple(activities), capacities=capacities, precedences=tuple(lags))
