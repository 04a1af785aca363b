"""The checker of plans says of each broken plan what is wrong with it, and no rule of it can go unnoticed.

The second half takes the checker apart: each rule deleted, each comparison moved by one, each `and` made an `or`. Some
plan of `broken` must then be told otherwise. A change that cannot show is listed with the reason.
"""

import ast
import inspect
from collections import Counter
from collections.abc import Callable, Iterator
from types import CodeType, ModuleType

import pytest

from inspect_kit.plan import Job, Plan, checker, faults
from tests.plan.broken import CASES, Case

SOURCE = inspect.getsource(checker)


def test_each_case_has_a_name_of_its_own() -> None:
    assert [name for name, number in Counter(case.name for case in CASES).items() if number > 1] == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_checker_says_what_is_wrong_and_nothing_else(case: Case) -> None:
    assert sorted(faults(case.job, case.plan())) == sorted(case.says)


# --- the checker taken apart ---

Faults = Callable[[Job, Plan], list[str]]
OTHER = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add,
}  # fmt: skip
# Changes that no plan can show, by line of the checker as it is written there, with the reason.
FOREVER = "as good as any number that no plan reaches"
AT_ITS_END = "at the end of a shift it is set to the end of that shift"
EQUIVALENT = {
    "FOREVER = 1 << 40 [40 at 15]": FOREVER,
    "if name in job.panels and name not in found and job.panels[name].retired is None: [operand 1 left out at 11]": (
        "saves looking twice; where panels are behind each other in a circle there is no plan to be checked"
    ),
    "if shift.start <= minute < shift.end: [Lt 1 at 19]": AT_ITS_END,
    "if there and shift.start <= minute < shift.end: [Lt 1 at 33]": AT_ITS_END,
    "minute = opened[name].start if name in opened else 0 [0 at 63]": "no shift is over within its first minute",
}


def changed(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """What may be changed in one place: (words, the new node)."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Yield):
        yield "rule deleted", ast.parse("yield from ()").body[0]
    if isinstance(node, ast.Starred) and isinstance(node.value, ast.Call):
        yield "group deleted", ast.Starred(value=ast.Tuple(elts=[], ctx=ast.Load()), ctx=ast.Load())
    if isinstance(node, ast.Compare):
        for place, op in enumerate(node.ops):
            ops = [*node.ops[:place], OTHER[type(op)](), *node.ops[place + 1 :]]
            yield f"{type(op).__name__} {place}", ast.Compare(left=node.left, ops=ops, comparators=node.comparators)
    if isinstance(node, ast.BoolOp):
        yield type(node.op).__name__, ast.BoolOp(op=OTHER[type(node.op)](), values=node.values)
        for place in range(len(node.values)):
            rest = [*node.values[:place], *node.values[place + 1 :]]
            yield f"operand {place} left out", rest[0] if len(rest) == 1 else ast.BoolOp(op=node.op, values=rest)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not", node.operand
    if isinstance(node, ast.BinOp) and type(node.op) in OTHER:
        other = OTHER[type(node.op)]()
        yield type(node.op).__name__, ast.BinOp(left=node.left, op=other, right=node.right)
    if isinstance(node, ast.Constant) and type(node.value) in (int, bool) and node.value < 100:
        yield f"{node.value}", ast.Constant(value=1 - node.value if node.value in (0, 1) else node.value + 1)


class _Put(ast.NodeTransformer):
    """Puts one node in the place of another."""

    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        return self.new if node is self.old else self.generic_visit(node)


def compiled(statement: ast.stmt) -> CodeType:
    return compile(ast.fix_missing_locations(ast.Module(body=[statement], type_ignores=[])), "mutant", "exec")


def mutants() -> Iterator[tuple[str, Faults]]:
    """Every change of the checker: its line and what it is, and the checker so changed."""
    body = ast.parse(SOURCE).body
    codes = [compiled(statement) for statement in body]
    for place, statement in enumerate(body):
        for node in list(ast.walk(statement)):
            for words, other in changed(node):
                line = SOURCE.splitlines()[node.lineno - 1].strip()  # type: ignore[attr-defined]
                there = compiled(_Put(node, other).visit(statement))
                _Put(other, node).visit(statement)
                module = ModuleType("mutant")
                # Only what was changed is compiled anew.
                for code in [*codes[:place], there, *codes[place + 1 :]]:
                    exec(code, module.__dict__)
                yield f"{line} [{words} at {node.col_offset}]", module.faults  # type: ignore[attr-defined]


PLANS = [(case.job, case.plan(), sorted(case.says)) for case in CASES]


def noticed(tried: Faults) -> bool:
    """Whether some plan is told otherwise than it must be."""
    for job, plan, says in PLANS:
        try:
            if sorted(tried(job, plan)) != says:
                return True
        except (KeyError, TypeError, ValueError, AttributeError, IndexError):
            return True
    return False


def test_no_rule_can_be_deleted_or_weakened_unnoticed() -> None:
    tried = list(mutants())
    survivors = [words for words, faults in tried if not noticed(faults)]
    assert len(tried) > 150
    assert sorted(survivors) == sorted(EQUIVALENT)
    assert sum("rule deleted" in words for words, _ in tried) >= 28
    assert sum("group deleted" in words for words, _ in tried) >= 12
