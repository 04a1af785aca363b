"""The pager: for what is longer than the screen, where somebody sits at both ends; the exit code is kept."""

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

WORDS = ("due", "--all")


def at_a_terminal(hangar: Path, tmp_path: Path, *words: str, lines: int = 24, typed: str = "") -> tuple[int, str, bool]:
    """Exit code, what a terminal of 80 columns showed, and whether the pager was called."""
    called = tmp_path / "paged"
    called.unlink(missing_ok=True)
    pager = tmp_path / "pager"
    pager.write_text(f"#!/bin/sh\ntouch '{called}'\ncat\n", encoding="utf-8")
    pager.chmod(0o755)
    outer, inner = pty.openpty()
    env = {**os.environ, "PAGER": str(pager), "TERM": "xterm", "COLUMNS": "80", "LINES": str(lines)}
    started = subprocess.Popen(
        [sys.executable, "-m", "inspect_kit", "--store", str(hangar), *words],
        stdin=inner,
        stdout=inner,
        stderr=inner,
        env=env,
    )
    os.close(inner)
    if typed:
        os.write(outer, typed.encode())
    shown = b""
    while True:
        try:
            part = os.read(outer, 4096)
        except OSError:
            break
        if not part:
            break
        shown += part
    os.close(outer)
    return started.wait(), shown.decode(errors="replace"), called.exists()


def test_takes_what_is_longer_than_the_screen(hangar: Path, tmp_path: Path) -> None:
    code, shown, paged = at_a_terminal(hangar, tmp_path, *WORDS, lines=10)
    assert (code, paged) == (0, True)
    assert "Due list" in shown


def test_takes_help_that_is_longer_than_the_screen(hangar: Path, tmp_path: Path) -> None:
    code, shown, paged = at_a_terminal(hangar, tmp_path, "--help", lines=24)
    assert (code, paged) == (0, True)
    assert "Commands:" in shown
    assert at_a_terminal(hangar, tmp_path, "scope", "--help", lines=40)[::2] == (0, False)


def test_keeps_the_exit_code(hangar: Path, tmp_path: Path) -> None:
    words = ("due", "--all", "--strict", "--until", "2027-07-01")
    assert at_a_terminal(hangar, tmp_path, *words, lines=10)[::2] == (1, True)


@pytest.mark.parametrize(
    ("words", "lines"), [(WORDS, 5000), (("--no-pager", *WORDS), 10), (("due", "--json"), 10), (("walk",), 10)]
)
def test_is_not_called_for_what_fits_or_without_it(
    hangar: Path, tmp_path: Path, words: tuple[str, ...], lines: int
) -> None:
    assert at_a_terminal(hangar, tmp_path, *words, lines=lines)[2] is False


def test_is_not_called_in_a_pipe(hangar: Path, tmp_path: Path) -> None:
    env = {**os.environ, "PAGER": "false", "LINES": "10"}
    command = [sys.executable, "-m", "inspect_kit", "--store", str(hangar), *WORDS]
    done = subprocess.run(command, capture_output=True, stdin=subprocess.DEVNULL, env=env, check=False)
    assert (done.returncode, b"Due list" in done.stdout) == (0, True)
    assert b"\x1b" not in done.stdout
