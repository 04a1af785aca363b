"""Standard streams in every bad state, with the program started as the system starts it: a sentence, never a fault."""

import contextlib
import datetime as dt
import os
import pty
import select
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli.desk import Desk

ROOT = Path(__file__).parents[2]
FULL = pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no /dev/full")


def start(words: tuple[str, ...], *, before: str = "", **options: object) -> "subprocess.Popen[bytes]":
    """The program as a process; `before` is a piece of shell that says what becomes of its streams."""
    line = 'exec "$0" -m inspect_kit "$@"' + before
    environment = {**os.environ, "PYTHONPATH": str(ROOT), **options.pop("env", {})}  # type: ignore[dict-item]
    # Whoever runs the tests in the background lets them ignore the interrupt: the program is started as by a person.
    options = {"preexec_fn": lambda: signal.signal(signal.SIGINT, signal.SIG_DFL), **options}
    return subprocess.Popen(["sh", "-c", line, sys.executable, *words], env=environment, **options)  # type: ignore[call-overload,no-any-return]


def ask(hangar: Path, *words: str, before: str = "", **options: object) -> tuple[int, str, str]:
    pipes = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **options}
    process = start(("--store", str(hangar), *words), before=before, **pipes)
    out, err = process.communicate(timeout=60)
    return process.returncode, (out or b"").decode("utf-8", "replace"), (err or b"").decode("utf-8", "replace")


def entries(hangar: Path) -> int:
    return len([*(hangar / "records").rglob("*hours*.yaml")])


@FULL
def test_a_full_disk_under_the_answer(hangar: Path) -> None:
    code, _, err = ask(hangar, "due", before=" >/dev/full")
    assert (code, err) == (
        3,
        "inspect-kit: the answer could not be written out: no space left on device; nothing was written\n",
    )
    code, _, err = ask(hangar, "hours", "tach=405.6", before=" >/dev/full")
    (record,) = (hangar / "records").rglob("*hours*.yaml")
    told = f"no space left on device; {record.relative_to(hangar)} is written\n"
    assert (code, err) == (3, f"inspect-kit: the answer could not be written out: {told}")
    for words in (("--help",), ("--version",), ("plan", "oil", "--json"), ("verify",)):
        assert ask(hangar, *words, before=" >/dev/full")[0] == 3


@FULL
def test_a_full_disk_under_the_problems_changes_nothing_else(hangar: Path) -> None:
    (hangar / "records/2026/2026-10-01-x.yaml").write_text("nonsense")
    code, out, _ = ask(hangar, "due", before=" 2>/dev/full")
    assert code == 3
    assert "INCOMPLETE" in out


@pytest.mark.parametrize("words", [("due",), ("scope",), ("plan", "oil", "--json"), ("--help",)])
def test_a_reader_who_has_seen_enough_is_no_fault(hangar: Path, words: tuple[str, ...]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    code, _, err = ask(hangar, *words, stdout=writing)
    os.close(writing)
    assert (code, err) == (0, "")


@pytest.mark.parametrize("closed", [" <&-", " >&-", " 2>&-", " <&- >&-", " >&- 2>&-", " <&- >&- 2>&-"])
def test_closed_streams(hangar: Path, closed: str) -> None:
    """A file of the store that is opened next must not become standard output."""
    assert ask(hangar, "due", before=closed)[0] == 0
    assert ask(hangar, "hours", "tach=405.6", before=closed)[0] == 0
    assert entries(hangar) == 1
    lock = (hangar / ".inspect-kit/lock").read_text()
    assert lock.startswith("hours (process ")
    assert "records/" not in lock
    assert store.load(hangar).problems == ()


def test_an_input_that_has_ended(hangar: Path, tmp_path: Path) -> None:
    for before in ("", " <&-"):
        code, _, err = ask(hangar, "new", str(tmp_path / "new"), before=before)
        assert code == 2
        told = "the input ended at `Registration`: no store was made. Give the same command again"
        assert err.endswith(f"inspect-kit: {told}\n")
        assert not (tmp_path / "new").exists()


def test_what_is_said_of_a_page_that_was_sealed_and_so_taken_away(hangar: Path) -> None:
    """The same words stand after an interrupt and where the answer is lost."""
    written = ["records/aircraft.yaml", "records/open/2026-11-27-condition-3x3r.md"]
    desk = Desk(folder=hangar, given_on=None, today=dt.date(2026, 11, 27), written=written)
    assert desk.so_far() == f"{written[0]} is written; {written[1]} is taken away"


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437:strict", "utf-16"])
def test_an_encoding_that_lacks_characters(hangar: Path, encoding: str) -> None:
    floor = hangar / "checklists/cabin/floor.md"
    floor.write_text(floor.read_text(encoding="utf-8").replace("pulleys and", "pulleys – Ω 💥 and"), encoding="utf-8")
    (hangar / "records/2026/2026-10-01-Ω.yaml").write_text("nonsense")
    for words in (("due",), ("verify",), ("history", "Ω")):
        code, _, err = ask(hangar, *words, env={"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"})
        assert code in (2, 3), (words, err)
        assert "fault" not in err


def test_lines_are_drawn_in_characters_that_a_pipe_can_hold(hangar: Path) -> None:
    _, out, _ = ask(hangar, "scope", "--all", env={"PYTHONIOENCODING": "cp1252", "PYTHONUTF8": "0"})
    assert "\\u" not in out
    assert any(line.startswith("=====") for line in out.splitlines())


def interrupted(words: tuple[str, ...], when: Callable[["subprocess.Popen[bytes]"], None]) -> tuple[int, str]:
    process = start(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    when(process)
    # Its input stays open until it has ended: an end of the input is another answer. A signal that comes between the
    # last look at signals and the wait for input is seen at the next one.
    for _ in range(30):
        process.send_signal(signal.SIGINT)
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(2)
            break
    _, err = process.communicate(timeout=60)
    return process.returncode, err.decode()


def test_ctrl_c_while_the_program_is_still_being_read(hangar: Path) -> None:
    """At many moments of the start: before the program has begun Python ends it, after that it ends in a word."""
    told = set()
    for moment in range(9):
        code, err = interrupted(("--store", str(hangar), "due"), lambda _, at=moment: time.sleep(0.04 * at))
        by_python = any(f"import {module} module" in err for module in ("the site", "runpy"))
        assert code in (130, -signal.SIGINT, 0) or (code == 1 and by_python), err
        if code == 130:
            told.add(err.strip().splitlines()[-1])
    assert told <= {"interrupted", "interrupted; nothing was written"}


# The program, with Ctrl-C pressed while the N-th name of all its classes is being told what it is called.
PRESSED_IN_A_CLASS = """
import functools, sys
told = functools.cached_property.__set_name__
def pressed(self, owner, name, left=[int(sys.argv.pop(1))]):
    left[0] -= 1
    if left[0] == 0:
        raise KeyboardInterrupt
    told(self, owner, name)
functools.cached_property.__set_name__ = pressed
from inspect_kit.__main__ import run
run()
"""


@pytest.mark.parametrize("nth", [1, 2, 5, 9])
def test_ctrl_c_while_a_class_is_being_made(hangar: Path, nth: int) -> None:
    """Python 3.11 tells it as another error, whose cause it is."""
    line = [sys.executable, "-c", PRESSED_IN_A_CLASS, str(nth), "--store", str(hangar), "due"]
    ended = subprocess.run(line, capture_output=True, text=True, timeout=60, cwd=ROOT)
    assert ended.returncode == 130, ended.stderr
    assert ended.stderr.splitlines()[-1] in {"interrupted", "interrupted; nothing was written"}


def test_ctrl_c_at_a_question(hangar: Path, tmp_path: Path) -> None:
    def asked(process: "subprocess.Popen[bytes]") -> None:
        assert process.stderr is not None
        assert select.select([process.stderr], [], [], 60)[0]

    code, err = interrupted(("new", str(tmp_path / "new")), asked)
    assert code == 130
    assert err.endswith("interrupted; nothing was written\n")
    assert not (tmp_path / "new").exists()


def test_a_terminal_that_goes_away(hangar: Path) -> None:
    """The window is closed while the walk asks: no traceback is left anywhere, and what was answered is kept."""
    leader, follower = pty.openpty()
    process = start(("--store", str(hangar), "due"), stdin=follower, stdout=follower, stderr=follower)
    os.close(follower)
    os.close(leader)
    assert process.wait(60) in (0, 3, -signal.SIGHUP)


def test_a_current_folder_that_is_gone(hangar: Path, tmp_path: Path) -> None:
    (tmp_path / "gone").mkdir()
    line = 'cd "$1" && rmdir "$1" && exec "$0" -m inspect_kit due'
    words = [sys.executable, str(tmp_path / "gone")]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    told = subprocess.run(["sh", "-c", line, *words], env=environment, capture_output=True, text=True, timeout=60)
    assert (told.returncode, told.stdout) == (3, "")
    assert "the current folder is not there any more: type `cd` and one that is" in " ".join(told.stderr.split())


def test_a_limit_on_how_large_a_file_may_be(hangar: Path) -> None:
    before = entries(hangar)
    line = 'ulimit -f 0; trap "" XFSZ; exec "$0" -m inspect_kit --store "$1" hours tach=434'
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    words = ["sh", "-c", line, sys.executable, str(hangar)]
    told = subprocess.run(words, env=environment, capture_output=True, text=True, timeout=60)
    assert told.returncode == 3
    assert "cannot be written: file too large" in " ".join(told.stderr.split())
    assert entries(hangar) == before
