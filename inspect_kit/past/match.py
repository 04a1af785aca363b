"""Which rows of a table were imported before, which are new, which were changed since.

A row is known by the digest of its cleaned cells and by its occurrence among equal rows, wherever it stands now. Rows
that differ from what was imported from their place are changed, and so are those elsewhere that differ from one that
is gone in words of the same day or in nothing but the day: they are named, never written, because the entry that stands
may be in somebody's arithmetic already. A row whose entry was withdrawn is named too, and stays withdrawn, also where
the table got a column more, or lost one; only what was corrected in it is another row.
"""

from collections import Counter
from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from difflib import SequenceMatcher

from inspect_kit.model.aircraft import Person
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.noun import dataclass
from inspect_kit.past.table import cells_of

Key = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Matched:
    """`changed` are pairs of the row as it is now and the record of what it was; `gone` stand in the table no more.

    `before` were imported from this table, `elsewhere` are pairs of a row and its record from another table,
    `withdrawn` pairs of a row and what was taken back.
    """

    new: tuple[PaperEntry, ...]
    before: tuple[PaperEntry, ...]
    elsewhere: tuple[tuple[PaperEntry, PaperEntry], ...]
    withdrawn: tuple[tuple[PaperEntry, PaperEntry], ...]
    changed: tuple[tuple[PaperEntry, PaperEntry], ...]
    gone: tuple[PaperEntry, ...]


def match(
    entries: tuple[PaperEntry, ...],
    records: Iterable[PaperEntry],
    file: str,
    withdrawn: Iterable[PaperEntry] = (),
    left_out: Container[str] = (),
) -> Matched:
    """Entries of the table `file`, in its order, against the records of a store and those that were taken back.

    `left_out` are the digests of rows that stand in the table and are taken for no entries: no other row was one.
    """
    imported = [record for record in records if record.imported is not None]
    known = {_key(record): record for record in imported}
    elsewhere = {key: record for key, record in known.items() if _file(record) != file}
    back = {_key(record): record for record in withdrawn if record.imported is not None and _key(record) not in known}
    rows = [entry for entry in entries if _key(entry) not in elsewhere and _key(entry) not in back]
    # What was taken back has its place too: else the row that took it would be paired with the record of another.
    there = {_key(row) for row in entries}
    lost_back = [record for key, record in back.items() if _file(record) == file and key not in there]
    old = sorted((*(each for each in imported if _file(each) == file), *lost_back), key=_line)
    matcher = SequenceMatcher(a=[_key(record) for record in old], b=[_key(row) for row in rows], autojunk=False)
    stays = {_key(row) for row in rows} & {_key(record) for record in old}
    new: list[PaperEntry] = []
    pairs: list[tuple[PaperEntry, PaperEntry]] = []
    gone: list[PaperEntry] = []
    still: list[PaperEntry] = []
    for _, start, end, first, last in matcher.get_opcodes():
        # A row that only moved is neither new nor gone.
        out = [record for record in old[start:end] if _key(record) not in stays]
        named = [record for record in out if _key(record)[0] in left_out]
        lost = [record for record in out if record not in named]
        found = [row for row in rows[first:last] if _key(row) not in stays]
        for row, was in _as_they_were(found, lost):
            pairs.append((row, was))
            lost.remove(was)
            found.remove(row)
        new += found
        gone += lost
        still += named
    for row in [*new]:
        if (moved := _moved(row, gone)) is not None:
            pairs.append((row, moved))
            gone.remove(moved)
            new.remove(row)
    changed = [(row, was) for row, was in pairs if _key(was) not in back]
    taken_back = [(entry, back[_key(entry)]) for entry in entries if _key(entry) in back]
    # Of a row alone, more cells are a correction; where those that stand have them too, or several, the table got a
    # column.
    alike = [was for row, was in pairs if _but_for_a_column(row, was)]
    widened = len(alike) > 1 or any(_key(was) not in back for was in alike)
    for row, was in pairs:
        if _key(was) not in back:
            continue
        if (row.date == was.date and _says(row) == _says(was)) or (widened and _but_for_a_column(row, was)):
            taken_back.append((row, was))
        else:
            new.append(row)
    return Matched(
        new=tuple(sorted(new, key=_line)),
        before=tuple(entry for entry in entries if _key(entry) in known and _key(entry) not in elsewhere),
        elsewhere=tuple((entry, elsewhere[_key(entry)]) for entry in entries if _key(entry) in elsewhere),
        withdrawn=tuple(taken_back),
        changed=tuple(changed),
        gone=tuple(each for each in sorted((*gone, *still), key=_line) if _key(each) not in back),
    )


# What a row says by its cells and by what stands beside the table.
SAID = ("date", "meters", "totals", "text", "by", "at", "paper", "did", "last")


@dataclass(frozen=True, slots=True)
class Otherwise:
    """A row that was imported before and would be entered otherwise now: the keys that differ from its record."""

    row: PaperEntry
    record: PaperEntry
    keys: tuple[str, ...]


def entered_otherwise(
    rows: Iterable[PaperEntry],
    records: Iterable[PaperEntry],
    as_written: Callable[[PaperEntry], PaperEntry],
    id_now: Callable[[str], str],
) -> tuple[Otherwise, ...]:
    """Rows imported before of which the owner says something else beside the table since; not where its record as it
    was written, or as amended, says the same.
    """
    known = {_key(record): record for record in records if record.imported is not None}
    found = []
    for row in rows:
        record = known[_key(row)]
        keys = [
            key
            for key in SAID
            if all(_plain(row, key, id_now) != _plain(each, key, id_now) for each in (record, as_written(record)))
        ]
        if keys:
            found.append(Otherwise(row, record, tuple(keys)))
    return tuple(found)


def still_otherwise(row: PaperEntry, record: PaperEntry, id_now: Callable[[str], str]) -> tuple[str, ...]:
    """The keys by which a row that was changed in its table differs from its record, as that is amended; none where
    an amendment said the same.
    """
    return tuple(key for key in SAID if _plain(row, key, id_now) != _plain(record, key, id_now))


def _plain(entry: PaperEntry, key: str, id_now: Callable[[str], str]) -> object:
    """What an entry says by a key, to be compared: of a person what a table can say, of checks today's ids."""
    value = getattr(entry, key)
    if isinstance(value, Person):
        return value.name, value.kind, value.certificate
    return {*map(id_now, value)} if isinstance(value, tuple) else value


# So much of the cells of a row of another day is the same where it is that row and its date was corrected.
ALIKE = 0.5


def _as_they_were(rows: Sequence[PaperEntry], lost: Sequence[PaperEntry]) -> Iterator[tuple[PaperEntry, PaperEntry]]:
    """Each row with what it may have been of those that its place held: those of its day, else those much like it."""
    left, left_rows = [*lost], [*rows]
    for alike, of_its_day in ((0.0, True), (ALIKE, False)):
        for row in [*left_rows]:
            able = [old for old in left if not of_its_day or old.date == row.date]
            best = max(able, key=lambda old: _likeness(old, row), default=None)
            if best is not None and _likeness(best, row) >= alike:
                yield row, best
                left.remove(best)
                left_rows.remove(row)


def _moved(row: PaperEntry, gone: Iterable[PaperEntry]) -> PaperEntry | None:
    """What a row may have been of those that were gone from elsewhere: one much like it, of its day or but for the day.

    Two flights of two days differ in a reading or a page too.
    """
    of_its_day = [old for old in gone if old.date == row.date and _likeness(old, row) >= ALIKE]
    but_for_the_day = [old for old in gone if _says(old) == _says(row)]
    return max([*of_its_day, *but_for_the_day], key=lambda old: _likeness(old, row), default=None)


def _but_for_a_column(row: PaperEntry, was: PaperEntry) -> bool:
    """Whether it says the same but for cells of its own, wherever they stand."""
    now, then = (Counter(filter(None, cells_of(_cells(each)))) for each in (row, was))
    return now <= then or then <= now


def _says(entry: PaperEntry) -> tuple[object, ...]:
    return entry.text, dict(entry.meters), dict(entry.totals), entry.by and entry.by.name, entry.paper, entry.at


def _likeness(old: PaperEntry, row: PaperEntry) -> float:
    return SequenceMatcher(None, _cells(old), _cells(row), autojunk=False).ratio()


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
