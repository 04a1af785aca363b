"""Random stores put to the due list and to the oracle that was written from README alone.

    python -m tests.bench oracle [STORES]

One line for each item on which they disagree; 1,000 stores if nothing is said.
"""

import sys

from tests.due.test_oracle import disagreements, world


def main(argv: list[str]) -> int:
    stores = int(argv[0]) if argv else 1000
    items = differ = 0
    for seed in range(stores):
        items += len(world(seed)[0])
        for check, truth, found in disagreements(seed):
            differ += 1
            print(f"store {seed}, {check}:\n  oracle  {truth}\n  program {found}", file=sys.stderr)
    print(f"{stores} stores, {items} items, {differ} disagreements")
    return 1 if differ else 0
