"""Which rows of a table were imported before, which are new, which were changed since.

A row is known by the digest of its cleaned cells and by its occurrence among equal rows, wherever it stands now. Rows
that differ from what was imported from their place are changed: they are named, never written, because the entry that
stands may be in somebody's arithmetic already.
"""

from collections.abc import Iterable
from difflib import SequenceMatcher

from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.noun import dataclass

Key = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Matched:
    """`changed` are pairs of the row as it is now and the record of what it was; `gone` stand in the table no more."""

    new: tuple[PaperEntry, ...]
    before: tuple[PaperEntry, ...]
    changed: tuple[tuple[PaperEntry, PaperEntry], ...]
    gone: tuple[PaperEntry, ...]


def match(entries: tuple[PaperEntry, ...], records: Iterable[PaperEntry], file: str) -> Matched:
    """Entries of the table `file`, in its order, against the records of a store."""
    imported = [record for record in records if record.imported is not None]
    known = {_key(record) for record in imported}
    old = sorted((record for record in imported if _file(record) == file), key=_line)
    elsewhere = known - {_key(record) for record in old}
    rows = [entry for entry in entries if _key(entry) not in elsewhere]
    matcher = SequenceMatcher(a=[_key(record) for record in old], b=[_key(row) for row in rows], autojunk=False)
    stays = {_key(row) for row in rows} & {_key(record) for record in old}
    new: list[PaperEntry] = []
    changed: list[tuple[PaperEntry, PaperEntry]] = []
    gone: list[PaperEntry] = []
    for _, start, end, first, last in matcher.get_opcodes():
        # A row that only moved is neither new nor gone.
        lost = [record for record in old[start:end] if _key(record) not in stays]
        found = [row for row in rows[first:last] if _key(row) not in stays]
        pairs = min(len(lost), len(found))
        changed += zip(found[:pairs], lost[:pairs], strict=True)
        new += found[pairs:]
        gone += lost[pairs:]
    return Matched(
        new=tuple(new),
        before=tuple(entry for entry in entries if _key(entry) in known),
        changed=tuple(changed),
        gone=tuple(gone),
    )


def _key(entry: PaperEntry) -> Key:
    row = entry.imported
    assert row is not None
    return row.digest, int(row.occurrence)


def _file(entry: PaperEntry) -> str:
    return entry.imported.file if entry.imported else ""


def _line(entry: PaperEntry) -> int:
    return int(entry.imported.line) if entry.imported else 0
