"""A check that nothing asks for is told: so an item whose key was lost does not silently disappear from `due`."""

import pytest

from inspect_kit import store
from inspect_kit.audit import unasked
from tests.audit.conftest import Write

TAIL = "@ checklists/tail/a.md\n---\npanel: tail\nname: Tail\nzone: tail\n---\n- [ ] `rope` Rope: chafing\n"
DIRECTIVE = (
    "@ records/2026/2026-07-05-letter.yaml\nformat: 1\nkind: directive\ndate: 2026-07-05\nnumber: SL-1\nissuer: maker\n"
    "subject: rope\nauthority: maker's letter\non: aircraft\napplies: \"yes\"\nevery: 100 h\ncheck: rope\n"
    "by: Ada Bellcrank\n"
)


@pytest.mark.parametrize(
    ("under", "told"),
    [
        ("", True),
        ("  - time: 5 min\n  - after: compression\n", True),
        ("  - disturbs: static-system\n", True),
        ("  - every: 6 months\n", False),
        ("  - every: condition inspection\n", False),
        ("  - covers: d3\n", False),
        ("  - once: 2027-05-31\n", False),
        ("  - owed-after: did oil-change\n", False),
        ("  - replace: on condition\n", False),
        ("  - retired: 2026-01-02, rope removed\n", False),
        # A problem already, and unknown in every answer.
        ("  - every: 6 moons\n", False),
        (DIRECTIVE, False),
    ],
)
def test_a_check_that_nothing_asks_for(write: Write, under: str, told: bool) -> None:
    loaded = store.load(write(TAIL + under))
    assert loaded.logbook is not None
    notes = unasked(loaded.logbook)
    assert [str(note.place) for note in notes] == (["checklists/tail/a.md:6"] if told else [])
    assert all(note.note and note.message.startswith("`rope` is asked for by no interval") for note in notes)
