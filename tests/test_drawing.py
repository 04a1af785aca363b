"""The drawing of what calls what in DEVELOPERS.md is the code; so is its list of modules, each by the first line of its
docstring; and its table of words has none that the code lacks.

`pytest tests/test_drawing.py --golden-update` draws it anew.
"""

import ast
import re
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "inspect_kit"
PAGE = ROOT.parent / "DEVELOPERS.md"
BEGIN, END = "<!-- drawn by tests/test_drawing.py -->\n", "<!-- end of the drawing -->\n"
# How a class is made and how a room is read late: used everywhere, and nothing of what the program does.
TOOLS = {"late", "noun"}
LISTED, LISTED_END = "<!-- listed by tests/test_drawing.py -->\n", "<!-- end of the list -->\n"
ROOMS = ("scheduling", "plan", "replenishment", "visits")

Calls = dict[str, set[str]]


def imported(path: Path) -> set[tuple[str, ...]]:
    """The modules of this house that one of its modules imports, by parts: ("plan", "make")."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "inspect_kit":
            above = tuple((node.module or "").split(".")[1:])
            for alias in node.names:
                inner = ROOT.joinpath(*above, alias.name)
                found.add((*above, alias.name) if inner.with_suffix(".py").exists() or inner.is_dir() else above)
        elif isinstance(node, ast.Import):
            found |= {tuple(each.name.split(".")[1:]) for each in node.names if each.name.startswith("inspect_kit.")}
    return {each for each in found if each}


def calls_between_rooms() -> Calls:
    rooms: Calls = {}
    for path in ROOT.rglob("*.py"):
        name = path.relative_to(ROOT).parts[0].removesuffix(".py")
        if name not in ("__init__", *TOOLS):
            rooms.setdefault(name, set()).update({parts[0] for parts in imported(path)} - {name} - TOOLS)
    return rooms


def calls_inside(room: str) -> Calls:
    return {
        path.stem: {parts[1] for parts in imported(path) if parts[0] == room and len(parts) > 1}
        for path in (ROOT / room).glob("*.py")
        if path.stem != "__init__"
    }


def from_the_top(calls: Calls) -> list[str]:
    """Callers before what they call. Errors: AssertionError naming a circle."""
    left, order = dict(calls), []
    while left:
        free = sorted(name for name in left if not any(name in called for called in left.values()))
        assert free, f"these call each other in a circle, or lead to one: {sorted(left)}"
        order += free
        for name in free:
            del left[name]
    return order


def drawing() -> str:
    blocks = [("The house", calls_between_rooms()), *((f"Inside `{room}`", calls_inside(room)) for room in ROOMS)]
    lines = []
    for heading, calls in blocks:
        width = max(map(len, calls)) + 2
        lines += [f"{heading}:", ""]
        lines += [f"    {name:{width}}{', '.join(sorted(calls[name]))}".rstrip() for name in from_the_top(calls)]
        lines += [""]
    return "\n".join(lines)


def first_line(path: Path) -> str:
    told = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    return " ".join(told.partition("\n\n")[0].split())


def listed() -> str:
    """Every module of every room, each by what its docstring begins with."""
    lines = []
    for room in sorted({path.parent for path in ROOT.rglob("*.py")}):
        modules = sorted(path for path in room.glob("*.py") if not path.stem.startswith("__"))
        if modules:
            lines += ["", f"`{room.relative_to(ROOT.parent).as_posix()}`", ""]
            lines += [f"- `{path.stem}`: {first_line(path)}" for path in modules]
    return "\n".join([*lines[1:], ""])


@pytest.mark.parametrize(
    ("begin", "end", "made"), [(BEGIN, END, drawing), (LISTED, LISTED_END, listed)], ids=["drawing", "list"]
)
def test_the_drawing_is_the_code(request: pytest.FixtureRequest, begin: str, end: str, made: Callable[[], str]) -> None:
    before, _, rest = PAGE.read_text(encoding="utf-8").partition(begin)
    drawn, found, after = rest.partition(end)
    assert found, "DEVELOPERS.md has lost its marks"
    if request.config.getoption("--golden-update"):
        PAGE.write_text(before + begin + made() + end + after, encoding="utf-8")
        return
    assert drawn == made(), "draw it anew with: pytest tests/test_drawing.py --golden-update"


def test_every_module_says_what_it_is() -> None:
    assert [path.as_posix() for path in ROOT.rglob("*.py") if path.stem != "__init__" and not first_line(path)] == []


def test_a_circle_is_seen() -> None:
    with pytest.raises(AssertionError, match=re.escape("in a circle, or lead to one: ['make', 'set', 'tour']")):
        from_the_top({"main": {"make"}, "make": {"set"}, "set": {"tour"}, "tour": {"make"}})
    assert from_the_top({"low": set(), "top": {"mid", "low"}, "mid": {"low"}}) == ["top", "mid", "low"]


def test_the_words_of_the_code_are_in_the_code() -> None:
    table = PAGE.read_text(encoding="utf-8").partition("## The code's words")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| ([^|]+) \| [^|]+ \|$", table, re.MULTILINE)[1:]
    words = [word for row in rows for word in row.split(", ")]
    code = "\n".join(path.read_text(encoding="utf-8").lower() for path in ROOT.rglob("*.py"))
    assert rows == sorted(rows)
    assert [word for word in words if word not in code] == []
