"""Whatever is refused says what to do next: every refusal in the code, found by reading the code.

The words of each are taken as they stand in the source, with `{...}` where a value comes in. A next step is a command,
an option, the form that is expected, a list to choose from, or something to do. Those that need none stand in NONE, each
with its reason; what only hands a message on stands in HANDED_ON, with where that message comes from.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import inspect_kit

ROOT = Path(inspect_kit.__file__).parent
REFUSALS = ("Misused", "Refused", "StoreUnreadable", "UsageError")
# What is next: a command or an option, a form, a choice, or a verb that tells the reader to do something.
NEXT = re.compile(
    r"`?inspect-kit |`[a-z]+ --|--[a-z]|did you mean|such as|expected |which of the two|one of the two|\(\w+: \{"
    r"|\b([Ww]rite|[Nn]ame|[Ss]ay|[Gg]ive|[Tt]ake|[Mm]end|[Cc]orrect|[Ss]ave|[Ll]ook|[Rr]un|[Pp]rint|[Ss]ign|[Rr]ead"
    r"|[Cc]hoose|[Ss]top|[Cc]heck|[Ww]ait|[Mm]ove|[Mm]ake|[Tt]ype|[Cc]lose|[Ll]eave|[Uu]se|[Ff]ree)\b (?!of\b)"
)
NONE: dict[str, str] = {}
HANDED_ON: dict[str, str] = {}


def words_of(node: ast.expr) -> str:
    """The words of a message as they stand in the source; `{...}` for a value."""
    match node:
        case ast.Constant(value=str(text)):
            return text
        case ast.JoinedStr(values=values):
            return "".join(
                each.value if isinstance(each, ast.Constant) else "{" + ast.unparse(each.value) + "}"  # type: ignore[attr-defined]
                for each in values
            )
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            return words_of(left) + words_of(right)
        case ast.IfExp(body=body, orelse=orelse):
            return f"{words_of(body)} | {words_of(orelse)}"
    return "{" + ast.unparse(node) + "}"


def refusals() -> Iterator[tuple[str, str]]:
    """Every refusal as FILE:LINE and its words; a name is followed to what was assigned to it in the same function."""
    for path in sorted(ROOT.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for function in ast.walk(tree):
            if not isinstance(function, ast.FunctionDef):
                continue
            known = {
                target.id: words_of(each.value)
                for each in ast.walk(function)
                if isinstance(each, ast.Assign)
                for target in each.targets
                if isinstance(target, ast.Name)
            }
            for call in ast.walk(function):
                if isinstance(call, ast.Call) and isinstance(call.func, ast.Name | ast.Attribute) and call.args:
                    name = call.func.id if isinstance(call.func, ast.Name) else call.func.attr
                    if name in REFUSALS:
                        said = words_of(call.args[0])
                        for _ in range(2):
                            said = re.sub(r"\{(\w+)\}", lambda found, known=known: known.get(found[1], found[0]), said)
                        yield f"{path.relative_to(ROOT).as_posix()}:{call.lineno}", said


ALL = dict(refusals())


def test_they_are_found() -> None:
    assert len(ALL) > 150
