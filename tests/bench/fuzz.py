"""Mutations of the sample's own files through the whole program: `python -m tests.bench fuzz [INPUTS] [SEED]`.

Prints how many inputs were judged in which time and memory, and every fault with the bytes that show it.
"""

import resource
import tempfile
import time
from pathlib import Path

from tests.store.hostile import MEMORY_LIMIT, SECONDS, Fault, memory_limited, run

INPUTS = 20_000
MEMORY = Path("/dev/shm")
PIECE = 1000


def main(arguments: list[str]) -> int:
    inputs = int(arguments[0]) if arguments else INPUTS
    seed = int(arguments[1]) if len(arguments) > 1 else 1
    start = time.perf_counter()
    faults: list[Fault] = []
    done, size = 0, 0

    def judge() -> None:
        nonlocal done, size
        while done < inputs:
            with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
                piece = min(PIECE, inputs - done)
                found, counts = run(Path(folder), piece, seed=seed * 1_000_000 + done)
            for name, data, fault in found:
                print(f"\n{name}: {fault}\n  {data[:600]!r}\n", flush=True)
            faults.extend(found)
            done += counts["inputs"]
            size += counts["bytes"]
            print(f"{done} of {inputs} inputs, {len(faults)} faults, {time.perf_counter() - start:.0f} s", flush=True)

    memory_limited(judge)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"\n{done} inputs ({size / 2**20:.0f} MB) in {time.perf_counter() - start:.0f} s, no answer allowed to take "
        f"{SECONDS} s; {len(faults)} faults; peak memory {peak:.0f} MB (growth limited to {MEMORY_LIMIT // 2**20} MB)"
    )
    return 1 if faults else 0
