"""Dot fixtures: many cases in one file, each a title, its input and what is expected, set apart by lines `.`"""

from pathlib import Path
from typing import NamedTuple


class Case(NamedTuple):
    title: str
    given: str
    expected: str


def cases(path: Path) -> list[Case]:
    """The cases of a file; a line that is one dot alone ends the title, the input and the expectation."""
    found, parts = [], [""]
    for line in path.read_text(encoding="utf-8").splitlines(keepends=True):
        if line != ".\n":
            parts[-1] += line
        elif len(parts) == 3:
            found.append(Case(parts[0].strip(), parts[1], parts[2].rstrip("\n")))
            parts = [""]
        else:
            parts.append("")
    if len(parts) != 1 or parts[0].strip():
        raise ValueError(f"{path} ends in the middle of a case")
    return found
