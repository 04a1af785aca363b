"""Small changes of the meaning of the code, one at a time, and whether any test notices.

python -m tests.bench mutants [--count N] [--seed S] [--rooms NAMES] [--since DATE] [--maps FOLDER] [--budget SECONDS]

Works on a copy of the project in a temporary folder. `--maps` says which test executes which line (made by
`python -m tests.bench mutants --map TESTS --maps FOLDER`, one file for each list of tests; it wants `coverage`). A
mutant runs the tests that execute its line, those of its room first and of each test function one case first; what
survives them runs those of all other rooms, and then everything else in its room. What no map knows runs all of its
room. With `--since` only lines are changed that were committed on that day or later. Each mutant is tried in a fork of
a process that has imported pytest and what the project leans on, never the project. A run that takes ten times as long
as it should counts as noticed. What is known to change nothing stands in EQUIVALENT with its reason, and is not drawn.
"""

import argparse
import ast
import contextlib
import importlib
import json
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
import traceback
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

import pytest

HOUSE = Path(__file__).parents[2]
# Of each room the tests that speak of it, besides those in the folder of its name.
TESTS: dict[str, tuple[str, ...]] = {
    "due": ("tests/published/test_due_dates.py",),
    "store": ("tests/published/test_ssh_signatures.py", "tests/cli/test_sealing.py"),
    "inspection": ("tests/cli/test_walk_written.py", "tests/cli/test_walk_findings.py"),
    "text": (),
    "plan": ("tests/published/test_access.py", "tests/published/test_chains.py"),
    "visits": ("tests/published/test_visits_joint_replenishment.py",),
    "report": (),
    "audit": (),
}
# (file, line as it stands, as it is changed): why no test can notice.
EQUIVALENT: dict[tuple[str, str, str], str] = {
    (
        "inspect_kit/due/check_history.py",
        "if part.overhauled is not None and (date is None or part.overhauled > date):",
        "if part.overhauled is not None and (date is None or (part.overhauled >= date)):",
    ): "overhauled on that very day moves nothing",
    (
        "inspect_kit/due/unwritten.py",
        "return item is None or item.last is None",
        "return (item.last is None)",
    ): "every inspection of aircraft.yaml is an item of the answer",
    (
        "inspect_kit/due/changes.py",
        "return {key: limits[key] for key, (low, high) in found.items() if high - low > limits[key][1].amount}",
        "return {key: limits[key] for key, (low, high) in found.items() if (high - low >= limits[key][1].amount)}",
    ): "what lies as far apart as it may is only looked at once more, and not told",
    (
        "inspect_kit/due/fitting.py",
        "if since is not None and not begun:",
        "if (not begun):",
    ): "where `since` is None it has begun",
    (
        "inspect_kit/inspection/edit.py",
        "if not unnamed or sheet.faults:",
        "if (sheet.faults):",
    ): "with nothing to name the page reads back as it was",
    (
        "inspect_kit/inspection/walk.py",
        "if not entry.is_check or check is None:",
        "if (check is None):",
    ): "only the box of a check has a check",
    (
        "inspect_kit/text/page_edit.py",
        'while last + 1 < end and re.match(r"\\s*- ", lines[last + 1]):',
        "while (re.match('\\\\s*- ', lines[last + 1])):",
    ): "the line that ends the front matter is no line of a list",
    (
        "inspect_kit/text/quantities.py",
        "if not found or volume.strip() not in units_of(VOLUME):",
        "if (volume.strip() not in units_of(VOLUME)):",
    ): "without its stroke there is no unit of volume",
    (
        "inspect_kit/visits/habit.py",
        'start, end = before.totals.get(point.meter or ""), after.totals.get(point.meter or "")',
        'start, end = before.totals.get(point.meter or ""), after.totals.get((point.meter))',
    ): "no total is kept under either name",
    (
        "inspect_kit/due/phases.py",
        "if own is not None and own.word == FLOWN and own.pilot is not None and not may_show(own.pilot):",
        "if (own is not None and own.word == FLOWN and (not may_show(own.pilot))):",
    ): "a flight check that was flown is read with its pilot or not at all",
    (
        "inspect_kit/audit/readings.py",
        "if not all(_says_limit(own.get(each.label)) for each in check.reckons):",
        "if (True):",
    ): "saves judging what is within plain limits",
    (
        "inspect_kit/audit/readings.py",
        "reads.bound is None\n"
        "        or _says_limit(own[label])\n"
        "        or not (reads.bound.table or (number := own[label].number) is None or not reads.bound.holds(number))",
        "(reads.bound is None or not (reads.bound.table or "
        "(number := own[label].number) is None or (not reads.bound.holds(number))))",
    ): "what has the limit of its day beside it is passed over later",
    (
        "inspect_kit/due/trends.py",
        "if total >= FAR:",
        "if (False):",
    ): "saves the forecast of what is further away than it can see",
    (
        "inspect_kit/store/layout.py",
        "while len(code) < CODE_LENGTH:",
        "while (len(code) <= CODE_LENGTH):",
    ): "what was drawn once more is cut off",
    (
        "inspect_kit/text/brought_forward.py",
        "return None if shown is None or total is None else ReadsTotal(reads=shown, total=total)",
        "return None if (False) else ReadsTotal(reads=shown, total=total)",
    ): "with a problem in it none of the meters is taken",
    (
        "inspect_kit/text/loads.py",
        "return Thing(item=item, weight=weight, arm=arm) if item and weight and arm else None",
        "return Thing(item=item, weight=weight, arm=arm) if (item or weight or arm) else None",
    ): "with a problem in it nothing of the balance is taken",
    (
        "inspect_kit/visits/rule.py",
        "day = on if last == TODAY else self.days[last]",
        "day = on if (True) else self.days[last]",
    ): "every day before a doing keeps to what follows from it: it only begins to look earlier",
}

COMPARED: dict[type[ast.cmpop], tuple[str, ...]] = {
    ast.Lt: ("<=",),
    ast.LtE: ("<",),
    ast.Gt: (">=",),
    ast.GtE: (">",),
    ast.Eq: ("!=",),
    ast.NotEq: ("==",),
    ast.In: ("not in",),
    ast.NotIn: ("in",),
    ast.Is: ("is not",),
    ast.IsNot: ("is",),
}
SIGNS = {"<": ast.Lt, "<=": ast.LtE, ">": ast.Gt, ">=": ast.GtE, "==": ast.Eq, "!=": ast.NotEq}
SIGNS |= {"in": ast.In, "not in": ast.NotIn, "is": ast.Is, "is not": ast.IsNot}
# Tests that a mutant begins with, and with which it goes on.
FEW, MANY = 40, 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """A change: the lines from `first` to `last` (counted from 1) of a file become `text`."""

    path: str
    first: int
    last: int
    text: str
    kind: str

    @property
    def room(self) -> str:
        return self.path.split("/")[1]


def mutants_of(path: str, source: str) -> Iterator[Mutant]:
    """Every change of one file: comparisons, and/or, not, numbers, conditions, statements left out."""
    tree = ast.parse(source)
    lines = source.splitlines()
    described = _annotations(tree)

    def changed(node: ast.expr | ast.stmt, new: ast.AST | str, kind: str) -> Mutant:
        text = new if isinstance(new, str) else ast.unparse(new)
        if isinstance(node, ast.expr):
            text = f"({text})"
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        first, last = lines[node.lineno - 1].encode(), lines[node.end_lineno - 1].encode()
        whole = first[: node.col_offset].decode() + text + last[node.end_col_offset :].decode()
        return Mutant(path=path, first=node.lineno, last=node.end_lineno, text=whole, kind=kind)

    for node in ast.walk(tree):
        if isinstance(node, ast.Compare):
            for place, sign in enumerate(node.ops):
                for other in COMPARED[type(sign)]:
                    ops = [SIGNS[other]() if n == place else each for n, each in enumerate(node.ops)]
                    new = ast.Compare(left=node.left, ops=ops, comparators=node.comparators)
                    yield changed(node, new, f"compared by {other}")
        elif isinstance(node, ast.BoolOp):
            other_way = ast.Or() if isinstance(node.op, ast.And) else ast.And()
            yield changed(node, ast.BoolOp(op=other_way, values=node.values), "and/or")
            for place in range(len(node.values)):
                rest = [value for n, value in enumerate(node.values) if n != place]
                new_value = rest[0] if len(rest) == 1 else ast.BoolOp(op=node.op, values=rest)
                yield changed(node, new_value, f"without part {place + 1} of its condition")
        elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            yield changed(node, node.operand, "without its not")
        elif isinstance(node, ast.Constant) and type(node.value) is int and node not in described:
            yield changed(node, ast.Constant(node.value + 1), "one more")
        elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
            turned = ast.Sub() if isinstance(node.op, ast.Add) else ast.Add()
            if not any(isinstance(side, ast.JoinedStr | ast.Constant) for side in (node.left, node.right)):
                yield changed(node, ast.BinOp(left=node.left, op=turned, right=node.right), "the other sign")
        elif isinstance(node, ast.If | ast.IfExp | ast.While):
            for value in (True, False):
                if not (isinstance(node, ast.While) and value):
                    yield changed(node.test, ast.Constant(value), f"its condition always {value}")
        elif isinstance(node, ast.Expr) and not isinstance(node.value, ast.Constant):
            kind = "yields nothing" if isinstance(node.value, ast.Yield | ast.YieldFrom) else "left out"
            yield changed(node, "() if False else None", kind)
        elif isinstance(node, ast.AugAssign | ast.Continue | ast.Break):
            yield changed(node, "pass", "left out")


def _annotations(tree: ast.AST) -> set[ast.AST]:
    """Everything that stands in annotations: it only describes."""
    found: set[ast.AST] = set()
    for node in ast.walk(tree):
        for name in ("annotation", "returns"):
            if isinstance(part := getattr(node, name, None), ast.AST):
                found |= set(ast.walk(part))
    return found


def apply(source: str, mutant: Mutant) -> str:
    lines = source.splitlines(keepends=True)
    return "".join([*lines[: mutant.first - 1], mutant.text + "\n", *lines[mutant.last :]])


def new_lines(path: str, since: str) -> set[int]:
    """The lines of a file that were committed since a day."""
    command = ["git", "blame", "-s", f"--since={since} 00:00", "--", path]
    told = subprocess.run(command, cwd=HOUSE, check=True, capture_output=True, text=True).stdout
    return {number for number, line in enumerate(told.splitlines(), 1) if not line.startswith("^")}


def drawn(rooms: list[str], count: int, seed: int, since: str | None = None) -> list[Mutant]:
    """So many mutants, as many of each room as of any other, chosen by the seed; no two of one line."""
    chance = Random(seed)
    chosen: list[Mutant] = []
    for number, room in enumerate(rooms):
        all_of: list[Mutant] = []
        for path in sorted((HOUSE / "inspect_kit" / room).rglob("*.py")):
            source = path.read_text(encoding="utf-8")
            new = new_lines(path.relative_to(HOUSE).as_posix(), since) if since else None
            for mutant in mutants_of(path.relative_to(HOUSE).as_posix(), source):
                if new is not None and new.isdisjoint(range(mutant.first, mutant.last + 1)):
                    continue
                before = "\n".join(source.splitlines()[mutant.first - 1 : mutant.last])
                if (mutant.path, before.strip(), mutant.text.strip()) not in EQUIVALENT:
                    all_of.append(mutant)
        all_of.sort(key=lambda each: (each.path, each.first, each.kind, each.text))
        lines: set[tuple[str, int]] = set()
        wanted = count // len(rooms) + (number < count % len(rooms))
        while all_of and len(lines) < wanted:
            mutant = all_of.pop(int(chance.random() * len(all_of)))
            if (mutant.path, mutant.first) not in lines and _is_python(mutant):
                lines.add((mutant.path, mutant.first))
                chosen.append(mutant)
    return chosen


def _is_python(mutant: Mutant) -> bool:
    try:
        ast.parse(apply((HOUSE / mutant.path).read_text(encoding="utf-8"), mutant))
    except SyntaxError:
        return False
    return True


def statement_lines(source: str, mutant: Mutant) -> range | None:
    """The lines of the statement around it, without the body of one that has a body; None where it runs once only:
    while the module is read, or in what keeps its answer."""
    tree = ast.parse(source)
    around = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.stmt) and node.lineno <= mutant.first and mutant.last <= (node.end_lineno or 0)
    ]
    around.sort(key=lambda node: (node.lineno, -(node.end_lineno or 0)))
    functions = [node for node in around if isinstance(node, ast.FunctionDef)]
    kept = any("cache" in ast.unparse(mark) for node in functions for mark in node.decorator_list)
    if kept or not functions or mutant.first < functions[-1].body[0].lineno:
        return None
    inner = around[-1]
    body = getattr(inner, "body", None)
    end = body[0].lineno - 1 if isinstance(body, list) else inner.end_lineno or inner.lineno
    return range(inner.lineno, max(end, mutant.last) + 1)


class Maps:
    """Which test executes which line of which file, and the seconds of each test."""

    def __init__(self, folder: Path | None) -> None:
        self.lines: dict[str, dict[int, set[str]]] = defaultdict(lambda: defaultdict(set))
        self.seconds: dict[str, float] = {}
        self.of_file: dict[str, list[str]] = defaultdict(list)
        for told in sorted(folder.glob("*.seconds.json")) if folder else []:
            self.seconds |= json.loads(told.read_text(encoding="utf-8"))
            with contextlib.closing(sqlite3.connect(told.with_name(told.name.removesuffix(".seconds.json")))) as base:
                rows = base.execute(
                    "select path, context, numbits from line_bits join file on file.id = file_id"
                    " join context on context.id = context_id where context != ''"
                )
                for path, context, bits in rows:
                    name = "inspect_kit" + path.rpartition("/inspect_kit")[2]
                    for place, byte in enumerate(bits):
                        for bit in range(8):
                            if byte >> bit & 1:
                                self.lines[name][8 * place + bit].add(context)
        for test in self.seconds:
            self.of_file[test.split("::")[0]].append(test)

    def tests(self, path: str, lines: Iterable[int] | None) -> set[str]:
        """All that execute one of these lines, or any line of the file."""
        known = self.lines.get(path, {})
        contexts = set().union(*(known.get(line, ()) for line in (known if lines is None else lines)))
        return {test for each in contexts for test in ([each] if "::" in each else self.of_file[each])}

    def in_order(self, tests: Iterable[str], budget: float | None = None) -> list[str]:
        """Quick ones first, and several cases of one test function later than one; no more than the budget holds."""
        cases: dict[str, int] = defaultdict(int)
        ranked: list[tuple[float, str]] = []
        for seconds, test in sorted((self.seconds.get(test, 9.0), test) for test in tests):
            cases[name := test.split("[")[0]] += 1
            ranked.append(((0.05 + seconds) * cases[name], test))
        found: list[str] = []
        for _, test in sorted(ranked):
            if budget is not None and found and (budget := budget - self.seconds.get(test, 9.0)) < 0:
                break
            found.append(test)
        return found


def of_room(test: str, room: str) -> bool:
    return test.startswith(f"tests/{room}/") or test.split("::")[0] in TESTS[room]


class Chosen:
    """Of what was collected only these, in this order; all of it where nothing is said."""

    def __init__(self, tests: list[str] | None) -> None:
        self.tests = tests

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        if self.tests is not None:
            place = {test: number for number, test in enumerate(self.tests)}
            items[:] = sorted((item for item in items if item.nodeid in place), key=lambda item: place[item.nodeid])


def noticed(copy: Path, files: list[str], tests: list[str] | None, patience: float) -> str:
    """How these tests notice, "" if they pass: the test that fails, or that it took too long."""
    told = copy.parent / "told"
    told.write_text("", encoding="utf-8")
    child = os.fork()
    if not child:
        code = 99
        try:
            os.setsid()
            os.chdir(copy)
            # Nothing of the project as it stands: neither what this module is part of, nor the folder it came from.
            for name in [name for name in sys.modules if name.split(".")[0] in ("tests", "inspect_kit")]:
                del sys.modules[name]
            sys.path[:] = [str(copy), *(each for each in sys.path if each not in ("", str(HOUSE)))]
            os.environ["PYTHONPATH"] = str(copy)
            out = os.open(told, os.O_WRONLY)
            os.dup2(out, 1)
            os.dup2(out, 2)
            words = ["-x", "-q", "--tb=no", "-rfE", "-p", "no:cacheprovider", "-p", "no:xdist"]
            # `hypothesis` is here already.
            words += ["-W", "ignore::pytest.PytestAssertRewriteWarning", *files]
            code = int(pytest.main(words, plugins=[Chosen(tests)]))
        except BaseException:
            traceback.print_exc()
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)
    until = time.monotonic() + patience
    while time.monotonic() < until:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            code = os.waitstatus_to_exitcode(status)
            if code in (0, 5):
                return ""
            text = told.read_text(encoding="utf-8", errors="replace")
            if code > 2:
                raise RuntimeError(f"pytest ended with {code}: {text[-4000:]}")
            first = [line for line in text.splitlines() if line.startswith(("FAILED", "ERROR"))]
            return first[0][:160] if first else f"exit code {code}: {text[-200:]!r}"
        time.sleep(0.02)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return f"took more than {patience:.0f} s"


def tried(copy: Path, mutant: Mutant, source: str, maps: Maps, budget: float | None) -> tuple[str, str]:
    """Where it was noticed (its room, elsewhere, or nowhere) and by what; with a budget not all tests are run."""
    running = maps.tests(mutant.path, statement_lines(source, mutant))
    own = [test for test in running if of_room(test, mutant.room)]
    other = [test for test in running if not of_room(test, mutant.room)]
    files = sorted(path.relative_to(copy).as_posix() for path in (copy / "tests" / mutant.room).rglob("test_*.py"))
    rest = [test for file in [*files, *TESTS[mutant.room]] for test in maps.of_file[file] if test not in running]
    rest = rest if budget is None else []
    for where, tests in (("room", own), ("elsewhere", other), ("room, by another line", rest)):
        ordered = maps.in_order(tests, budget)
        # Most are noticed by a few: only those files are collected at first.
        for some in (ordered[:FEW], ordered[FEW:MANY], ordered[MANY:]):
            if some:
                patience = 60 + 10 * sum(maps.seconds.get(test, 1.0) for test in some)
                if by := noticed(copy, sorted({test.split("::")[0] for test in some}), some, patience):
                    return where, by
    if not maps.seconds and (by := noticed(copy, [*files, *TESTS[mutant.room]], None, 3600)):
        return "room", by
    return "", f"{len(own)} tests of its room and {len(other)} others execute it"


def _must_pass(copy: Path, room: str, mutants: list[Mutant], maps: Maps) -> None:
    """The tests that the mutants of a room begin with pass as long as nothing is changed."""
    tests: set[str] = set()
    for mutant in mutants:
        running = maps.tests(mutant.path, statement_lines((copy / mutant.path).read_text(encoding="utf-8"), mutant))
        tests |= set(maps.in_order(test for test in running if of_room(test, room))[: FEW // 8])
    began = time.monotonic()
    files = sorted({test.split("::")[0] for test in tests})
    if tests and (by := noticed(copy, files, maps.in_order(tests), 3600)):
        raise RuntimeError(f"{room}: {by}, before anything is changed")
    print(f"{room}: {len(tests)} tests begin; unchanged they pass in {time.monotonic() - began:.0f} s", flush=True)


def make_map(tests: list[str], folder: Path) -> int:
    """The map of these tests, as a file in the folder."""
    folder.mkdir(exist_ok=True)
    name = tests[0].replace("/", "_")
    told = {"COVERED_ROOMS": ",".join(TESTS), "COVERED_IN": str(folder.resolve() / f"{name}.map")}
    command = [sys.executable, "-m", "pytest", "-q", "-n", "0", "-p", "tests.bench._covered", *tests]
    return subprocess.run(command, cwd=HOUSE, env=os.environ | told, check=False).returncode


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench mutants")
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rooms", default=",".join(TESTS), help="names with commas between them")
    parser.add_argument("--since", metavar="DATE", help="only lines that were committed on that day or later")
    parser.add_argument("--maps", type=Path, help="folder of what each test executes")
    parser.add_argument("--map", nargs="+", help="make the map of these tests, and nothing else")
    parser.add_argument("--budget", type=float, help="seconds of tests for each mutant, in each of the three steps")
    options = parser.parse_args(argv)
    if options.map:
        return make_map(options.map, options.maps or Path("maps"))
    rooms = options.rooms.split(",")
    maps = Maps(options.maps)
    for name in ("_pytest.main", "hypothesis", "yaml", "click", "rich.console", "dateutil.relativedelta"):
        importlib.import_module(name)
    survivors: list[Mutant] = []
    chosen = drawn(rooms, options.count, options.seed, options.since)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        shutil.copytree(HOUSE, copy, ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", "*.egg-info"))
        for room in rooms:
            _must_pass(copy, room, [mutant for mutant in chosen if mutant.room == room], maps)
        for number, mutant in enumerate(chosen):
            began = time.monotonic()
            path = copy / mutant.path
            source, times = path.read_text(encoding="utf-8"), path.stat()
            path.write_text(apply(source, mutant), encoding="utf-8")
            # What is compiled is known by its second and its size: every mutant has a second of its own.
            os.utime(path, (times.st_atime, times.st_mtime + number + 1))
            where, by = tried(copy, mutant, source, maps, options.budget)
            path.write_text(source, encoding="utf-8")
            os.utime(path, (times.st_atime, times.st_mtime))
            old = " ".join(line.strip() for line in source.splitlines()[mutant.first - 1 : mutant.last])
            seconds = time.monotonic() - began
            print(f"{where or 'survives'}: {mutant.path}:{mutant.first} {mutant.kind}; {seconds:.0f} s")
            print(f"  {old}\n  {mutant.text.strip()}\n  {by}", flush=True)
            if not where:
                survivors.append(mutant)
    print(f"{len(survivors)} of {len(chosen)} survive, seed {options.seed}")
    print(f"{len(EQUIVALENT)} are known to change nothing")
    return 0
