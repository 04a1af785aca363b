"""Several files come together, and a record that is withdrawn goes with them; killed at any moment, all or nothing.

The order of operations, each one whole or not at all:

    1  the new files are written into a folder in `.inspect-kit/half` under numbers, and beside them `list`:
       "new" NUMBER NAME for each of them, "goes" SHA-256 NAME for the record that goes
    2  the folder is renamed to `.inspect-kit/together/<name>`: before this nothing was done, after it everything is
    3  each new file gets its name in the store and loses the one here
    4  the record's folder of photographs is moved to the withdrawn ones, and it is removed, if it holds those bytes
    5  the folder is removed

What is left to do after 2 follows from the folder alone: `pending` shows readers the finished state, `finish` brings
the disk there before the next entry. What somebody wrote meanwhile under one of the names stays as it is, and a folder
that came with a hostile clone can put nothing anywhere but among the records, and take nothing away: a record goes
only where the same bytes stand among the withdrawn ones, and a sealed one never.
"""

import contextlib
import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import field
from pathlib import Path

from inspect_kit.errors import Misused, StoreUnreadable
from inspect_kit.noun import dataclass
from inspect_kit.store.layout import OWN, RECORDS, folder_of, inside, withdrawn_name
from inspect_kit.store.reading import RefusedFile, read_file
from inspect_kit.store.seals import read_seal, sha256
from inspect_kit.store.writing import (
    AlreadyThere,
    ChangedSinceRead,
    Writer,
    create,
    expect,
    mode_of,
    move_folder,
    name_file,
    name_folder,
    refuse_other,
    remove_file,
)

TOGETHER = f"{OWN}/together"
LIST = "list"
NEW = rf"(?m)^new ([0-9]+) ({RECORDS}/[^\n]+)$"
GOES = rf"(?m)^goes ([0-9a-f]{{64}}) ({RECORDS}/[^\n]+\.yaml)$"


class NotYetInPlace(StoreUnreadable):
    """What was written is safe and counts, and has not its names yet: the next command gives them."""


@dataclass(frozen=True, slots=True)
class Pending:
    """What a killed command has decided and not ended: new files that count, and records that do no longer.

    `goes` are their SHA-256 by name.
    """

    new: Mapping[str, bytes] = field(default_factory=dict)
    goes: Mapping[str, str] = field(default_factory=dict)

    def over(self, files: Mapping[str, bytes]) -> dict[str, bytes]:
        """These files as they are once all is done."""
        after = {**self.new, **files}
        for name, digest in self.goes.items():
            if name in after and _may_go(after[name], digest, after.get(withdrawn_name(name), b"")):
                del after[name]
        return after


def create_all(writer: Writer, files: Mapping[str, bytes], *, goes: Mapping[str, bytes] | None = None) -> None:
    """Write files that must not exist yet, and take records away that hold these bytes: all of it, or nothing.

    AlreadyThere or ChangedSinceRead before anything is written; NotYetInPlace if the disk refuses after that.
    """
    goes = goes or {}
    if len(files) == 1 and not goes:
        ((name, data),) = files.items()
        create(writer, name, data)
        return
    for name in files:
        if not name.startswith(f"{RECORDS}/"):
            raise Misused(f"{name} is no file of the records")
        if os.path.lexists(inside(writer.root, name)):
            raise AlreadyThere(f"{name} exists already and was left as it is; nothing was written")
    for name, data in goes.items():
        expect(writer, name, data)
        kept = folder_of(withdrawn_name(name))
        if os.path.lexists(inside(writer.root, kept)) and inside(writer.root, folder_of(name)).is_dir():
            taken = f"{kept}/ is there already, where the files of {name} are to be kept"
            raise AlreadyThere(f"{taken}; nothing was written: move it away first")
    refuse_other(writer.root / TOGETHER, folder=True)
    told = [f"new {number} {name}\n" for number, name in enumerate(files)]
    told += [f"goes {sha256(data)} {name}\n" for name, data in goes.items()]
    numbered = {str(number): data for number, data in enumerate(files.values())}
    gone = {withdrawn_name(name): name for name in goes}
    modes = {str(number): mode_of(writer.root, gone[name]) for number, name in enumerate(files) if name in gone}
    name_folder(writer, f"{TOGETHER}/{os.urandom(8).hex()}", {**numbered, LIST: "".join(told).encode()}, modes)
    for name in (*files, *goes):
        writer.note(name)
    try:
        finish_together(writer)
    except StoreUnreadable as error:
        left = f"all of it is written and counts, but not all is in its place yet: {error}. The next command does that"
        raise NotYetInPlace(left) from error


def pending(root: Path) -> Pending:
    """What is left to do, for readers: only what counts as a file of the store is read."""
    new: dict[str, bytes] = {}
    goes: dict[str, str] = {}
    for folder in _folders(root):
        for name, waiting in _new(root, folder).items():
            if name.endswith((".yaml", ".md")):
                with contextlib.suppress(RefusedFile):
                    new[name] = read_file(root, waiting)
        goes |= _goes(root, folder)
    return Pending(new, goes)


def where_now(root: Path, name: str) -> Path:
    """The path of a file of the store, or the one where it waits while it has not its name yet."""
    path = inside(root, name)
    if not os.path.lexists(path):
        waiting = [each[name] for folder in _folders(root) if name in (each := _new(root, folder))]
        return root / waiting[0] if waiting else path
    return path


def is_half_together(root: Path) -> bool:
    return any(_folders(root))


def finish_together(writer: Writer) -> None:
    """Do what is left to do; StoreUnreadable if the disk refuses."""
    root = writer.root
    refuse_other(root / TOGETHER, folder=True)
    for folder in _folders(root):
        # Photographs come before the record that names them.
        for name, waiting in sorted(_new(root, folder).items(), key=lambda item: item[0].endswith(".yaml")):
            with contextlib.suppress(AlreadyThere):
                name_file(writer, waiting, name)
        for name, digest in _goes(root, folder).items():
            with contextlib.suppress(ChangedSinceRead, RefusedFile):
                data = read_file(root, name)
                if _may_go(data, digest, read_file(root, withdrawn_name(name))):
                    move_folder(writer, folder_of(name), folder_of(withdrawn_name(name)))
                    remove_file(writer, name, read=data)
        _clear(root / folder)


def _may_go(data: bytes, digest: str, kept: bytes) -> bool:
    return sha256(data) == digest and kept.startswith(data) and read_seal(data) is None


def _folders(root: Path) -> Iterator[str]:
    with contextlib.suppress(OSError), os.scandir(root / TOGETHER) as scan:
        for entry in sorted(scan, key=lambda entry: entry.name):
            if entry.is_dir(follow_symlinks=False):
                yield f"{TOGETHER}/{entry.name}"


def _clear(folder: Path) -> None:
    with contextlib.suppress(OSError):
        for name in os.listdir(folder):
            os.unlink(folder / name)
        os.rmdir(folder)


def _new(root: Path, folder: str) -> dict[str, str]:
    """The files that wait here, by the name that each is to get. What `create_all` could not have put here is none."""
    found = {}
    for number, name in re.findall(NEW, _list(root, folder)):
        path = root / folder / number
        with contextlib.suppress(Misused):
            inside(root, name)
            if path.is_file() and not path.is_symlink():
                found[name] = f"{folder}/{number}"
    return found


def _goes(root: Path, folder: str) -> dict[str, str]:
    return {name: digest for digest, name in re.findall(GOES, _list(root, folder))}


def _list(root: Path, folder: str) -> str:
    with contextlib.suppress(RefusedFile):
        return read_file(root, f"{folder}/{LIST}").decode("utf-8", "replace")
    return ""
