"""After a power cut at any moment the disk may have forgotten what was not flushed; the store is before or after."""

import errno
import os
import stat
from pathlib import Path

import pytest

from inspect_kit import store
from tests.store.powercut import ForgetfulDisk
from tests.store.scratch import PAGE, RECORD, WORKSHEET, WORKSHEET_TEXT, make_store, settled
from tests.store.test_killed import DEEDS, Deed, fresh, states_between


def rebuild(folder: Path, files: dict[str, bytes]) -> Path:
    (folder / "checklists").mkdir(parents=True)
    (folder / "records").mkdir()
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    return store.at(folder)


def no_links(*_: object, **__: object) -> None:
    """What a memory card answers."""
    raise OSError(errno.EPERM, "Operation not permitted")


@pytest.mark.parametrize("links", [True, False], ids=["hard links", "no hard links"])
@pytest.mark.parametrize("deed", [deed for deed in DEEDS if deed.name != "walk"], ids=lambda deed: deed.name)
def test_a_power_cut_leaves_before_or_after(tmp_path: Path, deed: Deed, links: bool) -> None:
    allowed = states_between(tmp_path, deed)
    root = fresh(tmp_path / "disk", deed)
    disk = ForgetfulDisk(root)
    disk.look()
    with pytest.MonkeyPatch.context() as patch:
        if not links:
            patch.setattr(os, "link", no_links)
        disk.install(patch)
        deed.act(root)
    different = {tuple(sorted(state.items())): call for call, state in disk.seen}
    assert len(different) >= 6
    for number, (state, call) in enumerate(different.items()):
        left = rebuild(tmp_path / f"cut{number}", dict(state))
        assert settled(left) in allowed, f"the power failed after {call}"
        with store.writing(left, command="next"):
            pass
        assert settled(left) in allowed
    assert settled(rebuild(tmp_path / "end", disk.seen[-1][1])) == allowed[-1], "what was done is not on the disk"


@pytest.mark.parametrize("unflushed", ["folders", "files"])
def test_without_flushing_a_power_cut_is_caught(tmp_path: Path, unflushed: str) -> None:
    """The test of the test: signing that leaves out either flush is found in a state in between."""
    deed = next(deed for deed in DEEDS if deed.name == "sign")
    allowed = states_between(tmp_path, deed)
    root = fresh(tmp_path / "disk", deed)
    disk = ForgetfulDisk(root)
    disk.look()
    flush = os.fsync

    def forget(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode) != (unflushed == "folders"):
            flush(handle)

    with pytest.MonkeyPatch.context() as patch:
        disk.install(patch)
        flush = os.fsync
        patch.setattr(os, "fsync", forget)
        deed.act(root)
    states = {tuple(sorted(state.items())) for _, state in disk.seen}
    left = [settled(rebuild(tmp_path / f"cut{number}", dict(state))) for number, state in enumerate(states)]
    assert any(state not in allowed for state in left)


def test_the_forgetful_disk_forgets_what_is_not_flushed(tmp_path: Path) -> None:
    """The oracle: the same deeds without flushing are caught by it."""
    root = make_store(tmp_path / "disk")
    disk = ForgetfulDisk(root)
    disk.look()
    (root / RECORD).parent.mkdir(exist_ok=True)
    disk.look()
    with pytest.MonkeyPatch.context() as patch:
        disk.install(patch)
        handle = os.open(root / WORKSHEET, os.O_RDWR | os.O_CREAT, 0o666)
        os.write(handle, WORKSHEET_TEXT)
        os.close(handle)
        os.unlink(root / PAGE)
    assert any(state.get(WORKSHEET) == b"" and PAGE not in state for _, state in disk.seen)
    assert any(WORKSHEET not in state and PAGE not in state for _, state in disk.seen)
