"""Bad input from end to end: the whole message on standard error, the exit code, and not a byte changed."""

import datetime as dt
import io
import sys
from pathlib import Path

import pytest

from inspect_kit.cli import main as program
from tests.audit.conftest import Write
from tests.dots import Case, cases

HERE = Path(__file__).parent
CASES = [pytest.param(case, id=case.title) for case in cases(HERE / "bad_input.md")]


@pytest.fixture(autouse=True)
def a_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(program, "today", lambda: dt.date(2026, 11, 25))
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))


def bytes_of(root: Path) -> dict[str, bytes]:
    """What a person wrote: everything but the tool's own folder."""
    return {
        str(path.relative_to(root)): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and ".inspect-kit" not in path.parts
    }


def told(capsys: pytest.CaptureFixture[str], root: Path, *words: str) -> str:
    """Exit code and standard error of a command, after which the store is as it was."""
    before = bytes_of(root)
    code = program.main(["--store", str(root), *words])
    assert bytes_of(root) == before
    return f"exit {code}\n{capsys.readouterr().err}".rstrip("\n")


@pytest.mark.parametrize("case", CASES)
def test_message_code_and_nothing_written(case: Case, write: Write, capsys: pytest.CaptureFixture[str]) -> None:
    command, _, files = case.given.partition("\n")
    root = write(files)
    assert told(capsys, root, *command.removeprefix("$ ").split()) == case.expected


def test_a_file_that_is_not_utf_8(write: Write, capsys: pytest.CaptureFixture[str]) -> None:
    root = write("")
    (root / "checklists/tail").mkdir()
    (root / "checklists/tail/a.md").write_bytes(b"---\npanel: tail\nname: H\xf6henruder\n---\n")
    assert told(capsys, root, "due") == (
        "exit 3\nchecklists/tail/a.md:3: is not UTF-8: byte 0xf6, `ö` in Windows-1252 or Latin-1; "
        "save it as UTF-8\n    name: H\ufffdhenruder\n    ~~~~~~~~~~~~~~~^"
    )


def test_an_empty_file(write: Write, capsys: pytest.CaptureFixture[str]) -> None:
    root = write("")
    (root / "records/2026/2026-07-01-work-b1.yaml").write_bytes(b"")
    expected = "exit 3\nrecords/2026/2026-07-01-work-b1.yaml:1: is empty: expected keys and values"
    assert told(capsys, root, "due") == expected


def test_an_empty_store(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "checklists").mkdir()
    (tmp_path / "records").mkdir()
    assert told(capsys, tmp_path, "due") == (
        "exit 3\nrecords/aircraft.yaml: is missing: no answer can be given without the aircraft\n"
        "inspect-kit: without a readable records/aircraft.yaml no answer can be given: mend what is named above"
    )


def test_no_store_at_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    outcome = told(capsys, tmp_path, "due")
    assert outcome.startswith("exit 3\n")
    assert str(tmp_path) in outcome


def test_a_missing_aircraft(write: Write, capsys: pytest.CaptureFixture[str]) -> None:
    root = write("")
    (root / "records/aircraft.yaml").unlink()
    assert told(capsys, root, "due").startswith("exit 3\nrecords/aircraft.yaml: is missing")


def test_an_item_that_cannot_be_read_is_never_clear(write: Write, capsys: pytest.CaptureFixture[str]) -> None:
    root = write(
        "@ checklists/tail/a.md\n---\npanel: tail\nname: Tail\nzone: tail\n---\n"
        "- [ ] `rudder` Rudder\n  - every: 50 h or soon\n"
    )
    assert program.main(["--store", str(root), "due"]) == 3
    captured = capsys.readouterr()
    assert "incomplete" in captured.out.lower().split("rudder")[0]
    assert "rudder" in captured.out.lower()
