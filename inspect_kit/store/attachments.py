"""The photographs, tags and invoices of a record: copied into its folder, named in it with their SHA-256, checked."""

import contextlib
import errno
import hashlib
import os
import stat
from collections.abc import Iterable, Mapping
from pathlib import Path

from inspect_kit.errors import Misused, Place, Problem, StoreUnreadable
from inspect_kit.store import together
from inspect_kit.store.layout import CHECKLISTS, RECORDS, folder_of, inside, nowhere_on_windows, one_name, reason
from inspect_kit.store.reading import RefusedFile, printable, read_file
from inspect_kit.store.seals import read_seal, sha256, unturned
from inspect_kit.store.writing import Writer, create

# A photograph is a few MB. What is larger does not belong in a folder that git carries for decades.
LARGEST = 64 * 1024 * 1024


def attach(writer: Writer, name: str, source: Path) -> tuple[str, str]:
    """Copy a file from anywhere into the folder of the record or page `name`; gives its name there and its SHA-256."""
    file, data = taken(source)
    put_beside(writer, name, file, data)
    return file, hashlib.sha256(data).hexdigest()


def taken(source: Path) -> tuple[str, bytes]:
    """The name and the bytes of a file from anywhere; Misused says why it cannot be taken."""
    if not source.name.isprintable() or source.name.startswith("."):
        raise Misused(f"{printable(source.name)}: give the file a plain name first")
    if nowhere_on_windows(source.name):
        raise Misused(f"{source.name}: Windows takes no file of this name: give it another first")
    try:
        data = _read(source)
    except OSError as error:
        raise Misused(f"{printable(str(source))} cannot be read: {reason(error)}") from error
    if not data:
        raise Misused(f"{source.name} is empty: there is nothing to keep; choose another file")
    return source.name, data


def refuse_alike(names: Iterable[str]) -> None:
    """Misused where two names are one on a disk that tells neither capitals nor composed letters apart.

    A clone on such a disk, as most are, keeps one of the two files.
    """
    seen: dict[str, str] = {}
    for name in names:
        first = seen.setdefault(one_name(name), name)
        if first != name:
            raise Misused(f"{first} and {name} are one name on many disks: give one of them another first")


def put_beside(writer: Writer, name: str, file: str, data: bytes) -> str:
    """Write a file into the folder of the record or page `name`; its name in the store."""
    written = beside(name, file)
    folder = inside(writer.root, folder_of(name))
    refuse_alike([*(sorted(os.listdir(folder)) if folder.is_dir() else ()), file])
    create(writer, written, data)
    return written


def beside(name: str, file: str) -> str:
    """The name in the store of a file in the folder of the record or page `name`."""
    return f"{folder_of(name)}/{file}"


def file_sums(root: Path, name: str) -> dict[str, str]:
    """The SHA-256 of every file in the folder of the record or page `name`, by its name there, sorted.

    StoreUnreadable names what cannot be taken: a link, a device, a folder in it, a file that cannot be read.
    """
    folder = inside(root, folder_of(name))
    if not folder.is_dir():
        return {}
    sums = {}
    for file in sorted(os.listdir(folder)):
        if not file.startswith("."):
            try:
                sums[file] = hashlib.sha256(_read(folder / file)).hexdigest()
            except OSError as error:
                place = f"{folder_of(name)}/{printable(file)}"
                raise StoreUnreadable(f"{place} cannot be taken: {reason(error)}") from error
    return sums


def attached(root: Path, record: str, named: Mapping[str, str]) -> dict[str, Path]:
    """The files that the record `record` names and that are there, by their names in the store."""
    folder = _folder(root, record) if named else ""
    found = {}
    for file in named:
        with contextlib.suppress(Misused):
            path = together.where_now(root, f"{folder}/{file}")
            if path.is_file() and not path.is_symlink():
                found[f"{folder}/{file}"] = path
    return found


def laid(root: Path, known: Iterable[str]) -> dict[str, Path]:
    """All other files that lie in the folders of the store, beside those `known`, by their names in it: of open pages
    and withdrawn entries, and whatever somebody laid there; no links, and nothing under a name with a full stop.
    """
    names = {one_name(name) for name in known}
    found = {}
    for top in (CHECKLISTS, RECORDS):
        for above, folders, files in os.walk(root / top):
            folders[:] = sorted(folder for folder in folders if not folder.startswith("."))
            paths = (Path(above, file) for file in sorted(files) if not file.startswith("."))
            for path in (each for each in paths if each.is_file() and not each.is_symlink()):
                name = path.relative_to(root).as_posix()
                if one_name(name) not in names and os.access(path, os.R_OK):
                    found[name] = path
    return found


def check_files(root: Path, record: str, named: Mapping[str, str]) -> tuple[Problem, ...]:
    """Every file that a record names with another SHA-256 than it has by now, or that is gone."""
    problems = []
    folder = _folder(root, record) if named else ""
    for file, expected in sorted(named.items()):
        place = Place(f"{folder}/{printable(file)}")
        try:
            data = _read(together.where_now(root, f"{folder}/{file}"))
        except Misused as error:
            problems.append(Problem(Place(record), str(error)))
        except FileNotFoundError:
            problems.append(Problem(place, f"is missing; {record} names it with its SHA-256"))
        except OSError as error:
            problems.append(Problem(place, f"cannot be read: {reason(error)}"))
        else:
            if sha256(data) != expected:
                told = "its line endings were changed from LF to CRLF, and nothing else: it has"
                changed = told if sha256(unturned(data)) == expected else "was changed: it has"
                problems.append(Problem(place, f"{changed} not the SHA-256 that {record} names"))
    return tuple(problems)


def unnamed_files(root: Path, record: str, named: Iterable[str]) -> tuple[Problem, ...]:
    """A note for each file in the folder of a record that the record does not name: nothing says that it stays. A
    problem for one of two of which many disks would keep only one: it may take the place of one that is named.
    """
    folder = _folder(root, record)
    known = {one_name(file) for file in named}
    told = f"lies beside {record}, which does not name it, so that nothing shows whether it is changed or goes: "
    told += "`inspect-kit attach` keeps a file with its SHA-256"
    with contextlib.suppress(OSError):
        # One that is named comes first of its twins, so that the other is told.
        there = sorted(os.listdir(root / folder), key=lambda file: (file not in {*named}, file))
        loose = [file for file in there if not file.startswith(".")]
        first: dict[str, str] = {}
        twins = {file: other for file in loose if (other := first.setdefault(one_name(file), file)) != file}
        return tuple(
            Problem(Place(f"{folder}/{printable(file)}"), _one_of_two(printable(twins[file])))
            if file in twins
            else Problem(Place(f"{folder}/{printable(file)}"), told, note=True)
            for file in loose
            if file in twins or one_name(file) not in known
        )
    return ()


def _one_of_two(other: str) -> str:
    return f"is one name with {other} on many disks, which keep one of the two: rename this one"


def _folder(root: Path, record: str) -> str:
    """The folder of a record's files: its own, or that of the page while a killed `sign` has not moved it yet."""
    own = folder_of(record)
    if not (root / own).exists():
        with contextlib.suppress(RefusedFile):
            seal = read_seal(read_file(root, record))
            if seal is not None and seal.page is not None and (root / folder_of(seal.page)).is_dir():
                return folder_of(seal.page)
    return own


def _read(path: Path) -> bytes:
    """The bytes of a plain file that is no link and not too large; OSError says what it is instead."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0))
    except OSError as error:
        if error.errno == errno.ELOOP:
            raise OSError("it is a symbolic link: the file itself is wanted") from error
        raise
    with os.fdopen(handle, "rb") as stream:
        status = os.fstat(handle)
        if not stat.S_ISREG(status.st_mode):
            raise OSError("it is not a file")
        if status.st_size > LARGEST:
            raise OSError(f"it is larger than {LARGEST // 2**20} MB")
        return stream.read(LARGEST + 1)
