"""How long commands take against a bare start: `python -m tests.bench speed [--rounds N] [--large] [PART ...]`.

F is a process that imports click, yaml, rich.console, rich.table, rich.text and dateutil.relativedelta. Every figure is
the median of ratios of processor time (user and system, the child's own), F and each command in turn in one run, so
that they hold on a busy machine. `warm` is with what files were read as in the cache, `cold` with an empty one.

parts   start   --version, --help, help of a command, completion
        sample  answers about the sample, warm
        cold    the sample read anew, against a process that loads the same files with PyYAML's C loader
        before  what `plan` and `visits` take until their search begins, which is then left out
        long    10,000 records, warm and cold, and the memory they take; with --large 100,000 as well

The long life is invented: the sample's aircraft and checklists, and of each 43 records, in a year or so, 32 of hours,
10 of work on one check, and one as long as an inspection's, with an answer to every check and a reading of each; they
say what `work` asks, that no panel came off, and the paper of others.
"""

import argparse
import contextlib
import datetime as dt
import os
import re
import shutil
import statistics
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from inspect_kit import store
from inspect_kit.model.checklist import OTHERS, Check
from inspect_kit.model.logbook import Logbook

ROOT = Path(__file__).parents[2]
DAY = dt.date(2026, 11, 26)
FLOOR = "import click, yaml, rich.console, rich.table, rich.text, dateutil.relativedelta"
LOADS = """
import sys, yaml
for name in sys.argv[1:]:
    with open(name, "rb") as stream:
        data = stream.read()
    if name.endswith(".yaml"):
        yaml.load(data, Loader=yaml.CSafeLoader)
"""
EMPTY = """
import shutil, sys
shutil.rmtree(sys.argv.pop(1), ignore_errors=True)
from inspect_kit.__main__ import run
run()
"""
# The search is what leaves: all before it is done, as the command does it.
LEAVE = """
import importlib, os, sys
module, _, name = sys.argv.pop(1).partition(":")
setattr(importlib.import_module(module), name, lambda *given, **named: os._exit(0))
from inspect_kit.__main__ import run
run()
"""
SEARCHES = {
    "plan condition": "inspect_kit.scheduling.solve:solve",
    "visits": "inspect_kit.replenishment.search:replenish",
}
COMPLETE = """
import os, sys
sys.argv = ["inspect-kit"]
os.environ["_INSPECT_KIT_COMPLETE"] = "bash_complete"
from inspect_kit.__main__ import run
run()
"""
HOURS = 32


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench speed")
    parser.add_argument("--rounds", type=int, default=9)
    parser.add_argument("--large", action="store_true", help="100,000 records too")
    parser.add_argument("parts", nargs="*", default=[])
    options = parser.parse_args(arguments)
    parts = options.parts or ["start", "sample", "before", "cold", "long"]
    with tempfile.TemporaryDirectory() as folder, compiled():
        scratch = Path(folder)
        os.environ["XDG_CACHE_HOME"] = str(scratch / "cache")
        (scratch / "cache").mkdir(mode=0o700)
        if "start" in parts:
            begin(options.rounds)
        if "sample" in parts:
            sample(options.rounds)
        if "before" in parts:
            before(options.rounds)
        if "cold" in parts:
            cold(options.rounds, scratch / "cache")
        if "long" in parts:
            long(options.rounds, scratch, options.large)
    return 0


@contextlib.contextmanager
def compiled() -> Iterator[None]:
    """With the compiled modules that an installed program has."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    run([sys.executable, "-m", "compileall", "-q", str(ROOT / "inspect_kit")])
    yield


def run(words: Sequence[str]) -> tuple[float, int]:
    """Processor time in seconds, and the most memory in kB, of one process; what it says goes nowhere."""
    child = os.posix_spawn(
        words[0],
        list(words),
        dict(os.environ),
        file_actions=[
            (os.POSIX_SPAWN_OPEN, 0, os.devnull, os.O_RDONLY, 0),
            (os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0),
            (os.POSIX_SPAWN_OPEN, 2, os.devnull, os.O_WRONLY, 0),
        ],
    )
    _, _, usage = os.wait4(child, 0)
    return usage.ru_utime + usage.ru_stime, usage.ru_maxrss


def kit(*words: str, root: Path = ROOT) -> list[str]:
    return [sys.executable, "-m", "inspect_kit", "--store", str(root), "--on", str(DAY), *words]


def ratios(rounds: int, commands: dict[str, list[str]], floor: list[str] | None = None) -> dict[str, float]:
    """The median ratio of each command to the floor, all in turn; printed."""
    floor = floor or [sys.executable, "-c", FLOOR]
    found: dict[str, list[float]] = {name: [] for name in commands}
    base = []
    for _ in range(rounds):
        base.append(run(floor)[0])
        for name, words in commands.items():
            found[name].append(run(words)[0] / base[-1])
    middle = {name: statistics.median(each) for name, each in found.items()}
    for name, ratio in middle.items():
        print(f"  {ratio:6.2f}  {name}", flush=True)
    print(f"     1    is {1000 * statistics.median(base):.0f} ms of processor time, {rounds} rounds", flush=True)
    return middle


def begin(rounds: int) -> None:
    print("start, by F (asked: 2)")
    os.environ["COMP_WORDS"], os.environ["COMP_CWORD"] = "inspect-kit pl", "1"
    program = [sys.executable, "-m", "inspect_kit"]
    completes = [sys.executable, "-c", COMPLETE]
    helps = {f"{name} --help": [*program, name, "--help"] for name in ("due", "plan", "walk", "work", "sign", "import")}
    plain = {each: [*program, each] for each in ("--version", "--help")}
    ratios(rounds, {**plain, "pl<Tab>": completes, **helps})


def sample(rounds: int) -> None:
    print("the sample, warm, by F (asked: due 2.5)")
    run(kit("due"))
    words = ("due", "status", "history cowl-lower", "find oil", "trend", "plan condition", "visits")
    ratios(rounds, {each: kit(*each.split()) for each in words})


def before(rounds: int) -> None:
    print("until the search begins, by F (asked: as due)")
    run(kit("due"))
    commands = {
        f"{each}, before": [sys.executable, "-c", LEAVE, search, *kit(*each.split())[3:]]
        for each, search in SEARCHES.items()
    }
    # There is no open page in the sample: `walk` reads all that it reads, and says so.
    ratios(rounds, {"due": kit("due"), **commands, "walk, without a page": kit("walk")})


def cold(rounds: int, cache: Path) -> None:
    print("the sample, cold, by a process that loads the same files with the C loader (asked: 2)")
    files = [str(path) for part in ("checklists", "records") for path in (ROOT / part).rglob("*.[my][da]*")]
    empty = [sys.executable, "-c", EMPTY, str(cache / "inspect-kit")]
    ratios(rounds, {"due": [*empty, *kit("due")[3:]]}, [sys.executable, "-c", LOADS, *files])


def long(rounds: int, scratch: Path, large: bool) -> None:
    sizes = (10_000, 100_000) if large else (10_000,)
    spent: dict[int, float] = {}
    for size in sizes:
        root = scratch / f"life-{size}"
        made = life(root, size)
        print(f"{made:,} records, by F (asked: 10,000 warm 8)")
        cold_run = run(kit("due", root=root))
        floor = statistics.median(run([sys.executable, "-c", FLOOR])[0] for _ in range(3))
        print(f"  {cold_run[0] / floor:6.2f}  due, cold, once; {cold_run[1] / 1024:.0f} MB of memory at most")
        times = 3 if size > 10_000 else max(3, rounds // 2)
        spent[size] = ratios(times, {"due, warm": kit("due", root=root)})["due, warm"]
        base = run(kit("due"))[1]
        warm_run = run(kit("due", root=root))
        more = (warm_run[1] - base) / 1024 / made * 10_000
        print(f"  {more:.0f} MB of memory for each 10,000 records above the sample's {base / 1024:.0f} MB, warm")
    if large:
        print(f"  {spent[100_000] / spent[10_000]:.1f} times as long for ten times as many (asked: 11)")


def life(root: Path, size: int) -> int:
    """A store of about so many records; how many there are."""
    shutil.copytree(ROOT / "checklists", root / "checklists")
    (root / "records").mkdir()
    logbook = store.load(ROOT).logbook
    assert logbook is not None
    text = (ROOT / "records/aircraft.yaml").read_text(encoding="utf-8")
    # No record is older than 1900: more of them stand closer together.
    days = min(365 * (size // 43), (DAY - dt.date(1901, 1, 1)).days)
    began = DAY - dt.timedelta(days=days)
    kept = re.sub(r"(?m)^( *)certificate-date: .*$", rf"\g<1>certificate-date: {began}", text)
    # What names a record of the sample would name none here.
    kept = re.sub(r", copy: [\w-]+", "", kept)
    (root / "records/aircraft.yaml").write_text(kept, encoding="utf-8")
    number = 0
    for place, (words, record) in enumerate(_records(size, logbook)):
        day = began + dt.timedelta(days=round(place * days / size))
        name = f"{day}-{words}-{place:06d}"
        folder = root / f"records/{day.year}"
        folder.mkdir(exist_ok=True)
        told = record.format(day=day, tach=f"{place * 0.8:.1f}")
        (folder / f"{name}.yaml").write_text(f"format: 1\nkind: {told}", encoding="utf-8")
        number += 1
    return number


def _records(size: int, logbook: Logbook) -> Iterator[tuple[str, str]]:
    """Words of the name and the text of each record, with `{day}` and `{tach}` to be filled in."""
    checks = [check for check in logbook.checks.values() if check.retired is None]
    head = "date: {day}\nmeters: {{tach: {tach}}}\n"
    by = "by: Hazel Quillfeather\n"
    whole = "results:\n" + "".join(f"  {check.id}:\n    answer: done\n    took: 6 min\n" for check in checks)
    whole += "readings:\n" + "".join(_readings(checks))
    for place in range(size):
        turn = place % 43
        if turn < HOURS:
            yield "hours", f"hours\n{head}added: {{{{oil: 1 qt}}}}\n"
        elif turn < 42:
            check = checks[place % len(checks)]
            paper = f"paper: work order {place}\n" if check.who == OTHERS else ""
            done = f"did: [{check.id}]\ntext: done as the checklist says, entry {place}\nopened: none\n"
            yield "work", f"work\n{head}{done}{paper}{by}"
        else:
            paper = f"paper: work order {place}\n"
            yield "work", f"work\n{head}{whole}text: everything on the list, entry {place}\nopened: none\n{paper}{by}"


def _readings(checks: Sequence[Check]) -> Iterator[str]:
    """One number for each check that asks for some, within its limits where they are plain ones."""
    for check in checks:
        for reads in check.reads[:1]:
            if reads.measure == "words":
                continue
            bound = reads.bound
            value = "10" if bound is None else str(bound.low or bound.high or 10)
            yield f"  {check.id}:\n    {reads.labels[0]}: {value} {reads.measure}\n"
