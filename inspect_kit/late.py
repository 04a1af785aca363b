"""Rooms whose names are fetched when they are asked for, so that a command reads only the modules that it uses.

What such a room gives stands in its `__init__.pyi`, as imports: a type checker reads it there, and `fetch_late` too, so
that it is said once (the same is done by SPEC 1 of the scientific Python projects).
"""

import ast
import importlib
import sys
from pathlib import Path
from types import ModuleType


class Late(ModuleType):
    """A room that knows where each of its names is defined, and reads that module when the name is first wanted."""

    def __getattr__(self, name: str) -> object:
        where = self.__dict__["_where"].get(name)
        if where is None:
            raise AttributeError(f"{self.__name__} has no {name}")
        value = getattr(importlib.import_module(where), name)
        self.__dict__[name] = value
        return value

    def __setattr__(self, name: str, value: object) -> None:
        # A module may be called like a thing that the room gives; its import must not put it in that thing's place.
        if not (isinstance(value, ModuleType) and name in self.__dict__["_where"]):
            super().__setattr__(name, value)


def fetch_late(room: str, init: str) -> None:
    """Make the room of this name late; `init` is the path of its `__init__.py`, beside which the stub stands."""
    stub = ast.parse(Path(init).with_suffix(".pyi").read_text(encoding="utf-8"))
    module = sys.modules[room]
    module.__dict__["_where"] = {
        alias.name: node.module
        for node in stub.body
        if isinstance(node, ast.ImportFrom) and node.module
        for alias in node.names
    }
    module.__class__ = Late
