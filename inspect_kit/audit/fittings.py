"""Parts in their positions: removed where they are not fitted, installed where another one still is."""

import datetime as dt
import re
from collections.abc import Iterator
from decimal import Decimal
from difflib import SequenceMatcher
from itertools import groupby

from inspect_kit.audit.known import MOST_HOURS, POSITION, Known, each_fault, missing_ever
from inspect_kit.errors import Place, Problem
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.installed import NO_SERIAL, Installed, nearly, plain_serial, words_beside, words_of_part
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.reason import says_nothing
from inspect_kit.model.record import Record

Fitting = Installed | Removed
# How much of two names has to be the same for one to be a slip of the other.
NEAR = 0.8
# So many moves of one position and day are put in order by trying; more one after the other.
MANY_MOVES = 6


def fittings(names: Known) -> Iterator[Problem]:
    """Follow every position and every part through the records."""
    moves: dict[str, list[Fitting]] = {}
    for move in _moves(names.logbook.records):
        yield from each_fault(
            place_of(move, "position"), (missing_ever(names, (POSITION,), move.position),), "position"
        )
        yield from _times(move)
        if isinstance(move, Installed) and says_nothing(move.serial) and move.serial.casefold() != NO_SERIAL:
            told = f"`{move.serial}` is no serial: `{NO_SERIAL}` for a part that has none, a new one at each fitting"
            yield Problem(place_of(move, "serial"), f"serial: {told}")
        position = names.aircraft.positions.get(names.logbook.id_now(move.position))
        retired = position.retired if position is not None and isinstance(move, Installed) else None
        if retired is not None and retired.date < move.date:
            told = f"`{move.serial}` came into `{move.position}`, which is retired since {retired.date}"
            yield Problem(place_of(move, "position"), f"position: {told}: take `retired` out if it is used again")
        moves.setdefault(names.logbook.id_now(move.position), []).append(move)
    order = {position: arranged(own, names.logbook) for position, own in moves.items()}
    brought = {part.place for start in names.logbook.of_kind(BroughtForward) for part in start.fitted}
    for name, own in order.items():
        yield from _follow(name, own, brought)
    yield from _in_two_places(order)
    every = sorted((move for own in order.values() for move in own), key=lambda move: (move.date, move.place))
    yield from _spelled_otherwise(every)
    yield from _named_otherwise(every)


def _told_twice(moves: list[Fitting], fitted: Installed, out: Removed) -> str:
    """What to take back where one change may be told by two: the part came out that day already, and one went in."""
    own = [move for move in moves if move.date == out.date == fitted.date and isinstance(move, Removed)]
    if [move.serial for move in own].count(out.serial) < 2:
        return ""
    into = [move for move in moves if move.date == out.date and isinstance(move, Installed)]
    first = f"inspect-kit withdraw {fitted.name}, then " if len(into) > 1 else ""
    return f": where one change is told twice, {first}inspect-kit withdraw {out.name}"


def _moves(records: tuple[Record, ...]) -> Iterator[Fitting]:
    """Every fitting by date; what was brought forward is fitted before anything else of that day."""
    for _, same_day in groupby(records, key=lambda record: record.date):
        day = list(same_day)
        for record in day:
            if isinstance(record, BroughtForward):
                yield from record.fitted
        yield from (record for record in day if isinstance(record, Installed | Removed))


def _times(move: Fitting) -> Iterator[Problem]:
    if move.since_new is not None and move.since_overhaul is not None and move.since_overhaul > move.since_new:
        told = f"since-overhaul: {move.since_overhaul} h are more than the {move.since_new} h since new"
        yield Problem(place_of(move, "since-overhaul"), told)
    if isinstance(move, Installed):
        yield from _ages(move)
        yield from _too_many_hours(move)


def _too_many_hours(move: Installed) -> Iterator[Problem]:
    """Own hours that the clock did not hold since the part was made, or was overhauled."""
    since = (("since-new", move.since_new, move.made), ("since-overhaul", move.since_overhaul, move.overhauled))
    for key, hours, day in since:
        if hours is not None and (hours > MOST_HOURS or (day and hours > 24 * ((move.date - day).days + 1))):
            told = f"the clock held from {day} to {move.date}" if day else "any part has run"
            yield Problem(place_of(move, key), f"{key}: {hours} h are more than {told}")


def _ages(move: Installed) -> Iterator[Problem]:
    """A part is made, then fitted, perhaps overhauled, and all of it by the day of the record."""
    ages = (("made", move.made), ("fitted-on", move.fitted_on), ("overhauled", move.overhauled))
    for key, date in ages:
        if date is not None and date > move.date:
            yield Problem(place_of(move, key), f"{key}: {date} is after {move.date}, the date of this record")
        elif date is not None and move.made is not None and date < move.made:
            yield Problem(place_of(move, key), f"{key}: {date} is before {move.made}, when the part was made")


def _follow(position: str, moves: list[Fitting], brought: set[Place]) -> Iterator[Problem]:
    """One position from move to move; what was brought forward may say again what records said before it."""
    fitted: Installed | None = None
    for move in moves:
        if isinstance(move, Removed):
            if fitted is None:
                told = f"`{move.serial}` is removed from `{position}`, where nothing is fitted"
                yield Problem(place_of(move, "serial"), told)
            elif fitted.serial != move.serial:
                told = f"`{move.serial}` is removed from `{position}`, where `{fitted.serial}` is fitted"
                cure = _told_twice(moves, fitted, move)
                yield Problem(place_of(move, "serial"), f"{told} since {fitted.date} ({fitted.place}){cure}")
            fitted = None
        else:
            again = move.place in brought and fitted is not None and fitted.serial == move.serial
            if fitted is not None and not again:
                word = "brought forward" if move.place in brought else "installed"
                told = f"`{move.serial}` is {word} in `{position}`, where `{fitted.serial}` is still fitted"
                yield Problem(place_of(move, "serial"), f"{told} since {fitted.date} ({fitted.place})")
            fitted = move


def arranged(moves: list[Fitting], logbook: Logbook) -> list[Fitting]:
    """The moves of one position, those of one day in an order in which they can follow each other, if there is one.

    Of those that can come next it is the one with the lowest reading of the meter of time in service, and none comes
    before what read less, but on the days on which that meter was changed.
    """
    clock = logbook.aircraft.time_in_service
    changed = {change.date for change in logbook.of_kind(MeterChange) if change.meter == clock}
    found: list[Fitting] = []
    fitted: Installed | None = None
    for date, same_day in groupby(moves, key=lambda move: move.date):
        # One without a reading may have been at any.
        waiting = sorted(same_day, key=lambda move: move.meters.get(clock, Decimal(0)))
        meter = None if date in changed else clock
        order = _whole(waiting, fitted, meter) if len(waiting) <= MANY_MOVES else None
        while order is None and waiting:
            first = _first(waiting, meter)
            found.append(next(_can(first, fitted), first[0]))
            waiting.remove(found[-1])
            fitted = found[-1] if isinstance(found[-1], Installed) else None
        found += order or ()
        fitted = found[-1] if isinstance(found[-1], Installed) else None
    return found


def _whole(waiting: list[Fitting], fitted: Installed | None, clock: str | None) -> list[Fitting] | None:
    """An order of a day's moves in which each goes with what is fitted then; None if there is none."""
    if not waiting:
        return []
    for move in _can(_first(waiting, clock), fitted):
        rest = [each for each in waiting if each is not move]
        order = _whole(rest, move if isinstance(move, Installed) else None, clock)
        if order is not None:
            return [move, *order]
    return None


def _first(waiting: list[Fitting], clock: str | None) -> list[Fitting]:
    """What no lower reading comes before; a part that stays comes after those that leave again."""
    least = min((move.meters[clock] for move in waiting if clock and clock in move.meters), default=None)
    leaving = {move.serial for move in waiting if isinstance(move, Removed)}
    first = [move for move in waiting if least is None or move.meters.get(clock or "", least) <= least]
    return sorted(first, key=lambda move: move.serial not in leaving)


def _can(first: list[Fitting], fitted: Installed | None) -> Iterator[Fitting]:
    """What goes with what is fitted."""
    for move in first:
        if (fitted is None) if isinstance(move, Installed) else (fitted is not None and fitted.serial == move.serial):
            yield move


def _spelled_otherwise(moves: list[Fitting]) -> Iterator[Problem]:
    """A serial that looks like another one: the part would begin a new life by a slip of the keyboard."""
    first: dict[str, Fitting] = {}
    for move in moves:
        plain = plain_serial(move.serial)
        other = first.setdefault(plain, move)
        if other.serial != move.serial and plain != NO_SERIAL:
            told = f"`{move.serial}` looks like `{other.serial}` ({other.place}): one part has one serial"
            yield Problem(place_of(move, "serial"), f"serial: {told}, capitals and blanks included")


def nearly_alike(names: Known) -> Iterator[Problem]:
    """Serials that differ by a zero, a letter like a digit or a word beside, each once: two parts may have these."""
    near: dict[str, Fitting] = {}
    by_serial: dict[str, Fitting] = {}
    known: dict[str, Fitting] = {}
    for move in _moves(names.logbook.records):
        known.setdefault(plain_serial(move.serial), move)
        by_serial.setdefault(move.serial, move)
    for move in known.values():
        other = near.setdefault(nearly(move.serial), move)
        if other is not move and nearly(move.serial) != NO_SERIAL:
            told = f"`{move.serial}` differs from `{other.serial}` ({other.place}) by a zero or a letter like a digit"
            yield Problem(place_of(move, "serial"), f"serial: {told}: if it is one part, write one of them", note=True)
        elif beside := words_beside(move.serial, by_serial):
            told = f"`{move.serial}` is `{beside}` ({by_serial[beside].place}) with a word beside it"
            yield Problem(place_of(move, "serial"), f"serial: {told}: if it is one part, write that alone", note=True)


def _named_otherwise(moves: list[Fitting]) -> Iterator[Problem]:
    """A part whose name is told in other words than before: under its serial it would begin a new life."""
    known: dict[str, list[Fitting]] = {}
    for move in moves:
        if not move.part or move.serial.casefold() == NO_SERIAL:
            continue
        before = known.setdefault(move.serial, [])
        if not any(words_of_part(each.part) == words_of_part(move.part) for each in before):
            other = next((each for each in before if _may_be_meant(each.part, move.part)), None)
            if other is not None:
                told = f"`{move.part}` looks like `{other.part}` ({other.place}), which has this serial: one part has"
                yield Problem(place_of(move, "part"), f"part: {told} one name")
            before.append(move)


def _may_be_meant(one: str, other: str) -> bool:
    """Whether two names may be of one part: of the same numbers, with a word more, or a word spelled otherwise."""
    words = [set(re.findall(r"[^\W\d_]+|\d+", name.casefold())) for name in (one, other)]
    numbers = [[word for word in words_of_part(name) if word[0].isdigit()] for name in (one, other)]
    if numbers[0] != numbers[1]:
        return False
    near = SequenceMatcher(None, one.casefold(), other.casefold()).ratio() >= NEAR
    return near or words[0] <= words[1] or words[1] <= words[0]


def _in_two_places(moves: dict[str, list[Fitting]]) -> Iterator[Problem]:
    """A part that is installed in a second position before it leaves the first: known by its name and serial, by its
    serial alone where one of the two has no name. Two that were brought forward together are two.
    """
    by_serial: dict[str, list[tuple[dt.date, str, Fitting]]] = {}
    for position, own in moves.items():
        for move in own:
            if move.serial.casefold() != NO_SERIAL:
                by_serial.setdefault(move.serial, []).append((move.date, position, move))
    for stays in by_serial.values():
        # A part may change its position within a day.
        left = {(date, position) for date, position, move in stays if isinstance(move, Removed)}
        where: dict[str, Fitting] = {}
        for date, position, move in sorted(stays, key=lambda stay: stay[0]):
            if isinstance(move, Removed):
                where.pop(position, None)
                continue
            for other, before in where.items():
                named = bool(move.part and before.part)
                same = words_of_part(move.part) == words_of_part(before.part)
                same = same if named else move.place.file != before.place.file
                # One that came and went the same day may have done so before it was fitted where it stayed.
                passing = (date, position) in left and before.date == date
                if same and other != position and (date, other) not in left and not passing:
                    part = f"{move.part} `{move.serial}`" if move.part else f"`{move.serial}`"
                    told = f"{part} is installed in `{position}` and still in `{other}`"
                    cure = "" if named else ": where these are two parts `part` of both says so"
                    yield Problem(place_of(move, "serial"), f"{told} since {before.date} ({before.place}){cure}")
            where[position] = move
