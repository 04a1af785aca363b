"""A hand at the keys, with a clock of its own: nothing in it waits."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from inspect_kit.cli.walk_keys import Keyboard

ENTER, CTRL_D = "\r", "\x04"


class Line(str):
    """A whole line, typed where one is asked."""


class Size(tuple[int, int]):
    """The window becomes so large."""


@dataclass
class Hand(Keyboard):
    """Types one thing after another, `pause` seconds after what came before; then input has ended.

    A plain text of more than one character arrives at once, as a pasted one does. A Line that is met where a key is
    asked, or a key where a line is, is a mistake of the test.
    """

    does: Sequence[str | Size]
    pause: float = 1.0
    window: tuple[int, int] = (80, 24)
    clock: float = 0.0
    at: int = 0
    due: float = field(default=-1.0)

    def now(self) -> float:
        return self.clock

    def size(self) -> tuple[int, int]:
        return self.window

    def _next(self) -> str | Size | None:
        if self.due < 0:
            self.due = self.clock + self.pause
        return self.does[self.at] if self.at < len(self.does) else None

    def read(self, seconds: float) -> bytes | None:
        thing = self._next()
        if self.due > self.clock + seconds:
            self.clock += seconds
            return None
        self.clock = max(self.clock, self.due)
        self.due = -1.0
        if thing is None:
            return b""
        self.at += 1
        if isinstance(thing, Size):
            self.window = (thing[0], thing[1])
            return None
        assert not isinstance(thing, Line), f"a key is asked and the line {thing!r} would be typed"
        return thing.encode()

    def line(self, prompt: str) -> str | None:
        thing = self._next()
        self.clock, self.due = max(self.clock, self.due), -1.0
        print(prompt, end="")
        if thing is None:
            return None
        self.at += 1
        assert isinstance(thing, Line), f"a line is asked at {prompt!r} and the key {thing!r} would be pressed"
        print(thing)
        return str(thing)

    @property
    def left(self) -> Sequence[str | Size]:
        """What was not needed."""
        return self.does[self.at :]


@dataclass
class Held(Keyboard):
    """Keys at given times, whoever asks; what has come by then is read at once. A line that is asked gets Enter."""

    times: Sequence[float]
    key: bytes = b"o"
    clock: float = 0.0
    at: int = 0

    def now(self) -> float:
        return self.clock

    def size(self) -> tuple[int, int]:
        return (80, 24)

    def read(self, seconds: float) -> bytes | None:
        if self.at >= len(self.times):
            self.clock += seconds
            # Long after the last key the window is closed.
            return b"" if self.clock > (self.times[-1] if self.times else 0.0) + 60 else None
        come = self._come(self.clock)
        if not come:
            if self.times[self.at] > self.clock + seconds:
                self.clock += seconds
                return None
            self.clock = self.times[self.at]
            come = self._come(self.clock)
        self.at += come
        return self.key * come

    def _come(self, by: float) -> int:
        return sum(1 for time in self.times[self.at :] if time <= by)

    def line(self, prompt: str) -> str | None:
        return "" if self.at < len(self.times) else None


def held(delay: float, rate: float, seconds: float, start: float = 1.0) -> list[float]:
    """When a held key comes: once, after `delay` again, then `rate` times a second."""
    return [start] + [start + delay + number / rate for number in range(int((seconds - delay) * rate))]


def typed(*does: str | Iterable[str]) -> list[str]:
    """Keys, each by itself; lines stay whole."""
    found: list[str] = []
    for each in does:
        found += [each] if isinstance(each, Line) else list(each)
    return found
