"""What keeps git from changing a byte of a sealed record: the attributes by which it turns no line ends."""

import contextlib
from fnmatch import fnmatch
from pathlib import Path

from inspect_kit.errors import Place, Problem

ATTRIBUTES = ".gitattributes"
# Of what is sealed no line ends are converted (gitattributes(5)).
AS_WRITTEN = b"records/** -text\nchecklists/** -text\n"
# `binary` stands for `-diff -merge -text`.
KEEPS = ("-text", "binary")


def git_may_turn(root: Path) -> tuple[Problem, ...]:
    """A note where a store lies in git and nothing keeps git from turning the line ends of what is sealed."""
    left, whole = {"records/2026/a.yaml", "records/2026/a.md"}, root.resolve()
    with contextlib.suppress(OSError):
        for folder in (whole, *whole.parents):
            way = whole.relative_to(folder)
            left -= {name for name in left if _keeps(folder / ATTRIBUTES, (way / name).as_posix())}
            if not left:
                return ()
            if (folder / ".git").exists():
                lines = " and ".join(f"`{line}`" for line in AS_WRITTEN.decode().splitlines())
                told = f"nothing in it keeps git from turning line ends, and then no seal holds: write {lines} in it"
                return (Problem(Place(ATTRIBUTES), f"{told}, a line each", note=True),)
    return ()


def _keeps(path: Path, name: str) -> bool:
    if not path.is_file():
        return False
    lines = [line.split() for line in path.read_text(encoding="utf-8", errors="replace").splitlines()]
    return any({*words[1:]} & {*KEEPS} and fnmatch(name, words[0].removeprefix("/")) for words in lines if words)
