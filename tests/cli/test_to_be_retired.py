"""Until its day what is to be retired is asked for, owed, planned and signed for as anything else is."""

import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import AIRCRAFT, COWL, Run

OWED = """\
- [ ] `leaks` Leaks after the change of oil
  - owed-after: did oil
"""
ON = "2026-11-20"
BY = ("--by", "Ada Bellcrank")
LAST, GONE = "2026-11-25", "2026-11-26"


@pytest.fixture
def both(hangar: Path) -> tuple[Path, Path]:
    """The small store, and one in which a panel, its checks and a helper go on a day to come."""
    (hangar / "checklists/nose/cowl.md").write_text(COWL + OWED)
    going = hangar.parent / "going"
    shutil.copytree(hangar, going)
    retired = f"retired: {GONE}, engine sold"
    text = (COWL + OWED).replace("zone: nose\n", f"zone: nose\n{retired}\n")
    for line in ("cracks", "compression", "the oil", "of oil"):
        text = text.replace(f"{line}\n", f"{line}\n  - {retired}\n", 1)
    assert text.count(retired) == 5
    (going / "checklists/nose/cowl.md").write_text(text)
    people = AIRCRAFT.replace('"0000001"}', f'"0000001", retired: "{retired[9:]}"}}')
    assert people.count(retired[9:]) == 1
    (going / "records/aircraft.yaml").write_text(people)
    return hangar, going


def test_until_its_day_all_is_as_if_it_stayed(run: Run, both: tuple[Path, Path]) -> None:
    asked = (("plan", "condition"), ("due", "--all"), ("scope",), ("verify",))
    for words in asked:
        told = [run(store, *words, on=LAST) for store in both]
        assert [each.code for each in told] == [told[0].code] * 2
        assert told[1].out.replace("going", "plane") == told[0].out
        assert told[1].err == told[0].err


def test_it_is_owed_and_stands_on_the_page(run: Run, both: tuple[Path, Path]) -> None:
    pages = []
    for store in both:
        assert run(store, "work", "oil", "tach=401.0", *BY, "--yes", on=ON).code == 0
        assert "owed" in run(store, "due", on=LAST).out
        assert run(store, "start", "condition", "tach=401.0", *BY, on=LAST).code == 0
        (page,) = (store / "records/open").glob("*.md")
        pages.append([line for line in page.read_text().splitlines() if line.startswith("- [")])
    assert pages[0] == pages[1]
    assert any("stacks" in line for line in pages[1])


def test_from_its_day_on_nobody_who_is_gone_is_taken_for_whoever_did_it(run: Run, both: tuple[Path, Path]) -> None:
    """Not as a helper either, though a page names helpers as it likes."""
    _, going = both
    people = going / "records/aircraft.yaml"
    people.write_text(people.read_text().replace(GONE, LAST))
    for words in (
        ("work", "--text", "washed", "tach=401.0", *BY),
        ("work", "--text", "washed", "tach=401.0", "--by", "Ada Bellcrank, private pilot, 1"),
        ("start", "condition", "tach=401.0", "--helper", BY[1]),
    ):
        told = run(going, *words, "--yes", on=LAST) if words[0] == "work" else run(going, *words, on=LAST)
        assert told.code == 2
        said = f"Ada Bellcrank is retired in records/aircraft.yaml since {LAST}"
        assert said in " ".join(told.err.split()), told.err
    assert not (going / "records/open").exists() or not [*(going / "records/open").iterdir()]


@pytest.mark.parametrize(
    ("beside", "line"),
    [
        ("compression", "after: oil"),
        ("compression", "within: 30 min of oil"),
        ("compression", "wait: 5 min after oil"),
        ("compression", "owed-after: did oil"),
        ("compression", "counts-on: starter"),
        ("compression", "with: floor"),
        ("floor", ""),
        ("directive", ""),
    ],
)
def test_a_question_of_a_day_before_takes_what_is_gone_now_as_in_use(
    hangar: Path, run: Run, beside: str, line: str
) -> None:
    """`--on` stands in for today for the audits too; today each of these is a problem."""
    gone, before, after = "2026-11-22", "2026-11-20", "2026-11-25"
    cowl, floor = hangar / "checklists/nose/cowl.md", hangar / "checklists/cabin/floor.md"
    if line:
        head, mark, rest = cowl.read_text().partition("Differential compression\n")
        cowl.write_text(f"{head}{mark}  - {line}\n{rest}")
    if beside == "directive":
        (hangar / "records/2026/2026-11-01-ad.yaml").write_text(
            "format: 1\nkind: directive\ndate: 2026-11-01\nnumber: AD 1\nissuer: FAA\nsubject: oil\n"
            'authority: airworthiness directive\non: aircraft\napplies: "yes"\nevery: 50 h\ncheck: oil\n'
            "by: Ada Bellcrank\n"
        )
    cowl.write_text(cowl.read_text().replace("Change the oil\n", f"Change the oil\n  - retired: {gone}, engine sold\n"))
    if "floor" in (beside, line.rpartition(" ")[2]):
        floor.write_text(floor.read_text().replace("zone: cabin\n", f"zone: cabin\nretired: {gone}, sold\n"))
    people = hangar / "records/aircraft.yaml"
    people.write_text(f"{people.read_text()}positions: {{starter: {{retired: {gone}}}}}\n")
    assert run(hangar, "verify", on=before).code == 0
    assert "retired" in run(hangar, "verify", on=after).out
    assert "is not in order" not in run(hangar, "due", on=before).out
    assert "is not in order" in run(hangar, "due", on=after).out
