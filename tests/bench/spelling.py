"""Near-miss spellings of every key of every grammar: `python -m tests.bench spelling [SPELLINGS] [SEED]`.

Prints how many were read as meant, how many were named with a caret, and every one of which nothing was made.
"""

import time

from tests.text.spelled import SILENT, campaign, one_by_one, slots

SPELLINGS = 10_000
PIECE = 2_500


def main(arguments: list[str]) -> int:
    spellings = int(arguments[0]) if arguments else SPELLINGS
    seed = int(arguments[1]) if len(arguments) > 1 else 1
    start = time.perf_counter()
    print(f"{len(slots())} places of keys, taken from the readers' own tables")
    number, silent = one_by_one(seed)
    for each in silent:
        print(f"\n{each}\n", flush=True)
    took = time.perf_counter() - start
    print(f"{number} spellings with one slip, every slip at every place, in {took:.0f} s: {len(silent)} {SILENT}")
    start = time.perf_counter()
    total: dict[str, int] = {}
    for done in range(0, spellings, PIECE):
        counts, passed_over = campaign(min(PIECE, spellings - done), seed * 1_000_000 + done)
        for verdict, number in counts.items():
            total[verdict] = total.get(verdict, 0) + number
        for each in passed_over:
            print(f"\n{each}\n", flush=True)
    told = ", ".join(f"{number} {verdict}" for verdict, number in total.items())
    print(f"{sum(total.values())} spellings with one to three slips in {time.perf_counter() - start:.0f} s: {told}")
    return 1 if silent or total[SILENT] else 0
