"""Standard streams that cannot make a fault: closed, full, broken off, or without a character for what is to be said.

What cannot be encoded is escaped. What cannot be written raises Lost on standard output, which no library takes for
something else, and is passed over on standard error, for there is nobody left to tell.
"""

import contextlib
import errno
import os
import sys
from collections.abc import Callable, Iterator
from typing import Any, TextIO

from inspect_kit.cli.alive import SignsOfLife


class Lost(Exception):
    """Standard output takes no more; str() says why."""

    def __init__(self, cause: OSError) -> None:
        from inspect_kit.store.layout import reason

        super().__init__(reason(cause))
        # Whoever read it has seen enough: `inspect-kit due | head`.
        self.is_closed_pipe = cause.errno in (errno.EPIPE, errno.ECONNRESET)


class Outlet:
    """A stream whose failing to write is told in one way, or not at all where `quiet` is set.

    `before` is called with what is to be written, before it is.
    """

    def __init__(self, stream: TextIO, *, quiet: bool, before: Callable[[str], None] = lambda _: None) -> None:
        self._stream, self._quiet, self._before = stream, quiet, before
        self._lost: Lost | None = None
        if hasattr(stream, "reconfigure"):
            with contextlib.suppress(OSError, ValueError):
                stream.reconfigure(errors="backslashreplace")

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def __iter__(self) -> Iterator[str]:
        return iter(self._stream)

    def write(self, text: str) -> int:
        self._before(text)
        with self._told():
            return self._stream.write(text)
        return len(text)

    def flush(self) -> None:
        with self._told():
            self._stream.flush()

    @contextlib.contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except OSError as cause:
            # What the stream still holds would be tried again when Python shuts down.
            with contextlib.suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), self._stream.fileno())
            self._lost = Lost(cause)
        # Said at every further call as well: a library may have tried the stream out and kept silent.
        if self._lost is not None and not self._quiet:
            raise self._lost


@contextlib.contextmanager
def sound() -> Iterator[SignsOfLife]:
    """Standard output and standard error as Outlets, and the ones that were there again afterwards; with signs of life,
    which give way to whatever is written to them."""
    before = sys.stdout, sys.stderr
    signs = SignsOfLife(before[1])
    sys.stdout = Outlet(before[0], quiet=False, before=lambda _: signs.hush(answers=True))
    # A line that is not ended is a question: whoever thinks about it has it before his eyes.
    sys.stderr = Outlet(before[1], quiet=True, before=lambda text: signs.hush(answers=not text.endswith("\n")))
    try:
        yield signs
    finally:
        signs.end()
        sys.stdout, sys.stderr = before


def open_missing() -> None:
    """Put the null device where the caller left a standard stream closed, before a file of ours takes its number."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115
