"""Which of two records of one day came first, where one of them says so by `follows`.

Only what can be so counts: of two records of one day, neither against what the meters read, nor round in a circle, nor
of what was written after the seal of the one that says it. What an amendment says since of a day or a reading is more.
"""

from collections.abc import Iterator, Mapping

from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

NOTHING: Mapping[str, frozenset[str]] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfollowed:
    """What a record says that it came after, and cannot have; `why` is "" where nothing is called so."""

    record: Record
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
    saying = [record for record in logbook.records if record.follows]
    if not saying:
        return Followed(before=NOTHING, faults=())
    by_name = {record.name: record for record in logbook.records}
    withdrawn = {each.record.name for each in logbook.withdrawn}
    faults: list[Unfollowed] = []
    said: dict[str, list[str]] = {}
    for record in saying:
        for name in record.follows:
            other = by_name.get(name)
            if other is None and name in withdrawn:
                # What it came after was never done; that it was written down says nothing else.
                continue
            why = "" if other is None else _why_not(logbook, record, other)
            if why is not None:
                faults.append(Unfollowed(record=record, name=name, why=why))
            elif other is not None and other.date == record.date and not _lower(logbook, record, other):
                said.setdefault(record.name, []).append(name)
    before = {name: frozenset(_all_before(said, name)) for name in said}
    for name in [name for name in said if name in before[name]]:
        ring = next(each for each in said[name] if each == name or name in before.get(each, ()))
        told = "which comes after this one by what it says itself: the two go round in a circle"
        faults.append(Unfollowed(record=by_name[name], name=ring, why=told))
        del said[name]
    # Without those that go round: what is left of them is no order.
    return Followed(before={name: frozenset(_all_before(said, name)) for name in said}, faults=tuple(faults))


def _all_before(said: Mapping[str, list[str]], name: str) -> Iterator[str]:
    seen: set[str] = set()
    left = [*said.get(name, ())]
    while left:
        if (each := left.pop()) not in seen:
            seen.add(each)
            yield each
            left += said.get(each, ())


def _why_not(logbook: Logbook, record: Record, other: Record) -> str | None:
    """Why a record cannot have come after another one of its day; None if it can."""
    if other is record:
        return "this record itself"
    for each in (record, other):
        if kind_of(each).of_a_record or isinstance(each, BroughtForward):
            which = "and this one" if each is record else "which"
            return f"{which} tells of no work of that day ({kind_of(each).title})"
    then = logbook.as_written(other).date
    if then != logbook.as_written(record).date:
        return f"which is of {then}: `follows` is for two records of one day, of other days the date says it"
    # Where one of them was put right since, its date and its readings say which came first.
    if not {record.name, other.name} & {*logbook.amended} and (low := _lower(logbook, record, other)):
        return low
    if record.seal is not None and record.seal.sha256 in _seals_known(logbook, other):
        return "which was written after this record was sealed"
    return None


def _lower(logbook: Logbook, record: Record, other: Record) -> str:
    """That a meter reads less here than there; "" where none does."""
    for meter in logbook.aircraft.meters:
        read = logbook.meter_history(meter).at_record
        now, then = read.get(record.name), read.get(other.name)
        if now is not None and then is not None and now.total < then.total:
            return f"where {meter} reads {then.reads}, and here {now.reads}: it cannot have come after that"
    return ""


def _seals_known(logbook: Logbook, record: Record) -> set[str]:
    """The seals that stood when a record was written, all that those came after included."""
    sealed = {each.seal.sha256: each.seal for each in logbook.records if each.seal}
    found: set[str] = set()
    left = [*record.after, *(record.seal.after if record.seal else ())]
    while left:
        if (seal := left.pop()) not in found:
            found.add(seal)
            left += sealed[seal].after if seal in sealed else ()
    return found
