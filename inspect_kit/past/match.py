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
        for row in found:
            if (was := _as_it_was(row, lost)) is not None:
                changed.append((row, was))
                lost.remove(was)
            else:
                new.append(row)
        gone += lost
    return Matched(
        new=tuple(new),
        before=tuple(entry for entry in entries if _key(entry) in known),
        changed=tuple(changed),
        gone=tuple(gone),
    )


# So much of the cells of a row of another day is the same where it is that row and its date was corrected.
ALIKE = 0.5


def _as_it_was(row: PaperEntry, lost: Iterable[PaperEntry]) -> PaperEntry | None:
    """What a row may have been, of those that its place held: one of its day, else the one most like it."""

    def likeness(old: PaperEntry) -> tuple[bool, float]:
        return old.date == row.date, SequenceMatcher(None, _cells(old), _cells(row), autojunk=False).ratio()

    best = max(lost, key=likeness, default=None)
    return best if best is not None and (best.date == row.date or likeness(best)[1] >= ALIKE) else None


def _cells(entry: PaperEntry) -> str:
    return entry.imported.cells if entry.imported else entry.text


def _key(entry: PaperEntry) -> Key:
    row = entry.imported
    assert row is not None
    return row.digest, int(row.occurrence)


def _file(entry: PaperEntry) -> str:
    return entry.imported.file if entry.imported else ""


def _line(entry: PaperEntry) -> int:
    return int(entry.imported.line) if entry.imported else 0
