"""What was fitted in a position, when, and how much each part has had of its own."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from inspect_kit.due.chronicle import Chronicle, Moment
from inspect_kit.model.record import BroughtForward, Installed, Removed


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """One stay of a part in a position, from `start` to `end` (None: still there).

    `since_new` and `since_overhaul` are the part's own hours at the start: as the record gives them, else carried on
    from its stay before (the bench adds nothing); None where nothing says them.
    """

    position: str
    serial: str
    part: str
    start: Moment
    end: Moment | None
    since_new: Decimal | None
    since_overhaul: Decimal | None

    def holds(self, moment: Moment) -> bool:
        """Whether something done at that moment was done to this part, in this stay."""
        return self.start.order <= moment.order and (self.end is None or moment.order <= self.end.order)


Fittings = Mapping[str, tuple[Fitting, ...]]


def all_fittings(chronicle: Chronicle) -> Fittings:
    """Every stay of every part by position, in order of time.

    A part is known by its serial number and its name: it keeps its own time when it moves to another position.
    """
    clock = chronicle.clock
    made: dict[str, list[Fitting]] = {}
    stays: dict[tuple[str, str], Fitting] = {}
    for record, moment in _events(chronicle):
        position = chronicle.logbook.id_now(record.position)
        there = made.setdefault(position, [])
        if there and there[-1].end is None:
            # A new part without a record of the old one's removal ends the old one's stay all the same.
            there[-1] = replace(there[-1], end=moment)
            stays[there[-1].serial, there[-1].part] = there[-1]
        if isinstance(record, Installed):
            before = stays.get((record.serial, record.part))
            new, overhaul = _carried(before, clock)
            fitting = Fitting(
                position=position,
                serial=record.serial,
                part=record.part,
                start=moment,
                end=None,
                since_new=record.since_new if record.since_new is not None else new,
                since_overhaul=record.since_overhaul if record.since_overhaul is not None else overhaul,
            )
            there.append(fitting)
            stays[record.serial, record.part] = fitting
    return {position: tuple(stays) for position, stays in made.items()}


def _events(chronicle: Chronicle) -> list[tuple[Installed | Removed, Moment]]:
    found: list[tuple[Installed | Removed, Moment]] = []
    for record in chronicle.logbook.records:
        moment = chronicle.moments[record.name]
        if isinstance(record, BroughtForward):
            found += [(part, moment) for part in record.fitted]
        elif isinstance(record, Installed | Removed):
            found.append((record, moment))
    # On one day and total a part comes out before the next one goes in.
    return sorted(found, key=lambda event: (event[1].order, isinstance(event[0], Installed), event[0].name))


def _carried(before: Fitting | None, clock: str) -> tuple[Decimal | None, Decimal | None]:
    """A part's own hours at the end of its last stay."""
    if before is None or before.end is None:
        return None, None
    gained = gain(before.start, before.end, clock)
    if gained is None:
        return None, None
    new = None if before.since_new is None else before.since_new + gained
    overhaul = None if before.since_overhaul is None else before.since_overhaul + gained
    return new, overhaul


def gain(start: Moment, end: Moment, meter: str) -> Decimal | None:
    """What a meter gained between two moments."""
    first, last = start.totals.get(meter), end.totals.get(meter)
    return None if first is None or last is None else last - first


def present(fittings: tuple[Fitting, ...]) -> Fitting | None:
    """What is fitted now."""
    return fittings[-1] if fittings and fittings[-1].end is None else None


def stays_of(fittings: tuple[Fitting, ...], part: Fitting) -> tuple[Fitting, ...]:
    """All stays of the same part in this position."""
    return tuple(each for each in fittings if (each.serial, each.part) == (part.serial, part.part))


def used_between(stays: tuple[Fitting, ...], done: Moment, meter: str) -> Decimal | None:
    """What the part gained on a meter from `done` to the start of its present stay, the bench left out.

    The hours that a record gives at the present fitting prevail over those that follow from earlier stays.
    """
    now = stays[-1]
    used = Decimal(0)
    for stay in stays[:-1]:
        if stay.end is None or stay.end.order <= done.order:
            continue
        part = gain(done if stay.holds(done) else stay.start, stay.end, meter)
        if part is None:
            return None
        used += part
    if now.holds(done):
        past = gain(now.start, done, meter)
        return None if past is None else -past
    return used
