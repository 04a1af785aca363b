"""`text fuzz [N] [SEED]`: N damaged files, the sample's own among them, read or named; the slowest and the memory.

`text size`: seconds and bytes of checklists, worksheets and records of growing size; twice the size, twice the time.
"""

import random
import resource
import time
import tracemalloc
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from inspect_kit.store import decode
from tests.text.test_hostile import SEEDS, mutated, read_as

SECONDS_ALLOWED = 2.0
MEGABYTES_ALLOWED = 200
ROOT = Path(__file__).parents[2]


def main(argv: list[str]) -> int:
    if argv[:1] == ["size"]:
        return size()
    count = int(argv[1]) if len(argv) > 1 else 20_000
    return fuzz(count, int(argv[2]) if len(argv) > 2 else 1)


def fuzz(count: int, seed: int) -> int:
    """Exit code 1 when reading raised, was slow, or took more memory than allowed."""
    chance = random.Random(seed)
    told: Counter[str] = Counter()
    slowest, worst = 0.0, ""
    sample = sample_files()
    begun = time.perf_counter()
    for number in range(count):
        if number % 2:
            kind = chance.choice(list(SEEDS))
            text = mutated(SEEDS[kind], chance)
        else:
            kind, data = chance.choice(sample)
            text, unreadable = decode(f"{kind}.md", flipped(data, chance))
            if unreadable:
                told["no text"] += 1
                continue
        before = time.perf_counter()
        try:
            problems = read_as(kind, text)
        except Exception as fault:
            print(f"input {number} of seed {seed}, a {kind}: {fault!r}\n{text!r}")
            return 1
        taken = time.perf_counter() - before
        told["with problems" if problems else "read without a problem"] += 1
        if taken > slowest:
            slowest, worst = taken, kind
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{count} inputs in {time.perf_counter() - begun:.1f} s: {dict(told)}; slowest {slowest:.3f} s ({worst})")
    print(f"peak of the process {peak:.0f} MB (allowed {MEGABYTES_ALLOWED}), slowest allowed {SECONDS_ALLOWED} s")
    return int(slowest > SECONDS_ALLOWED or peak > MEGABYTES_ALLOWED)


def sample_files() -> list[tuple[str, bytes]]:
    """The files of the sample aircraft, each with its kind."""
    found = [("checklist", path.read_bytes()) for path in sorted((ROOT / "checklists").rglob("*.md"))]
    for path in sorted((ROOT / "records").rglob("*.*")):
        kind = "aircraft" if path.name == "aircraft.yaml" else "record" if path.suffix == ".yaml" else "worksheet"
        found.append((kind, path.read_bytes()))
    return found


def flipped(data: bytes, chance: random.Random) -> bytes:
    """A file with a few bytes changed, left out, put in or cut off."""
    for _ in range(chance.randint(1, 8)):
        at = chance.randint(0, len(data))
        byte = bytes([chance.choice([*b"\n\r\t -*+[]x`:#&!{}'\"|>", chance.randrange(256)])])
        data = data[:at] + chance.choice([byte, b"", byte * 20]) + data[at + chance.choice([0, 1, 1, 1, 30]) :]
    return data[: chance.randint(0, len(data))] if chance.random() < 0.1 else data


def checklist(checks: int) -> str:
    front = "---\npanel: a\nname: A\nzone: nose\n---\n"
    body = "- [ ] `check-{}` Look at it\n  - every: 50 h or 4 months\n  - reads: cylinder 1 to 4, psi, at least 60\n"
    return front + "".join(body.format(number) for number in range(checks))


def worksheet(checks: int) -> str:
    front = "---\njob: condition\naircraft: N0TS\nbegun: 2026-11-21\n---\n"
    body = "- [x] `check-{}` Look at it\n  - cylinder 1: 76 psi (at least 60)\n"
    body += "  - found: crack\n    - fix: before flight\n\n"
    return front + "".join(body.format(number) for number in range(checks))


def record(checks: int) -> str:
    front = "format: 1\nkind: work\ndate: 2026-11-21\nresults:\n"
    return front + "".join(f"  check-{number}: {{answer: done, took: 5 min}}\n" for number in range(checks))


def spaces(checks: int) -> str:
    """One line that is almost all blanks: what a slip in a pattern takes the square of the time for."""
    return checklist(1) + f"- [ ] `wide` Wide\n  - every: 50{' ' * 50 * checks}h\n  - time: 5{' ' * 50 * checks}min\n"


def readings(checks: int) -> str:
    return worksheet(1) + f"- [x] `wide` Wide\n  - cylinder 1: 76{' ' * 50 * checks}psi (((((\n"


SIZES: dict[str, tuple[str, Callable[[int], str]]] = {
    "checks": ("checklist", checklist),
    "boxes": ("worksheet", worksheet),
    "results": ("record", record),
    "blanks in a checklist": ("checklist", spaces),
    "blanks in a reading": ("worksheet", readings),
}


def size() -> int:
    for name, (kind, make) in SIZES.items():
        for checks in (1000, 2000, 4000, 8000):
            text = make(checks)
            before = time.perf_counter()
            read_as(kind, text)
            taken = time.perf_counter() - before
            tracemalloc.start()
            read_as(kind, text)
            peak = tracemalloc.get_traced_memory()[1]
            tracemalloc.stop()
            print(f"{name:22} {checks:5} {len(text):8} bytes {taken:6.2f} s {peak / 1e6:6.1f} MB")
    return 0
