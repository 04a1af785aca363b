"""Bad input: a mutator over the sample's own files, and a judge of what the program makes of it.

Whatever a file holds, the answer is right or a problem names the file and the line; nothing is lost in silence,
nothing runs without end, and memory stays below a stated limit.
"""

import json
import random
import re
import resource
import signal
import traceback
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from inspect_kit.model.logbook import Logbook
from inspect_kit.store import parsing
from inspect_kit.store.seals import seal_record
from tests.store.asking import acting, ask
from tests.store.scratch import BODY, HOURS_TEXT, PAGE, RECORD, WORKSHEET_TEXT, make_store, sign

SAMPLE = Path(__file__).parents[2]
SECONDS = 10
MEMORY_LIMIT = 512 * 2**20

YAML_TRAPS = [
    b"a: &a [x]\nb: *a\n", b"&a a: 1\n", b"x: !!python/object/apply:os.system [ls]\n", b"! x\n", b"!!binary AAAA\n",
    b"[" * 300, b"{" * 300, b"- " * 300 + b"x\n", b"? " * 200, b"{a: " * 200, b"x: " + b"9" * 5000 + b"\n",
    b"1e999999999", b"-0", b".inf", b".nan", b"0x1F", b"0o17", b"010", b"12:30", b"1_000", b"NO", b"on: off\n",
    b"2024-02-30", b"9999-12-31", b"0000-00-00", b"date: 2026-05-14\ndate: 2026-05-15\n", b"<<: {a: 1}\n", b"--- \n",
    b"...\n", b"%YAML 1.1\n---\n", b"%TAG ! tag:x,2000:\n", b"key: |\n  text\n", b"key: >-\n  text\n", b"key: |9\n x\n",
    b"'", b'"', b'"\\u0000"', b'"\\ud800"', b'"\\x41"', b": ", b":", b"-", b"? ", b"#", b" #x", b"@", b"`", b"|", b">",
]  # fmt: skip
MARKDOWN_TRAPS = [
    b"- [ ] `a`\n", b"* [X] `oil-change` x\n", b"+ [x] remove `cowl-upper` x\n", b"-[ ] `a` x\n", b"- [] `a` x\n",
    b"- [  ] `a` x\n", b"1. [ ] `a` x\n", b"- [x]`a` x\n", b"- [x] a x\n",
    b"\xe2\x80\xa2 [ ] `a` x\n", b"- [\xe2\x9c\x93] `a` x\n",
    b"```\n", b"~~~\n", b"````\n- [ ] `hidden` x\n````\n", b"    - [ ] `indented` x\n", b"\t- [ ] `tabbed` x\n",
    b"> - [ ] `quoted` x\n", b"- - [ ] `nested` x\n", b"---\n", b"<!-- - [ ] `comment` x -->\n", b"  - every: 50 h\n",
    b"  - every: 99999999999999999999 h\n", b"  - every: 0 h\n", b"  - every: -1 h\n", b"  - every: 12 months or\n",
    b"  - every: 9999999 years\n", b"  - time: 999999999999 min\n", b"  - covers: d3, zz\n", b"  - once: 9999-12-31\n",
    b"  - reads: cylinder 1 to 999999999, psi\n", b"  - reads: x, psi, 90 to 60\n", b"  - : x\n", b"  - every\n",
    b"  - found: F1 x\n    - fix: by 0001-01-01\n", b"  - found: F99999999999999999999 x\n", b"  - again: x\n",
    b"  - first: 1 h, 10 h\n", b"  - grace: 10 h\n", b"  - owed-after: did oil-change\n", b"  - after: oil-change\n",
    b"  - with: cowl-upper, cowl-upper\n", b"  - within: 30 min of oil-change\n", b"  - was: oil-change\n",
    b"<<<<<<< HEAD\n", b"=======\n", b">>>>>>> x\n", b"<script>alert(1)</script>", b"[red]x[/red]",
    b"=cmd|'/c calc'!A1",
]  # fmt: skip
CHARACTERS = [
    b"\0", b"\xef\xbb\xbf", b"\xff\xfe", b"\r\n", b"\r", b"\x0b", b"\x0c", b"\x1b[31m", b"\x1b]0;x\x07", b"\x7f",
    b"\x85", b"\xc2\x85",
    b"\xe2\x80\xa8", b"\xe2\x80\xa9", b"\xe2\x80\xae", b"\xe2\x81\xa6", b"\xe2\x80\x8b", b"\xc2\xa0",
    b"\xef\xbf\xbe", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\xc0\x80", b"\xcc\x81", b"\xf0\x9f\x94\xa7", b"\xd9\xa1",
    b"\xef\xbc\x95", b"\t", b"  ", b"\n\n", b"",
]  # fmt: skip
QUESTIONS = (
    ("due", "--json"), ("due", "--json"), ("due",), ("due", "--strict"), ("due", "oil-change"),
    ("scope",), ("scope", "--json"),
    ("status",), ("status", "--json"), ("history", "oil-change"), ("history", "oil-change", "--json"),
    ("plan", "oil-change", "--only"), ("plan", "oil-change", "--only", "--json"), ("report",), ("report", "--entry"),
    ("verify",), ("walk",), ("sign", "--as", "Sample Builder"),
    ("parts",), ("parts", "--json"), ("trend",), ("trend", "--json"), ("directives",), ("directives", "--json"),
    ("balance",), ("balance", "--json"), ("export", "--csv"), ("due", "--all"), ("status", "--all"),
)  # fmt: skip
Mutator = Callable[[bytes, random.Random], bytes]


def _cut(data: bytes, choose: random.Random) -> tuple[int, int]:
    at = choose.randint(0, len(data))
    return at, min(len(data), at + choose.choice([1, 2, 5, 20, 200, 5000]))


def flip(data: bytes, choose: random.Random) -> bytes:
    at, _ = _cut(data, choose)
    return data[:at] + bytes([choose.randrange(256)]) + data[at + 1 :]


def delete(data: bytes, choose: random.Random) -> bytes:
    at, end = _cut(data, choose)
    return data[:at] + data[end:]


def double(data: bytes, choose: random.Random) -> bytes:
    at, end = _cut(data, choose)
    return data[:end] + data[at:end] * choose.choice([1, 2, 50]) + data[end:]


def truncate(data: bytes, choose: random.Random) -> bytes:
    return data[: _cut(data, choose)[0]]


def insert(data: bytes, choose: random.Random) -> bytes:
    at, _ = _cut(data, choose)
    return data[:at] + choose.choice(choose.choice([YAML_TRAPS, MARKDOWN_TRAPS, CHARACTERS])) + data[at:]


def insert_line(data: bytes, choose: random.Random) -> bytes:
    lines = data.split(b"\n")
    trap = choose.choice(choose.choice([YAML_TRAPS, MARKDOWN_TRAPS])).rstrip(b"\n")
    lines.insert(choose.randint(0, len(lines)), trap)
    return b"\n".join(lines)


def replace_value(data: bytes, choose: random.Random) -> bytes:
    """What stands after a colon becomes something else."""
    places = [match.span(1) for match in re.finditer(rb": +([^\n]*)", data)]
    if not places:
        return data
    start, end = choose.choice(places)
    return data[:start] + choose.choice([*YAML_TRAPS, *CHARACTERS, *(data[a:b] for a, b in places)]) + data[end:]


def replace_number(data: bytes, choose: random.Random) -> bytes:
    places = [match.span() for match in re.finditer(rb"\d+", data)]
    if not places:
        return data
    start, end = choose.choice(places)
    values = [b"0", b"-1", b"1e9", b"99999999999", b"1.", b".5", b"1.2.3", b"\xd9\xa1", b"9" * 400, b"00", b""]
    return data[:start] + choose.choice(values) + data[end:]


def move_line(data: bytes, choose: random.Random) -> bytes:
    lines = data.split(b"\n")
    lines.insert(choose.randrange(len(lines)), lines.pop(choose.randrange(len(lines))))
    return b"\n".join(lines)


def indent_line(data: bytes, choose: random.Random) -> bytes:
    lines = data.split(b"\n")
    at = choose.randrange(len(lines))
    lines[at] = choose.choice([b"\t", b" ", b"    ", b" " * 40]) + lines[at].lstrip() * choose.choice([1, 1, 2])
    return b"\n".join(lines)


def turn_line_endings(data: bytes, choose: random.Random) -> bytes:
    return data.replace(
        b"\n", choose.choice([b"\r\n", b"\r", b"\n\n", b"\x0b", b"\xe2\x80\xa8"]), choose.choice([-1, 3])
    )


def repeat_all(data: bytes, choose: random.Random) -> bytes:
    return data * choose.choice([2, 20])


MUTATORS: tuple[Mutator, ...] = (
    flip, flip, delete, double, truncate, insert, insert, insert_line, insert_line, replace_value, replace_value,
    replace_number, replace_number, move_line, indent_line, turn_line_endings, repeat_all,
)  # fmt: skip


def mutate(data: bytes, choose: random.Random, largest: int) -> bytes:
    """One to four mutations, one after another, cut off at the largest size."""
    for _ in range(choose.choice([1, 1, 1, 2, 2, 3, 4])):
        data = choose.choice(MUTATORS)(data, choose)
    return data[:largest]


@lru_cache
def seeds() -> tuple[tuple[str, bytes], ...]:
    """The sample's own files, and a page and a sealed record, each with the name that it is read under."""
    found = {
        str(path.relative_to(SAMPLE)): path.read_bytes()
        for top in ("checklists", "records")
        for path in sorted((SAMPLE / top).rglob("*"))
        if path.is_file() and path.suffix in (".md", ".yaml") and "open" not in path.parts
    }
    found["records/open/2026-11-21-condition-seed.md"] = WORKSHEET_TEXT
    found["records/2026/2026-11-20-hours-seed.yaml"] = HOURS_TEXT
    found[RECORD] = seal_record(BODY, record=RECORD, page=PAGE, worksheet=WORKSHEET_TEXT, after=())
    return tuple(sorted(found.items()))


def hash_of(data: bytes) -> int:
    """A number that is the same in every run."""
    return zlib.crc32(data)


@lru_cache
def kinds() -> tuple[tuple[tuple[str, bytes], ...], ...]:
    """The seeds by what they are, so that four hundred records do not crowd out the aircraft and the pages."""
    groups: dict[str, list[tuple[str, bytes]]] = {}
    for name, data in seeds():
        kind = name if name in (RECORD, "records/aircraft.yaml") else name[:12]
        groups.setdefault("record" if kind.startswith("records/20") and name != RECORD else kind, []).append(
            (name, data)
        )
    return tuple(tuple(group) for group in groups.values())


class Judge:
    """Puts one file into a store, asks, and names every fault of the program (not of the file)."""

    def __init__(self, folder: Path, *, whole_sample: bool = False) -> None:
        self.root = make_store(folder)
        sign(self.root)
        if whole_sample:
            for name, data in seeds():
                if not name.startswith("records/open/"):
                    self._put(name, data)

    def _put(self, name: str, data: bytes) -> None:
        (self.root / name).parent.mkdir(parents=True, exist_ok=True)
        (self.root / name).write_bytes(data)

    def faults(self, name: str, data: bytes) -> list[str]:
        path = self.root / name
        before = path.read_bytes() if path.exists() else None
        self._put(name, data)
        try:
            with time_limit():
                return list(self._faults(name, data))
        except Exception as fault:
            where = traceback.extract_tb(fault.__traceback__)[-1]
            return [f"{type(fault).__name__} in {Path(where.filename).name}:{where.lineno}: {fault}"[:300]]
        finally:
            if before is None:
                path.unlink()
            else:
                path.write_bytes(before)

    def _faults(self, name: str, data: bytes) -> Iterator[str]:
        loaded = store.load(self.root)
        store.check_seals(loaded.files, store.registered(self.root))
        yield from self._wrong_places(loaded, name, data)
        told = any(problem.place.file == name for problem in loaded.problems)
        if not told:
            yield from lost_boxes(name, data, loaded.logbook)
            yield from strange_values(name, data, loaded.logbook)
        if loaded.logbook is None:
            if not loaded.problems:
                yield "no logbook and no problem"
            return
        if loaded.logbook.problems != loaded.problems:
            yield "the logbook does not know all problems"
        # What a sealed record says wrongly is a note, and no reason to exit otherwise.
        told_of = store.pointed((*loaded.problems, *audit(loaded.logbook, None)), loaded.files)
        whole = all(problem.note for problem in told_of)
        yield from self._answers(QUESTIONS[hash_of(data) % len(QUESTIONS)], whole)

    def _answers(self, words: tuple[str, ...], whole: bool) -> Iterator[str]:
        """Exit code, output and messages of one question; `whole` is whether nothing is wrong with the store."""
        answer = ask(self.root, *words, stdin="s\n")
        command = " ".join(words)
        # 2 is a question that cannot be answered as it was put: no record yet, two pages, no such check.
        if answer.code not in ((0, 1, 2) if whole else (3,)):
            yield f"`{command}` exits {answer.code}, {'without' if whole else 'with'} problems: {answer.err[-300:]}"
        for text, what in ((answer.out, "prints"), (answer.err, "says")):
            if marks := acting(text):
                yield f"`{command}` {what} {', '.join(marks)}"
        if "Traceback" in answer.err:
            yield f"`{command}` shows a traceback"
        if answer.code in (0, 3) and answer.out and "--json" in words:
            facts = json.loads(answer.out, parse_constant=lambda word: f"no JSON: {word}")
            if "no JSON" in str(facts) or facts["format"] != 2:
                yield f"`{command}` gives no JSON"
        elif answer.code == 3 and words[0] not in NO_TOP and not TOP.search(answer.out[:2000]):
            yield f"`{command}` does not say at its top that it is incomplete"

    def _wrong_places(self, loaded: store.Loaded, name: str, data: bytes) -> Iterator[str]:
        lines = {file: here.count(b"\n") + 1 for file, here in loaded.files.items()}
        for problem in loaded.problems:
            if not 0 <= problem.place.line <= lines.get(problem.place.file, 0):
                yield f"a problem at a line that is not there: {problem.place}"
            if not problem.message or "\n" in problem.message:
                yield f"a message that is no line: {problem.message!r}"
            json.dumps(str(problem)).encode()


@contextmanager
def time_limit(seconds: float = SECONDS) -> Iterator[None]:
    """So many seconds of the processor, whatever else the machine does; thirty times that for one that only waits."""

    def ring(*_: object) -> None:
        raise TimeoutError(f"no answer within {seconds} s")

    clocks = ((signal.ITIMER_PROF, signal.SIGPROF, seconds), (signal.ITIMER_REAL, signal.SIGALRM, 30 * seconds))
    before = [signal.signal(rings, ring) for _, rings, _ in clocks]
    for timer, _, most in clocks:
        signal.setitimer(timer, most)
    try:
        yield
    finally:
        for (timer, rings, _), handler in zip(clocks, before, strict=True):
            signal.setitimer(timer, 0)
            signal.signal(rings, handler)


TOP = re.compile(r"INCOMPLETE|NOT GOOD|^$")
# What is asked box by box, and a table, have no top.
NO_TOP = ("walk", "export")
BOX = re.compile(r"\s*[-*+]\s+\[[ xX]\]\s")


def lost_boxes(name: str, data: bytes, logbook: Logbook | None) -> Iterator[str]:
    """Boxes that a plain look at the lines sees outside code fences, and that nothing was made of."""
    if logbook is None or not name.endswith(".md"):
        return
    if name.startswith("checklists/"):
        known = {check.place.line for check in logbook.checks.values() if check.place.file == name}
    elif name.startswith("records/open/"):
        known = {entry.place.line for page in logbook.pages if page.place.file == name for entry in page.entries}
    else:
        return
    fence = ""
    lines = data.decode().split("\n")
    front = 0
    if lines[0].rstrip() == "---":
        front = next((at for at, line in enumerate(lines[1:], 2) if line.rstrip() == "---"), 0)
    for number, line in enumerate(lines[front:], front + 1):
        mark = re.match(r"\s*(`{3,}|~{3,})", line)
        if mark:
            if not fence and not (mark[1][0] == "`" and "`" in line.strip()[len(mark[1]) :]):
                fence = mark[1]
            elif fence and mark[1].startswith(fence) and not line.strip().strip(fence[0]):
                fence = ""
        elif not fence and BOX.match(line) and number not in known:
            yield f"line {number}: a box was lost: {line[:60]!r}"


def strange_values(name: str, data: bytes, logbook: Logbook | None) -> Iterator[str]:
    """Values of a record that do not stand in its text."""
    if logbook is None or not name.endswith(".yaml") or name == "records/aircraft.yaml":
        return
    text = data.decode()
    records = [record for record in logbook.records if record.place.file == name]
    if len(records) != 1:
        yield f"{len(records)} records were made of one file without a problem"
    for record in records:
        if record.date.isoformat() not in text:
            yield f"the date {record.date} does not stand in the file"
        for value in record.meters.values():
            if str(value) not in text:
                yield f"the reading {value} does not stand in the file"


Reader = Callable[[str, str], Any]


@contextmanager
def cached_readers() -> Iterator[None]:
    """Read what is not bad only once: every input leaves all files but one as they were."""
    good = {data.decode() for _, data in seeds()}

    def cached(read: Reader) -> Reader:
        once = lru_cache(maxsize=None)(read)
        return lambda text, name: once(text, name) if text in good else read(text, name)

    with pytest.MonkeyPatch.context() as patch:
        for name in ("read_checklist", "read_aircraft", "read_record", "read_worksheet"):
            patch.setattr(parsing, name, cached(getattr(parsing, name)))
        yield


Fault = tuple[str, bytes, str]


def run(
    folder: Path, inputs: int, seed: int = 0, *, whole_each: int = 25, largest: int = 2 * 2**20
) -> tuple[list[Fault], dict[str, int]]:
    """Judge so many inputs: the faults, each with the name and the bytes that show it, and counts.

    Every `whole_each`th stands in the whole sample, the others in a small store; none is larger than `largest` bytes.
    """
    choose = random.Random(seed)
    small, whole = Judge(folder / "small"), Judge(folder / "whole", whole_sample=True)
    faults: list[Fault] = []
    counts: dict[str, int] = {"inputs": 0, "bytes": 0}
    with cached_readers():
        for number in range(inputs):
            name, data = choose.choice(choose.choice(kinds()))
            bad = mutate(data, choose, largest)
            judge = whole if number % whole_each == whole_each - 1 else small
            counts["inputs"] += 1
            counts["bytes"] += len(bad)
            faults += [(name, bad, fault) for fault in judge.faults(name, bad)]
    return faults, counts


def memory_limited(action: Callable[[], Any]) -> None:
    """Let this process grow by no more than the stated limit from here on."""
    with open("/proc/self/statm") as stream:
        size = int(stream.read().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (size + MEMORY_LIMIT, resource.RLIM_INFINITY))
    try:
        action()
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
