"""What is unknown says where to write it, and what is written there, as it says, makes it known."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli import setup
from inspect_kit.cli.filling import filled_in
from inspect_kit.cli.kept_answers import Answers
from inspect_kit.due import due
from inspect_kit.due.answer import UNKNOWN, DueAnswer
from inspect_kit.due.unwritten import Gap, gap_of, gaps
from inspect_kit.text.fields import read_yaml
from tests.cli import readme

DAY = dt.date(2026, 11, 25)
TOLD = {
    **{"registration": "N0XX", "make": "Sparrow", "model": "S-1", "serial": "7", "certificate_date": "2019-05-17"},
    **{"name": "Ada Bellcrank", "kind": "repairman", "certificate": "1", "tach": "412.6", "total": "412.6"},
}


def starter(folder: Path, **told: str) -> Path:
    """A store of the starter in which little is known of the past."""
    from importlib import resources

    files = {
        name.removeprefix("./"): found.read_text(encoding="utf-8")
        for found, name in setup._files(resources.files("inspect_kit") / "starter", ".")
    }
    answers = Answers(folder / "answers.yaml", {**TOLD, "last_inspection": "none", **told})
    made = filled_in(files, answers, DAY, DAY)
    made["records/2026/2026-11-25-brought-forward-b2qt.yaml"] = made.pop("records/brought-forward.yaml")
    for name, text in made.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def asked(root: Path) -> DueAnswer:
    loaded = store.load(root)
    assert loaded.logbook is not None
    assert loaded.problems == ()
    return due(loaded.logbook, DAY)


# What a person finds in the logbook for the words in capitals.
FACTS = {
    **{"good-until: DATE": "good-until: 2031-05-31", "made: DATE": "made: 2019-05-31"},
    **{"fitted-on: DATE": "fitted-on: 2019-05-31", "DATE": "2026-03-14"},
    **{"TOTAL": "380.2", "READING": "380.2", "SERIAL": '"0001"', "HOURS": "120.0"},
}


def write(root: Path, gap: Gap) -> None:
    """As a person does who reads `FILE:LINE, oil-change: {...}, under last`: the line below that key, at that line."""
    path = root / gap.place.file
    lines = path.read_text(encoding="utf-8").split("\n")
    words = gap.words
    for word, fact in FACTS.items():
        words = words.replace(word, fact)
    key, entry = gap.under, words
    root_of, problems = read_yaml(f"{entry}\n", "typed.yaml")
    assert (root_of is not None, problems) == (True, []), "what is shown is no YAML"
    at = lines[gap.place.line - 1]
    if at.startswith(f"{key}:"):
        lines.insert(gap.place.line, f"  {entry}")
    elif at.strip().startswith(entry.partition(":")[0]):
        lines[gap.place.line - 1] = f"  {entry}"
    else:
        lines += [f"{key}:", f"  {entry}"]
    path.write_text("\n".join(lines).rstrip("\n") + "\n", encoding="utf-8")


def each_unknown(root: Path) -> Iterator[Gap]:
    """One after another, until nothing is unknown."""
    for _ in range(100):
        found = gaps(asked(root))
        if not found:
            return
        yield found[0]
    pytest.fail("it never ends")


INSPECTED = {"last_inspection": "2026-03-14", "last_total": "380.2", "last_paper": "log"}
# The date alone, where it comes by hours too; and something done since that made others owed.
UNTOLD = {"last fuel-strainer": "2026-03-10, , ", "last air-filter": "2026-03-10, , log"}
SINCE = {"last fuel-leaks": "2026-03-14, 380.2, log", "last hoses-renewed": "2026-03-14, 380.2, log"}


@pytest.mark.parametrize("told", [{}, INSPECTED, INSPECTED | UNTOLD, INSPECTED | SINCE])
def test_what_is_written_where_it_says_is_known(told: dict[str, str], tmp_path: Path) -> None:
    root = starter(tmp_path, **told)
    known = []
    for gap in each_unknown(root):
        assert gap.words not in known, "written as it says, and unknown all the same"
        write(root, gap)
        known.append(gap.words)
    assert len(known) > 10
    assert {words.split(": ")[0] for words in known} >= {"elt-battery", "oil-change"}


def test_every_unknown_item_has_a_place_and_nothing_else_has(tmp_path: Path) -> None:
    answer = asked(starter(tmp_path))
    for item in answer.items:
        assert (gap_of(answer, item) is None) == (item.state != UNKNOWN), item.check


def test_a_meter_that_was_never_read_is_told_to_be_read(tmp_path: Path) -> None:
    root = starter(tmp_path)
    (path,) = root.glob("records/2026/*.yaml")
    path.write_text("format: 1\nkind: hours\ndate: 2026-11-25\nmeters: {}\n", encoding="utf-8")
    loaded = store.load(root)
    assert loaded.logbook is not None
    answer = due(loaded.logbook, DAY)
    words = {gap.check: gap.words for gap in gaps(answer)}
    assert words["oil-change"] == "write the meter down: inspect-kit hours tach=READING"
    assert (
        words["elt-battery"]
        == "write it down as it was: inspect-kit --on DATE work elt-battery --good-until elt-battery=DATE"
    )


def test_a_life_asks_for_the_part(tmp_path: Path) -> None:
    """Of a part that was fitted by a record of its own the ages are amended; else they stand under `fitted`."""
    root = tmp_path
    for block in readme.blocks(readme.section("## Written by hand")):
        if block.file:
            path = root / block.file
            path.parent.mkdir(parents=True, exist_ok=True)
            text = block.body.replace("- every: 100 h\n  - counts-on: magneto-left", "- life: 10 years from made\n"
                                      "  - counts-on: magneto-left")  # fmt: skip
            path.write_text(text, encoding="utf-8")
    found = {gap.check: gap for gap in gaps(asked(root))}
    assert found["ignition-leads"].words == (
        "amend it: inspect-kit amend 2026-06-02-magneto-left-fitted-t9bw made=DATE"
    )
    assert str(found["ignition-leads"].place) == "records/2026/2026-06-02-magneto-left-fitted-t9bw.yaml:5"


def test_of_what_was_done_its_own_line_is_named_and_the_date_stays(tmp_path: Path) -> None:
    """Not the inspection that it comes with, which is known."""
    root = starter(tmp_path, **INSPECTED, **UNTOLD)
    found = {gap.check: gap for gap in gaps(asked(root))}
    for name in ("fuel-strainer", "air-filter"):
        assert found[name].words == f"{name}: {{date: 2026-03-10, tach: TOTAL}}"
        lines = (root / found[name].place.file).read_text(encoding="utf-8").split("\n")
        assert lines[found[name].place.line - 1].strip().startswith(f"{name}:")
