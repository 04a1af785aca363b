"""The months ahead on invented stores: how near to the proved optimum, how good the bound, how long it takes.

`python -m tests.bench visits [--stores N] [--first SEED] [--reference SECONDS] [--proofs FILE] [--large N]`

Every store of 40 items, 40 panels and 24 months is measured with and without an inspection that opens everything. A row
gives the cost with each item when due, by the natural rule (whenever something is due, what falls due within 30 days or
10 h as well) and of the plan, the visits, how far the plan is above the optimum where proved, above the bound of HiGHS
and above its own bound, and processor seconds. With `--reference`, HiGHS looks for the optimum of each store for at
most so long; with `--proofs`, what it found is kept in that file and not looked for again. `--large N`: so many stores
of 150 items, 80 panels and 36 months as well, told apart; HiGHS gets the same time there.

The summary: what is saved against each item when due; how much dearer the two rules are than the plan; processor time,
mean and longest, beside the goal; of how many stores the optimum is proved and how many plans are within 1 % and 2 % of
it, mean and worst; own bound below the optimum where that is proved and below the plan in all, mean and worst. The
invented stores do not change with the machine, and neither do the plans; the seconds do.
"""

import argparse
import json
import statistics
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from inspect_kit.replenishment.check import schedule_faults
from inspect_kit.replenishment.problem import TODAY, JointProblem
from inspect_kit.replenishment.search import effort_for, replenish
from inspect_kit.replenishment.thumb import Near, when_due, with_what_is_near
from tests.replenishment.instances import invented
from tests.replenishment.reference import solve as optimum


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """One store: totals of two rules of thumb and of the plan, both bounds, processor seconds."""

    name: str
    when_due: float
    when_soon: float
    found: float
    bound: float
    best: float
    proof: float
    proved: bool
    seconds: float
    visits: int
    faults: int


def total(made: JointProblem, doings: Mapping[str, Sequence[int]]) -> float:
    """What visits, set-ups and intervals given away cost in all."""
    waste = 0.0
    for item in made.items:
        for last, again in pairwise((TODAY, *doings[item.name])):
            waste += item.waste[last + 1][again - last - 1]
    needs = {item.name: item.needs for item in made.items}
    opened = {(name, slot) for item, slots in doings.items() for slot in slots for name in needs[item]}
    visits = {slot for slots in doings.values() for slot in slots}
    return waste + sum(made.setups[name] for name, _ in opened) + sum(made.visit[slot] for slot in visits)


Proof = tuple[float, float, bool]


def known(file: Path | None) -> dict[str, Proof]:
    """What HiGHS found before, store by store."""
    if file is None or not file.exists():
        return {}
    rows = [json.loads(each) for each in file.read_text().splitlines()]
    return {row["store"]: (row["best"] or float("inf"), row["proof"] or 0.0, row["proved"]) for row in rows}


def proof_of(name: str, made: JointProblem, seconds: float, file: Path | None) -> Proof:
    """The optimum of a store, from the file or from HiGHS."""
    found = known(file).get(name)
    if found is None and seconds:
        best, proof, proved = optimum(made, seconds=seconds)
        found = best, proof, proved
        if file is not None:
            row = {"store": name, "best": best if best < float("inf") else None, "proof": proof, "proved": proved}
            with file.open("a") as out:
                out.write(json.dumps(row) + "\n")
    return found or (float("inf"), 0.0, False)


def measure(name: str, made: JointProblem, near: Near, budget: float, reference: float, file: Path | None) -> Measured:
    start = time.process_time()
    found = replenish(made, effort_for(made, budget))
    seconds = time.process_time() - start
    best, proof, proved = proof_of(name, made, reference, file)
    return Measured(
        name=name,
        when_due=total(made, when_due(made)),
        when_soon=total(made, with_what_is_near(made, near)),
        found=found.total,
        bound=found.bound,
        best=best,
        proof=proof,
        proved=proved,
        seconds=seconds,
        visits=len({slot for slots in found.doings.values() for slot in slots}),
        faults=len(schedule_faults(made, found)),
    )


def line(each: Measured) -> str:
    over = f"{100 * (each.found / each.best - 1):6.2f} %" if each.proved else "       -"
    proof = f"{100 * (each.found / each.proof - 1):6.2f} %" if each.proof > 0 else "       -"
    return (
        f"{each.name:<24}{each.when_due:9.0f}{each.when_soon:9.0f}{each.found:9.0f}{each.visits:5d} {over} {proof} "
        f"{100 * (each.found / each.bound - 1):6.2f} %{each.seconds:7.2f} s  {'faults' if each.faults else ''}"
    )


def spread(words: str, values: list[float]) -> None:
    if values:
        print(f"{words}: mean {statistics.mean(values):.2f} %, worst {max(values):.2f} %")


def summary(rows: list[Measured], budget: float) -> None:
    times = [each.seconds for each in rows]
    cheaper = [100 * (1 - each.found / each.when_due) for each in rows]
    print(f"cheaper than each item when due: mean {statistics.mean(cheaper):.1f} %")
    for words, dearer in (
        ("each item when due", [100 * (each.when_due / each.found - 1) for each in rows]),
        ("what falls due within 30 days or 10 h", [100 * (each.when_soon / each.found - 1) for each in rows]),
    ):
        told = f"mean {statistics.mean(dearer):.1f} %, least {min(dearer):.1f} %, most {max(dearer):.1f} %"
        print(f"dearer than the plan, {words}: {told}")
    print(f"processor time: mean {statistics.mean(times):.2f} s, longest {max(times):.2f} s, goal {budget:g} s")
    proved = [each for each in rows if each.proved]
    gaps = [100 * (each.found / each.best - 1) for each in proved]
    one, two = (sum(gap <= most for gap in gaps) for most in (1, 2))
    print(f"optimum proved for {len(gaps)} of {len(rows)}; within 1 % of it {one}, within 2 % of it {two}")
    spread("plan above the optimum where proved", gaps)
    spread("own bound below the optimum where proved", [100 * (1 - each.bound / each.best) for each in proved])
    spread("own bound below the plan, all", [100 * (1 - each.bound / each.found) for each in rows])
    spread(
        "plan above the bound of HiGHS, all", [100 * (each.found / each.proof - 1) for each in rows if each.proof > 0]
    )
    print(f"faults: {sum(each.faults for each in rows)}")


SIZES = {
    "usual": (2.0, {"items": 40, "panels": 40, "months": 24}),
    "large": (10.0, {"items": 150, "panels": 80, "months": 36}),
}


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="visits")
    parser.add_argument("--stores", type=int, default=6)
    parser.add_argument("--first", type=int, default=100)
    parser.add_argument("--reference", type=float, default=0.0, metavar="SECONDS")
    parser.add_argument("--proofs", type=Path, metavar="FILE")
    parser.add_argument("--large", type=int, default=0, metavar="N")
    chosen = parser.parse_args(argv)
    for size, stores in (("usual", chosen.stores), ("large", chosen.large)):
        budget, shape = SIZES[size]
        if not stores:
            continue
        head = f"{size + ' stores':<24}{'when due':>9}{'soon':>9}{'found':>9}{'visits':>5}"
        print(f"{head}  over opt over HiGHS over own      time")
        rows = []
        for seed in range(chosen.first, chosen.first + stores):
            for inspection in (False, True):
                made, near = invented(seed, inspection=inspection, **shape)
                name = f"{'large ' * (size == 'large')}{seed} {'inspection' if inspection else 'plain'}"
                rows.append(measure(name, made, near, budget, chosen.reference, chosen.proofs))
                print(line(rows[-1]), flush=True)
        summary(rows, budget)
    return 0
