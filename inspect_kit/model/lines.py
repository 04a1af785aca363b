"""Where in its file each key of a noun stands, so that a message can point at the line at fault."""

from collections.abc import Mapping
from typing import Protocol

from inspect_kit.errors import Place

# (key, "") leads to the line of a key, (key, value) to the line of one value in its list or of one key below it.
Lines = Mapping[tuple[str, str], int]


class Placed(Protocol):
    """Anything that knows its place and the lines of its keys."""

    @property
    def place(self) -> Place: ...

    @property
    def lines(self) -> Lines: ...


def place_of(noun: Placed, key: str, value: str = "") -> Place:
    """The line of a value under a key, else the line of the key, else the place of the noun."""
    line = noun.lines.get((key, value)) or noun.lines.get((key, ""))
    return Place(noun.place.file, line) if line else noun.place
