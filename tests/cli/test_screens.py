"""What the commands show at 80 columns that have no golden file in tests/report, on the store of README's examples;
and what stands nowhere but on paper, in the walk, before a signature, or with several aircraft."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli import readme
from tests.cli.conftest import TODAY, Run
from tests.cli.hand import Hand, Line, typed
from tests.cli.walk_store import ADA, walk, walk_store

SCREENS = {
    "balance": ("balance",),
    "directives": ("directives",),
    "find": ("find", "oil"),
    "status-whole": ("status", "--all"),
    "parts": ("parts",),
    "plan-compare": ("plan", "oil-change", "--compare"),
    "plan-why": ("plan", "oil-change", "--why", "cowl-lower"),
    "plan-for-helper": ("plan", "oil-change", "--for", "helper"),
    "sign-what-is-missing": ("sign",),
    "trend": ("trend",),
    "verify": ("verify",),
    "visits-whole": ("visits", "--all"),
}


@pytest.mark.parametrize("name", SCREENS)
def test_screens_at_80_columns(
    name: str, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, golden: Callable[[str, str], None]
) -> None:
    readme.write_by_hand(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    if name == "sign-what-is-missing":
        began = run(tmp_path, "start", "oil-change", "--by", "Sample Builder", "--helper", "Pip Ash", on=str(TODAY))
        assert began.code == 0, began.err
    told = run(tmp_path, *SCREENS[name])
    shown = re.sub(r"(?<=2026-11-25-oil-change-)\w{4}", "k3f9", told.out + told.err)
    golden(f"screens/{name}.txt", shown)
    assert all(len(line) <= 80 for line in told.out.split("\n"))


@pytest.mark.parametrize("columns", [60, 80])
def test_several_aircraft(
    columns: int,
    run: Run,
    hangar: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    golden: Callable[[str, str], None],
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    told = run(readme.write_by_hand(tmp_path / "by-hand"), "--store", str(hangar), "due", on=str(TODAY))
    golden(f"screens/due-of-several-{columns}.txt", told.out)
    assert all(len(line) <= columns for line in told.out.split("\n"))


# What leaves the store, and the file of it that is shown.
LEAVES = {
    "calendar.ics": (("calendar",), ""),
    "export.csv": (("export", "--csv"), ""),
    "handover": (("handover",), "index.txt"),
    "sheet-specimen.html": (("sheet", "condition"), ""),
}


@pytest.mark.parametrize("name", LEAVES)
def test_what_leaves_the_store(name: str, run: Run, tmp_path: Path, golden: Callable[[str, str], None]) -> None:
    words, file = LEAVES[name]
    target = tmp_path / "given" / name
    target.parent.mkdir()
    made = run(readme.write_by_hand(tmp_path / "store"), *words, "--to", str(target), on=str(TODAY))
    assert made.code == 0, made.err
    shown = (target / file if file else target).read_text(encoding="utf-8")
    golden(f"screens/{name if not file else f'{name}-{file}'}", shown)


@pytest.mark.parametrize("columns", [60, 80])
def test_the_boxes_of_a_walk(
    columns: int, tmp_path: Path, capsys: pytest.CaptureFixture[str], golden: Callable[[str, str], None]
) -> None:
    """A panel with its caution, a check, readings with limits, a finding."""
    walk_store(tmp_path, "remove", "shell", "stacks", "compression", "refit")
    walk(tmp_path, Hand(typed("oo", "f", [Line("crack, 8 mm, at the weld")], "1"), window=(columns, 24)))
    told = capsys.readouterr().out
    golden(f"screens/walk-{columns}.txt", told)
    assert all(len(line) <= columns for line in told.split("\n"))


def test_what_sign_shows_before_the_name_is_typed(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch, golden: Callable[[str, str], None]
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    made = hangar / run(hangar, "start", "condition", "tach=400.0", "--by", ADA, on="2026-11-21").out.strip()
    text = made.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("used: ____", "used: none")
    made.write_text(text.replace("____", "75"), encoding="utf-8")
    told = run(hangar, "sign", "--as", ADA, typed=("no",), on="2026-11-22")
    assert made.exists(), "a name that is not typed signs nothing"
    golden("screens/sign-preview.txt", re.sub(r"(?<=-condition-)\w{4}", "k3f9", told.out + told.err))
    assert all(len(line) <= 80 for line in told.out.split("\n"))


def test_one_place_for_what_is_unknown_is_said_once(run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """At 60 it took four lines an item, two of them the same file."""
    past = hangar / "records/2026/2026-09-01-past.yaml"
    kept = [line for line in past.read_text().splitlines() if not line.startswith(("  oil:", "  elt:"))]
    past.write_text("\n".join(kept) + "\n")
    monkeypatch.setenv("COLUMNS", "60")
    told = run(hangar, "due", "--all").out.partition("Unknown, and where to write it")[2].partition("The year ahead")[0]
    assert told.count("records/2026/2026-09-01-past.yaml:") == 1
    # The key that all of them stand under made two lines of each item.
    assert told.count("under `last`") == 1
    assert [line.split()[0] for line in told.splitlines() if "DATE" in line and "--" not in line] == ["elt", "oil"]


def test_records_of_one_name_are_a_line_each(run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for day in (2, 3):
        words = ("work", "--text", "washed and waxed by hand, with all of its fabric looked over under a lamp")
        assert run(hangar, *words, "--opened", "none", "--by", "Ada Bellcrank", on=f"2026-11-0{day}").code == 0
    for columns in (60, 80):
        monkeypatch.setenv("COLUMNS", str(columns))
        listed = [line for line in run(hangar, "report", "work").err.splitlines() if line.startswith("  2026")]
        assert len(listed) == 2
        assert all(columns - 12 < len(line) <= columns and line.endswith(" ...") for line in listed)


def test_a_number_is_asked_for_in_words_that_people_use(run: Run, hangar: Path) -> None:
    told = run(hangar, "visits", "--months", "x").err
    assert "'x' is not a valid whole number" in told
