"""A page of very many lines is looked at once, not once for each of its lines."""

import pytest

from inspect_kit import store
from inspect_kit.audit import audit, pages
from inspect_kit.model.worksheet import Entry
from tests.audit.conftest import Write

REMARKS = 60


def test_the_labels_of_a_page_are_gathered_once(write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    """10,000 boxes of a hundred panels took 38 s to begin and 14 s to verify: each printed line asked every check."""
    text = "---\njob: work\naircraft: N0TS\nbegun: 2026-07-04\nmeters: {}\ninspector: Ada Bellcrank\nhelpers: []\n---\n"
    text += "- [ ] `oil-change` Change the oil\n\n" + "\n\n".join(f"Remark {each}" for each in range(REMARKS)) + "\n"
    loaded = store.load(write(f"@ records/open/2026-07-04-work-p.md\n{text}"))
    assert loaded.logbook is not None
    (page,) = loaded.logbook.pages
    assert len(page.loose) == REMARKS
    made: list[pages.Keys] = []

    class Counted(pages.Keys):
        def __init__(self, *words: object) -> None:
            super().__init__(*words)  # type: ignore[arg-type]
            made.append(self)

    monkeypatch.setattr(pages, "Keys", Counted)
    audit(loaded.logbook)
    assert len(made) <= 2


def test_a_box_that_stands_again_and_again_is_not_looked_for_each_time(
    write: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A damaged page of 200 kB took 7 s: each box was sought among all those before it."""
    text = "---\njob: work\naircraft: N0TS\nbegun: 2026-07-04\nmeters: {}\ninspector: Ada Bellcrank\nhelpers: []\n---\n"
    text += "- [ ] `oil-change` Change the oil\n\n" * REMARKS
    loaded = store.load(write(f"@ records/open/2026-07-04-work-p.md\n{text}"))
    assert loaded.logbook is not None
    compared: list[object] = []
    own = Entry.__eq__

    def counted(one: object, other: object) -> object:
        compared.append(other)
        return own(one, other)

    monkeypatch.setattr(Entry, "__eq__", counted)
    told = [each for each in audit(loaded.logbook) if "has a box already" in each.message]
    assert len(told) == REMARKS - 1
    assert len(compared) <= REMARKS
