"""What is written outside a store, as carefully as inside it: a report where it is wanted, a store of one's own.

Nothing here destroys. A report never goes into the folders of a store or of git, links followed first, and takes the
place of a file only if that carries the mark of an older answer of the same command, unchanged, or if it is told to.

    mark = "inspect-kit " COMMAND " " AIRCRAFT " " SHA-256      the last line, as a comment where the paper has any

The SHA-256 is that of COMMAND, AIRCRAFT and every byte of the file before that line. A calendar has the mark behind its
first line, as a property of its own, `X-INSPECT-KIT`, folded (RFC 5545, 3.1 and 3.8.8.2: properties come before
events), and the SHA-256 is that of all other lines. A table has no place for it: one is replaced only by being told to.
"""

import contextlib
import errno
import hashlib
import os
import re
import stat
import unicodedata
from collections.abc import Iterator, Mapping
from pathlib import Path

from inspect_kit.errors import Misused, StoreUnreadable
from inspect_kit.noun import dataclass
from inspect_kit.store.layout import CHECKLISTS, OWN, RECORDS, reason
from inspect_kit.store.writing import NO_LINKS, flush_folder, is_read_only, refuse_other

# What a store and git keep to themselves.
KEPT = (CHECKLISTS, RECORDS, OWN)
# The second is what a system of short names calls the first.
GIT_NAMES = (".git", "git~1")
# What stands before and behind the mark, by the ending of the file.
COMMENT = ("<!-- ", " -->")
MARKED = {".html": COMMENT, ".md": COMMENT, ".txt": ("(", ")")}
CALENDAR, BEGINS = ".ics", b"BEGIN:VCALENDAR\r\n"
PROPERTY = re.compile(rb"X-INSPECT-KIT:.*\r\n(?: .*\r\n)*")
# Where the files of a new store wait in an empty folder until all are there.
NEW = f"{OWN}.new"
# As many letters of a name as leave room for more: most disks take 255 bytes, and a letter may have four.
LONG_NAME = 60


@dataclass(frozen=True, slots=True)
class AnswerMark:
    """Who answered: the command, and the aircraft that the store is of, in one word each."""

    command: str
    aircraft: str

    def signed(self, data: bytes, ending: str) -> bytes:
        """The bytes with the mark behind them; as they are where such a file has no place for it."""
        if ending == CALENDAR and data.startswith(BEGINS):
            # In two lines, so that none has more than 75 octets.
            told = f"X-INSPECT-KIT:{self.command} {self.aircraft}"[:70] + f"\r\n  {self._digest(data)}\r\n"
            return BEGINS + told.encode() + data.removeprefix(BEGINS)
        if ending not in MARKED:
            return data
        before, behind = MARKED[ending]
        end = b"" if data.endswith(b"\n") or not data else b"\n"
        whole = data + end
        return whole + f"{before}inspect-kit {self.command} {self.aircraft} {self._digest(whole)}{behind}\n".encode()

    def is_on(self, data: bytes, ending: str) -> bool:
        """Whether a file is an older answer of this command for this aircraft, and nothing in it was changed."""
        if ending == CALENDAR:
            body = BEGINS + PROPERTY.sub(b"", data.removeprefix(BEGINS), count=1)
            return data.startswith(BEGINS) and data == self.signed(body, ending)
        body = data[: data.rstrip(b"\n").rfind(b"\n") + 1]
        return ending in MARKED and data == self.signed(body, ending)

    def _digest(self, data: bytes) -> str:
        return hashlib.sha256(f"{self.command}\0{self.aircraft}\0".encode() + data).hexdigest()


def write_outside(path: Path, data: bytes, mark: AnswerMark, *, force: bool = False) -> None:
    """Write a file anywhere but in a store: whole, or the old one stays. Misused where something would be destroyed.

    What is no plain file, such as /dev/stdout, is written to; a pipe that nobody reads from is refused.
    """
    refuse_kept(path)
    try:
        if path.exists() and not path.is_file():
            _write_into(path, data)
            return
        target = path.resolve()
        old = target.read_bytes() if target.exists() else None
        if old is not None and not force and not mark.is_on(old, target.suffix):
            raise Misused(
                f"{path} is there already, and is no unchanged older answer of `{mark.command}`: "
                "give another name, or --force to replace it"
            )
        if old is not None and is_read_only(target):
            raise Misused(f"{path} is read-only, and stays as it is: give another name, or make it writable first")
        half = _half(target)
        try:
            _write(half, mark.signed(data, target.suffix))
            _put(half, target, old, path)
        finally:
            with contextlib.suppress(OSError):
                os.unlink(half)
        flush_folder(target.parent)
    except OSError as error:
        raise StoreUnreadable(f"{path} cannot be written: {reason(error)}") from error


def _half(target: Path) -> Path:
    """A free name beside `target` for what is half written; cut, so that it is never longer than a disk takes."""
    return target.with_name(f".{target.name[:LONG_NAME]}.{os.urandom(4).hex()}.half")


def _put(half: Path, target: Path, old: bytes | None, path: Path) -> None:
    """Give the new file its name: in the place of the bytes that were looked at, or where nothing is."""
    try:
        if old is None:
            try:
                os.link(half, target)
            except OSError as error:
                if error.errno not in NO_LINKS:
                    raise
                if os.path.lexists(target):
                    raise FileExistsError(target) from error
                os.replace(half, target)
        else:
            if target.read_bytes() != old:
                raise FileExistsError(target)
            os.chmod(half, target.stat().st_mode & 0o7777)
            os.replace(half, target)
    except FileExistsError as error:
        raise Misused(
            f"{path} was written by somebody else meanwhile; it stays as it is: give another name, or run the command "
            "again"
        ) from error


def _write_into(path: Path, data: bytes) -> None:
    if stat.S_ISBLK(path.stat().st_mode):
        raise Misused(f"{path} is a disk, and nothing is written over it: give the name of a file")
    try:
        # Without O_NONBLOCK a pipe without a reader would hold us for ever.
        handle = os.open(path, os.O_WRONLY | getattr(os, "O_NONBLOCK", 0))
    except OSError as error:
        if error.errno == errno.ENXIO:
            raise StoreUnreadable(
                f"{path} is a pipe that nobody reads from; nothing was written: give the name of a file"
            ) from error
        raise
    if hasattr(os, "set_blocking"):
        os.set_blocking(handle, True)
    with os.fdopen(handle, "wb") as stream:
        stream.write(data)


def refuse_kept(path: Path) -> None:
    """Misused if a path, or what it leads to by links, lies in the folders of a store or of git."""
    try:
        places = dict.fromkeys((Path(os.path.abspath(path)), path.resolve()))
        keepers = [_kept_by(folder) for place in places for folder in place.parents]
    except (OSError, RuntimeError) as error:
        raise StoreUnreadable(f"{path} cannot be followed: {reason(error)}") from error
    for kept in keepers:
        if kept:
            raise Misused(f"{path} lies in {kept}, give a name outside it: an answer is written elsewhere")


def refuse_root(path: Path) -> None:
    """Misused if a file would lie loose in the root of a store, where it would be committed and given away with it."""
    with contextlib.suppress(OSError, RuntimeError):
        root = path.resolve().parent
        if _is_root(root):
            beside = f"../{path.name}" if root == Path.cwd() else root.parent / path.name
            told = f"{path} would lie in the store itself, where it would be committed with it"
            raise Misused(f"{told}: give a name beside it, such as {beside}")


def _refuse_inside(folder: Path) -> None:
    """Misused if a folder that is made, a whole copy, would lie in a store at any depth."""
    with contextlib.suppress(OSError, RuntimeError):
        for root in folder.resolve().parents:
            if _is_root(root):
                told = f"{folder} would lie in the store at {root}, where it would be committed with it"
                raise Misused(f"{told}: give a name beside it, such as {root.parent / folder.name}")


def _is_root(folder: Path) -> bool:
    return all((folder / name).is_dir() for name in (CHECKLISTS, RECORDS))


def _kept_by(folder: Path) -> str | None:
    """Why a folder is not to be written into: it is a folder of a store, or of git; by what it is, and by its name.

    A file system that takes `Records` for `records` gives both the same identity, or (memory cards under FUSE) two.
    """
    if _plain(folder.name) in GIT_NAMES or all((folder / name).exists() for name in ("HEAD", "objects", "refs")):
        return f"{folder}, which is git's own"
    above = folder.parent
    if _is_root(above):
        for name in KEPT:
            with contextlib.suppress(OSError):
                if _plain(folder.name) == name or (above / name).samefile(folder):
                    return f"the {name}/ of the store at {above}"
    return None


def _plain(name: str) -> str:
    """A name as the least exact of file systems reads it: case aside, without dots and blanks at its end."""
    return unicodedata.normalize("NFKC", name).casefold().rstrip(". ")


def make_store(folder: Path, files: Mapping[str, bytes]) -> None:
    """Make a new store of these files, by their names in it; it stands there whole, or there is no store.

    A folder that is there already stays the folder that it is, and may hold names that begin with a dot; Misused if it
    holds anything else.
    """
    _make_folder(folder, files, "a new store")


def make_outside(folder: Path, files: Mapping[str, bytes | Path], what: str = "it") -> None:
    """Make a folder of these files, given as bytes or as the path of a file to copy, as `make_store` does.

    Misused if it would lie in a store, at any depth.
    """
    _refuse_inside(folder)
    _make_folder(folder, files, what)


def _make_folder(folder: Path, files: Mapping[str, bytes | Path], what: str) -> None:
    refuse_taken(folder, what)
    try:
        if folder.exists():
            _fill(folder.resolve(), files, what)
        else:
            _make(folder.absolute(), files)
    except OSError as error:
        raise StoreUnreadable(f"{folder} cannot be written: {reason(error)}") from error


def refuse_taken(folder: Path, what: str = "a new store") -> None:
    """Misused if a new folder cannot be made: it holds something, or lies in the folders of a store."""
    refuse_kept(folder / "x")
    try:
        taken = folder.is_symlink() or (folder.exists() and (not folder.is_dir() or any(_in_the_way(folder))))
    except OSError as error:
        raise StoreUnreadable(f"{folder} cannot be made: {reason(error)}") from error
    if taken:
        raise Misused(f"{folder} is there already and is not empty: {what} needs a new folder, so give another name")


def _in_the_way(folder: Path) -> Iterator[str]:
    begun = (folder / NEW).is_dir()
    for name in sorted(os.listdir(folder)):
        # Of a store whose making was killed half-way the checklists may stand there already.
        if not name.startswith(".") and not (begun and name == CHECKLISTS):
            yield name


def _make(target: Path, files: Mapping[str, bytes | Path]) -> None:
    import shutil

    half = _half(target)
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        _write_all(half, files)
        os.rename(half, target)
    finally:
        shutil.rmtree(half, ignore_errors=True)
    flush_folder(target.parent)


def _fill(folder: Path, files: Mapping[str, bytes | Path], what: str) -> None:
    """Fill a folder that stays: its records come last, and only with them is it a store."""
    import shutil

    half = folder / NEW
    refuse_other(half, folder=True)
    begun = half.is_dir()
    shutil.rmtree(half, ignore_errors=True)
    tops = sorted({name.partition("/")[0] for name in files}, key=lambda top: (top == RECORDS, top))
    for top in tops:
        there = folder / top
        if os.path.lexists(there) and not (begun and _same(folder, top, files)):
            raise Misused(f"{there} is there already: {what} needs a new folder, so give another name")
    _write_all(half, files)
    moved = []
    try:
        for top in tops:
            if not os.path.lexists(folder / top):
                os.rename(half / top, folder / top)
                moved.append(folder / top)
    except OSError:
        for path in moved:
            shutil.rmtree(path, ignore_errors=True) if path.is_dir() else path.unlink(missing_ok=True)
        raise
    finally:
        shutil.rmtree(half, ignore_errors=True)
    flush_folder(folder)


def _same(folder: Path, top: str, files: Mapping[str, bytes | Path]) -> bool:
    """Whether what stands under a name is, to the byte, what is to be put there."""
    wanted = {
        name: data.read_bytes() if isinstance(data, Path) else data
        for name, data in files.items()
        if name.partition("/")[0] == top
    }
    paths = [folder / top, *(folder / top).rglob("*")]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in paths if path.is_file()} == wanted


def _write_all(folder: Path, files: Mapping[str, bytes | Path]) -> None:
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        _write(folder / name, data)
    for made in [folder, *(path for path in folder.rglob("*") if path.is_dir())]:
        flush_folder(made)


def _write(path: Path, data: bytes | Path) -> None:
    import shutil

    with path.open("xb") as stream:
        if isinstance(data, Path):
            with data.open("rb") as source:
                shutil.copyfileobj(source, stream)
        else:
            stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def one_word(words: str) -> str:
    """Words as one, without anything that a comment or a shell could take for something else."""
    return re.sub(r"[^A-Za-z0-9.]+", "-", words).strip("-") or "-"
