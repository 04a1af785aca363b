"""A check that nothing asks for is told: so an item whose key was lost does not silently disappear from `due`."""

import pytest

from inspect_kit import store
from inspect_kit.audit import unasked
from inspect_kit.model import owed
from tests.audit.conftest import Write
from tests.due.small import book

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


def test_twice_as_many_names_on_the_shelf_are_hardly_more_than_twice_the_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each name was compared with every other."""
    looked: list[str] = []

    def counted(one: str, other: str) -> bool:
        looked.append(one)
        return is_slip(one, other)

    is_slip = owed._is_slip
    monkeypatch.setattr(owed, "_is_slip", counted)

    def comparisons(many: int) -> int:
        looked.clear()
        items = [*(f"bolt AN{at}-{at * 7}" for at in range(many)), "blot AN12-84"]
        rows = {f"2018-02-01-{at:03}": f"kind: stock\nitem: {item}\namount: 2\n" for at, item in enumerate(items)}
        (note,) = (each for each in unasked(book("", rows)) if "would lie beside it" in each.message)
        assert note.message.startswith("item: nothing is called `blot AN12-84` yet; bolt AN12-84 is on the shelf")
        return len(looked)

    assert comparisons(120) <= 3 * comparisons(60)


def _of_2022(lines: str, kind: str = "work", change: str = "", total: int = 655) -> str:
    head = "@ records/{}.yaml\nformat: 1\ndate: {}\nkind: {}\n"
    made = head.format("2022/2022-06-01-old", "2022-06-01", kind) + lines
    made += head.format("2024/2024-05-01-start", "2024-05-01", "brought-forward")
    made += f"meters: {{tach: {{reads: 402, total: {total}}}}}\n"
    return made + (head.format("2022/2022-07-01-new", "2022-07-01", "meter-change") + change if change else "")


DONE = "did: [compression]\nby: Ada Bellcrank\n"


@pytest.mark.parametrize(
    ("records", "told"),
    [
        (_of_2022("meters: {tach: 240}\n" + DONE), True),
        (_of_2022("meters: {tach: 240}\ntext: hose\npaper: log p. 3\n", "paper-entry"), True),
        # The meter taken out had read less than that, or there was none, or it was written down.
        (_of_2022("meters: {tach: 254}\n" + DONE), False),
        (_of_2022("meters: {tach: 240}\n" + DONE, total=402), False),
        (_of_2022("meters: {tach: 240}\n" + DONE, change="meter: tach\nold: 253\nnew: 0\nby: Ada Bellcrank\n"), False),
        (_of_2022("totals: {tach: 240}\n" + DONE), False),
        (_of_2022("meters: {tach: 240}\n", "hours"), False),
    ],
)
def test_a_reading_that_may_be_of_a_meter_which_was_taken_out(write: Write, records: str, told: bool) -> None:
    """What was done by it is due 253 h sooner, and nothing said so."""
    loaded = store.load(write(records))
    assert loaded.logbook is not None
    notes = [note for note in unasked(loaded.logbook) if "counts as a total" in note.message]
    assert [str(note.place) for note in notes] == (["records/2022/2022-06-01-old.yaml:4"] if told else [])
    assert all("due 253 h sooner: `kind: meter-change`" in note.message for note in notes)
