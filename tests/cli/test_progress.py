"""Work that takes long says so: on a terminal, on one line that is gone afterwards. No test waits for a clock."""

import io
import os
import pty
import signal
import sys
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli import alive
from inspect_kit.cli.alive import SignsOfLife
from inspect_kit.cli.streams import Outlet, sound
from inspect_kit.store import reading
from tests.cli.conftest import Run
from tests.cli.test_streams import start

RECORD = "format: 1\nkind: hours\ndate: 2026-10-{day:02}\nmeters: {{tach: 655.{day}}}\n"


@pytest.fixture
def many(hangar: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for day in range(1, 10):
        (hangar / f"records/2026/2026-10-0{day}-hours.yaml").write_text(RECORD.format(day=day))
    monkeypatch.setattr(reading, "EACH", 4)
    return hangar


def test_every_file_is_counted_twice_read_and_checked(many: Path) -> None:
    told: list[tuple[str, int, int]] = []
    assert store.load(many, lambda *said: told.append(said)).problems == ()
    assert told == [(what, done, 14) for what in ("reading", "checking") for done in (4, 8, 12, 14)]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


class Clock:
    """Seconds that pass only when the test says so."""

    def __init__(self) -> None:
        self.seconds = 100.0

    def __call__(self) -> float:
        return self.seconds


def shown(stream: io.StringIO) -> str:
    """What stands in the line of the terminal after all that was written to it."""
    line = ""
    for piece in stream.getvalue().rpartition("\n")[2].split("\r"):
        line = piece + line[len(piece) :]
    return line.rstrip()


def begun(stream: io.StringIO, clock: Clock, *, asks: bool = False) -> tuple[SignsOfLife, list[SignsOfLife]]:
    kept: list[SignsOfLife] = []
    signs = SignsOfLife(stream, now=clock, keep=kept.append)
    signs.begin("visits", asks=asks)
    return signs, kept


def test_after_a_second_of_work_one_line_tells_what_and_how_long() -> None:
    stream, clock = Terminal(), Clock()
    signs, kept = begun(stream, clock)
    assert kept == [signs]
    clock.seconds += 0.9
    signs.look()
    assert stream.getvalue() == ""
    clock.seconds += 0.2
    signs.look()
    assert shown(stream) == "visits, 1 s; Ctrl-C stops"
    signs.count("reading", 1_500, 10_051)
    clock.seconds += 2
    signs.look()
    assert shown(stream) == "reading 1,500 of 10,051 files, 3 s; Ctrl-C stops"
    signs.count("reading", 10_051, 10_051)
    clock.seconds += 1
    signs.look()
    assert shown(stream) == "visits, 4 s; Ctrl-C stops", "a shorter line leaves nothing of a longer one"
    assert "\n" not in stream.getvalue()
    signs.end()
    assert shown(stream) == ""
    before = stream.getvalue()
    clock.seconds += 5
    signs.look()
    signs.end()
    assert stream.getvalue() == before


@pytest.mark.parametrize("asks", [False, True])
def test_it_gives_way_to_a_message_and_comes_back_only_where_no_question_follows(asks: bool) -> None:
    stream, clock = Terminal(), Clock()
    signs, _ = begun(stream, clock, asks=asks)
    beside = Outlet(stream, quiet=True, before=lambda _: signs.hush(answers=False))
    clock.seconds += 2
    signs.look()
    beside.write("records/x.yaml:1: is odd\n")
    lines = stream.getvalue().split("\n")
    assert lines[0].split("\r")[-1] == "records/x.yaml:1: is odd"
    assert lines[0].split("\r")[-2].strip() == ""
    signs.look()
    assert shown(stream) == "", "a second passes anew"
    clock.seconds += 2
    signs.look()
    assert shown(stream) == ("" if asks else "visits, 2 s; Ctrl-C stops")
    clock.seconds += 2
    Outlet(stream, quiet=True, before=lambda _: signs.hush(answers=True)).write("The answer\n")
    clock.seconds += 2
    signs.look()
    assert stream.getvalue().endswith("The answer\n")


def test_no_line_is_told_over_a_question(monkeypatch: pytest.MonkeyPatch) -> None:
    """`history` alone asks which panel: its question was overwritten after a second."""
    stream, clock = Terminal(), Clock()
    with monkeypatch.context() as patch:
        patch.setattr(sys, "stderr", stream)
        patch.setattr(alive, "_beat", lambda signs: None)
        with sound() as signs:
            signs.now = clock
            signs.begin("history", asks=False)
            sys.stderr.write("Which panel, check or position: ")
            clock.seconds += 9
            signs.look()
            assert shown(stream) == "Which panel, check or position:"


def test_nothing_is_said_where_no_terminal_is(run: Run, many: Path) -> None:
    stream, clock = io.StringIO(), Clock()
    signs, kept = begun(stream, clock)
    clock.seconds += 9
    signs.look()
    signs.end()
    assert (kept, stream.getvalue()) == ([], "")
    assert run(many, "due").err == ""


def test_ctrl_c_leaves_at_once_with_130(many: Path) -> None:
    """A command that waits for another one, and is interrupted, is gone."""
    leader, follower = pty.openpty()
    # The lock of somebody who lives: the command says for whom it waits, and would wait for ever.
    with store.writing(many, command="another"):
        process = start(("--store", str(many), "hours", "tach=700"), stdin=follower, stdout=follower, stderr=follower)
        os.close(follower)
        told = b""
        while b"waiting for" not in told:
            told += os.read(leader, 1000)
        process.send_signal(signal.SIGINT)
        assert process.wait(60) == 130
    os.close(leader)
