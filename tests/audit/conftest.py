"""A small store on the disk, and cases that put files into it or in the place of its own."""

from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.model.logbook import Logbook

SMALL = Path(__file__).parent / "small.md"


def files_of(text: str) -> dict[str, str]:
    """Files by name from one text: a line `@ NAME` begins each."""
    found: dict[str, str] = {}
    name = ""
    for line in text.splitlines(keepends=True):
        if line.startswith("@ "):
            name = line[2:].strip()
            found[name] = ""
        else:
            found[name] += line
    return found


Write = Callable[[str], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """write(files) puts the small store and these files, as `@ NAME` sections, into a folder and gives it."""

    def make(text: str) -> Path:
        for name, content in (files_of(SMALL.read_text(encoding="utf-8")) | files_of(text)).items():
            path = tmp_path / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, encoding="utf-8")
        return tmp_path

    return make


@pytest.fixture
def small(write: Write) -> Logbook:
    """The small store as it is, which has no problem."""
    loaded = store.load(write(""))
    assert loaded.problems == ()
    assert loaded.logbook is not None
    return loaded.logbook
