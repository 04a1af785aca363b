"""One writer at a time: the lock of the store.

The lock is `.inspect-kit/lock`, held by the system for as long as the process lives (flock), so that a killed command
leaves none behind: what stands in the file then is only the last holder's name. Where the system has no flock, the
file itself is the lock, and one whose process no longer runs on this computer is taken away.
"""

import contextlib
import errno
import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

from inspect_kit.errors import StoreUnreadable
from inspect_kit.store.layout import OWN, reason
from inspect_kit.store.transaction import finish, is_unfinished
from inspect_kit.store.writing import Writer, clear_halves, make_folder, refuse_other

fcntl: ModuleType | None
try:
    import fcntl
except ImportError:  # a system without it
    fcntl = None

LOCK = f"{OWN}/lock"
LOCK_BY_NAME = f"{OWN}/lock.held"
PAUSE = 0.1
# No process has a number of more digits.
LONGEST_NUMBER = 12


def say_nothing(holder: str) -> None:
    """The default for `waiting`: wait without a word."""


@contextlib.contextmanager
def writing(
    root: Path,
    *,
    command: str,
    waiting: Callable[[str], None] = say_nothing,
    patience: float | None = None,
) -> Iterator[Writer]:
    """Hold the lock of the store at `root` and give the right to write.

    If another command holds it, `waiting(holder)` is called once with who that is, then this one waits:
    `patience` seconds (StoreUnreadable after that), or for as long as it takes.
    """
    me = f"{command} (process {os.getpid()} on {_host()})"
    refuse_other(root / OWN, folder=True)
    for name in (LOCK, LOCK_BY_NAME):
        refuse_other(root / name)
    try:
        make_folder(root, root / OWN)
        _ignore_itself(root)
    except OSError as error:
        raise StoreUnreadable(f"the store at {root} cannot be written: {reason(error)}") from error
    hold = _hold_by_system if fcntl else _hold_by_name
    with hold(root, me, waiting, patience):
        clear_halves(root)
        writer = Writer(root=root)
        if is_unfinished(root):
            finish(writer)
        yield writer


@contextlib.contextmanager
def _hold_by_system(root: Path, me: str, waiting: Callable[[str], None], patience: float | None) -> Iterator[None]:
    assert fcntl is not None
    try:
        handle = os.open(root / LOCK, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise StoreUnreadable(f"{LOCK} cannot be opened: {reason(error)}") from error
    try:
        pauses = _pauses(patience)
        while not _try(handle):
            next(pauses)(waiting, _holder(root / LOCK))
        try:
            os.ftruncate(handle, 0)
            os.pwrite(handle, me.encode("utf-8", "backslashreplace"), 0)
        except OSError as error:
            raise StoreUnreadable(f"{LOCK} cannot be written: {reason(error)}") from error
        yield
    finally:
        os.close(handle)


def _try(handle: int) -> bool:
    assert fcntl is not None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EACCES, errno.EAGAIN):
            return False
        raise StoreUnreadable(f"{LOCK} cannot be locked: {reason(error)}") from error
    return True


@contextlib.contextmanager
def _hold_by_name(root: Path, me: str, waiting: Callable[[str], None], patience: float | None) -> Iterator[None]:
    path = root / LOCK_BY_NAME
    pauses = _pauses(patience)
    while True:
        try:
            handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
            break
        except FileExistsError:
            holder = _holder(path)
            if _is_stale(holder):
                _take_away(path, holder)
            else:
                next(pauses)(waiting, holder)
        except OSError as error:
            raise StoreUnreadable(f"{LOCK_BY_NAME} cannot be made: {reason(error)}") from error
    try:
        os.write(handle, me.encode("utf-8", "backslashreplace"))
        os.close(handle)
        yield
    finally:
        with contextlib.suppress(OSError):
            os.unlink(path)


def _pauses(patience: float | None) -> Iterator[Callable[[Callable[[str], None], str], None]]:
    """One pause after another: the first one tells whom we wait for, the last one gives up."""

    def first(waiting: Callable[[str], None], holder: str) -> None:
        waiting(holder)
        time.sleep(PAUSE)

    def later(waiting: Callable[[str], None], holder: str) -> None:
        time.sleep(PAUSE)

    def last(waiting: Callable[[str], None], holder: str) -> None:
        raise StoreUnreadable(f"the store is locked by {holder}: wait until that has ended, then run the command again")

    end = None if patience is None else time.monotonic() + patience
    yield first
    while end is None or time.monotonic() < end:
        yield later
    yield last


def _holder(path: Path) -> str:
    try:
        return path.read_text("utf-8", "replace").strip() or "another command"
    except OSError:
        return "another command"


def _is_stale(holder: str) -> bool:
    """Whether the process that a lock file names ran on this computer and runs no longer."""
    head, _, host = holder.rpartition(" on ")
    number = head.rpartition(" ")[2]
    if host != f"{_host()})" or not number.isdecimal() or len(number) > LONGEST_NUMBER:
        return False
    try:
        os.kill(int(number), 0)
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False


def _take_away(path: Path, holder: str) -> None:
    """Take a stale lock away under a name of our own first, so that of two who find it only one removes it."""
    mine = path.with_name(f"{path.name}.{os.getpid()}")
    with contextlib.suppress(OSError):
        os.rename(path, mine)
        if _holder(mine) != holder:
            # Somebody was faster and holds it by now: give it back.
            os.link(mine, path)
        os.unlink(mine)


def _ignore_itself(root: Path) -> None:
    path = root / OWN / ".gitignore"
    refuse_other(path)
    if not path.exists() or path.read_bytes() != b"*\n":
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o666)
        try:
            os.write(handle, b"*\n")
        finally:
            os.close(handle)


def _host() -> str:
    return os.uname().nodename if hasattr(os, "uname") else os.environ.get("COMPUTERNAME", "this computer")
