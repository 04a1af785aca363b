"""Where everything stands in a store, and how a new file is named.

A store is a folder that holds `checklists/` and `records/`. Names of files are relative to it, with forward slashes:

    checklists/<zone>/<panel>.md               one file per access panel
    records/aircraft.yaml                      the aircraft
    records/<year>/<date>-<slug>-<code>.yaml   one record
    records/<year>/<same name>.md              the worksheet that it was signed from
    records/<year>/<same name>/                its photographs, tags and invoices
    records/open/<name>.md                     a worksheet in progress
    records/withdrawn/<name>.yaml              an entry that was taken back; it counts for nothing
    .inspect-kit/                              the tool's own: lock, half-written files; git does not see it
"""

import os
import re
import stat
import unicodedata
from collections.abc import Callable
from datetime import date
from pathlib import Path, PurePosixPath

from inspect_kit.errors import Misused, Place, StoreUnreadable
from inspect_kit.text.grammar import CODE_ALPHABET

CHECKLISTS = "checklists"
RECORDS = "records"
OPEN = "records/open"
WITHDRAWN = "records/withdrawn"
AIRCRAFT = "records/aircraft.yaml"
OWN = ".inspect-kit"

CODE_LENGTH = 4
SLUG_LENGTH = 40
# No name in a store has these: they mean something else to one system or another.
FORBIDDEN = re.compile(r"[\\:\x00-\x1f\x7f]")


def is_store(folder: Path) -> bool:
    """Whether a folder holds both `checklists/` and `records/`."""
    return (folder / CHECKLISTS).is_dir() and (folder / RECORDS).is_dir()


def find_store(start: Path) -> Path:
    """Find the store that `start` lies in: the nearest folder upwards that is one; StoreUnreadable if there is none."""
    try:
        here = start.resolve(strict=True)
        for folder in (here, *here.parents):
            if is_store(folder):
                return folder
    except (OSError, RuntimeError) as error:
        raise StoreUnreadable(f"{start}: cannot be read: {reason(error)}") from error
    raise StoreUnreadable(
        f"no store here: neither {start} nor a folder above it holds both {CHECKLISTS}/ and {RECORDS}/; "
        "go there, give --store DIR, or make one: inspect-kit new DIR"
    )


def at(folder: Path) -> Path:
    """Take a folder that was named as the store; StoreUnreadable if it is none."""
    try:
        there = folder.resolve(strict=True)
        if is_store(there):
            return there
    except (OSError, RuntimeError) as error:
        raise StoreUnreadable(f"{folder}: cannot be read: {reason(error)}") from error
    raise StoreUnreadable(
        f"{folder} is no store: it does not hold both {CHECKLISTS}/ and {RECORDS}/; give another --store DIR, or make "
        "one: inspect-kit new DIR"
    )


def inside(root: Path, name: str) -> Path:
    """The path of a file named in the store; Misused for any name that is absolute, climbs out or is no plain path.

    A symbolic link on the way may not leave the store either.
    """
    parts = name.split("/")
    if not name or any(part in ("", ".", "..") for part in parts):
        raise Misused(f"{name!r} is not the name of a file in the store")
    if FORBIDDEN.search(name):
        raise Misused(f"{name!r} has a backslash, a colon or a control character in it: give the file another name")
    path = root.joinpath(*parts)
    try:
        real = path.resolve()
    except (OSError, RuntimeError) as error:
        raise Misused(f"{name!r} cannot be followed: {reason(error)}") from error
    if not real.is_relative_to(root.resolve()):
        raise Misused(f"{name!r} leaves the store by a symbolic link: take the link away")
    return path


def new_code(random: Callable[[int], bytes] = os.urandom) -> str:
    """Four characters that keep two clones from choosing one name; `random(n)` gives n random bytes."""
    code = ""
    while len(code) < CODE_LENGTH:
        # Bytes beyond the last whole multiple are thrown away, so that every character is equally likely.
        code += "".join(
            CODE_ALPHABET[byte % len(CODE_ALPHABET)]
            for byte in random(CODE_LENGTH)
            if byte < 256 - 256 % len(CODE_ALPHABET)
        )
    return code[:CODE_LENGTH]


def slug(words: str) -> str:
    """Lower-case letters, digits and hyphens out of any words: `Oil & filter` -> `oil-filter`; at least `record`."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:SLUG_LENGTH].strip("-") or "record"


def record_name(on: date, words: str, code: str) -> str:
    """The file of a new record: `records/2026/2026-05-14-oil-change-k3f9.yaml`."""
    return f"{RECORDS}/{on.year:04d}/{on.isoformat()}-{slug(words)}-{code}.yaml"


def open_name(on: date, words: str, code: str) -> str:
    """The file of a new worksheet: `records/open/2026-11-21-condition-k3f9.md`."""
    return f"{OPEN}/{on.isoformat()}-{slug(words)}-{code}.md"


def is_open_page(name: str) -> bool:
    """Whether a name is that of a page that can be signed: `records/open/<name>.md`, in that folder itself."""
    folder, _, file = name.rpartition("/")
    return folder == OPEN and file.endswith(".md") and not file.startswith(".") and not FORBIDDEN.search(file)


def withdrawn_name(record: str) -> str:
    """Where a record is kept once it is withdrawn."""
    return f"{WITHDRAWN}/{PurePosixPath(record).name}"


def is_withdrawn(name: str) -> bool:
    """Whether a name is that of a record that was withdrawn."""
    return name.startswith(f"{WITHDRAWN}/") and name.endswith(".yaml")


# What Windows takes for a device, cuts off at its end, or refuses ("Naming Files, Paths, and Namespaces"; from memory),
# in lines that begin with a slash each. One by one they are found in a quarter of the time.
NOWHERE = (
    r"(?im)/(?:con|prn|aux|nul|(?:com|lpt)[1-9\u00b9\u00b2\u00b3])(?:[./]|$)",
    r"(?m)[. ](?:/|$)",
    r"[<>\"|?*:\\]",
)


def nowhere_on_windows(*names: str) -> bool:
    """Whether a clone on Windows lacks a file of one of these names: by itself, or by a folder in which it stands."""
    lines = "\n".join([f"/{name}" for name in names])
    return any(re.search(each, lines) for each in NOWHERE)


def one_name(name: str) -> str:
    """A name as a disk has it that tells neither capitals nor composed letters apart."""
    if name.isascii():
        return name.lower()
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def worksheet_of(record: str) -> str:
    """The worksheet beside a record: the same name with `.md`."""
    return str(PurePosixPath(record).with_suffix(".md"))


def folder_of(name: str) -> str:
    """The folder of the photographs, tags and invoices of a record or page: its name without the ending."""
    return str(PurePosixPath(name).with_suffix(""))


def reason(error: BaseException) -> str:
    """What the system says about an error, in its own words and without a path."""
    return error.strerror.lower() if isinstance(error, OSError) and error.strerror else str(error)


def record_place(name: str) -> Place:
    """The place of a new record by its name without ending."""
    return Place(f"{RECORDS}/{name[:4]}/{name}.yaml")


def sort_of(mode: int) -> str:
    """What something on the disk is that is no plain file, in words."""
    sorts = {
        stat.S_IFREG: "a file",
        stat.S_IFDIR: "a folder",
        stat.S_IFIFO: "a named pipe",
        stat.S_IFSOCK: "a socket",
        stat.S_IFCHR: "a device",
        stat.S_IFBLK: "a device",
    }
    return sorts.get(stat.S_IFMT(mode), "something else")
