"""The store under every fault: `python -m tests.bench store [--disk DIR] [kills|random|git|size] …`, all by default.

kills    every command and every deed of the store, killed at every writing call in three ways, and again while the
         next command finishes
random   SIGKILL after random times, on the disk that holds the temporary folder
git      random histories in three clones, merged in two orders
size     how long thousands of records take to read, to check and to write to
--disk   the folder to do it in, on whatever file system that is
"""

import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from inspect_kit import store
from tests.store import test_killed, test_killed_commands
from tests.store.clones import random_history
from tests.store.killing import WAYS, run_killed
from tests.store.random_kills import kill_at_random
from tests.store.scratch import HOURS_TEXT, make_store, settled, sign, tools_files

MEMORY = Path("/dev/shm")
HISTORIES = 220
RANDOM_KILLS = 400


def main(arguments: list[str]) -> int:
    parts: dict[str, Callable[[Path], None]] = {"kills": kills, "random": at_random, "git": git, "size": size}
    disk = Path(arguments[1]) if arguments[:1] == ["--disk"] and len(arguments) > 1 else None
    for name in arguments[2:] if disk else arguments or list(parts):
        if name not in parts:
            sys.exit(f"usage: python -m tests.bench store [--disk DIR] [{'|'.join(parts)}]")
        # Random kills want a real disk; the others make so many flushes that one in memory is kinder.
        memory = MEMORY if MEMORY.is_dir() and name not in ("random", "size") else None
        with tempfile.TemporaryDirectory(dir=disk or memory) as folder:
            start = time.perf_counter()
            parts[name](Path(folder).resolve())
            print(f"{name}: {time.perf_counter() - start:.0f} s\n", flush=True)
    return 0


def kills(folder: Path) -> None:
    total = 0
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store, "new_code", lambda: "k3f9")
        for deed in (*test_killed.DEEDS, *test_killed_commands.DEEDS):
            number = test_killed.kill_everywhere(folder / "store", deed)
            total += number
            print(f"  {deed.name}: {number} kills, all before or after")
        number = sum(kill_twice(folder / "twice", name) for name in test_killed.FINISHED)
        total += number
    print(f"  killed again while the next command finishes: {number} kills")
    print(f"  {total} kills in all, at every writing call, each {', '.join(WAYS)}")


def kill_twice(folder: Path, name: str) -> int:
    deed = next(deed for deed in test_killed.DEEDS if deed.name == name)
    allowed = test_killed.states_between(folder, deed)
    found = 0
    for first in range(test_killed.calls_of(folder, deed)):
        for second in range(1000):
            root = test_killed.fresh(folder / "killed", deed)
            assert run_killed(partial(deed.act, root), first, "after")
            if not run_killed(partial(test_killed.next_command, root), second, "torn"):
                break
            found += 1
            test_killed.next_command(root)
            assert settled(root) in allowed
            assert tools_files(root) == []
    return found


def at_random(folder: Path) -> None:
    tally = kill_at_random(folder / "store", RANDOM_KILLS, longest=0.05)
    print(
        f"  {tally.kills} kills at random moments: {tally.reported} things reported as done, {tally.signed} of them "
        f"signatures; {len(tally.faults)} lost or in between"
    )
    for fault in tally.faults[:10]:
        print(f"    {fault}")


def git(folder: Path) -> None:
    merges = 0
    for seed in range(1000, 1000 + HISTORIES):
        merges += random_history(folder / str(seed), seed)
    print(f"  {HISTORIES} histories in three clones: {merges} merges, none with a conflict, all copies say the same")


def size(folder: Path) -> None:
    for number in (300, 3000):
        root = make_store(folder / str(number))
        sign(root)
        for each in range(number):
            day = f"20{10 + each // 300:02d}-{each % 300 // 28 + 1:02d}-{each % 28 + 1:02d}"
            path = root / f"records/{day[:4]}/{day}-hours-{each}.yaml"
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(HOURS_TEXT.replace(b"2026-11-20", day.encode()).replace(b"611.0", b"%d.0" % (each // 10)))
        read = timed(lambda root=root: store.read_settled(root))
        load = timed(lambda root=root: store.load(root))
        files = settled(root)
        check = timed(lambda root=root, files=files: store.check_seals(files, store.registered(root)))

        def write(root: Path = root, names: list[int] = [0]) -> None:  # noqa: B006
            names[0] += 1
            with store.writing(root, command="hours") as writer:
                store.create(writer, f"records/2026/2026-11-29-hours-{names[0]}.yaml", HOURS_TEXT)

        print(
            f"  {number} records: read {read:.0f} ms, load {load:.0f} ms, check seals {check:.0f} ms, "
            f"write one record {timed(write):.0f} ms"
        )


def timed(action: Callable[[], object]) -> float:
    """The median of five runs, in milliseconds."""
    times = []
    for _ in range(5):
        start = time.perf_counter()
        action()
        times.append((time.perf_counter() - start) * 1000)
    return sorted(times)[2]
