"""The whole program in this process, as a person or a script would call it, with what it said and its exit code."""

import contextlib
import io
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from inspect_kit.cli import main as program
from tests.store.clones import TODAY


@dataclass(frozen=True)
class Answer:
    """Exit code, standard output and standard error; both as the bytes that would reach the terminal."""

    code: int
    out: str
    err: str


def ask(root: Path, *words: str, stdin: str = "") -> Answer:
    """Run `inspect-kit --store ROOT --on TODAY WORDS…`; output goes through a strict UTF-8 stream, as to a pipe."""
    with _streams(stdin) as (out, err), pytest.MonkeyPatch.context() as patch:
        patch.setattr(program, "today", lambda: TODAY)
        code = program.main(["--store", str(root), *words])
        out.flush()
        err.flush()
        said = [stream.buffer.getvalue().decode("utf-8") for stream in (out, err)]  # type: ignore[attr-defined]
    return Answer(code, *said)


@contextlib.contextmanager
def _streams(stdin: str) -> Iterator[tuple[io.TextIOWrapper, io.TextIOWrapper]]:
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", errors="strict") for _ in range(2))
    before = sys.stdin
    sys.stdin = io.TextIOWrapper(io.BytesIO(stdin.encode()), encoding="utf-8")
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            yield out, err
    finally:
        sys.stdin = before
        # Click remembers every stream that it has written to, and with it all that was written.
        for stream in (out, err):
            stream.detach().truncate(0)  # type: ignore[attr-defined]


def acting(text: str, *, allowed: Sequence[str] = ("\n",)) -> list[str]:
    """Every character in a text that a terminal might act on: controls, and what turns the direction of writing."""
    turns = set(range(0x202A, 0x202F)) | set(range(0x2066, 0x206A)) | {0x200E, 0x200F, 0x061C}
    return sorted(
        {
            f"U+{ord(mark):04X}"
            for mark in text
            if mark not in allowed and (ord(mark) < 32 or 0x7F <= ord(mark) < 0xA0 or ord(mark) in turns)
        }
    )
