"""Single keys of a terminal, and when one of them is an answer.

A hand that rests on a key, a pasted text and a key that sticks must not tick a box. So a key is an answer only when a
question stands on the screen and then no key came for QUIET seconds, when it came by itself, and when none followed it
for ALONE seconds. A key that is held answers once at most: its repeats come after a quarter of a second to a whole one,
and then too close to each other to leave QUIET seconds free, or ALONE seconds after the first of them. That holds for
keyboards that repeat at least five times a second; one that is set to repeat more slowly than QUIET cannot be told from
a person who presses the key again.
"""

import contextlib
import os
import select
import sys
import time
from collections.abc import Callable
from typing import Any, Protocol

try:
    import termios
except ImportError:  # a system whose terminals give whole lines only
    termios = None  # type: ignore[assignment]

QUIET = 0.4
ALONE = 0.2
# A line that comes so soon behind another was pasted with it.
AT_ONCE = 0.1
LOOK = 0.5  # how often the size of the window is looked at while nobody types
# What `one_key` gives besides a character that was typed.
END, RESIZED = "end", "resized"
CTRL_D = b"\x04"
# Stands for a line that is no text in the encoding of the terminal; nothing takes it.
NOT_TEXT = "\x00"


class Keyboard(Protocol):
    """Where keys come from: a terminal, or a test that has a clock of its own."""

    def now(self) -> float:
        """Seconds, from any beginning."""

    def read(self, seconds: float) -> bytes | None:
        """All that has been typed, as soon as there is any; None when nothing was by then, b"" when input has ended."""

    def size(self) -> tuple[int, int]:
        """Columns and lines of the window."""

    def line(self, prompt: str) -> str | None:
        """A whole line, after a prompt that may be edited until Enter, and behind it, each after a line end, those that
        were pasted with it; None when input has ended.
        """


def one_key(source: Keyboard, *, ready: Callable[[], None], refused: Callable[[], None]) -> str:
    """The one key that is an answer to what has just been drawn, in lower case; END, or RESIZED to draw it again.

    `ready` is called when a key would be taken, `refused` when after that keys came that are none.
    """
    size = source.size()
    last = source.now()
    is_ready = False
    while True:
        quiet = last + QUIET - source.now()
        if quiet <= 0 and not is_ready:
            ready()
            is_ready = True
        typed = source.read(quiet if quiet > 0 else LOOK)
        if typed in (b"", CTRL_D):
            return END
        if typed is None:
            if source.size() != size:
                return RESIZED
            continue
        if quiet <= 0 and len(typed) == 1:
            after = source.read(ALONE)
            if after is None:
                return typed.decode("ascii", "replace").lower()
            if after == b"":
                return END
        last = source.now()
        if is_ready:
            refused()
            is_ready = False


def forget_typed() -> None:
    """Throw away what was typed at the terminal before a question stood there: it is no answer to it."""
    if termios is not None:
        with contextlib.suppress(AttributeError, OSError, ValueError, termios.error):
            termios.tcflush(sys.stdin.fileno(), termios.TCIFLUSH)


class Terminal:
    """The keys of the terminal that standard input is; `with` gives it back as it was."""

    def __init__(self) -> None:
        self.input = sys.stdin.fileno()
        self.cooked: list[Any] = termios.tcgetattr(self.input)

    def __enter__(self) -> "Terminal":
        return self

    def __exit__(self, *_: object) -> None:
        self._set(self.cooked, termios.TCSAFLUSH)

    def now(self) -> float:
        return time.monotonic()

    def size(self) -> tuple[int, int]:
        try:
            columns, lines = os.get_terminal_size(sys.stdout.fileno())
        except (OSError, ValueError):
            columns, lines = 0, 0
        # A terminal that does not know its size says nought.
        return columns or 80, lines or 24

    def read(self, seconds: float) -> bytes | None:
        # Each time anew: after Ctrl-Z and fg, or after another program, the terminal is as that left it.
        self._set(self._raw(), termios.TCSANOW)
        readable, _, _ = select.select([self.input], [], [], max(0.0, seconds))
        if not readable:
            return None
        try:
            return os.read(self.input, 4096)
        except OSError:
            # The window was closed.
            return b""

    def line(self, prompt: str) -> str | None:
        self._set(self.cooked, termios.TCSADRAIN)
        forget_typed()
        try:
            return input(prompt) + self.behind()
        except EOFError:
            return None
        except UnicodeDecodeError:
            return NOT_TEXT

    def behind(self) -> str:
        """What came at once behind a line that was ended with Enter, and the line end between them; "" as a rule. Read
        as keys are, for the last line of a pasted text has no Enter behind it.
        """
        more = b""
        while typed := self.read(AT_ONCE):
            more += typed
        self._set(self.cooked, termios.TCSADRAIN)
        return "\n" + more.decode(getattr(sys.stdin, "encoding", None) or "utf-8") if more else ""

    def _raw(self) -> list[Any]:
        """Keys at once and unseen; Ctrl-C and Ctrl-Z do what they always do."""
        raw = [*self.cooked[:6], [*self.cooked[6]]]
        raw[3] &= ~(termios.ICANON | termios.ECHO)
        raw[6][termios.VMIN], raw[6][termios.VTIME] = 1, 0
        return raw

    def _set(self, state: list[Any], when: int) -> None:
        with contextlib.suppress(termios.error):
            termios.tcsetattr(self.input, when, state)


def came_behind() -> str:
    """`Terminal.behind`, where single keys are not asked for; "" where standard input is no terminal that tells it."""
    if termios is None:
        return ""
    try:
        return Terminal().behind()
    except UnicodeDecodeError:
        return NOT_TEXT
    except (AttributeError, OSError, ValueError, termios.error):
        return ""


def single_keys() -> Terminal | None:
    """The terminal, where both standard input and output are one that gives single keys; else None."""
    if termios is None or os.environ.get("TERM", "dumb") in ("", "dumb"):
        return None
    try:
        if not (os.isatty(sys.stdin.fileno()) and os.isatty(sys.stdout.fileno())):
            return None
        return Terminal()
    except (AttributeError, OSError, ValueError, termios.error):
        return None
