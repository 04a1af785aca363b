"""A reading that takes long says how far it has come: on a terminal, on one line that is gone afterwards."""

import datetime as dt
import sys
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli import desk
from inspect_kit.store import reading
from tests.cli.conftest import Run

RECORD = "format: 1\nkind: hours\ndate: 2026-10-{day:02}\nmeters: {{tach: 655.{day}}}\n"


@pytest.fixture
def many(hangar: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for day in range(1, 10):
        (hangar / f"records/2026/2026-10-0{day}-hours.yaml").write_text(RECORD.format(day=day))
    monkeypatch.setattr(reading, "EACH", 4)
    monkeypatch.setattr(desk, "MANY", 12)
    return hangar


def test_every_file_is_counted_twice_read_and_checked(many: Path) -> None:
    told: list[tuple[str, int, int]] = []
    assert store.load(many, lambda *said: told.append(said)).problems == ()
    assert told == [(what, done, 14) for what in ("reading", "checking") for done in (4, 8, 12, 14)]


def test_a_terminal_is_told_on_one_line(many: Path, monkeypatch: pytest.MonkeyPatch, run: Run) -> None:
    assert run(many, "due").err == ""
    worker = desk.Desk(folder=many, given_on=None, today=dt.date(2026, 11, 25))
    assert worker.progress() is None
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    assert worker.progress() is not None


def test_the_line_is_wiped_at_the_end(
    many: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    desk.Desk(folder=many, given_on=None, today=dt.date(2026, 11, 25)).loaded()
    lines = capsys.readouterr().err.split("\r")
    assert [line for line in lines if line.strip()].count("reading: 8 of 14 files") == 1
    assert "checking: 12 of 14 files" in lines
    assert lines[-1] == ""
    assert lines[-2].strip() == ""
    # Few files are read in no time: nothing is said of them.
    monkeypatch.setattr(desk, "MANY", 2_000)
    desk.Desk(folder=many, given_on=None, today=dt.date(2026, 11, 25)).loaded()
    assert capsys.readouterr().err == ""
