"""Which of several decisions on one directive counts: one on the newest revision, and of these the newest.

Source: 14 CFR 91.417(a)(2)(v) names the revision date. An older paper that is decided once more, or that comes out of
another clone, says nothing of what was issued since. Where nothing says which is newer, what bars more counts.
"""

import datetime as dt
from collections.abc import Collection

from inspect_kit.model.kinds.directive import VOLUNTARY, YES, Directive


def newest_decision(records: Collection[Directive]) -> Directive:
    """The decision that counts among those on one directive for one product."""
    left = [each for each in records if not any(_supersedes(other, each, records) for other in records)]
    return max(left or records, key=lambda each: (_bars(each), *_when(each), each.name))


def is_newer(one: Directive, other: Directive, records: Collection[Directive]) -> bool:
    """Whether one decision is on a newer revision than another: by `issued`, else by which was decided first."""
    if _is_same(one, other):
        return False
    issued, before = _issued(one, records), _issued(other, records)
    if issued is not None and before is not None and issued != before:
        return issued > before
    return _first_decided(one, records) > _first_decided(other, records)


def revision_words(record: Directive) -> str:
    """A revision in words: by what it is called, and the day on which it was issued."""
    name = f"revision {record.revision}" if record.revision else "the revision"
    return f"{name} of {record.issued}" if record.issued else name if record.revision else "the one without a revision"


def _supersedes(one: Directive, other: Directive, records: Collection[Directive]) -> bool:
    return is_newer(one, other, records) or (_is_same(one, other) and _when(one) > _when(other))


def _is_same(one: Directive, other: Directive) -> bool:
    """Whether two decisions are on one revision; what one of them leaves out does not make it another."""
    days = {one.issued, other.issued} - {None}
    names = {_words(one.revision), _words(other.revision)}
    alike = "" in names and one.issued is not None and one.issued == other.issued
    return len(days) < 2 and (len(names) == 1 or alike)


def _issued(record: Directive, records: Collection[Directive]) -> dt.date | None:
    """When its revision was issued, as it says, else as the newest decision says that calls it the same."""
    if record.issued is not None:
        return record.issued
    name = _words(record.revision)
    said = [(_when(each), each.issued) for each in records if each.issued and _words(each.revision) == name]
    return max(said)[1] if said else None


def _first_decided(record: Directive, records: Collection[Directive]) -> dt.date:
    return min(each.date for each in records if each is record or _is_same(each, record))


def _when(record: Directive) -> tuple[dt.date, dt.date]:
    return record.date, record.entered or record.date


def _bars(record: Directive) -> int:
    return 3 if record.undecided else {YES: 2, VOLUNTARY: 1}.get(record.applies.word, 0)


def _words(text: str) -> str:
    return " ".join(text.casefold().split())
