"""Several files at once: a disk that refuses after it was decided, a hand that was faster, a folder that is hostile."""

import errno
import os
import shutil
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.errors import Misused, StoreUnreadable
from tests.store.asking import ask
from tests.store.scratch import AIRCRAFT, HOURS, HOURS_TEXT, RECORD, make_store, settled, sign, tools_files
from tests.store.test_killed import WITHDRAWN, next_command
from tests.store.test_killed_commands import SWAP, fitted

ONE, TWO = "records/2026/2026-11-27-one.yaml", "records/2027/2027-01-02-two.yaml"
BOTH = {ONE: b"format: 1\n", TWO: b"format: 1\nkind: hours\n"}
KEPT = "records/withdrawn/2026-11-20-hours-tach.yaml"


def refusing(patch: pytest.MonkeyPatch, name: str, at: int) -> None:
    """A disk that is full at the call of that number of a function of `os`, and ever after."""
    real, count = getattr(os, name), iter(range(1000))

    def call(*arguments: object, **options: object) -> object:
        if next(count) >= at:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(*arguments, **options)

    patch.setattr(os, name, call)


@pytest.mark.usefixtures("hard_links")
@pytest.mark.parametrize("at", [0, 1])
def test_what_is_decided_counts_though_the_disk_refuses(tmp_path: Path, at: int) -> None:
    root = make_store(tmp_path / "store")
    with pytest.MonkeyPatch.context() as patch:
        refusing(patch, "link", at)
        with store.writing(root, command="install") as writer, pytest.raises(store.NotYetInPlace) as told:
            store.create_all(writer, BOTH)
    assert str(told.value) == (
        f"all of it is written and counts, but not all is in its place yet: {(ONE, TWO)[at]} was not written: "
        "no space left on device. The next command does that"
    )
    assert BOTH.items() <= settled(root).items()
    next_command(root)
    assert tools_files(root) == []
    assert [(root / name).read_bytes() for name in BOTH] == list(BOTH.values())


def test_before_it_is_decided_a_disk_that_refuses_leaves_nothing(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    before = settled(root)
    for name in ("mkdir", "fsync", "write", "rename"):
        with store.writing(root, command="install") as writer, pytest.MonkeyPatch.context() as patch:
            refusing(patch, name, 0)
            with pytest.raises(StoreUnreadable) as told:
                store.create_all(writer, BOTH)
        assert not isinstance(told.value, store.NotYetInPlace)
        assert settled(root) == before
    next_command(root)
    assert tools_files(root) == []


def test_a_name_that_is_taken_and_a_record_that_was_changed_write_nothing(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    (root / TWO).parent.mkdir()
    (root / TWO).write_bytes(b"mine\n")
    with store.writing(root, command="install") as writer:
        with pytest.raises(store.AlreadyThere):
            store.create_all(writer, BOTH)
        with pytest.raises(store.ChangedSinceRead):
            store.create_all(writer, {KEPT: HOURS_TEXT}, goes={HOURS: HOURS_TEXT + b"text: more\n"})
        with pytest.raises(Misused):
            store.create_all(writer, {ONE: b"", "checklists/x.md": b""})
    assert not (root / ONE).exists()
    assert (root / TWO).read_bytes() == b"mine\n"
    assert tools_files(root) == []


def killed(root: Path, **more: dict[str, bytes]) -> Path:
    """The folder that a command leaves that was killed as soon as it had decided; `goes` as for `create_all`."""
    with pytest.MonkeyPatch.context() as patch, store.writing(root, command="install") as writer:
        patch.setattr("inspect_kit.store.together.finish_together", lambda writer: None)
        store.create_all(writer, **more)
    (folder,) = (root / ".inspect-kit/together").iterdir()
    return folder


def test_what_was_put_under_one_of_the_names_meanwhile_stays(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    killed(root, files=BOTH)
    (root / ONE).write_bytes(b"mended by hand\n")
    assert settled(root)[ONE] == b"mended by hand\n"
    next_command(root)
    assert (root / ONE).read_bytes() == b"mended by hand\n"
    assert (root / TWO).read_bytes() == BOTH[TWO]
    assert tools_files(root) == []


def test_a_record_that_was_changed_after_the_kill_is_not_taken_away(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    killed(root, files={KEPT: HOURS_TEXT + WITHDRAWN}, goes={HOURS: HOURS_TEXT})
    assert HOURS not in settled(root)
    (root / HOURS).write_bytes(HOURS_TEXT + b"text: added\n")
    assert HOURS in settled(root)
    next_command(root)
    assert (root / HOURS).read_bytes() == HOURS_TEXT + b"text: added\n"
    assert (root / KEPT).read_bytes() == HOURS_TEXT + WITHDRAWN


@pytest.mark.parametrize("kept", [b"", HOURS_TEXT[:-5] + WITHDRAWN])
def test_a_record_goes_only_if_it_is_kept_whole(tmp_path: Path, kept: bytes) -> None:
    root = make_store(tmp_path / "store")
    killed(root, files={KEPT: kept}, goes={HOURS: HOURS_TEXT})
    assert HOURS in settled(root)
    next_command(root)
    assert (root / HOURS).read_bytes() == HOURS_TEXT


def test_a_sealed_record_never_goes(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    sealed = sign(root)
    killed(root, files={f"records/withdrawn/{Path(RECORD).name}": sealed + WITHDRAWN}, goes={RECORD: sealed})
    assert RECORD in settled(root)
    next_command(root)
    assert (root / RECORD).read_bytes() == sealed


@pytest.mark.parametrize(
    "name",
    [
        *("records/../checklists/x.md", "checklists/x.md", "records/../../x.yaml"),
        *(".git/hooks/post-commit", "records//x.yaml"),
    ],
)
def test_a_hostile_list_puts_nothing_elsewhere(tmp_path: Path, name: str) -> None:
    root = make_store(tmp_path / "store")
    folder = killed(root, files=BOTH)
    text = (folder / "list").read_text()
    (folder / "list").write_text(text.replace(ONE, name))
    before = {path for path in tmp_path.rglob("*") if ".inspect-kit" not in path.parts}
    assert set(settled(root)) & {name} == set()
    next_command(root)
    after = {path for path in tmp_path.rglob("*") if ".inspect-kit" not in path.parts}
    assert after - before == {(root / TWO).parent, root / TWO}


def test_a_hostile_link_is_never_followed(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    folder = killed(root, files=BOTH)
    (folder / "0").unlink()
    (folder / "0").symlink_to(root / "records/aircraft.yaml")
    next_command(root)
    assert not (root / ONE).exists()
    assert (root / "records/aircraft.yaml").read_bytes() == AIRCRAFT
    shutil.rmtree(root / ".inspect-kit/together")
    (root / ".inspect-kit/together").symlink_to(root / "records")
    with pytest.raises(StoreUnreadable, match="symbolic link"):
        next_command(root)
    assert set(settled(root)) >= {HOURS, "records/aircraft.yaml"}


@pytest.mark.usefixtures("hard_links")
def test_the_command_says_what_is_true_of_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not "nothing was written": both records count, and the next command gives them their names."""
    root = make_store(tmp_path / "store")
    fitted(root)
    with monkeypatch.context() as patch:
        refusing(patch, "link", 1)
        answer = ask(root, *SWAP)
    assert answer.code == 3
    assert "is written and counts, but not all is in its place yet: records/2026/2026-12-31-magneto-f" in answer.err
    assert "no space left on device. The next command does that" in answer.err
    assert answer.err.count("Written before that: records/2026/2026-12-31-magneto-removed-") == 1
    assert "Nothing was written" not in answer.err
    assert '"serial": "B2"' in (seen := ask(root, "status", "--json")).out, seen.err
    assert ask(root, "hours", "tach=612.5").code == 0
    assert len(list(root.glob("records/2026/2026-12-31-magneto-*.yaml"))) == 2
