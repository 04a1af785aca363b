"""The tables of faults and hazards in DEVELOPERS.md: every row names a test that is there, or says that it is open."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
TOLD = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
# A test by its file, by file and name, or by a name in the file named before it; `…` stands for what was left out.
NAMED = re.compile(r"`((?:tests/)?[\w/.-]+\.(?:py|md)|tests/[\w/-]+/|tests\.bench \w+)?((?:::|…)[\w:…]+)?`")
SAME = re.compile(r"\bthe same( two)?\b")


def rows(heading: str) -> list[tuple[str, str]]:
    """(what may happen, what shows it), of the table under a heading."""
    part = TOLD.split(f"\n## {heading}\n", 1)[1].split("\n## ", 1)[0]
    cells = [line.strip("| ").split(" | ") for line in part.splitlines() if line.startswith("| ")]
    return [(each[0], each[2] if len(each) > 2 else "") for each in cells[1:]]


def file_of(name: str, last: Path | None) -> Path:
    """A file as a row names it: from the root, beside the one named before it, or among the tests of the store."""
    beside = last.parent if last is not None else ROOT / "tests" / "store"
    return ROOT / name if name.startswith("tests/") else beside / name


def faults(shown: str) -> Iterator[str]:
    """What is wrong with the tests that a row names."""
    found, last = 0, None
    for file, name in NAMED.findall(shown):
        if file.startswith("tests.bench"):
            found += 1
            if not (ROOT / "tests" / "bench" / f"{file.split()[1]}.py").exists():
                yield f"there is no benchmark {file}"
            continue
        if file:
            last = file_of(file, last)
            found += 1
            if not last.exists():
                yield f"there is no {file}"
                continue
        if name and (last is None or not last.exists()):
            yield f"{name} of which file?"
        elif name and last is not None:
            # `::TestClass::test_words…` and `…words_in_the_middle…`
            text = last.read_text(encoding="utf-8")
            for part in filter(None, re.split(r"::", name)):
                words = re.escape(part).replace("…", r"\w*")
                if not re.search(rf"(?:def|class) {words}\b", text):
                    yield f"{last.name} has no {part}"
    if not found and not SAME.search(shown) and not shown.startswith("open"):
        yield "it names no test, and does not say that it is open"


@pytest.mark.parametrize("heading", ["The fault table", "The hazard table"])
def test_every_row_names_a_test_that_is_there_or_says_that_it_is_open(heading: str) -> None:
    found = rows(heading)
    assert len(found) > 40
    assert [(what, fault) for what, shown in found for fault in faults(shown)] == []


def test_a_row_that_names_what_is_not_there_is_found() -> None:
    assert [*faults("`tests/cli/test_gone.py`")] == ["there is no tests/cli/test_gone.py"]
    assert [*faults("`tests/test_hazards.py::test_no_such…`")] == ["test_hazards.py has no test_no_such…"]
    assert [*faults("`tests/test_hazards.py::test_a_row…`, `…every_row…`")] == []
    assert [*faults("all pass")] == ["it names no test, and does not say that it is open"]
    assert [*faults("open: nobody has built it")] == []
