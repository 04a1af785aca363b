"""Signs of life: after a second of work one line on a terminal's standard error, gone before anything else is said.

    reading 1,500 of 10,051 files, 3 s; Ctrl-C stops

A thread looks once a second, and only where standard error is a terminal. Whatever the program writes itself takes the
line away first; behind the first line of the answer, and where a question may follow, it never comes back.
"""

import contextlib
import time
from _thread import RLock
from collections.abc import Callable
from typing import TextIO

SECOND = 1.0


class SignsOfLife:
    """The line of one run. `what` is being done; `now` tells seconds; `keep` has `look` called every second."""

    def __init__(
        self,
        stream: TextIO | None = None,
        *,
        now: Callable[[], float] = time.monotonic,
        keep: Callable[["SignsOfLife"], None] | None = None,
    ) -> None:
        self.stream, self.now, self.keep = stream, now, keep or _beat
        self.command = self.what = ""
        self.asks = False
        self.shown = 0
        self.since = 0.0
        self.over = False
        self.lock = RLock()

    def begin(self, command: str, *, asks: bool) -> None:
        """A command begins. If it `asks` questions, the line never comes back once anything else was said."""
        with contextlib.suppress(OSError, ValueError):
            if self.stream is not None and self.stream.isatty() and not self.command:
                self.command = self.what = command
                self.asks, self.since = asks, self.now()
                self.keep(self)

    def count(self, what: str, done: int, total: int) -> None:
        """How far a long reading has come; a `store.Watch`."""
        self.what = self.command if done == total else f"{what} {done:,} of {total:,} files"

    def look(self) -> None:
        """Tell it, if a second has passed in which nothing was said."""
        with self.lock:
            spent = int(self.now() - self.since)
            if not self.command or self.over or spent < SECOND:
                return
            line = f"{self.what}, {spent} s; Ctrl-C stops"
            self._write(f"\r{line:<{self.shown}}")
            self.shown = max(self.shown, len(line))

    def hush(self, *, answers: bool) -> None:
        """Take the line away, for something is to be said: of the answer (`answers`), or beside it."""
        if not self.command:
            return
        with self.lock:
            if self.shown:
                self._write(f"\r{'':<{self.shown}}\r")
                self.shown = 0
            self.since = self.now()
            if answers or self.asks:
                self.over = True

    def end(self) -> None:
        """The command is done."""
        self.hush(answers=True)

    def _write(self, text: str) -> None:
        with contextlib.suppress(OSError, ValueError):
            if self.stream is not None:
                self.stream.write(text)
                self.stream.flush()


def _beat(signs: SignsOfLife) -> None:
    # Only who sits at a terminal waits for this to be read.
    import threading

    def beat() -> None:
        while not signs.over:
            time.sleep(SECOND)
            signs.look()

    threading.Thread(target=beat, daemon=True).start()
