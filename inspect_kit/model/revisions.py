"""Which of several decisions on one directive counts: one on the newest revision, and of these the newest.

Source: 14 CFR 91.417(a)(2)(v) names the revision date. An older paper that is decided once more, or that comes out of
another clone, says nothing of what was issued since. Where nothing says which is newer, or on which of several a
decision is, what bars more counts.
"""

import datetime as dt
from collections.abc import Collection
from itertools import combinations

from inspect_kit.model.kinds.directive import VOLUNTARY, YES, Directive


def newest_decision(records: Collection[Directive]) -> Directive:
    """The decision that counts among those on one directive for one product."""
    left = [each for each in records if not any(supersedes(other, each, records) for other in records)]
    return max(left or records, key=lambda each: (_bars(each), *_when(each), each.name))


def supersedes(one: Directive, other: Directive, records: Collection[Directive]) -> bool:
    """Whether one decision takes the place of another."""
    if is_unsaid(one, records):
        return False
    later = _when(one) > _when(other)
    if later and is_unsaid(other, records):
        # Whichever it was on, this one is on the newest, and later.
        return not any(is_newer(each, one, records) for each in records)
    return is_newer(one, other, records) or (_is_same(one, other) and later)


def is_newer(one: Directive, other: Directive, records: Collection[Directive]) -> bool:
    """Whether one decision is surely on a newer revision than another: by `issued`, else by which was decided first."""
    if _is_same(one, other) or is_unsaid(one, records):
        return False
    issued, before = _issued(one, records), _issued(other, records)
    if issued is not None and before is not None and issued != before:
        return issued > before
    return _first_decided(one, records) > _first_decided(other, records)


def is_unsaid(record: Directive, records: Collection[Directive]) -> bool:
    """Whether a decision leaves open on which of several revisions it is: it names none, or gives no date of one that
    was issued twice, and two or more that it may be were decided on before it.
    """
    if record.issued is not None:
        return False
    before = [each for each in records if _when(each) < _when(record) and _may_be(record, each)]
    return any(not _is_same(one, other) for one, other in combinations(before, 2))


def in_force_since(record: Directive, records: Collection[Directive]) -> dt.date:
    """The day of the revision of a decision, else that on which it was first decided for all that is known."""
    if is_unsaid(record, records):
        return record.date
    return record.issued or min(each.date for each in records if each.revision == record.revision)


def revision_words(record: Directive) -> str:
    """A revision in words: by what it is called, and the day on which it was issued."""
    name = f"revision {record.revision}" if record.revision else "the revision"
    return f"{name} of {record.issued}" if record.issued else name if record.revision else "the one without a revision"


def _is_same(one: Directive, other: Directive) -> bool:
    """Whether two decisions are on one revision; what one of them leaves out does not make it another."""
    days = {one.issued, other.issued} - {None}
    names = {_words(one.revision), _words(other.revision)}
    alike = "" in names and one.issued is not None and one.issued == other.issued
    return len(days) < 2 and (len(names) == 1 or alike)


def _may_be(record: Directive, other: Directive) -> bool:
    """Whether a decision without a date may be on the revision of another one: it names no other."""
    return not record.revision.strip() or _words(record.revision) == _words(other.revision)


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
