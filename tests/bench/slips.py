"""Slips in values that a person writes by hand: `python -m tests.bench slips [SLIPS] [--seed S] [--sample] [--each]`.

For every value of a small store that has every kind of record, every slip that fits it. Held is a slip that adds to the
problems and notes of `verify`, or after which every answer is the same or stricter; printed are those after which
something is due later, no reason any more, lighter, or further inside, and nobody says a word.
"""

import argparse
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.store.slipped import HELD, SILENT, Judged, campaign, sample, small, why_open


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench slips")
    parser.add_argument("slips", nargs="?", type=int, help="how many, drawn by the seed; all without it")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--sample", action="store_true", help="in the sample instead of the small store")
    parser.add_argument("--each", action="store_true", help="every silent slip, and not one of each key and slip")
    options = parser.parse_args(arguments)
    start = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        root = sample(Path(folder)) if options.sample else small(Path(folder))
        judged = campaign(root, options.slips, options.seed)
    told: dict[tuple[str, str, str], list[Judged]] = {}
    for each in judged:
        if each.verdict == SILENT:
            told.setdefault((why_open(each), each.key, each.slip), []).append(each)
    for (why, key, slip), silent in sorted(told.items(), reverse=True):
        print(f"{key}, {slip}: {len(silent)} ({why or 'NOT SAID WHY'})", flush=True)
        for each in silent if options.each else silent[:1]:
            print(f"    {each.place}: {each.was} -> {each.put}\n        {'; '.join(each.moved[:4])}", flush=True)
    unsaid = sum(len(silent) for (why, _, _), silent in told.items() if not why)
    counts = Counter(each.verdict for each in judged)
    words = ", ".join(f"{counts[verdict]} {verdict}" for verdict in (*HELD, SILENT))
    took = time.perf_counter() - start
    print(f"{len(judged)} slips in {took:.0f} s: {words}, of {len(told)} keys and slips; {unsaid} of them not said why")
    return 1 if unsaid else 0
