"""What files were read as, kept in the user's own cache folder, so that a command reads anew only what has changed.

Kept are parsed facts, the problems found in a file, and those that all files together have, never an answer. Facts are
found by the SHA-256 of the file's name and bytes, problems of all files by that of all names and bytes, of the day and
of what was judged on this computer. They count only for the very code that found them: the source of every room that
this can reach, and the versions of Python and PyYAML. No time stamp is trusted. The folder is the user's and private,
and never inside a store, so that nobody can bring such files along; each begins with the SHA-256 of the rest, against a
disk that errs. Whatever is wrong with them, they are done without and written anew. Commands that write a record, sign
or verify do without.

One file holds the checklists, or the records of a decade, in blocks of many files, so that a new record writes little
anew:

    kept  = SHA-256 of the rest NEWLINE made by { NEWLINE block }
    block = [column of SHA-256 of a file's name and bytes, column of names, [class …], column] TAB pieces
                                                                                                   JSON; `store.packed`
"""

import contextlib
import hashlib
import importlib.util
import os
import stat
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from inspect_kit.noun import dataclass
from inspect_kit.store.layout import is_store
from inspect_kit.store.packed import NotKept, Packer, Pieces, Unpacker, as_json, plain_column, plain_values, read_json
from inspect_kit.store.read_file import ReadFile, of_facts

LARGEST = 64 * 1024 * 1024
# So many files are packed together.
BLOCK = 200
ENDING, WAITING = ".facts", ".new"
# What reading a file and finding contradictions can reach (tests/store/test_kept.py holds that there is no more).
REACHED = ("errors.py", "noun.py", "late.py", "model", "text", "store", "audit", "rules", "due", "cli/desk.py")


@dataclass(slots=True, kw_only=True)
class _Part:
    """What is kept together: blocks as they stand on the disk, by the digests that are in each; by digest the
    name and the facts of each file as they were on the disk, and of each that this run found; whether one was read
    anew.
    """

    blocks: dict[tuple[str, ...], str]
    before: "Facts"
    now: "Facts"
    is_new: bool = False


Facts = dict[str, tuple[str, ReadFile]]


class Kept:
    """The facts of one store; `read` and `keep` while it is read, `write` at the end. `digests` are those of what was
    asked for, by name.

    `sort` keeps apart what one file may be read as besides: a sealed page is its seal to nearly all commands.
    """

    def __init__(self, folder: Path, root: Path, sort: str = "") -> None:
        self.folder, self.root, self.sort = folder, root, sort
        self.parts: dict[str, _Part] = {}
        self.digests: dict[str, str] = {}
        self.is_usable = _is_private(folder, root)
        self.made_by = made_by() if self.is_usable else ""

    def read(self, name: str, data: bytes) -> ReadFile | None:
        """What the file of this name and these bytes was read as; None if that is not kept."""
        if not self.is_usable:
            return None
        part, digest = self._part(name), digest_of(name, data)
        self.digests[name] = digest
        known = part.before.get(digest)
        if known is None or known[0] != name:
            return None
        part.now[digest] = known
        return known[1]

    def keep(self, name: str, data: bytes, read: ReadFile) -> None:
        """Remember what a file was read as."""
        if self.is_usable:
            part = self._part(name)
            part.now[digest_of(name, data)] = (name, read)
            part.is_new = True

    def write(self) -> None:
        """Write what is new; nothing is said of what cannot be written."""
        changed = [each for each, part in self.parts.items() if part.is_new or part.now.keys() != part.before.keys()]
        with contextlib.suppress(OSError):
            for shelf in changed:
                self._write(shelf, self.parts[shelf])
            if changed:
                _make_room(self.folder, {self._file(each) for each in self.parts})

    def _part(self, name: str) -> _Part:
        shelf = _shelf(name.rpartition("/")[0])
        if shelf not in self.parts:
            blocks: dict[tuple[str, ...], str] = {}
            before: Facts = {}
            with contextlib.suppress(OSError, ValueError):
                for text in _read(self.folder / self._file(shelf), self.made_by):
                    with contextlib.suppress(*Unpacker.FAULTS):
                        found = _unpacked(text)
                        blocks[tuple(found)] = text
                        before |= found
            self.parts[shelf] = _Part(blocks=blocks, before=before, now={})
        return self.parts[shelf]

    def _file(self, shelf: str) -> str:
        place = "\0".join((str(self.root), shelf, *([self.sort] if self.sort else [])))
        return hashlib.sha256(place.encode(errors="surrogateescape")).hexdigest()[:32] + ENDING

    def _write(self, shelf: str, part: _Part) -> None:
        # A block of which all still counts stays as it is, unless it is a small one.
        stay = {own: text for own, text in part.blocks.items() if len(own) >= BLOCK // 2 and part.now.keys() >= {*own}}
        staying = {digest for own in stay for digest in own}
        rest = [digest for digest in part.now if digest not in staying]
        for begin in range(0, len(rest), BLOCK):
            stay |= _packed({digest: part.now[digest] for digest in rest[begin : begin + BLOCK]})
        part.blocks, part.before, part.is_new = stay, dict(part.now), False
        body = "\n".join((self.made_by, *stay.values())).encode()
        if len(body) > LARGEST:
            return
        waiting = self.folder / f"{os.urandom(8).hex()}{WAITING}"
        handle = os.open(waiting, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0), 0o600)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(hashlib.sha256(body).hexdigest().encode() + b"\n" + body)
            os.replace(waiting, self.folder / self._file(shelf))
        except OSError:
            with contextlib.suppress(OSError):
                os.unlink(waiting)
            raise


@cache
def _shelf(folder: str) -> str:
    """With which others the files of a folder are kept: all checklists, and the records of a decade.

    A block of many files is made sooner than many of a few; a new record leaves the other decades as they are.
    """
    top, _, below = folder.partition("/")
    year = below.partition("/")[0]
    return f"{top}/{year[:3]}" if year.isdigit() else top


def _packed(facts: Facts) -> dict[tuple[str, ...], str]:
    """The block of these files; where one of them has no form the others are packed without it, in several."""
    names = [name for name, _ in facts.values()]
    packer = Packer()
    try:
        column = packer.pack([read.facts() for _, read in facts.values()], names)
        block = as_json([plain_column([*facts]), plain_column(names), packer.classes, column])
    except (NotKept, RecursionError):
        items = [*facts.items()]
        half = len(items) // 2
        return {**_packed(dict(items[:half])), **_packed(dict(items[half:]))} if half else {}
    return {tuple(facts): f"{block}\t{Pieces.packed(packer.pieces)}"}


def _unpacked(text: str) -> Facts:
    """What stands in a block; one of `Unpacker.FAULTS` where that is nothing that was written."""
    block, _, pieces = text.partition("\t")
    digest_column, name_column, classes, column = read_json(block)
    digests = plain_values(digest_column, 1)
    names = plain_values(name_column, len(digests))
    found = Unpacker(classes, Pieces(pieces)).unpack(column, names)
    reads = (of_facts(facts) for facts in found)
    return dict(zip(digests, zip(names, reads, strict=True), strict=True))


def made_by() -> str:
    """The code that reads: the SHA-256 of its source, of Python's version, and of PyYAML's own words about its own."""
    return hashlib.sha256(sys.version.encode() + _source()).hexdigest()


@cache
def _source() -> bytes:
    """The SHA-256 of the source that this process runs: a change of it on the disk is none of this process."""
    found = hashlib.sha256()
    package = Path(__file__).parents[1]
    for name in REACHED:
        top = f"{package}/{name}"
        below = [f"{above}/{file}" for above, _, files in os.walk(top) for file in files if file.endswith(".py")]
        for source in sorted(below) or [top]:
            found.update(source[len(str(package)) :].encode() + b"\0")
            with open(source, "rb", buffering=0) as stream:
                found.update(hashlib.sha256(stream.readall()).digest())
    yaml = importlib.util.find_spec("yaml")
    if yaml is not None and yaml.origin:
        found.update(Path(yaml.origin).read_bytes())
    return found.digest()


def digest_of(name: str, data: bytes) -> str:
    """The SHA-256 of a file's name and bytes."""
    return hashlib.sha256(name.encode(errors="surrogateescape") + b"\0" + data).hexdigest()


def _read(path: Path, made_by: str) -> list[str]:
    """The blocks of one file of the cache, none of what other code made.

    ValueError if it is not what was written, OSError if it cannot be read.
    """
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    with os.fdopen(handle, "rb") as stream:
        status = os.fstat(handle)
        if not stat.S_ISREG(status.st_mode) or status.st_size > LARGEST + 100 or not _is_ours(status):
            raise ValueError(path)
        told, _, body = stream.read().partition(b"\n")
    if hashlib.sha256(body).hexdigest().encode() != told:
        raise ValueError(path)
    head, *blocks = body.decode("ascii").split("\n")
    return blocks if head == made_by else []


def _is_private(folder: Path, root: Path) -> bool:
    """Whether the folder is there, or can be made, is the user's alone, and lies in no store."""
    try:
        real = folder.resolve()
        if real.is_relative_to(root) or any(is_store(each) for each in (real, *real.parents)):
            return False
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        status = folder.lstat()
    except (OSError, RuntimeError, ValueError):
        return False
    return stat.S_ISDIR(status.st_mode) and _is_ours(status) and os.access(folder, os.W_OK)


def _is_ours(status: os.stat_result) -> bool:
    """Whether it is the user's own, and nobody else could have written it; Windows keeps LOCALAPPDATA so by itself."""
    if not hasattr(os, "geteuid"):
        return True
    return status.st_uid == os.geteuid() and not status.st_mode & (stat.S_IRWXG | stat.S_IRWXO)


def _make_room(folder: Path, own: set[str]) -> None:
    """Take away what was written longest ago, what is of other stores first, until all of it is small enough."""
    found = sorted(_files(folder), key=lambda each: (each[0] in own, each[1]))
    size = sum(each[2] for each in found)
    for name, _, long in found:
        if size <= LARGEST:
            return
        with contextlib.suppress(OSError):
            os.unlink(folder / name)
        size -= long


def _files(folder: Path) -> Iterator[tuple[str, int, int]]:
    """Name, time of writing and size of each file of the cache."""
    with os.scandir(folder) as scan:
        for each in scan:
            if each.name.endswith((ENDING, WAITING)) and each.is_file(follow_symlinks=False):
                status = each.stat(follow_symlinks=False)
                yield each.name, status.st_mtime_ns, status.st_size
