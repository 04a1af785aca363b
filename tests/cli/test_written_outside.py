"""Answers written to files, and new stores, as a person asks for them: nothing of anybody's is destroyed."""

from pathlib import Path

import click
import pytest

from inspect_kit.cli.main import cli
from tests.cli.conftest import Run

NEW = (
    *("--registration", "N0XX", "--make", "Sparrow", "--model", "S-1", "--serial", "7"),
    *("--certificate-date", "2020-05-01", "--name", "Ada Bellcrank"),
    *("--kind", "repairman (experimental aircraft builder)", "--certificate", "1"),
    *("--tach", "10", "--total", "10", "--last-inspection", "none"),
)


# What it writes is a folder, and a new one.
FOLDER = "handover"
EXTRA = {"export": ("--csv",)}


def written_by() -> list[str]:
    named = [name for name, command in cli.commands.items() if any("--to" in each.opts for each in command.params)]
    return [name for name in named if name != FOLDER]


def test_every_answer_that_can_be_written_to_a_file_asks_before_it_replaces_one() -> None:
    assert {"plan", "visits", "report", "balance"} <= set(written_by())
    for command in cli.commands.values():
        options = {option for each in command.params if isinstance(each, click.Option) for option in each.opts}
        assert command.name == FOLDER or ("--to" in options) == ("--force" in options), command.name


@pytest.mark.parametrize("command", written_by())
def test_a_place_in_the_store_is_refused_before_anything_is_worked_out(run: Run, hangar: Path, command: str) -> None:
    for place in ("records/2026/report.md", "checklists/nose/cowl.md", "records/../checklists/x.html"):
        before = (hangar / "checklists/nose/cowl.md").read_bytes()
        refused = run(hangar, command, *EXTRA.get(command, ()), "--to", str(hangar / place), "--force")
        assert refused.code == 2
        assert refused.err.endswith(": an answer is written elsewhere\n")
        assert (hangar / "checklists/nose/cowl.md").read_bytes() == before
        assert sorted(each.name for each in (hangar / "records/2026").iterdir()) == ["2026-09-01-past.yaml"]


def test_a_calendar_replaces_its_own_older_one_and_a_table_only_by_being_told_to(run: Run, hangar: Path) -> None:
    """RFC 5545 has a place for the mark, a table has none."""
    due, table = hangar.parent / "due.ics", hangar.parent / "records.csv"
    assert run(hangar, "calendar", "--to", str(due)).code == 0
    assert run(hangar, "calendar", "--to", str(due), on="2026-11-26").code == 0
    assert b"DTSTAMP:20261126T000000Z\r\n" in due.read_bytes()
    due.write_bytes(due.read_bytes().replace(b"SUMMARY", b"COMMENT:mine\r\nSUMMARY", 1))
    assert run(hangar, "calendar", "--to", str(due)).code == 2
    assert run(hangar, "export", "--csv", "--to", str(table)).code == 0
    again = run(hangar, "export", "--csv", "--to", str(table))
    assert (again.code, "--force to replace it" in again.err) == (2, True)
    assert run(hangar, "export", "--csv", "--to", str(table), "--force").code == 0


@pytest.mark.parametrize("ending", [".html", ".md", ".txt"])
def test_an_answer_replaces_its_own_older_one_and_nothing_else(run: Run, hangar: Path, ending: str) -> None:
    mine = hangar.parent / f"README{ending}"
    mine.write_text("Notes on my aeroplane.\n")
    inside = run(hangar, "plan", "oil", "--to", str(hangar / f"plan{ending}"))
    assert (inside.code, f"such as {hangar.parent / 'plan'}{ending}" in inside.err) == (2, True)
    refused = run(hangar, "plan", "oil", "--to", str(mine))
    assert (refused.code, mine.read_text()) == (2, "Notes on my aeroplane.\n")
    assert "give another name, or --force to replace it" in refused.err
    assert run(hangar, "plan", "oil", "--to", str(mine), "--force").code == 0
    first = mine.read_bytes()
    # Another plan of this aircraft takes its place; a report of visits does not.
    assert run(hangar, "plan", "elt", "--to", str(mine)).code == 0
    assert mine.read_bytes() != first
    assert run(hangar, "visits", "--to", str(mine)).code == 2
    mine.write_text(mine.read_text(encoding="utf-8") + "And a remark.\n", encoding="utf-8")
    assert run(hangar, "plan", "elt", "--to", str(mine)).code == 2
    assert mine.read_text(encoding="utf-8").endswith("And a remark.\n")


def test_a_new_store_in_the_folder_where_one_stands(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plane = tmp_path / "my-plane"
    plane.mkdir()
    number = plane.stat().st_ino
    monkeypatch.chdir(plane)
    made = run(None, "new", ".", *NEW)
    assert made.code == 0
    assert made.out.splitlines()[0] == f"A store was made in {plane}."
    assert plane.stat().st_ino == number
    assert run(None, "due").code == 0
    again = run(None, "new", ".", *NEW)
    assert (again.code, again.err) == (
        2,
        "inspect-kit: . is there already and is not empty: a new store needs a new folder, so give "
        "another name\n",
    )


# On the way, of the thing itself, and so long that only what is written beside it has no room.
LONG = ["a" * 300, "a" * 300 + "/x", "x/" + "a" * 300, "\U0001f6e9" * 70, "a" * 249]


@pytest.mark.parametrize("name", LONG)
@pytest.mark.parametrize("command", [*written_by(), FOLDER, "new", "sample", "attach", "import"])
def test_a_name_longer_than_the_disk_takes(run: Run, hangar: Path, command: str, name: str) -> None:
    """It is said in a sentence, and nothing of the command is left beside it."""
    if command == "tour":
        pytest.skip("runs for seconds: test_the_tour_cannot_put_its_report_there")
    base = hangar.parent / "out"
    base.mkdir()
    ending = {"calendar": ".ics", "export": ".csv", "import": ".csv", "attach": ".jpg"}.get(command, ".html")
    target = base / name if command in (FOLDER, "new", "sample") else base / (name + ending)
    words: tuple[str, ...] = (command, *EXTRA.get(command, ()), "--to", str(target))
    if command in ("new", "sample"):
        words = ("new", str(target), *(NEW if command == "new" else ("--sample",)))
    elif command in ("attach", "import"):
        if target.parent == base and len(target.name.encode()) <= 255:
            target.write_text("Date,Tach,Work\n2026-09-02,100.2,Oil\n", encoding="utf-8")
        words = (command, *(("2026-09-01-past",) if command == "attach" else ()), str(target))
    done = run(hangar, *words)
    fits = target.parent == base and len(target.name.encode()) <= 255
    assert done.code in ((0, 1, 2) if fits else (2, 3)), done.err
    assert "a fault of the program" not in done.err
    assert not [each for each in base.rglob("*") if each.name.endswith(".half")]


def test_the_tour_cannot_put_its_report_there(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """What is asked at the very end may not be there to be had; that is no fault of the program."""
    from inspect_kit.cli import main as program
    from inspect_kit.cli import touring
    from inspect_kit.errors import StoreUnreadable

    monkeypatch.setattr(program, "main", lambda words: 3)
    tour = touring._Tour(tmp_path, can_wait=False)
    with pytest.raises(StoreUnreadable, match="why stands above"):
        tour.step("The same as a page to print.", "report", "--to", str(tmp_path / "x" / "y.html"))
