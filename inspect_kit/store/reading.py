"""The bytes of every file that counts, read at one moment, and a reason for each one refused.

Files are found by their ending: `.md` in `checklists/`, `.yaml` and `.md` in `records/`. Not read are names that begin
with a full stop (an editor's and the system's own); what reads like an entry there and is no copy of a file that is
read is named, and so is what stands for a file that is not on this disk, `.oil.yaml.icloud`. Nothing else that may be
meant for an entry is passed over in silence: what is found and cannot be taken is a Problem, and so is what stands
beside the records under a name that is not read, such as `oil.yaml.txt` or `oil`, and a record in the folder of
photographs or beside `records/` itself.
Photographs, tags and invoices are none of that, nor is the copy that an editor leaves beside the file.
"""

import contextlib
import os
import re
import stat
import unicodedata
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import field, replace
from operator import attrgetter
from pathlib import Path
from typing import TypeVar

from inspect_kit.errors import Place, Problem
from inspect_kit.model.owed import slip_of
from inspect_kit.noun import dataclass
from inspect_kit.store.layout import CHECKLISTS, OPEN, RECORDS, reason, sort_of

T = TypeVar("T")

# A page of a thousand checks is about 200 kB. What is larger than this was not written by hand.
LARGEST = 4 * 1024 * 1024
TOO_LARGE = f"is larger than {LARGEST // 2**20} MB, which no page or record is; it is not read"
ENDINGS = {CHECKLISTS: (".md",), RECORDS: (".yaml", ".md")}
# Endings that people give to such files as well: said, rather than passed over.
LOOKALIKES = {".yml": ".yaml", ".markdown": ".md", ".mdown": ".md", ".mkd": ".md"}
# Patterns that are strings are compiled when one is first asked: most stores ask none of them.
# A name that goes on behind such an ending: `oil.yaml.txt`, `oil.yaml~`, `oil.md (1)`.
GOES_ON = r"(?i)(?P<file>.+(?P<ending>\.ya?ml|\.md|\.markdown))(?P<more>[^\w-].*|_.*)"
# What stands for a file, whatever is in it: of a disk elsewhere that keeps it, or of an editor; no undo file does.
STANDS_FOR = r"\.(?P<file>.+\.(?:yaml|md))\.(?!un~$)(?P<more>.+)"
# Folders whose names begin with a full stop and in which git and the like keep what is none of the store's.
KEPT_BY_OTHERS = (".git", ".hg", ".svn", ".jj", ".DS_Store", ".gitignore", ".gitattributes", ".gitkeep")
# What a tool that keeps older copies puts into their names: `cowl~20261127-101500.md`.
OLDER = r"[~_-]\d{8}[^.]*"
# What editors and git leave beside a file; on its own it may be all that is left of it.
COPIES = ("~", ".bak", ".orig", ".old", ".swp", ".tmp", ".save")
# How a record, a checklist and a page begin, or go on: enough to know one under another name.
ENTRY = rb"(?m)^(?:\xef\xbb\xbf)?(?:format|kind|panel|job)[ \t]*:|^[ \t]*[-*+] \[[ xX]\] "
RECORD = rb"(?m)^(?:\xef\xbb\xbf)?kind[ \t]*:[ \t]*[a-z]"
# What may stand above the first key of a record: a mark of the editor, empty lines, remarks, rules and fences.
ABOVE = rb"(?:\xef\xbb\xbf)?(?:[ \t]*(?:#.*|-{3,}|`{3}.*)?\r?\n)*"
# A page begins with its head, and that with a job.
PAGE = rb"(?:\xef\xbb\xbf)?\s*---\s*\n(?:(?!---).*\n)*?job[ \t]*:"
# As much of a file as is looked at to know it.
GLANCE = 4096
# What an entry may end in, whatever else it is called; of photographs there may be thousands.
TEXTS = ("", ".md", ".markdown", ".txt", ".yaml", ".yml")
YEAR = re.compile(r"(?:19|20)\d\d")
# A store is read anew so often while somebody writes in it; then it says so.
TRIES = 5
# Never through a link; without O_NONBLOCK a named pipe would hold us for ever.
PLAINLY = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)

# Number, size, time of writing and mode of a file.
Stamp = tuple[int, int, int, int]
# A listing on Windows tells them, and numbers that the files themselves do not; elsewhere each file is asked for them,
# and that costs nothing once it is open.
LISTED_WITH_STAMPS = os.name == "nt"
# Told every so many files how far a long reading has come: what is being done, how many files are done, of how many.
Watch = Callable[[str, int, int], None]
EACH = 500


class RefusedFile(Exception):
    """A file that counts by its name and cannot be taken; str() says why."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Snapshot:
    """What stood in the store at one moment: `files` are names in the store and their bytes, sorted by name.

    `astray` are the records in folders of photographs, by name: no problem where their record names them as files.
    """

    files: dict[str, bytes] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    astray: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Hidden:
    """Something whose name begins with a full stop, by its name in the store."""

    name: str


@dataclass(frozen=True, slots=True)
class _Listed:
    """Every file that counts with what would change if it were rewritten, None where that was not asked, and a problem
    for each one refused.

    Albums are the folders of photographs beside a record or page; `hidden` are names that begin with a full stop.
    """

    stamps: dict[str, Stamp | None]
    problems: tuple[Problem, ...]
    albums: tuple[str, ...]
    hidden: tuple[str, ...]


def watched(names: Collection[T], what: str, watch: Watch | None) -> Iterator[T]:
    """The names one by one, `watch` told at every five hundredth, and at the end where there are so many."""
    for done, name in enumerate(names):
        if watch is not None and done and done % EACH == 0:
            watch(what, done, len(names))
        yield name
    if watch is not None and len(names) > EACH:
        watch(what, len(names), len(names))


def read_all(root: Path, watch: Watch | None = None, during: Callable[[], object] = lambda: None) -> Snapshot:
    """Read every file that counts; `during` is called each time while the store is known to stand still.

    Another command may be writing meanwhile; the folders are therefore listed again afterwards, and everything is
    read anew until each file stands as it did when it was read and there is no other, so that a page on its way from
    `open/` to its record is never missed.
    """
    for _ in range(TRIES):
        before = _list(root, stamped=LISTED_WITH_STAMPS)
        stamps = dict(sorted(before.stamps.items()))
        files: dict[str, bytes] = {}
        problems = list(before.problems)
        top = str(root)
        for name in watched(stamps, "reading", watch):
            read, stamp = _read_listed(root, name, f"{top}/{name}")
            if isinstance(read, Problem):
                problems.append(read)
            else:
                files[name] = read
            if stamps[name] is None:
                stamps[name] = stamp
        during()
        if _list(root) == replace(before, stamps=stamps):
            problems += [*_beside(root), *_hidden(root, before.hidden, stamps)]
            return Snapshot(files=files, problems=tuple(sorted(problems)), astray=tuple(_astray(root, before.albums)))
    changing = Problem(Place(RECORDS), "files kept changing while they were read; run the command again")
    return Snapshot(files=files, problems=tuple(sorted([*problems, changing])))


def read_file(root: Path, name: str) -> bytes:
    """The bytes of one file of the store; RefusedFile says why it cannot be taken."""
    path = root.joinpath(*name.split("/"))
    try:
        real = path.resolve(strict=True)
        if not real.is_relative_to(root):
            raise RefusedFile("is a symbolic link that leaves the store; it is not followed")
        handle = os.open(real, PLAINLY)
    except FileNotFoundError as error:
        raise RefusedFile("is a symbolic link to nothing" if path.is_symlink() else "was there and is gone") from error
    except (OSError, RuntimeError, ValueError) as error:
        raise RefusedFile(f"cannot be read: {reason(error)}") from error
    try:
        return _bytes(handle)[0]
    except OSError as error:
        raise RefusedFile(f"cannot be read: {reason(error)}") from error


def _read_listed(root: Path, name: str, path: str) -> tuple[bytes | Problem, Stamp | None]:
    """The bytes of a file that was listed just now, or why it cannot be taken; and how it stood when it was opened.

    No folder on the way is a link; only the file itself can be one.
    """
    try:
        return _bytes(os.open(path, PLAINLY))
    except (OSError, ValueError, RefusedFile):
        # Why, is told by the long way.
        stamp = None
    with contextlib.suppress(OSError, ValueError):
        stamp = _stamp(os.lstat(path))
    try:
        return read_file(root, name), stamp
    except RefusedFile as refused:
        return Problem(Place(name), str(refused)), stamp


def _bytes(handle: int) -> tuple[bytes, Stamp]:
    """All bytes of an open file, which is closed then, and how it stood before that; errors: RefusedFile, OSError."""
    try:
        status = os.fstat(handle)
        size = status.st_size
        if not stat.S_ISREG(status.st_mode):
            raise RefusedFile(f"is {sort_of(status.st_mode)}, not a file")
        if size > LARGEST:
            raise RefusedFile(TOO_LARGE)
        data = os.read(handle, size + 1)
        # Nearly all end where their size says, though more was asked for.
        while size != len(data) <= LARGEST and (part := os.read(handle, LARGEST + 1 - len(data))):
            data += part
    finally:
        os.close(handle)
    if len(data) > LARGEST:
        raise RefusedFile(TOO_LARGE)
    return data, _stamp(status)


def _stamp(status: os.stat_result) -> Stamp:
    return status.st_ino, status.st_size, status.st_mtime_ns, status.st_mode


def stamps(root: Path) -> dict[str, Stamp | None]:
    """Every file that counts with what would change if it were rewritten."""
    return _list(root).stamps


def _list(root: Path, *, stamped: bool = True) -> _Listed:
    """What stands in the folders of the store; plain files without their stamps where these are not wanted."""
    stamps: dict[str, Stamp | None] = {}
    problems: list[Problem] = []
    albums: list[str] = []
    hidden: list[str] = []
    for top, endings in ENDINGS.items():
        if (root / top).is_symlink():
            problems.append(Problem(Place(top), "is a symbolic link; the folder must lie in the store itself"))
            continue
        for found in _walk(root, top, endings, stamps, stamped):
            if isinstance(found, Problem):
                problems.append(found)
            elif isinstance(found, _Hidden):
                hidden.append(found.name)
            else:
                albums.append(found)
    return _Listed(stamps, tuple(sorted(problems)), tuple(albums), tuple(hidden))


# A problem, the name of an album, a name with a full stop before it.
_Found = Problem | str | _Hidden


def _walk(
    root: Path, folder: str, endings: tuple[str, ...], stamps: dict[str, Stamp | None], stamped: bool
) -> Iterator[_Found]:
    """Put every file that counts into `stamps`, and yield all else that is to be known."""
    try:
        with os.scandir(root / folder) as scan:
            entries = sorted(scan, key=attrgetter("name"))
    except OSError as error:
        yield Problem(Place(printable(folder)), f"the folder cannot be read: {reason(error)}")
        return
    names = {entry.name for entry in entries}
    is_of_checklists = folder.partition("/")[0] == CHECKLISTS
    misplaced = (".yaml", ".yml") if is_of_checklists else ()
    is_plain = _is_plain(folder)
    for entry in entries:
        own = entry.name
        name = f"{folder}/{own}"
        if own[0] == ".":
            if own not in KEPT_BY_OTHERS:
                yield _Hidden(name)
            continue
        try:
            if own.endswith(endings) and entry.is_file(follow_symlinks=False) and is_plain and _is_plain(own):
                # As nearly all are.
                stamps[name] = _stamp(entry.stat(follow_symlinks=False)) if stamped else None
                continue
            status = entry.stat(follow_symlinks=False)
            is_folder = entry.is_dir(follow_symlinks=False)
            links_to_folder = entry.is_symlink() and entry.is_dir()
        except OSError as error:
            yield Problem(Place(printable(name)), f"cannot be read: {reason(error)}")
            continue
        ending = ending_of(own)
        if ending not in endings and (is_folder or links_to_folder):
            if links_to_folder:
                yield Problem(Place(printable(name)), "is a symbolic link to a folder; it is not followed")
            elif not is_of_checklists and names & {f"{entry.name}.yaml", f"{entry.name}.md"}:
                yield name
            else:
                if folder == OPEN and _holds_photographs(root / name):
                    yield Problem(Place(printable(name)), OF_NO_PAGE)
                yield from _walk(root, name, endings, stamps, stamped)
        elif ending in endings:
            if not _is_plain(name):
                yield Problem(Place(printable(name)), "the name is not UTF-8 text, or has a control character in it")
            elif is_folder:
                yield Problem(Place(name), f"is a folder, and its name ends in {ending} like a file's")
            else:
                stamps[name] = _stamp(status)
        elif ending.lower() in misplaced:
            yield Problem(Place(printable(name)), f"stands among the checklists; a record belongs in {RECORDS}/")
        elif (meant := LOOKALIKES.get(ending.lower(), ending.lower())) in endings:
            yield Problem(Place(printable(name)), f"its ending is {ending}; rename it to {meant} so that it counts")
        elif unread := _unread(root / name, entry.name, names, endings[0]):
            yield Problem(Place(printable(name)), unread)


OF_NO_PAGE = (
    "what is in it belongs to no open page, and is sealed with none: give it the name of its page, without .md; what "
    "belongs to a sealed record, `inspect-kit attach RECORD FILE` keeps with that"
)


def _holds_photographs(folder: Path) -> bool:
    """Whether a folder has files in it that are neither pages nor records, nor what a system leaves there."""
    within = (file for _, _, files in os.walk(folder) for file in files)
    entries = ("", *ENDINGS[RECORDS], *LOOKALIKES)
    return any(file[0] != "." and ending_of(file).lower() not in entries for file in within)


def _unread(path: Path, name: str, beside: set[str], ending: str) -> str | None:
    """Why something beside the files that count may be meant for one and is not read; None where it is not."""
    goes_on = re.fullmatch(GOES_ON, name)
    if goes_on is not None:
        # It says itself what it was.
        own = goes_on["ending"].lower()
        ending = LOOKALIKES.get(own, own)
    elif is_page(_glance(path)):
        ending = ".md"
    cure = f"end its name in {ending} so that it counts, or take it out of the folder"
    if goes_on is not None:
        is_copy = goes_on["more"].lower().endswith(COPIES) and goes_on["file"] in beside
        return None if is_copy else f"is not read, because its name goes on behind {goes_on['ending']}: {cure}"
    if not ending_of(name):
        return f"is not read, because its name has no ending: {cure}"
    if re.search(ENTRY, _glance(path)):
        return f"reads like an entry and is not read, because its name ends in {ending_of(name)}: {cure}"
    return None


def is_like_record(data: bytes) -> bool:
    """Whether a file reads like a record: among photographs it is named, for there it is not read."""
    return b"\0" not in data and re.search(RECORD, data[:GLANCE]) is not None


def is_whole_record(data: bytes) -> bool:
    """Whether a file under the ending of a page is a record: one from its first line, not words with an example."""
    above = re.match(ABOVE, data[:GLANCE])
    begins = data[above.end() if above else 0 : GLANCE]
    return re.match(rb"[a-z][a-z -]*:", begins) is not None and is_like_record(data)


def is_page(data: bytes) -> bool:
    """Whether a file begins as a page does."""
    return b"\0" not in data and re.match(PAGE, data[:GLANCE]) is not None


def _glance(path: Path) -> bytes:
    """The first bytes of a plain file that is text; none of anything else."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0))
        with os.fdopen(handle, "rb") as stream:
            data = stream.read(GLANCE) if stat.S_ISREG(os.fstat(handle).st_mode) else b""
    except OSError:
        return b""
    return b"" if b"\0" in data else data


def _beside(root: Path) -> Iterator[Problem]:
    """Records that lie in the folder of the store itself, where nothing is read."""
    beside = sorted(root.iterdir())
    for path in beside:
        name = os.path.normcase(path.name)
        ending = ending_of(name).lower()
        if ending in TEXTS and ending not in (".yaml", ".yml") and path.is_file() and not path.is_symlink():
            data = _glance(path)
            if is_page(data):
                told = f"reads like an open page and is not read here: move it into {OPEN}/, its name ending in .md"
                yield Problem(Place(printable(path.name)), told)
                continue
            if is_whole_record(data):
                told = f"reads like a record and is not read here: move it into {RECORDS}/, its name ending in .yaml"
                yield Problem(Place(printable(path.name)), told)
                continue
        if name.endswith("ml") and ".y" in name[:-2] and re.search(RECORD, _glance(path)):
            what = f"reads like a record and is not read here: move it into {RECORDS}/"
            yield Problem(Place(printable(path.name)), what)
    inside = {name: top for top in (CHECKLISTS, RECORDS) for name in _folders_in(root / top)}
    inside |= dict.fromkeys(("open", "withdrawn"), RECORDS)
    for path in beside:
        top = next((each for each in (RECORDS, CHECKLISTS) if _is_nearly(path.name, each)), "")
        top = top or inside.get(path.name, RECORDS if YEAR.fullmatch(path.name) else "")
        nearly = top and path.is_dir() and not path.is_symlink() and not path.samefile(root / top)
        texts = (each for each in path.rglob("*") if ending_of(each.name).lower() in TEXTS) if nearly else ()
        found = next((each for each in texts if re.search(ENTRY, _glance(each))), None)
        if found is not None:
            told = f"is not read, and {printable(found.relative_to(root).as_posix())} reads like an entry"
            yield Problem(Place(printable(path.name)), f"{told}: move what is in it into {top}/")


def _folders_in(folder: Path) -> list[str]:
    """The names of the folders in one of the store's: whoever copies one by hand may put it beside that."""
    try:
        with os.scandir(folder) as entries:
            return [entry.name for entry in entries if entry.is_dir(follow_symlinks=False)]
    except OSError:
        return []


def _is_nearly(name: str, top: str) -> bool:
    """Whether a folder beside one of the store is called like it: `Records`, `record`, `recrods`, `records (1)`."""
    plain = unicodedata.normalize("NFKC", name).casefold().strip(" .")
    word = re.split(r"[ _.(~0-9-]", plain)[0]
    return name != top and (top in (plain, word) or bool(slip_of(plain, (top,))))


def _hidden(root: Path, names: Iterable[str], read: Collection[str]) -> Iterator[Problem]:
    """What stands under a name that begins with a full stop, reads like an entry and is no copy of what is read."""
    known = {name.rpartition("/")[2] for name in read}

    def is_meant(path: Path) -> bool:
        file = path.name.lstrip(".")
        ending = ending_of(path.name).lower()
        plain = LOOKALIKES.get(ending, ending) in ("", ".md", ".yaml")
        return plain and re.sub(OLDER, "", file) not in known and re.search(ENTRY, _glance(path)) is not None

    cure = "take the full stop away so that it counts, or take it out of the folder"
    for name in names:
        path = root / name
        if path.is_symlink():
            continue
        if path.is_dir():
            within = (Path(above, file) for above, _, files in os.walk(path) for file in files)
            if found := sorted(file.relative_to(path).as_posix() for file in within if is_meant(file)):
                more = f" and {len(found) - 1} more" if len(found) > 1 else ""
                told = f"its name begins with a full stop, and {printable(found[0])}{more} in it reads like an entry"
                yield Problem(Place(printable(name)), f"is not read, because {told}: {cure}")
        elif (of := re.fullmatch(STANDS_FOR, path.name)) is not None:
            above = name.rpartition("/")[0]
            # A record keeps its name when it goes to another folder; checklists of two zones may be called alike.
            is_there = f"{above}/{of['file']}" in read or (above.startswith(RECORDS) and of["file"] in known)
            # A page that was signed while it was open in an editor is no longer there.
            is_left = above == OPEN and of["more"].startswith("sw")
            if not (is_there or is_left):
                told = f"stands for {printable(of['file'])}, which is not here and is not read"
                yield Problem(Place(printable(name)), f"{told}: bring that back, or take this out of the folder")
        elif is_meant(path):
            told = "is not read, because its name begins with a full stop, and it reads like an entry"
            yield Problem(Place(printable(name)), f"{told}: {cure}")


def _astray(root: Path, albums: Iterable[str]) -> Iterator[str]:
    """What reads like a record and lies among the photographs of another one."""
    for album in albums:
        for above, folders, names in os.walk(root / album):
            folders.sort()
            for name in sorted(names):
                if not name.startswith(".") and re.search(RECORD, _glance(Path(above, name))):
                    yield Path(above, name).relative_to(root).as_posix()


def ending_of(name: str) -> str:
    """The ending of a file's name with its dot, as `PurePath.suffix` has it; "" where there is none."""
    at = name.rfind(".")
    return name[at:] if 0 < at < len(name) - 1 else ""


def printable(name: str) -> str:
    """A name from the disk as it can be printed: what is no plain character stands as an escape."""
    return "".join(mark if _is_plain(mark) else ascii(mark)[1:-1] for mark in name)


def _is_plain(name: str) -> bool:
    # As nearly all names are, without asking each character.
    if name.isascii() and name.isprintable():
        return True
    return all(mark.isprintable() or unicodedata.category(mark) == "Zs" for mark in name)
