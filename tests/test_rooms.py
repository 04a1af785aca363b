"""The house stays as it is drawn: rooms import one way only, and each dependency has one door."""

import ast
import importlib
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "inspect_kit"

# What each room may import besides itself. Siblings never meet; only cli joins them.
MAY_IMPORT = {
    # How a class is made, and how a room is read late, is nobody's matter and everybody's.
    "late": set(),
    "noun": set(),
    "errors": {"noun"},
    "model": {"errors"},
    "text": {"errors", "model"},
    "rules": {"errors", "model"},
    "audit": {"errors", "model", "text", "rules"},
    "store": {"errors", "model", "text", "rules", "audit"},
    "due": {"errors", "model"},
    "balance": {"errors", "model"},
    # The two searches know no aeroplane, and nothing of this house.
    "scheduling": set(),
    "replenishment": set(),
    "plan": {"errors", "model", "scheduling"},
    "visits": {"errors", "model", "due", "plan", "replenishment"},
    "inspection": {"errors", "model", "text", "rules", "balance"},
    "past": {"errors", "model", "text"},
    "report": {"errors", "model", "text", "rules", "due", "balance", "plan", "visits"},
    "cli": {
        *("errors", "model", "text", "rules", "audit", "store"),
        *("due", "balance", "plan", "visits", "inspection", "past", "report"),
    },
    "starter": set(),
    "__main__": {"cli", "errors"},
}
DOORS = {
    "click": {"cli"},
    "rich": {"report/terminal.py", "cli"},
    "yaml": {"text/fields.py"},
    "dateutil": {"model/interval.py"},
}
# The clock, the environment and chance belong to the desk; the store has chance for names and processes for locks.
CLOCKS = {"today", "now", "utcnow", "getenv", "environ"}


def modules() -> list[Path]:
    return sorted(ROOT.rglob("*.py"))


def imported(path: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


@pytest.mark.parametrize("stub", sorted(ROOT.rglob("*.pyi")), ids=lambda path: path.parent.name)
def test_a_late_room_gives_what_its_stub_says(stub: Path) -> None:
    """Each name is there, is that of its module, and of this room; and stays so when that module is read first."""
    name = stub.parent.name
    late = importlib.import_module(f"inspect_kit.{name}")
    for node in ast.parse(stub.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.ImportFrom):
            assert (node.module or "").startswith(f"inspect_kit.{name}.")
            for alias in node.names:
                own = importlib.import_module(node.module or "")
                assert getattr(late, alias.name) is getattr(own, alias.name)
                assert alias.asname is None


def test_a_late_room_has_no_other_name() -> None:
    with pytest.raises(AttributeError, match="has no nothing"):
        importlib.import_module("inspect_kit.due").nothing  # noqa: B018


def room(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_rooms_import_one_way(path: Path) -> None:
    if path == ROOT / "__init__.py":
        assert not imported(path)
        return
    allowed = MAY_IMPORT[room(path)] | {room(path), "late", "noun"}
    for name in imported(path):
        if name.startswith("inspect_kit."):
            assert name.split(".")[1] in allowed, f"{path.relative_to(ROOT)} imports {name}"


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_each_dependency_has_one_door(path: Path) -> None:
    where = path.relative_to(ROOT).as_posix()
    for name in imported(path):
        doors = DOORS.get(name.split(".")[0])
        assert doors is None or where in doors or room(path) in doors, f"{where} imports {name}"


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_only_the_desk_knows_the_clock(path: Path) -> None:
    if room(path) in ("cli", "store"):
        return
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute) and node.attr in CLOCKS:
            owner = node.value
            assert not (isinstance(owner, ast.Attribute | ast.Name) and _is_clock(owner)), f"{path}:{node.lineno}"


def _is_clock(owner: ast.Attribute | ast.Name) -> bool:
    name = owner.attr if isinstance(owner, ast.Attribute) else owner.id
    return name in ("date", "datetime", "time", "os")


def test_every_room_is_packed_into_the_wheel() -> None:
    project = tomllib.loads((ROOT.parent / "pyproject.toml").read_text(encoding="utf-8"))
    listed = project["tool"]["setuptools"]["packages"]
    rooms = {".".join(("inspect_kit", *path.parent.relative_to(ROOT).parts)) for path in ROOT.rglob("__init__.py")}
    assert "*.pyi" in project["tool"]["setuptools"]["package-data"]["*"], "a late room reads its stub"
    assert rooms == {name for name in listed if not name.startswith("inspect_kit.sample")}


def test_the_test_sees_a_wall_that_is_broken(tmp_path: Path) -> None:
    crooked = tmp_path / "crooked.py"
    crooked.write_text("from inspect_kit.store import load\nimport yaml\n", encoding="utf-8")
    assert imported(crooked) == {"inspect_kit.store.load", "yaml"}
    assert "store" not in MAY_IMPORT["due"]


# One page in four forms: the same verb in each.
IN_EVERY_FORM = {"render"}


def test_a_public_name_stands_for_one_thing() -> None:
    """One idea, one name, one place; but a command is called like the answer that it asks for."""
    places: dict[str, list[str]] = {}
    for path in sorted(ROOT.rglob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if not isinstance(node, ast.ClassDef | ast.FunctionDef) or node.name.startswith("_"):
                continue
            if not any("click.command" in ast.unparse(each) for each in node.decorator_list):
                places.setdefault(node.name, []).append(path.relative_to(ROOT).as_posix())
    assert len(places) > 1000
    assert {name: found for name, found in places.items() if len(found) > 1 and name not in IN_EVERY_FORM} == {}
