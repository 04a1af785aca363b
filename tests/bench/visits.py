"""The months ahead on invented stores: how near to the proved optimum, how good the bound, how long it takes.

`python -m tests.bench visits [--stores N] [--first SEED] [--reference SECONDS] [--large]`: every store is measured with
and without an inspection that opens everything. With a reference, HiGHS looks for the optimum for at most so long;
stores where it proves none are told apart. `--large`: 150 items over 36 months.
"""

import argparse
import statistics
import time
from dataclasses import dataclass

from inspect_kit.visits.core.check import faults
from inspect_kit.visits.core.problem import TODAY, Problem
from inspect_kit.visits.core.search import effort_for, solve
from tests.visits.instances import problem
from tests.visits.reference import solve as optimum


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """One store: totals of rules of thumb and of the plan, both bounds, processor seconds."""

    name: str
    when_due: float
    found: float
    bound: float
    best: float
    proof: float
    proved: bool
    seconds: float
    visits: int
    faults: int


def when_due(made: Problem) -> float:
    """What it costs to do each item at its last slot in time, and with those that it follows."""
    doings: dict[str, list[int]] = {}
    total = 0.0
    for item in made.items:
        stops = sorted({slot for leader in item.follows for slot in doings[leader]})
        last, slots = TODAY, []
        while True:
            again = min(item.latest[last + 1], next((stop for stop in stops if stop > last), made.slots))
            if again >= made.slots:
                break
            total += item.waste[last + 1][again - last - 1]
            slots.append(again)
            last = again
        doings[item.name] = slots
    needs = {item.name: item.needs for item in made.items}
    opened = {(name, slot) for item, slots in doings.items() for slot in slots for name in needs[item]}
    visits = {slot for slots in doings.values() for slot in slots}
    return total + sum(made.setups[name] for name, _ in opened) + sum(made.visit[slot] for slot in visits)


def measure(name: str, made: Problem, budget: float, reference: float) -> Measured:
    start = time.process_time()
    found = solve(made, effort_for(made, budget))
    seconds = time.process_time() - start
    best, proof, proved = optimum(made, seconds=reference) if reference else (float("inf"), 0.0, False)
    return Measured(
        name=name,
        when_due=when_due(made),
        found=found.total,
        bound=found.bound,
        best=best,
        proof=proof,
        proved=proved,
        seconds=seconds,
        visits=len({slot for slots in found.doings.values() for slot in slots}),
        faults=len(faults(made, found)),
    )


def line(each: Measured) -> str:
    over = f"{100 * (each.found / each.best - 1):6.2f} %" if each.proved else "       -"
    proof = f"{100 * (each.found / each.proof - 1):6.2f} %" if each.proof > 0 else "       -"
    return (
        f"{each.name:<24}{each.when_due:9.0f}{each.found:9.0f}{each.visits:5d} {over} {proof} "
        f"{100 * (each.found / each.bound - 1):6.2f} %{each.seconds:7.2f} s  {'faults' if each.faults else ''}"
    )


def summary(rows: list[Measured]) -> None:
    proved = [each for each in rows if each.proved]
    gaps = [100 * (each.found / each.best - 1) for each in proved]
    below = [100 * (1 - each.bound / each.best) for each in proved]
    times = [each.seconds for each in rows]
    cheaper = [100 * (1 - each.found / each.when_due) for each in rows]
    print(f"cheaper than each item when due: mean {statistics.mean(cheaper):.1f} %")
    print(f"processor time: mean {statistics.mean(times):.2f} s, longest {max(times):.2f} s")
    if gaps:
        near = sum(gap <= 1 for gap in gaps)
        print(f"optimum proved for {len(gaps)} of {len(rows)}; within 1 % of it: {near} of {len(gaps)}")
        print(f"above the optimum: mean {statistics.mean(gaps):.3f} %, worst {max(gaps):.2f} %")
        print(f"own bound below the optimum: mean {statistics.mean(below):.2f} %, worst {max(below):.2f} %")


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="visits")
    parser.add_argument("--stores", type=int, default=6)
    parser.add_argument("--first", type=int, default=100)
    parser.add_argument("--reference", type=float, default=0.0, metavar="SECONDS")
    parser.add_argument("--large", action="store_true")
    chosen = parser.parse_args(argv)
    size = {"items": 150, "panels": 80, "months": 36} if chosen.large else {"items": 40, "panels": 40, "months": 24}
    print(f"{'store':<24}{'when due':>9}{'found':>9}{'visits':>5}  over opt over HiGHS over own      time")
    rows = []
    for seed in range(chosen.first, chosen.first + chosen.stores):
        for inspection in (False, True):
            name = f"{seed} {'inspection' if inspection else 'plain'}"
            made = problem(seed, inspection=inspection, **size)
            rows.append(measure(name, made, 10.0 if chosen.large else 2.0, chosen.reference))
            print(line(rows[-1]), flush=True)
    summary(rows)
    return 0
