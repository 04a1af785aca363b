"""One writer at a time: the second says for whom it waits, and a dead one's lock is no lock."""

import os
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.errors import StoreUnreadable
from inspect_kit.store import lock
from tests.store.scratch import HOURS_TEXT, make_store, settled

PROJECT = Path(__file__).parents[2]
HOLD = """
import sys, time
from pathlib import Path
from inspect_kit import store
from inspect_kit.store import lock
if sys.argv[2] == "by name":
    lock.fcntl = None
with store.writing(Path(sys.argv[1]), command="walk"):
    print("held", flush=True)
    sys.stdin.read()
"""


@pytest.fixture(params=["by system", "by name"])
def way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Both kinds of lock: the system's, and the file's own existence where there is no flock."""
    if request.param == "by name":
        monkeypatch.setattr(lock, "fcntl", None)
    return str(request.param)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return make_store(tmp_path / "store")


def hold(root: Path, way: str) -> "subprocess.Popen[str]":
    """Another process that holds the lock until its input is closed."""
    other = subprocess.Popen(
        [sys.executable, "-B", "-c", HOLD, str(root), way],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=PROJECT,
    )
    assert other.stdout is not None
    assert other.stdout.readline() == "held\n"
    return other


def end(other: "subprocess.Popen[str]") -> None:
    other.communicate(timeout=20)


def test_the_second_says_for_whom_it_waits_and_then_writes(root: Path, way: str) -> None:
    other = hold(root, way)
    said: list[str] = []

    released = threading.Event()

    def release() -> None:
        released.set()
        assert other.stdin is not None
        other.stdin.close()

    def waiting(holder: str) -> None:
        said.append(holder)
        threading.Timer(0.1, release).start()

    with store.writing(root, command="hours", waiting=waiting) as writer:
        assert released.is_set(), "two of them write at once"
        store.create(writer, "records/2026/2026-11-27-hours-x.yaml", HOURS_TEXT)
    assert said == [f"walk (process {other.pid} on {os.uname().nodename})"]
    assert other.wait(20) == 0
    assert other.stdout is not None
    other.stdout.close()


def test_patience_ends_with_who_holds_it(root: Path, way: str) -> None:
    other = hold(root, way)
    before = settled(root)
    with (
        pytest.raises(StoreUnreadable, match=rf"the store is locked by walk \(process {other.pid} on "),
        store.writing(root, command="hours", patience=0.3),
    ):
        pytest.fail("written while another one writes")
    assert settled(root) == before
    end(other)


def test_a_killed_holder_leaves_no_lock(root: Path, way: str) -> None:
    other = hold(root, way)
    os.kill(other.pid, signal.SIGKILL)
    other.communicate(timeout=20)
    said: list[str] = []
    with store.writing(root, command="hours", waiting=said.append, patience=5):
        pass
    assert said == []


def test_a_lock_of_another_computer_is_never_taken_away(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a shared disk a process number of another computer says nothing here."""
    monkeypatch.setattr(lock, "fcntl", None)
    (root / ".inspect-kit").mkdir()
    held = root / lock.LOCK_BY_NAME
    held.write_text("walk (process 999999 on hangar-laptop)")
    with (
        pytest.raises(StoreUnreadable, match=r"locked by walk \(process 999999 on hangar-laptop\)"),
        store.writing(root, command="hours", patience=0.2),
    ):
        pytest.fail("written while another one writes")
    assert held.exists()


@pytest.mark.parametrize(
    "text",
    [
        *("", "rubbish", "walk (process x on y)", "\x00\xff", "walk (process 99999999999999999999 on "),
        *(f"walk (process {number} on {lock._host()})" for number in ("\u00b2", "9" * 5000)),
    ],
)
def test_a_lock_that_says_nothing_is_respected(root: Path, monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    monkeypatch.setattr(lock, "fcntl", None)
    (root / ".inspect-kit").mkdir()
    (root / lock.LOCK_BY_NAME).write_text(text)
    with pytest.raises(StoreUnreadable, match="locked by"), store.writing(root, command="hours", patience=0.2):
        pytest.fail("written while another one writes")


def test_many_writers_at_once_lose_nothing(root: Path, way: str) -> None:
    """Six processes each add lines to one file, ten times; every line is there in the end."""
    code = """
import sys
from pathlib import Path
from inspect_kit import store
from inspect_kit.store import lock
if sys.argv[2] == "by name":
    lock.fcntl = None
lock.PAUSE = 0.01
root = Path(sys.argv[1])
name = "records/open/count.md"
for number in range(10):
    with store.writing(root, command="walk") as writer:
        old = (root / name).read_bytes()
        store.replace(writer, name, old + f"{sys.argv[3]} {number}\\n".encode(), read=old)
"""
    (root / "records/open/count.md").write_bytes(b"")
    others = [
        subprocess.Popen([sys.executable, "-B", "-c", code, str(root), way, str(who)], cwd=PROJECT) for who in range(6)
    ]
    assert [other.wait(60) for other in others] == [0] * 6
    lines = (root / "records/open/count.md").read_text().splitlines()
    assert sorted(lines) == sorted(f"{who} {number}" for who in range(6) for number in range(10))


def test_readers_never_wait_and_see_before_or_after(root: Path) -> None:
    other = hold(root, "by system")
    assert len(settled(root)) == 4
    assert other.poll() is None, "nobody holds it any more"
    end(other)
