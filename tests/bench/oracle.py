"""Random stores put to the due list and to the oracle that was written from README alone.

    python -m tests.bench oracle [STORES] [--first SEED]

One line for each item on which they disagree; 1,000 stores from seed 0 if nothing is said. The suite asks the first
300: seeds beyond them say what those that nobody looked at say.
"""

import argparse
import sys

from tests.due.test_oracle import disagreements, world


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="oracle")
    parser.add_argument("stores", type=int, nargs="?", default=1000)
    parser.add_argument("--first", type=int, default=0, metavar="SEED")
    chosen = parser.parse_args(argv)
    items = differ = 0
    for seed in range(chosen.first, chosen.first + chosen.stores):
        items += len(world(seed)[0])
        for check, truth, found in disagreements(seed):
            differ += 1
            print(f"store {seed}, {check}:\n  oracle  {truth}\n  program {found}", file=sys.stderr)
    print(f"{chosen.stores} stores from seed {chosen.first}, {items} items, {differ} disagreements")
    return 1 if differ else 0
