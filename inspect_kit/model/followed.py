"""Which of two records of one day came first, where one of them says so by `follows` or `precedes`.

Only what can be so counts: of two records of one day, neither against what the meters read, nor round in a circle, nor
of what was written after the seal of the one that says it. What an amendment says since of a day or a reading is more;
it may say the order of the day too.
What two said by way of a third stays so when that one is withdrawn, or was of another day after all.
"""

from collections.abc import Iterator, Mapping

from inspect_kit.model.amended import AmendedField, newest
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

FOLLOWS, PRECEDES = "follows", "precedes"
NOTHING: Mapping[str, frozenset[str]] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfollowed:
    """What a record says by `key` that it came after or before, and cannot; `why` is "" where nothing is called so."""

    record: Record
    key: str
    name: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """What each record of a day came after, by its word and by theirs; and what is said so and cannot be."""

    before: Mapping[str, frozenset[str]]
    faults: tuple[Unfollowed, ...]


def followed(logbook: Logbook) -> Followed:
    """All that the records of a logbook say of their order within a day, once."""
    return logbook.once("followed", lambda: _followed(logbook))


def _followed(logbook: Logbook) -> Followed:
    saying = [record for record in logbook.records if record.follows or record.precedes]
    if not saying:
        return Followed(before=NOTHING, faults=())
    by_name = {record.name: record for record in logbook.records}
    withdrawn = {each.record.name: each.record for each in logbook.withdrawn if each.record.name not in by_name}
    faults: list[Unfollowed] = []
    # What each came straight after: as it stands now, and as it was said when it was written.
    said: dict[str, list[str]] = {}
    written: dict[str, list[str]] = {}
    for record in (*saying, *withdrawn.values()):
        for key, name in _named(record):
            other = by_name.get(name)
            first, last = (name, record.name) if key == FOLLOWS else (record.name, name)
            if (gone := withdrawn.get(name)) is not None or record.name in withdrawn:
                # That it was never done says nothing of the order of those between which it stood.
                if (gone or record).date == (other or record).date:
                    written.setdefault(last, []).append(first)
                continue
            why = "" if other is None else _why_not(logbook, record, other, key)
            if why is not None:
                faults.append(Unfollowed(record=record, key=key, name=name, why=why))
            elif other is not None:
                written.setdefault(last, []).append(first)
                if _may_follow(logbook, by_name[last], by_name[first]):
                    said.setdefault(last, []).append(first)
    before = {name: frozenset(_all_before(said, name)) for name in said}
    if round_ := {name for name in said if name in before[name]}:
        told = "which comes before and after this one by what they say: the two go round in a circle"
        for record in saying:
            faults += [
                Unfollowed(record=record, key=key, name=name, why=told)
                for key, name in _named(record)
                if name != record.name and record.name in before.get(name, ()) and name in before.get(record.name, ())
            ]
        # Without those that go round: what is left of them is no order.
        said = {name: [*firsts] for name, firsts in said.items() if name not in round_}
        written = {name: firsts for name, firsts in written.items() if name not in round_}
    found = {}
    for name in {*said, *written} & {*by_name}:
        by_way = {
            each
            for each in _all_before(written, name)
            if each != name and each in by_name and _may_follow(logbook, by_name[name], by_name[each])
        }
        found[name] = frozenset(by_way.union(_all_before(said, name)))
    # Neither of two of which a third made each the later one.
    before = {name: frozenset(first for first in found[name] if name not in found.get(first, ())) for name in found}
    return Followed(before=before, faults=tuple(faults))


def _named(record: Record) -> Iterator[tuple[str, str]]:
    yield from ((FOLLOWS, name) for name in record.follows)
    yield from ((PRECEDES, name) for name in record.precedes)


def _may_follow(logbook: Logbook, last: Record, first: Record) -> bool:
    """Whether one may have come after another of its day, as both stand now."""
    return last.date == first.date and not _lower(logbook, last, first)


def _all_before(said: Mapping[str, list[str]], name: str) -> Iterator[str]:
    seen: set[str] = set()
    left = [*said.get(name, ())]
    while left:
        if (each := left.pop()) not in seen:
            seen.add(each)
            yield each
            left += said.get(each, ())


def _why_not(logbook: Logbook, record: Record, other: Record, key: str) -> str | None:
    """Why a record cannot have come after, or before, another one of its day; None if it can."""
    if other is record:
        return "this record itself"
    for each in (record, other):
        if kind_of(each).of_a_record or isinstance(each, BroughtForward):
            which = "and this one" if each is record else "which"
            return f"{which} tells of no work of that day ({kind_of(each).title})"
    written = logbook.as_written(record)
    is_amended = other.name not in (*written.follows, *written.precedes)
    then = logbook.as_written(other).date
    if not {then, other.date} & {written.date, record.date}:
        return f"which is of {then}: `{key}` is for two records of one day, of other days the date says it"
    # Where one of them was put right since, its date and its readings say which came first.
    last, first = (record, other) if key == FOLLOWS else (other, record)
    if not _put_right_since(logbook, record, other, key) and (low := _lower(logbook, last, first)):
        return f"where {low}: it cannot have come {'after' if key == FOLLOWS else 'before'} that"
    if not is_amended and record.seal is not None and record.seal.sha256 in seals_known(logbook, other):
        return "which was written after this record was sealed"
    return None


def _put_right_since(logbook: Logbook, record: Record, other: Record, key: str) -> bool:
    """Whether an amendment says more of one of the two than the one, or the record, that says the order."""
    changes = [change for each in (record, other) for change in _changes(logbook, each)]
    said = [newest(change.amendment) for change in _changes(logbook, record) if change.field == (key,)]
    return any(not said or newest(change.amendment) > max(said) for change in changes)


def _changes(logbook: Logbook, record: Record) -> tuple[AmendedField, ...]:
    return logbook.amended[record.name].changes if record.name in logbook.amended else ()


def _lower(logbook: Logbook, last: Record, first: Record) -> str:
    """That a meter reads less at what came last than at what came first; "" where none does."""
    for meter in logbook.aircraft.meters:
        read = logbook.meter_history(meter).at_record
        now, then = read.get(last.name), read.get(first.name)
        if now is not None and then is not None and now.total < then.total:
            return f"{meter} reads {then.reads} at {first.name}, and {now.reads} at {last.name}"
    return ""


def seals_known(logbook: Logbook, record: Record) -> set[str]:
    """The seals that stood when a record was written, all that those came after included."""
    sealed = {each.seal.sha256: each.seal for each in logbook.records if each.seal}
    found: set[str] = set()
    left = [*record.after, *(record.seal.after if record.seal else ())]
    while left:
        if (seal := left.pop()) not in found:
            found.add(seal)
            left += sealed[seal].after if seal in sealed else ()
    return found
