"""Small changes of the meaning of the code, one at a time, and whether any test notices.

python -m tests.bench mutants [--count N] [--seed S] [--rooms NAMES] [--whole]

Works on a copy of the project in a temporary folder. Every mutant runs the tests of its room, those named like its
module first; with `--whole` what survives runs everything. A run that takes ten times as long as an unchanged one is
stopped and counts as noticed. What is known to change nothing stands in EQUIVALENT with its reason, and is not drawn.
"""

import argparse
import ast
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

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
        "inspect_kit/due/reckoning.py",
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
MOST = 9


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


def drawn(rooms: list[str], count: int, seed: int) -> list[Mutant]:
    """So many mutants, as many of each room as of any other, chosen by the seed; no two of one line."""
    chance = Random(seed)
    chosen: list[Mutant] = []
    for number, room in enumerate(rooms):
        all_of: list[Mutant] = []
        for path in sorted((HOUSE / "inspect_kit" / room).rglob("*.py")):
            source = path.read_text(encoding="utf-8")
            for mutant in mutants_of(path.relative_to(HOUSE).as_posix(), source):
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


def room_tests(room: str, copy: Path, module: str) -> list[str]:
    """The tests of a room, those named like a module of it first."""
    files = sorted(path.relative_to(copy).as_posix() for path in (copy / "tests" / room).rglob("test_*.py"))
    files += TESTS[room]
    return sorted(files, key=lambda name: (module not in name, files.index(name)))


def noticed(copy: Path, tests: list[str], patience: float | None) -> tuple[bool, float]:
    """Whether these tests fail, and the seconds until they did or had passed."""
    began = time.perf_counter()
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests]
    try:
        code = subprocess.run(command, cwd=copy, capture_output=True, timeout=patience).returncode
    except subprocess.TimeoutExpired:
        code = 1
    return code != 0, time.perf_counter() - began


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench mutants")
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rooms", default=",".join(TESTS), help="names with commas between them")
    parser.add_argument("--whole", action="store_true", help="run everything against what survives its room")
    options = parser.parse_args(argv)
    rooms = options.rooms.split(",")
    chosen = drawn(rooms, options.count, options.seed)
    survivors, done = [], 0
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        shutil.copytree(HOUSE, copy, ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", "*.egg-info"))
        for room in rooms:
            wrong, seconds = noticed(copy, room_tests(room, copy, room), None)
            if wrong:
                print(f"{room}: its tests fail before anything is changed")
                return 1
            for mutant in [each for each in chosen if each.room == room]:
                path = copy / mutant.path
                source = path.read_text(encoding="utf-8")
                path.write_text(apply(source, mutant), encoding="utf-8")
                seen, _ = noticed(copy, room_tests(room, copy, Path(mutant.path).stem), 60 + 10 * seconds)
                if not seen and options.whole:
                    seen, _ = noticed(copy, ["tests"], None)
                path.write_text(source, encoding="utf-8")
                done += 1
                if not seen:
                    survivors.append(mutant)
                    old = " ".join(line.strip() for line in source.splitlines()[mutant.first - 1 : mutant.last])
                    print(f"survives: {mutant.path}:{mutant.first} {mutant.kind}\n  {old}\n  {mutant.text.strip()}")
            print(
                f"{room}: {sum(1 for each in chosen if each.room == room)} changed, unchanged in {seconds:.0f} s",
                flush=True,
            )
    print(f"{len(survivors)} of {done} survive ({100 * len(survivors) / max(1, done):.1f} %), seed {options.seed}")
    print(f"{len(EQUIVALENT)} are known to change nothing")
    return 0
