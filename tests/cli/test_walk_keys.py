"""When a key is an answer: drawn, quiet, by itself. A held key, a pasted text and Enter answer nothing."""

import contextlib
import io
import os
import pty
import re
import select
import subprocess
import sys
from itertools import accumulate, pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.cli import walk_keys
from inspect_kit.cli.walk_keys import ALONE, END, QUIET, Terminal, one_key, single_keys
from inspect_kit.cli.walk_talk import Talk
from tests.cli.conftest import Run
from tests.cli.hand import CTRL_D, ENTER, Hand, Held, Line, Size, held, typed
from tests.cli.walk_store import BOXES, page, ticked, walk, walk_store

SIMPLE = ("shell", "baffles", "stacks", "mount")


def first_key(source: Held | Hand) -> str:
    return one_key(source, ready=lambda: None, refused=lambda: None)


class TestAHeldKey:
    @pytest.mark.parametrize("delay", [1 / 30, 0.2, 0.25, 0.39, 0.41, 0.5, 0.59, 0.61, 0.66, 0.75, 1.0])
    @pytest.mark.parametrize("start", [0.0, 0.2, 0.399, 0.401, 0.7, 5.0])
    def test_30_keys_a_second_for_10_seconds_answer_at_most_one_box(
        self, tmp_path: Path, delay: float, start: float
    ) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        assert len(ticked(walk(root, Held(held(delay, 30, 10, start))))) <= 1

    def test_and_one_where_the_first_came_when_it_was_asked(self, tmp_path: Path) -> None:
        """The test of the test: these keys do reach the walk."""
        root = walk_store(tmp_path, *SIMPLE)
        assert ticked(walk(root, Held(held(0.5, 30, 10, 1.0)))) == ["shell"]

    @pytest.mark.parametrize("rate", [5.1, 8, 11, 25, 60, 500])
    @pytest.mark.parametrize("delay", [0.25, 0.5, 0.66, 0.9])
    def test_at_every_rate_of_a_keyboard(self, tmp_path: Path, rate: float, delay: float) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        assert len(ticked(walk(root, Held(held(delay, rate, 10))))) <= 1

    @pytest.mark.parametrize("key", [b"\r", b"\n", b" ", b"a", b"\x1b[A"])
    def test_whatever_the_key(self, tmp_path: Path, key: bytes) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        assert len(ticked(walk(root, Held(held(0.5, 30, 10), key=key)))) <= (key == b" ")

    def test_enter_held_while_a_line_is_asked_writes_nothing(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        sheet = walk(root, Hand(["o", *[Line("")] * 300]))
        assert [reading.value for reading in sheet.entries[0].readings] == ["", "", ""]
        assert ticked(sheet) == ["compression"]

    @settings(max_examples=300)
    @given(gaps=st.lists(st.floats(0, QUIET - 0.001), min_size=1, max_size=60), start=st.floats(0, 2))
    def test_of_keys_that_never_leave_the_quiet_free_only_the_first_can_answer(
        self, gaps: list[float], start: float
    ) -> None:
        times = list(accumulate(gaps, initial=start))
        source = Held(times)
        answers = 0
        while first_key(source) != END:
            answers += 1
        # Whatever is accepted was followed by nothing for ALONE seconds.
        alone = sum(1 for here, then in pairwise([-1.0, *times]) if then - here >= QUIET)
        assert answers <= alone


class TestAKey:
    def test_answers_without_enter(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        assert ticked(walk(root, Hand(typed("o O")))) == ["shell", "baffles", "stacks"]

    def test_that_comes_before_the_quiet_is_over_is_no_answer(self) -> None:
        assert first_key(Hand(["o"], pause=QUIET - 0.01)) == END
        assert first_key(Hand(["o"], pause=QUIET + 0.01)) == "o"

    def test_that_is_followed_at_once_is_no_answer(self) -> None:
        assert first_key(Held([1.0, 1.0 + ALONE - 0.01])) == END
        assert first_key(Held([1.0, 1.0 + ALONE + 0.01])) == "o"

    @pytest.mark.parametrize("burst", ["oo", "ok\r", "\x1b[A", "\x1bo", "ö", "o" * 4096])
    def test_several_bytes_at_once_are_no_answer(self, tmp_path: Path, burst: str) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        assert ticked(walk(root, Hand([burst, burst]))) == []

    def test_enter_alone_is_no_answer_and_is_told(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        assert ticked(walk(root, Hand([ENTER, "\n", ENTER]))) == []
        assert "Enter answers nothing" in capsys.readouterr().out

    def test_ctrl_d_ends_the_walk(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        assert ticked(walk(root, Hand(["o", CTRL_D, "o"]))) == ["shell"]


def test_a_changed_window_draws_the_box_again_in_its_new_width(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = walk_store(tmp_path)
    walk(root, Hand([Size((60, 24)), Size((44, 24)), "s"], window=(100, 30)))
    screens = re.split(r"\n\d+/17 ", capsys.readouterr().out)
    assert len(screens) == 4
    for screen, columns in zip(screens[1:], (100, 60, 44), strict=True):
        assert max(len(line) for line in screen.split("\n")[:6]) < columns, columns


class TestLines:
    def test_piped_input_goes_by_lines_and_an_empty_line_answers_nothing(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        assert run(root, "walk", typed=("", " ", "\t", "", "")).code == 0
        assert ticked(page(root)) == []
        assert run(root, "walk", typed=("o", "", "OK", "s")).code == 0
        assert ticked(page(root)) == ["shell", "baffles"]

    def test_a_pasted_word_is_no_answer_by_its_first_letter(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        answer = run(root, "walk", typed=("oo", "okay", "oil"))
        assert (answer.code, ticked(page(root))) == (0, [])
        assert "`okay` is none of them" in answer.out

    def test_a_command_that_is_not_at_a_terminal_takes_no_single_keys(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(walk_keys.sys, "stdin", io.StringIO("o"))
        assert single_keys() is None
        monkeypatch.setattr(walk_keys.sys, "stdin", None)
        assert single_keys() is None

    @pytest.mark.parametrize(("name", "both"), [("xterm", False), ("dumb", True), ("", True)])
    def test_single_keys_only_where_both_are_terminals_that_can(
        self, monkeypatch: pytest.MonkeyPatch, name: str, both: bool
    ) -> None:
        outer, inner = pty.openpty()
        with os.fdopen(inner, "r+b", buffering=0) as raw:
            monkeypatch.setenv("TERM", "xterm")
            terminal, file = _Stream(raw.fileno()), _Stream(os.open(os.devnull, os.O_RDWR))
            monkeypatch.setattr(walk_keys.sys, "stdin", terminal)
            monkeypatch.setattr(walk_keys.sys, "stdout", terminal)
            assert single_keys() is not None
            monkeypatch.setenv("TERM", name)
            monkeypatch.setattr(walk_keys.sys, "stdout", terminal if both else file)
            assert single_keys() is None
            os.close(file.fileno())
        os.close(outer)


PASTED = "crack 8 mm\nat the weld\n\nF2 second"


class TestSeveralLinesPasted:
    """All but the first were dropped, and stood on the screen as though they were written."""

    def test_where_words_are_asked_they_are_one_line(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        sheet = walk(root, Hand(["f", Line(PASTED), "1", "r", Line("Ada saw it\nas well\n"), "s"]))
        assert sheet.entries[0].findings[0].text == "crack 8 mm at the weld F2 second"
        assert sheet.entries[0].notes == ("Ada saw it as well",)
        assert "  Taken as one line: crack 8 mm at the weld F2 second\n" in capsys.readouterr().out

    @pytest.mark.parametrize("key", ["n", "d"])
    def test_so_is_a_reason(self, tmp_path: Path, key: str) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        sheet = walk(root, Hand([key, Line("no scaffold\nuntil Monday\n"), "s"]))
        assert sheet.entries[0].reason == "no scaffold until Monday"

    def test_elsewhere_nothing_is_taken_and_it_is_asked_again(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        sheet = walk(root, Hand(["o", Line("76\n74\n690"), Line("75"), Line("74"), Line("690"), "s"]))
        assert [reading.value for reading in sheet.entries[0].readings] == ["75", "74", "690"]
        assert "Not taken: 3 lines at once, and one is asked here" in capsys.readouterr().out

    def test_enter_twice_is_enter(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        sheet = walk(root, Hand(["o", Line("75\n\n"), Line("\n"), Line("\n74"), Line("690"), "s"]))
        assert [reading.value for reading in sheet.entries[0].readings] == ["75", "74", "690"]
        assert "lines at once" not in capsys.readouterr().out

    @pytest.mark.parametrize("words", [(), ("--lines",)])
    @pytest.mark.parametrize("ends", ["", "\r"])
    def test_at_a_terminal(self, tmp_path: Path, words: tuple[str, ...], ends: str) -> None:
        """The last line has no Enter behind it, or one; nothing of it answers what is asked next."""
        root = walk_store(tmp_path, *SIMPLE)
        enter = "\r" if words else ""
        told = at_terminal(
            [sys.executable, "-m", "inspect_kit", "walk", *words],
            root,
            [("> ", f"f{enter}"), ("found? ", f"{PASTED}\no{ends}"), ("to be corrected:", ""), ("> ", f"1{enter}")],
        )
        assert "Taken as one line: crack 8 mm at the weld F2 second o" in told
        sheet = page(root)
        assert [finding.text for finding in sheet.entries[0].findings] == ["crack 8 mm at the weld F2 second o"]
        assert ticked(sheet) == []


def at_terminal(words: list[str], root: Path, does: list[tuple[str, str]]) -> str:
    """What a command says at a terminal of its own at which each of these is typed once its words were read."""
    leader, follower = pty.openpty()
    environment = {**os.environ, "TERM": "xterm", "PYTHONPATH": str(Path(__file__).parents[2])}
    with subprocess.Popen(
        words, cwd=root, stdin=follower, stdout=follower, stderr=follower, env=environment
    ) as command:
        os.close(follower)
        told, read = "", 0
        for awaited, keys in [*does, ("> ", "\x04")]:
            while awaited not in told[read:]:
                assert select.select([leader], [], [], 60)[0], told
                told += os.read(leader, 4096).decode()
            read = told.index(awaited, read) + len(awaited)
            os.write(leader, keys.encode())
        with contextlib.suppress(OSError):  # the other end is closed
            while more := os.read(leader, 4096):
                told += more.decode()
        command.wait()
    os.close(leader)
    return told


class _Stream:
    def __init__(self, number: int) -> None:
        self.number = number

    def fileno(self) -> int:
        return self.number


def test_a_terminal_gives_keys_at_once_and_unseen_and_is_given_back_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    import termios

    outer, inner = pty.openpty()
    try:
        monkeypatch.setattr(walk_keys.sys, "stdin", _Stream(inner))
        monkeypatch.setattr(walk_keys.sys, "stdout", _Stream(inner))
        before = termios.tcgetattr(inner)
        with Terminal() as terminal:
            assert terminal.read(0.0) is None
            os.write(outer, b"o")
            assert terminal.read(60.0) == b"o"
            assert not termios.tcgetattr(inner)[3] & (termios.ECHO | termios.ICANON)
            assert termios.tcgetattr(inner)[3] & termios.ISIG
        assert termios.tcgetattr(inner) == before
    finally:
        os.close(outer)
        os.close(inner)


def test_every_box_of_the_small_store_is_on_its_page(tmp_path: Path) -> None:
    assert len(page(walk_store(tmp_path)).entries) == len(BOXES)


def test_what_stands_before_two_blanks_stays_a_column_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "41")
    told = Talk().wrapped("47 f crack 8 mm  a finding at box 47, asked later at 13.7 gal/h", "  ", " " * 17)
    assert told.split("\n") == [
        "  47 f crack 8 mm  a finding at box 47,",
        "                   asked later at",
        "                   13.7 gal/h",
    ]
