"""Reports and new stores: whole or not at all."""

import os
import stat
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.errors import Misused, StoreUnreadable
from tests.store.killing import WAYS, count_calls, run_killed

FILES = {"records/aircraft.yaml": b"format: 1\n", "checklists/nose/a.md": b"---\n", ".gitattributes": b"* -text\n"}


def test_a_report_replaces_the_old_one_and_keeps_its_mode(tmp_path: Path) -> None:
    path = tmp_path / "report.html"
    store.write_outside(path, b"one")
    path.chmod(0o640)
    store.write_outside(path, b"two")
    assert path.read_bytes() == b"two"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [each.name for each in tmp_path.iterdir()] == ["report.html"]


def test_a_full_disk_leaves_the_old_report(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "report.html"
    store.write_outside(path, b"one")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(StoreUnreadable, match=r"report.html cannot be written: no space left on device"):
        store.write_outside(path, b"two")
    assert path.read_bytes() == b"one"
    assert [each.name for each in tmp_path.iterdir()] == ["report.html"]


def test_a_report_goes_through_a_link_and_into_what_is_no_file(tmp_path: Path) -> None:
    (tmp_path / "real.txt").write_bytes(b"old")
    (tmp_path / "link.txt").symlink_to("real.txt")
    store.write_outside(tmp_path / "link.txt", b"new")
    assert (tmp_path / "link.txt").is_symlink()
    assert (tmp_path / "real.txt").read_bytes() == b"new"
    store.write_outside(Path(os.devnull), b"gone")
    assert not Path(os.devnull).is_file()


def test_a_folder_that_is_missing_is_said(tmp_path: Path) -> None:
    with pytest.raises(StoreUnreadable, match="cannot be written: no such file or directory"):
        store.write_outside(tmp_path / "nowhere/report.txt", b"x")


def test_a_new_store(tmp_path: Path) -> None:
    for folder in (tmp_path / "a/b/new", tmp_path / "empty"):
        if folder.name == "empty":
            folder.mkdir()
        store.make_store(folder, FILES)
        assert {name: (folder / name).read_bytes() for name in FILES} == FILES
        assert store.at(folder) == folder.resolve()


def test_a_new_store_never_goes_where_something_is(tmp_path: Path) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full/letter.txt").write_text("mine")
    (tmp_path / "file").write_text("mine")
    (tmp_path / "link").symlink_to("full")
    (tmp_path / "dangling").symlink_to("nothing")
    for name in ("full", "file", "link", "dangling"):
        with pytest.raises(Misused, match="is there already and is not empty"):
            store.make_store(tmp_path / name, FILES)
    assert (tmp_path / "full/letter.txt").read_text() == "mine"


def test_killed_while_a_store_is_made_there_is_none_or_a_whole_one(tmp_path: Path) -> None:
    def make(folder: Path) -> None:
        store.make_store(folder, FILES)

    calls = count_calls(lambda: make(tmp_path / "counted"))
    assert calls >= 10
    for at in range(calls):
        for way in WAYS:
            folder = tmp_path / f"new-{at}-{way}"
            assert run_killed(lambda folder=folder: make(folder), at, way)
            if folder.exists():
                assert {name: (folder / name).read_bytes() for name in FILES} == FILES
            else:
                make(folder)
            assert store.at(folder)
