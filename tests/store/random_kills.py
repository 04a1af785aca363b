"""SIGKILL at any moment, on a real disk: one process writes for its life, another one ends it, over and over."""

import os
import random
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from inspect_kit import store
from tests.store.scratch import BODY, WORKSHEET_TEXT, make_store, settled, tools_files


@dataclass
class Tally:
    """What was seen: kills, entries that were reported as written, and faults."""

    kills: int = 0
    reported: int = 0
    signed: int = 0
    faults: tuple[str, ...] = ()


def write_for_life(root: Path, report: int, seed: int) -> None:
    """Start a page, tick it box by box, sign it, write hours down; report each thing once it is done."""
    choose = random.Random(seed)
    number = 0
    while True:
        number += 1
        code = f"{seed}-{number}"
        page, record = f"records/open/p{code}.md", f"records/2026/2026-11-28-p{code}.yaml"
        _write(root, report, page, WORKSHEET_TEXT.replace(b"[x]", b"[ ]"))
        for _ in range(4):
            with store.writing(root, command="walk") as writer:
                old = (root / page).read_bytes()
                new = old.replace(b"[ ]", b"[x]", 1)
                store.replace(writer, page, new, read=old)
            os.write(report, f"tick {page} {new.count(b'[x]')}\n".encode())
        with store.writing(root, command="sign") as writer:
            body = BODY.replace(b"tach: 611.2", b"tach: 611.2%d" % choose.randrange(10))
            store.sign(writer, page=page, read=(root / page).read_bytes(), record=record, body=body)
        os.write(report, f"sign {record} {page}\n".encode())
        _write(root, report, f"records/2026/2026-11-28-h{code}.yaml", b"format: 1\nkind: hours\ndate: 2026-11-28\n")


def _write(root: Path, report: int, name: str, data: bytes) -> None:
    with store.writing(root, command="entry") as writer:
        store.create(writer, name, data)
    os.write(report, f"new {name} 0\n".encode())


# A page is made, ticked four times and signed, and hours are written down: seven reports.
MOST_REPORTS = 10


def kill_at_random(folder: Path, times: int, seed: int = 1, longest: float = 0.01) -> Tally:
    """Kill so many writers and look after each one at what it left.

    Each is killed at a random moment, up to `longest` seconds, after a random number of reports: counted so, a busy
    machine has done as much as an idle one by then.
    """
    choose = random.Random(seed)
    root = make_store(folder)
    tally = Tally()
    faults: list[str] = []
    for each in range(times):
        life = partial(write_for_life, root, seed=seed * 100_000 + each)
        said = _live_and_die(life, choose.randrange(MOST_REPORTS + 1), choose.uniform(0, longest))
        tally.kills += 1
        files = settled(root)
        faults += [str(problem) for problem in store.check_seals(files, store.registered(root))]
        for line in said:
            tally.reported += 1
            deed, name, more = line.split(" ")
            if deed == "sign":
                tally.signed += 1
                if name not in files or store.worksheet_of(name) not in files or more in files:
                    faults.append(f"{line}: signed, and not there")
            elif deed == "new" and name.startswith("records/2026") and name not in files:
                faults.append(f"{line}: written, and not there")
            elif deed == "tick" and name in files and files[name].count(b"[x]") < int(more):
                faults.append(f"{line}: ticked, and not there")
        with store.writing(root, command="next", patience=5):
            pass
        if settled(root) != files or tools_files(root):
            faults.append("the next command changed what stands, or left something behind")
        for name in [name for name in files if "/open/p" in name]:
            (root / name).unlink()
    tally.faults = tuple(faults)
    return tally


def _live_and_die(life: Callable[..., None], reports: int, seconds: float) -> list[str]:
    receive, send = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            life(report=send)
        finally:
            os._exit(1)
    os.close(send)
    said = b""
    while said.count(b"\n") < reports and (more := os.read(receive, 4096)):
        said += more
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(receive, "rb") as stream:
        # A line that the kill cut off was never a report.
        return (said + stream.read()).decode().split("\n")[:-1]
