"""Stores of the past live: what was written then is read for ever, without a new problem, every seal whole.

Each folder beside this file is a whole store as it stood in that month, never edited since. `due-on.csv` in it holds
what the program of that month said of it; `changed.csv` names each answer that has changed on purpose, and why.
"""

import csv
import datetime as dt
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli import main
from inspect_kit.due import due

STORES = sorted(path.parent for path in Path(__file__).parent.glob("*/records"))
ON = {"2026-11": dt.date(2026, 11, 26)}


def rows(path: Path) -> list[dict[str, str]]:
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_store_of_the_past_is_there() -> None:
    assert [folder.name for folder in STORES] == list(ON)


@pytest.mark.parametrize("folder", STORES, ids=lambda folder: folder.name)
def test_reads_clean_with_every_seal_whole(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code = main.main(["--store", str(folder), "verify"])
    assert capsys.readouterr().err == ""
    assert code == 0


@pytest.mark.parametrize("folder", STORES, ids=lambda folder: folder.name)
def test_due_dates_change_only_with_a_reason(folder: Path) -> None:
    loaded = store.load(store.at(folder))
    assert loaded.logbook is not None
    answer = due(loaded.logbook, ON[folder.name], expect=False)
    now = {
        item.check: (str(item.due.date or ""), str(item.due.total or ""), item.due.meter or "") for item in answer.items
    }
    then = {row["item"]: (row["date"], row["total"], row["meter"]) for row in rows(folder / "due-on.csv")}
    assert then
    changed = {row["item"]: row for row in rows(folder / "changed.csv")}
    differ = {name for name in then.keys() | now.keys() if now.get(name) != then.get(name)}
    assert differ == changed.keys()
    for name, row in changed.items():
        assert row["reason"]
        assert now.get(name, ("", "", "")) == (row["date"], row["total"], row["meter"]), name
