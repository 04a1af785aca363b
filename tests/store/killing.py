"""Kill a process at every call of the system that writes: before it, in the middle of it, right after it.

`Hooks` replaces the functions of `os` through which the store writes. That there is no other way is shown by
`test_killed.test_nothing_writes_past_the_hooks`, which counts the calls of the system itself where strace is there.
"""

import contextlib
import os
import signal
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

WRITING = ("open", "write", "pwrite", "fsync", "link", "rename", "replace", "unlink", "mkdir", "ftruncate", "fchmod")
WAYS = ("before", "torn", "after")


@dataclass
class Hooks:
    """Counts the writing calls of this process; at number `at` the process is killed in the given way."""

    at: int = -1
    way: str = "before"
    count: int = 0
    calls: list[str] = field(default_factory=list)

    def install(self) -> None:
        for name in WRITING:
            setattr(os, name, self._hook(name, getattr(os, name)))

    def _hook(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*arguments: Any, **options: Any) -> Any:
            if name == "open" and not arguments[1] & os.O_CREAT:
                return real(*arguments, **options)
            number, self.count = self.count, self.count + 1
            self.calls.append(name)
            if number != self.at:
                return real(*arguments, **options)
            if self.way == "torn" and name in ("write", "pwrite"):
                half = bytes(arguments[1])[: len(arguments[1]) // 2]
                real(arguments[0], half, *arguments[2:])
            elif self.way == "after":
                with contextlib.suppress(OSError):
                    real(*arguments, **options)
            os.kill(os.getpid(), signal.SIGKILL)
            raise AssertionError("still alive")

        return call


def run_killed(action: Callable[[], object], at: int, way: str) -> bool:
    """Run `action` in a forked child that is killed at writing call `at`; whether it was killed before its end."""
    child = os.fork()
    if child == 0:
        code = 1
        try:
            Hooks(at=at, way=way).install()
            action()
            code = 0
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return True
    assert os.waitstatus_to_exitcode(status) == 0, "the action failed by itself"
    return False


def count_calls(action: Callable[[], object]) -> int:
    """How many writing calls an action makes, counted in a forked child."""
    receive, send = os.pipe()
    child = os.fork()
    if child == 0:
        hooks = Hooks()
        write = os.write
        hooks.install()
        action()
        write(send, str(hooks.count).encode())
        os._exit(0)
    os.close(send)
    with os.fdopen(receive, "rb") as stream:
        said = stream.read()
    os.waitpid(child, 0)
    return int(said)
