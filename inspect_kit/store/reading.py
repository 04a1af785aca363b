"""The bytes of every file that counts, read at one moment, and a reason for each one refused.

Files are found by their ending: `.md` in `checklists/`, `.yaml` and `.md` in `records/`. Not looked into are names
that begin with a dot (an editor's and the system's own) and the folder of photographs beside a record or page.
Nothing else is passed over in silence: what is found and cannot be taken is a Problem.
"""

import os
import stat
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from inspect_kit.errors import Place, Problem
from inspect_kit.store.layout import CHECKLISTS, RECORDS, reason

# A page of a thousand checks is about 200 kB. What is larger than this was not written by hand.
LARGEST = 4 * 1024 * 1024
ENDINGS = {CHECKLISTS: (".md",), RECORDS: (".yaml", ".md")}
# Endings that people give to such files as well: said, rather than passed over.
LOOKALIKES = {".yml": ".yaml", ".markdown": ".md", ".mdown": ".md", ".mkd": ".md"}
TRIES = 5

Stamp = tuple[int, int, int, int]


class RefusedFile(Exception):
    """A file that counts by its name and cannot be taken; str() says why."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Snapshot:
    """What stood in the store at one moment: `files` are names in the store and their bytes, sorted by name."""

    files: dict[str, bytes] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()


def read_all(root: Path) -> Snapshot:
    """Read every file that counts.

    Another command may be writing meanwhile; the folders are therefore listed again afterwards, and everything is
    read anew until both lists agree, so that a page on its way from `open/` to its record is never missed.
    """
    for _ in range(TRIES):
        before = _list(root)
        files: dict[str, bytes] = {}
        problems = list(before[1])
        for name in before[0]:
            try:
                files[name] = read_file(root, name)
            except RefusedFile as refused:
                problems.append(Problem(Place(name), str(refused)))
        if _list(root) == before:
            return Snapshot(files=files, problems=tuple(sorted(problems)))
    changing = Problem(Place(RECORDS), "files kept changing while they were read; run the command again")
    return Snapshot(files=files, problems=tuple(sorted([*problems, changing])))


def read_file(root: Path, name: str) -> bytes:
    """The bytes of one file of the store; RefusedFile says why it cannot be taken."""
    path = root.joinpath(*name.split("/"))
    try:
        real = path.resolve(strict=True)
        if not real.is_relative_to(root):
            raise RefusedFile("is a symbolic link that leaves the store; it is not followed")
        # Without O_NONBLOCK a named pipe would hold us for ever.
        handle = os.open(real, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0))
    except FileNotFoundError as error:
        raise RefusedFile("is a symbolic link to nothing" if path.is_symlink() else "was there and is gone") from error
    except (OSError, RuntimeError, ValueError) as error:
        raise RefusedFile(f"cannot be read: {reason(error)}") from error
    try:
        status = os.fstat(handle)
        if not stat.S_ISREG(status.st_mode):
            raise RefusedFile(f"is {_sort(status.st_mode)}, not a file")
        if status.st_size > LARGEST:
            raise RefusedFile(f"is larger than {LARGEST // 2**20} MB, which no page or record is; it is not read")
        with os.fdopen(os.dup(handle), "rb") as stream:
            data = stream.read(LARGEST + 1)
    except OSError as error:
        raise RefusedFile(f"cannot be read: {reason(error)}") from error
    finally:
        os.close(handle)
    if len(data) > LARGEST:
        raise RefusedFile(f"is larger than {LARGEST // 2**20} MB, which no page or record is; it is not read")
    return data


def _list(root: Path) -> tuple[dict[str, Stamp], tuple[Problem, ...]]:
    """Every file that counts with what would change if it were rewritten, and a problem for each one refused."""
    stamps: dict[str, Stamp] = {}
    problems: list[Problem] = []
    for top, endings in ENDINGS.items():
        if (root / top).is_symlink():
            problems.append(Problem(Place(top), "is a symbolic link; the folder must lie in the store itself"))
            continue
        for found in _walk(root, top, endings):
            if isinstance(found, Problem):
                problems.append(found)
            else:
                name, status = found
                stamps[name] = (status.st_ino, status.st_size, status.st_mtime_ns, status.st_mode)
    return dict(sorted(stamps.items())), tuple(sorted(problems))


def _walk(root: Path, folder: str, endings: tuple[str, ...]) -> Iterator[Problem | tuple[str, os.stat_result]]:
    try:
        with os.scandir(root / folder) as scan:
            entries = sorted(scan, key=lambda entry: entry.name)
    except OSError as error:
        yield Problem(Place(shown(folder)), f"the folder cannot be read: {reason(error)}")
        return
    names = {entry.name for entry in entries}
    misplaced = (".yaml", ".yml") if folder.partition("/")[0] == CHECKLISTS else ()
    for entry in entries:
        name = f"{folder}/{entry.name}"
        ending = PurePosixPath(entry.name).suffix
        if entry.name.startswith("."):
            continue
        try:
            status = entry.stat(follow_symlinks=False)
            is_folder = entry.is_dir(follow_symlinks=False)
            links_to_folder = entry.is_symlink() and entry.is_dir()
        except OSError as error:
            yield Problem(Place(shown(name)), f"cannot be read: {reason(error)}")
            continue
        if ending not in endings and (is_folder or links_to_folder):
            if folder != CHECKLISTS and names & {f"{entry.name}.yaml", f"{entry.name}.md"}:
                continue
            if links_to_folder:
                yield Problem(Place(shown(name)), "is a symbolic link to a folder; it is not followed")
            else:
                yield from _walk(root, name, endings)
        elif ending in endings:
            if not _is_plain(name):
                yield Problem(Place(shown(name)), "the name is not UTF-8 text, or has a control character in it")
            elif is_folder:
                yield Problem(Place(name), f"is a folder, and its name ends in {ending} like a file's")
            else:
                yield name, status
        elif ending.lower() in misplaced:
            yield Problem(Place(shown(name)), f"stands among the checklists; a record belongs into {RECORDS}/")
        elif (meant := LOOKALIKES.get(ending.lower(), ending.lower())) in endings:
            yield Problem(Place(shown(name)), f"its ending is {ending}; rename it to {meant} so that it counts")


def shown(name: str) -> str:
    """A name from the disk as it can be printed: what is no plain character stands as an escape."""
    return "".join(mark if _is_plain(mark) else ascii(mark)[1:-1] for mark in name)


def _is_plain(name: str) -> bool:
    return all(mark.isprintable() or unicodedata.category(mark) == "Zs" for mark in name)


def _sort(mode: int) -> str:
    sorts = {
        stat.S_IFDIR: "a folder",
        stat.S_IFIFO: "a named pipe",
        stat.S_IFSOCK: "a socket",
        stat.S_IFCHR: "a device",
        stat.S_IFBLK: "a device",
    }
    return sorts.get(stat.S_IFMT(mode), "something else")
