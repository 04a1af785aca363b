"""How a file gets to the disk: whole or not at all. Only an open page is written over, and only as it was read.

A new file is written in the tool's own folder, flushed, read back and compared, and only then given its name; then
the folder is flushed as well, because a name that is not flushed is lost with the power. `create` never replaces,
`replace` and `remove` act only on a file that still holds the bytes that the caller read. Every function wants the
Writer that `lock.writing` gives, so that nobody writes without the lock.
"""

import contextlib
import errno
import os
import stat
from collections.abc import Iterator, Mapping
from dataclasses import field
from pathlib import Path

from inspect_kit.errors import StoreUnreadable
from inspect_kit.noun import dataclass
from inspect_kit.store.layout import OWN, inside, reason, sort_of

HALF = f"{OWN}/half"
# What a disk answers that knows no second names (hard links), as memory cards do.
NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK)
NO_MODES: Mapping[str, os.stat_result | None] = {}


class AlreadyThere(StoreUnreadable):
    """A file that was to be new exists."""


class ChangedSinceRead(StoreUnreadable):
    """A file holds other bytes than the caller read: somebody else wrote it meanwhile."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Writer:
    """The right to write in the store at `root`, held together with its lock.

    `wrote` are the files written by it so far, so that a failure half-way can say what is true.
    """

    root: Path
    wrote: list[str] = field(default_factory=list, compare=False)

    def note(self, name: str) -> None:
        """Keep the name of a file of the store's own that was written or taken away."""
        if not name.startswith(f"{OWN}/") and name not in self.wrote:
            self.wrote.append(name)


def create(writer: Writer, name: str, data: bytes, *, like: str = "") -> None:
    """Write a file that must not exist yet, with the mode of another one that it is `like`; AlreadyThere if it does."""
    path = inside(writer.root, name)
    with _told(name):
        make_folder(writer.root, path.parent)
        half = _write_half(writer.root, path.parent, data, mode=mode_of(writer.root, like) if like else None)
        try:
            _name_new(half, path)
        except FileExistsError as error:
            raise AlreadyThere(f"{name} exists already and was left as it is; nothing was written") from error
        finally:
            _drop(half)
    writer.note(name)
    _flush_name(path)


def replace(writer: Writer, name: str, data: bytes, *, read: bytes) -> None:
    """Put `data` in the place of the bytes `read`, keeping the file's mode; ChangedSinceRead if it holds others."""
    path = inside(writer.root, name).resolve()
    with _told(name):
        _expect(path, name, read)
        if is_read_only(path):
            raise StoreUnreadable(f"{name} is read-only; nothing was written: make it writable first")
        half = _write_half(writer.root, path.parent, data, mode=path.stat())
        try:
            # Compared once more: an editor may have saved while the new file was flushed.
            _expect(path, name, read)
            os.replace(half, path)
        finally:
            _drop(half)
    writer.note(name)
    _flush_name(path)


def remove_file(writer: Writer, name: str, *, read: bytes) -> None:
    """Take away a file that holds the bytes `read`; one that is gone already is no error."""
    path = inside(writer.root, name)
    with _told(name):
        if not os.path.lexists(path):
            return
        _expect(path, name, read)
        os.unlink(path)
    writer.note(name)
    _flush_name(path)


def expect(writer: Writer, name: str, read: bytes) -> None:
    """ChangedSinceRead unless a file still holds the bytes `read`."""
    with _told(name):
        _expect(inside(writer.root, name), name, read)


def move_folder(writer: Writer, name: str, to: str) -> None:
    """Rename a folder of the store, if it is there and the new name is free."""
    old, new = inside(writer.root, name), inside(writer.root, to)
    with _told(name):
        if not old.is_dir() or old.is_symlink() or os.path.lexists(new):
            return
        make_folder(writer.root, new.parent)
        os.rename(old, new)
    # The new name first: what a disk without a journal remembers of the two is then never that the old one is gone.
    _flush_name(new)
    _flush_name(old)


def copy_folder(writer: Writer, name: str, to: str) -> None:
    """Copy the files of a folder of the store under a new name, which appears with all of them at once."""
    old, new = inside(writer.root, name), inside(writer.root, to)
    with _told(to):
        if not old.is_dir() or old.is_symlink() or os.path.lexists(new):
            return
        files = [file for each in sorted(os.listdir(old)) if (file := old / each).is_file() and not file.is_symlink()]
        modes = {file.name: file.stat() for file in files}
        name_folder(writer, to, {file.name: file.read_bytes() for file in files}, modes)


def name_folder(
    writer: Writer, to: str, files: Mapping[str, bytes], modes: Mapping[str, os.stat_result | None] = NO_MODES
) -> None:
    """Make a folder of the store with these files, by their names in it, and the modes of those of which one is given;
    it appears with all of them at once.
    """
    import shutil

    new = inside(writer.root, to)
    with _told(to):
        make_folder(writer.root, new.parent)
        make_folder(writer.root, writer.root / HALF)
        half = _half_name(writer.root, new.parent)
        os.mkdir(half)
        try:
            for file, data in files.items():
                _write_flushed(half / file, data, mode=modes.get(file))
            flush_folder(half)
            os.rename(half, new)
        finally:
            shutil.rmtree(half, ignore_errors=True)
    _flush_name(new)


def name_file(writer: Writer, name: str, to: str) -> None:
    """Give a file of the tool's own, written and flushed already, its name in the store. AlreadyThere says: taken."""
    old, new = inside(writer.root, name), inside(writer.root, to)
    with _told(to):
        make_folder(writer.root, new.parent)
        try:
            os.link(old, new)
        except FileExistsError as error:
            raise AlreadyThere(f"{to} exists already and was left as it is") from error
        except OSError as error:
            if error.errno not in (*NO_LINKS, errno.EXDEV):
                raise
            # Copied, not renamed: a power cut may forget the new name and remember that the old one was taken.
            create(writer, to, old.read_bytes(), like=name)
    writer.note(to)
    _flush_name(new)
    _drop(old)


def mode_of(root: Path, name: str) -> os.stat_result | None:
    """Who may read a plain file of the store; None where there is none."""
    with contextlib.suppress(OSError):
        status = inside(root, name).lstat()
        return status if stat.S_ISREG(status.st_mode) else None
    return None


def is_read_only(path: Path) -> bool:
    """Whether somebody made a file so that nobody writes in it: its folder would let it be replaced all the same."""
    return not path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)


def make_folder(root: Path, folder: Path) -> None:
    """Make a folder of the store and flush every name on the way to it."""
    missing = []
    while not folder.exists() and folder != root:
        missing.append(folder)
        folder = folder.parent
    for step in reversed(missing):
        with contextlib.suppress(FileExistsError):
            os.mkdir(step)
        flush_folder(step.parent)


def refuse_other(path: Path, *, folder: bool = False) -> None:
    """StoreUnreadable if a path of the tool's own is a link, a pipe, a socket or whatever else is not its own.

    What is cleared there must be its own, and a pipe would hold for ever whoever opens it.
    """
    try:
        mode = path.lstat().st_mode
    except OSError:
        return
    if stat.S_ISLNK(mode):
        raise StoreUnreadable(f"{path} is a symbolic link; take it away, nothing is written through it")
    if not (stat.S_ISDIR(mode) if folder else stat.S_ISREG(mode)):
        own = "the tool's own folder" if folder else "the tool's own file"
        raise StoreUnreadable(f"{path} is {sort_of(mode)} in the place of {own}; take it away")


def flush_folder(folder: Path) -> None:
    """Flush the names in a folder to the disk, where the system can."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def clear_halves(root: Path) -> None:
    """Take away what a killed command left half written; only with the lock held, when nobody else can be writing."""
    import shutil

    refuse_other(root / HALF, folder=True)
    with contextlib.suppress(OSError), os.scandir(root / HALF) as scan:
        for entry in list(scan):
            if entry.is_dir(follow_symlinks=False):
                shutil.rmtree(entry.path, ignore_errors=True)
            else:
                _drop(Path(entry.path))


def _flush_name(path: Path) -> None:
    try:
        flush_folder(path.parent)
    except OSError as error:
        raise StoreUnreadable(
            f"{path.name} is written, but the disk does not say that it is safe: {reason(error)}; check the disk"
        ) from error


def _write_half(root: Path, folder: Path, data: bytes, mode: os.stat_result | None) -> Path:
    refuse_other(root / HALF, folder=True)
    make_folder(root, root / HALF)
    half = _half_name(root, folder)
    try:
        _write_flushed(half, data, mode)
    except BaseException:
        _drop(half)
        raise
    return half


def _half_name(root: Path, folder: Path) -> Path:
    """A free name for something half written that will be renamed into a folder."""
    # A folder that is a disk of its own cannot take a name from another one; the half then stands beside.
    same_disk = (root / HALF).stat().st_dev == folder.stat().st_dev
    return (root / HALF if same_disk else folder) / f".{os.urandom(8).hex()}.half"


def _write_flushed(path: Path, data: bytes, mode: os.stat_result | None) -> None:
    """Write a new file, flush it, read it back and compare."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        if mode is not None:
            _keep(handle, mode)
        os.fsync(handle)
        os.lseek(handle, 0, os.SEEK_SET)
        with os.fdopen(os.dup(handle), "rb") as stream:
            if stream.read() != data:
                raise StoreUnreadable(f"the disk did not give back what was written to it: {path.name} was not kept")
    finally:
        os.close(handle)


def _keep(handle: int, mode: os.stat_result) -> None:
    if hasattr(os, "fchown") and (os.fstat(handle).st_uid, os.fstat(handle).st_gid) != (mode.st_uid, mode.st_gid):
        # Only root may give a file away; for anybody else the file becomes the writer's own, as with any editor.
        with contextlib.suppress(OSError):
            os.fchown(handle, mode.st_uid, mode.st_gid)
    if hasattr(os, "fchmod"):
        os.fchmod(handle, stat.S_IMODE(mode.st_mode))


def _name_new(half: Path, path: Path) -> None:
    try:
        os.link(half, path)
    except OSError as error:
        if error.errno not in NO_LINKS:
            raise
        # The lock keeps other commands away between the look and the rename.
        if os.path.lexists(path):
            raise FileExistsError(path) from None
        os.rename(half, path)


def _expect(path: Path, name: str, read: bytes) -> None:
    try:
        # Without O_NONBLOCK a pipe that was put there would hold us for ever.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with os.fdopen(handle, "rb") as stream:
            now = stream.read() if stat.S_ISREG(os.fstat(handle).st_mode) else None
    except FileNotFoundError as error:
        raise ChangedSinceRead(f"{name} is gone since it was read; nothing was written") from error
    if now != read:
        raise ChangedSinceRead(
            f"{name} was changed by somebody else since it was read; nothing was written. Run the command again"
        )


def _drop(half: Path) -> None:
    with contextlib.suppress(OSError):
        os.unlink(half)


@contextlib.contextmanager
def _told(name: str) -> Iterator[None]:
    """Say an error of the system for people; StoreUnreadable."""
    try:
        yield
    except OSError as error:
        raise StoreUnreadable(f"{name} was not written: {reason(error)}") from error
