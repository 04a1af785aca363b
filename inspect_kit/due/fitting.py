"""What was fitted in a position, when, and how much each part has had of its own.

A part is known by its serial and its name (`part`); a name left out fits any. It keeps its own time wherever on the
aircraft it goes, and the bench adds nothing. Serial `none` is a new part at each fitting.
"""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import combinations, groupby, pairwise, permutations

from inspect_kit.due.chronicle import Chronicle, chronicle
from inspect_kit.due.moments import Moment
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import Check, gone
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.installed import NO_SERIAL, Installed, words_of_part
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import OF_FITTINGS, Logbook
from inspect_kit.noun import dataclass

# All orders of the moves of one position on one day are tried, 720 for six; more (5,040 for seven) stay as written.
MANY_MOVES = 6
ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """One stay of a part in a position, from `start` to `end` (None: still there).

    `since_new` and `since_overhaul` are the part's own hours at the moment `told`: as the record gives them, else
    carried on from its stay before; None where nothing says them. `told` is the start, or for a part that was brought
    forward the day on which that was written; the start of such a stay has no date unless `fitted-on` gives one.
    `first` is when the part was first fitted, `made` and `overhauled` what its label and its records say: None where
    that is not on record. `least_new` is the least that the hours since new can be where `since_new` is the most;
    `left_new` and `left_overhaul` are its own hours as written down when it came out; `before` its earlier stays, in
    any position. `unread` is whether its own hours are written down and cannot be read.
    """

    position: str
    serial: str
    part: str
    start: Moment
    end: Moment | None
    told: Moment
    since_new: Decimal | None = None
    since_overhaul: Decimal | None = None
    first: dt.date | None = None
    made: dt.date | None = None
    overhauled: dt.date | None = None
    least_new: Decimal | None = None
    left_new: Decimal | None = None
    left_overhaul: Decimal | None = None
    unread: bool = False
    before: "tuple[Fitting, ...]" = ()

    def holds(self, moment: Moment, meter: str) -> bool:
        """Whether something done at that moment was certainly done to this part, in this stay.

        What was brought forward as last done counts for the part that was brought forward, unless its date is earlier
        than the fitting.
        """
        begun = self.start.surely_before(moment, meter)
        if self.brought and moment.brought:
            begun = moment.date is None or self.start.date is None or self.start.date <= moment.date
        elif self.start.date is None:
            begun = self.told.surely_before(moment, meter)
        if not begun or self.end is None:
            return begun
        # What was done on the day it came out, and is not read, may have been done to what came after it.
        unclear = moment.date == self.end.date and (moment.clock is None or self.end.clock is None)
        return not unclear and moment.surely_before(self.end, meter)

    @property
    def brought(self) -> bool:
        """Whether it was there already when records began, and not fitted on the day of its record."""
        return self.start.brought

    @property
    def stays(self) -> "tuple[Fitting, ...]":
        return (*self.before, self)


Fittings = Mapping[str, tuple[Fitting, ...]]
Move = tuple[Installed | Removed, Moment]


def all_fittings(chronicle: Chronicle) -> Fittings:
    """Every stay of every part by position, in order of time."""
    return chronicle.logbook.once(OF_FITTINGS, lambda: _fittings(chronicle))


def _fittings(chronicle: Chronicle) -> Fittings:
    found: dict[str, list[Fitting]] = {}
    for position, moves in _moves(chronicle).items():
        found[position] = list(_stays(position, moves, chronicle))
    _join(found, chronicle)
    return {position: tuple(stays) for position, stays in found.items()}


def _moves(chronicle: Chronicle) -> dict[str, list[Move]]:
    """What went in and came out of each position, by date; what was brought forward stands before its day."""
    found: dict[str, list[Move]] = {}
    for record in chronicle.logbook.records:
        if isinstance(record, BroughtForward):
            for part in record.fitted:
                position = chronicle.logbook.id_now(part.position)
                found.setdefault(position, []).append((part, chronicle.fitted[record.name, part.position]))
        elif isinstance(record, Installed | Removed):
            name = chronicle.logbook.id_now(record.position)
            found.setdefault(name, []).append((record, chronicle.moments[record.name]))
    return found


def _stays(position: str, moves: list[Move], chronicle: Chronicle) -> Iterator[Fitting]:
    """The stays of one position. A new part without a record of the old one's removal ends the old one's stay."""
    fitted: Fitting | None = None
    for _, same_day in groupby(moves, key=lambda move: move[0].date):
        for record, moment in _arranged(list(same_day), fitted, chronicle.clock):
            if isinstance(record, Removed):
                if fitted is not None:
                    yield _ended(fitted, moment, record)
                fitted = None
                continue
            if fitted is not None and moment.brought and _same(fitted, record):
                # What records say already is only said again by what was brought forward.
                fitted = _told_again(fitted, record)
                continue
            if fitted is not None:
                yield replace(fitted, end=moment)
            fitted = Fitting(
                position=position,
                serial=record.serial,
                part=record.part,
                start=moment,
                end=None,
                told=chronicle.moments[record.name],
                since_new=record.since_new,
                least_new=record.since_new,
                since_overhaul=record.since_overhaul,
                first=_first(record, moment),
                made=_by(record, record.made),
                overhauled=_by(record, record.overhauled),
                unread=_is_unread(record, "since-new") or _is_unread(record, "since-overhaul"),
            )
    if fitted is not None:
        yield fitted


def _first(record: Installed, moment: Moment) -> dt.date | None:
    """When a part was first fitted, by a record of its fitting."""
    if moment.brought or _is_unread(record, "fitted-on"):
        return _by(record, record.fitted_on)
    return _earliest(record.fitted_on, moment.date)


def _by(record: Installed, day: dt.date | None) -> dt.date | None:
    """A day of a part's past; one after its record, which is a problem, is none."""
    return day if day is not None and day <= record.date else None


def _is_unread(record: Installed, key: str) -> bool:
    """Whether a key is there and cannot be read: then the part is not as new as one of which nothing is said."""
    return (key, "") in record.lines and getattr(record, key.replace("-", "_")) is None


def _arranged(day: list[Move], fitted: Fitting | None, clock: str) -> list[Move]:
    """The moves of one day and position in an order in which they can follow each other, if there is one.

    Moves with readings keep the order of these. Of what can stand at one moment a part comes out before the next one
    goes in; a part fitted and removed at one moment is not fitted. Where several orders can be, the part that stays is
    the one that was fitted at the least total, and the part that comes out last the one that may have run longest, so
    that nothing is due later than it may be.
    """
    plain = sorted(day, key=lambda move: (not move[1].brought, move[1].order, isinstance(move[0], Installed)))
    if len(day) < 2 or len(day) > MANY_MOVES:
        return plain
    orders = (list(order) for order in permutations(plain))
    return min(orders, key=lambda order: (*_clashes(order, fitted), _ends(order, clock)))


def _ends(order: Sequence[Move], clock: str) -> tuple[dt.date, Decimal, int, Decimal]:
    """How an order ends, the less the better: from when on a part stays; or it comes out, and as late as it can."""
    record, moment = order[-1]
    return moment.order if isinstance(record, Installed) else (dt.date.min, -(moment.at_most(clock) or ZERO), 0, ZERO)


def _clashes(order: Sequence[Move], fitted: Fitting | None) -> tuple[int, int]:
    """Two counts for an order of moves: what runs backwards by the readings or by `follows`, or a past brought forward
    that is not first; and fittings and removals that do not go with what is in the position.
    """
    read = [moment.clock for _, moment in order if moment.clock is not None]
    backwards = sum(later < earlier for earlier, later in pairwise(read))
    backwards += sum(later.record in earlier.follows for (_, earlier), (_, later) in combinations(order, 2))
    brought = sum(move[1].brought and number > 0 for number, move in enumerate(order))
    there = fitted.serial if fitted else None
    wrong = 0
    for record, moment in order:
        if isinstance(record, Removed):
            wrong += there != record.serial
            there = None
        else:
            wrong += there is not None and not moment.brought
            there = record.serial
    return backwards + brought, wrong


def _same(fitting: Fitting, record: Installed | Removed) -> bool:
    return fitting.serial == record.serial and may_be_one_part(fitting.part, record.part)


def may_be_one_part(one: str, other: str) -> bool:
    """Whether two names of parts with one serial can be of one part: makers number theirs each for themselves."""
    return not one or not other or words_of_part(one) == words_of_part(other)


def _ended(fitting: Fitting, moment: Moment, record: Removed) -> Fitting:
    """A stay with its end, and the own hours that somebody wrote down then."""
    part = fitting.part or record.part
    return replace(
        fitting, end=moment, part=part, left_new=record.since_new, left_overhaul=record.since_overhaul
    )


def _earliest(*dates: dt.date | None) -> dt.date | None:
    return min((date for date in dates if date is not None), default=None)


def _most(*hours: Decimal | None) -> Decimal | None:
    return max((each for each in hours if each is not None), default=None)


def _told_again(fitting: Fitting, record: Installed) -> Fitting:
    return replace(
        fitting,
        part=fitting.part or record.part,
        first=_earliest(fitting.first, record.fitted_on),
        made=_earliest(fitting.made, record.made),
        overhauled=fitting.overhauled or record.overhauled,
    )


def _join(found: dict[str, list[Fitting]], chronicle: Chronicle) -> None:
    """Give each stay what its part brings along from its earlier stays in any position."""
    last: list[Fitting] = []
    places = sorted(
        ((stay, position, number) for position, stays in found.items() for number, stay in enumerate(stays)),
        key=lambda each: (each[0].start.order[0], _lasts(each[0]), each[0].start.order[1], each[2]),
    )
    for stay, position, number in places:
        earlier = max(
            (each for each in last if _goes_on(each, stay)), key=lambda each: each.start.order, default=None
        )
        joined = stay if earlier is None else _carried(earlier, stay, chronicle.clock)
        if earlier is not None:
            last.remove(earlier)
        last.append(joined)
        found[position][number] = joined


def _lasts(stay: Fitting) -> bool:
    """Whether a stay is longer than its first day: of one day the short ones came first, whatever was read."""
    return stay.end is None or stay.end.order[0] != stay.start.order[0]


def _goes_on(earlier: Fitting, stay: Fitting) -> bool:
    """Whether a stay is a later one of the same part."""
    if stay.serial != earlier.serial or stay.serial.casefold() == NO_SERIAL:
        return False
    if not may_be_one_part(stay.part, earlier.part):
        return False
    if earlier.end is not None:
        return earlier.end.date is None or stay.start.date is None or earlier.end.date <= stay.start.date
    # Still elsewhere by the records: the same part only if its name says so, as nobody wrote down that it moved.
    return bool(stay.part and earlier.part) and stay.position != earlier.position


def _carried(earlier: Fitting, stay: Fitting, clock: str) -> Fitting:
    """A later stay with what it has from the one before it."""
    end = earlier.end or stay.start
    new, overhaul = own_hours(earlier, end, clock)
    overhauled, since = _overhaul(earlier, stay, end, _most(overhaul, earlier.left_overhaul))
    ran = gain_at_least(earlier.told, end, clock)
    least = None if earlier.least_new is None or ran is None else earlier.least_new + ran
    carried = _most(new, earlier.left_new)
    since_new = stay.since_new
    if since_new is not None and (floor := _most(least, earlier.left_new)) is not None and since_new < floor:
        # Nothing makes a part younger: whoever wrote fewer hours was wrong, which `grown_younger` tells.
        since_new = None
    # Of a part that was there before records began nobody knows the first fitting, unless they say it.
    known = earlier.first is not None or stay.first != stay.start.date
    return replace(
        stay,
        part=stay.part or earlier.part,
        since_new=carried if since_new is None else since_new,
        least_new=least if since_new is None else since_new,
        since_overhaul=since,
        first=_earliest(earlier.first, stay.first) if known else None,
        made=_earliest(earlier.made, stay.made),
        overhauled=overhauled,
        before=(*earlier.before, replace(earlier, end=end, before=())),
    )


def _overhaul(
    earlier: Fitting, stay: Fitting, end: Moment, carried: Decimal | None
) -> tuple[dt.date | None, Decimal | None]:
    """The date of the last overhaul and the hours since, at the start of a stay; an overhaul restarts both."""
    if stay.overhauled is not None and stay.overhauled != earlier.overhauled:
        on_the_bench = end.date is not None and end.date <= stay.overhauled
        return stay.overhauled, stay.since_overhaul if stay.since_overhaul is not None or not on_the_bench else ZERO
    if stay.since_overhaul is None:
        return earlier.overhauled, carried
    # Fewer hours than it had: it was overhauled meanwhile, and nobody wrote down when.
    again = carried is None or stay.since_overhaul < carried
    return (None if again and stay.overhauled is None else earlier.overhauled), stay.since_overhaul


def own_hours(fitting: Fitting, at: Moment, clock: str) -> tuple[Decimal | None, Decimal | None]:
    """A part's own hours since new and since overhaul at a moment of its stay, the most they can be."""
    gained = gain(fitting.told, at, clock)
    if gained is None:
        return None, None
    new = None if fitting.since_new is None else fitting.since_new + gained
    overhaul = None if fitting.since_overhaul is None else fitting.since_overhaul + gained
    return new, overhaul


def gain(start: Moment, end: Moment, meter: str) -> Decimal | None:
    """What a meter gained at most between two moments."""
    first, last = start.totals.get(meter), end.at_most(meter)
    return None if first is None or last is None else last - first


def gain_at_least(start: Moment, end: Moment, meter: str) -> Decimal | None:
    """What a meter gained at least between two moments."""
    first, last = start.at_most(meter), end.totals.get(meter)
    return None if first is None or last is None else last - first


def present(fittings: tuple[Fitting, ...]) -> Fitting | None:
    """What is fitted now."""
    return fittings[-1] if fittings and fittings[-1].end is None else None


def emptied(logbook: Logbook, fittings: Fittings, on: dt.date) -> dict[str, Fitting]:
    """The last stay in each position in use from which the part was taken and into which none came since."""
    last = {name: fittings[name][-1] for name in logbook.aircraft.positions if fittings.get(name)}
    return {
        name: stay
        for name, stay in last.items()
        if stay.end is not None and not gone(logbook.aircraft.positions[name].retired, on)
    }


def used_before(part: Fitting, since: Moment | None, meter: str, clock: str) -> Decimal | None:
    """What a part gained on a meter in its earlier stays, in any position; None where that is not on record.

    `since` is something done to it in one of them, or on the bench between two, else all of it counts. On time in
    service the part's own hours count as well, where the records give them at both ends and they are more: so it ran on
    another aircraft.
    """
    used = ZERO
    begun = since is None
    was_out = False
    own: Decimal | None = None
    for stay in part.before:
        start = stay.start
        if since is not None and not begun:
            if stay.holds(since, clock):
                start, begun = since, True
                ran = gain_at_least(stay.told, since, clock)
                own = None if stay.least_new is None or ran is None else stay.least_new + ran
            elif was_out and since.clearly_before(start, clock):
                begun = True
            else:
                was_out = stay.end is not None and stay.end.clearly_before(since, clock)
                continue
        assert stay.end is not None
        gained = gain(start, stay.end, meter)
        if gained is None:
            return None
        used += gained
    if meter == clock and own is not None and part.since_new is not None:
        used = max(used, part.since_new - own)
    # On the bench since it came out for the last time.
    on_the_bench = since is not None and was_out and since.clearly_before(part.start, clock)
    return used if begun or on_the_bench else None


def own_position(check: Check, logbook: Logbook) -> str:
    """The position whose part a check looks at: that of `counts-on`, else the one with whose id its own begins, or did
    before either got another; "" for the aircraft itself.
    """
    if check.counts_on:
        return logbook.id_now(check.counts_on)
    ids = [check.id, *(old for old, now in logbook.current.items() if now == check.id)]
    positions = {name: name for name in logbook.aircraft.positions}
    positions |= {old: now for old, now in logbook.current.items() if now in positions and old not in positions}
    begun = [name for name in positions if any(f"{each}-".startswith(f"{name}-") for each in ids)]
    return positions[max(begun, key=len)] if begun else ""


def stays_in(part: Fitting) -> Iterable[Fitting]:
    """The stays of a part in the position where it is now."""
    return (stay for stay in part.stays if stay.position == part.position)


def between_stays(part: Fitting, history: Iterable[Fitting], moment: Moment, clock: str) -> bool:
    """Whether a part was out of its position at a moment, with nothing in it until the same one came back; or one that
    came after one of which nobody knows either whether it was another, as neither has a serial.
    """
    own = [(stay.serial, stay.start.record, stay.position) for stay in part.stays]
    gaps = {*pairwise(own)}
    for early, late in pairwise(history):
        both = tuple((stay.serial, stay.start.record, stay.position) for stay in (early, late))
        nameless = both[1] == own[-1] and all(stay.serial.casefold() == NO_SERIAL for stay in (early, late))
        out = early.end is not None and not moment.clearly_before(early.end, clock)
        if out and (nameless or both in gaps) and not late.start.clearly_before(moment, clock):
            return True
    return False


def empty_between(history: Iterable[Fitting], since: Moment, until: Moment, clock: str) -> bool:
    """Whether no part was in a position from one moment to another: what lay on the bench was one part then."""
    return all(
        (stay.end is not None and stay.end.clearly_before(since, clock)) or until.clearly_before(stay.start, clock)
        for stay in history
    )


def done_to(here: Iterable[Fitting], others: Iterable[Fitting], done: Moment, clock: str) -> bool:
    """Whether something was done to a part in one of its stays, and not perhaps to another that came in after it.

    At the very moment at which a part came out it may have been done to what came in for it, as long as nothing says
    that it came before that; on the bench, with nothing in the position, only to this one.
    """
    held = [stay for stay in here if stay.holds(done, clock)]
    if any(stay.end is None or done.clearly_before(stay.end, clock) for stay in held):
        return True
    return bool(held) and not any(_may_hold(other, held[-1], done, clock) for other in others)


def _may_hold(other: Fitting, before: Fitting, done: Moment, clock: str) -> bool:
    """Whether another part can have been fitted, after the one `before`, when something was done."""
    if before.end is not None and other.start.clearly_before(before.end, clock):
        return False
    return may_hold(other, done, clock)


def may_hold(stay: Fitting, moment: Moment, clock: str) -> bool:
    """Whether something can have been done to a part in one of its stays."""
    if moment.clearly_before(stay.start, clock):
        return False
    return stay.end is None or not stay.end.clearly_before(moment, clock)


def grown_younger(logbook: Logbook) -> tuple[Problem, ...]:
    """Parts fitted with fewer hours since new than they had run by the records before: the greater counts."""
    serials = [part.serial for each in logbook.of_kind(BroughtForward) for part in each.fitted]
    serials += [each.serial for each in logbook.of_kind(Installed)]
    again = {serial for serial, times in Counter(serials).items() if times > 1} - {NO_SERIAL}
    if not any(each.serial in again and each.since_new is not None for each in logbook.of_kind(Installed)):
        return ()
    found = []
    for stays in all_fittings(chronicle(logbook)).values():
        for stay in stays:
            record = logbook.record(stay.start.record)
            if not stay.before or not isinstance(record, Installed) or record.since_new is None:
                continue
            if stay.since_new is not None and stay.since_new > record.since_new:
                had = f"{stay.serial} had run {stay.since_new} h by {stay.before[-1].start.place}"
                told = f"since-new: {record.since_new} h are fewer than it had before, and no part grows younger: {had}"
                found.append(Problem(place_of(record, "since-new"), told, note=record.seal is not None))
    return tuple(found)
