"""What bars passengers: flight-test phases that are open, changes not decided, flight checks not flown.

Nothing here decides that a phase is over: its closing record counts once it is signed and nothing that the aircraft's
own limitations ask for is missing from the records.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final

from inspect_kit.due.chronicle import Chronicle
from inspect_kit.errors import Place
from inspect_kit.model.aircraft import PhaseRule
from inspect_kit.model.held import not_held
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.change import MAJOR, NOT_DECIDED, Change, may_decide
from inspect_kit.model.kinds.phase import Phase
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.pilots import is_pilot, may_show
from inspect_kit.model.reason import (
    in_doubt,
    is_no_number,
    names_nobody,
    says_needed,
    says_nothing,
)
from inspect_kit.model.record import FLOWN, NOT_NEEDED, REQUIRED, Record
from inspect_kit.model.settings import flown_after
from inspect_kit.noun import dataclass

Opening = Phase | Change
TO_BE_FLOWN: Final = "h to be flown"


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseState:
    """A phase that is open: since when, by which records, what is owed and what was flown.

    It is open `since` the first of them, or the change that this one decides. `unread` is the latest one where neither
    it nor its day was read: hours count from the first reading after it.
    `hours` are those owed, None where only tasks are; `flown` None where no reading says it. `lacks` is what stands
    between it and its end, in words; `closing` the record that would close it, if one was written.
    """

    name: str
    rule: PhaseRule | None
    openings: tuple[Opening, ...]
    since: dt.date
    unread: Opening | None
    hours: Decimal | None
    flown: Decimal | None
    did: tuple[str, ...]
    demonstrated: Mapping[str, str]
    closing: Phase | None
    lacks: tuple[str, ...]

    @property
    def place(self) -> Place:
        return self.openings[0].place

    @property
    def changes(self) -> tuple[Change, ...]:
        """The changes that opened it."""
        return tuple(opening for opening in self.openings if isinstance(opening, Change))

    @property
    def area(self) -> str:
        told = [opening.area for opening in self.openings if opening.area]
        return "; ".join(dict.fromkeys(told)) or (self.rule.area if self.rule else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Unflown:
    """A record after which a flight check is required and not done, of which nobody said whether it is, or whose flight
    was by somebody who may not fly it.
    """

    record: Record
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoPassengers:
    """All that bars passengers on record. `taken_after` are the flights that count as flown after another record of
    their day only because nothing says otherwise, each with that record.
    """

    phases: tuple[PhaseState, ...] = ()
    undecided: tuple[Change, ...] = ()
    unflown: tuple[Unflown, ...] = ()
    taken_after: tuple[tuple[Record, Record], ...] = ()

    def __bool__(self) -> bool:
        return bool(self.phases or self.undecided or self.unflown)


NONE = NoPassengers()


def no_passengers(book: Chronicle) -> NoPassengers:
    """What bars passengers by the records of a chronicle."""
    changes, wanting = standing_changes(book.logbook), [*_wanting_flight(book)]
    return NoPassengers(
        phases=tuple(_open_phases(book, changes)),
        undecided=tuple(change for change in changes if change.answer == NOT_DECIDED),
        unflown=tuple(Unflown(record=record, text=told) for record, told, answers in wanting if not answers),
        taken_after=tuple(_unordered(book, wanting)),
    )


def standing_changes(logbook: Logbook) -> tuple[Change, ...]:
    """The changes without those that a later one decided anew; what they say is the answer that stands."""
    changes, hours = logbook.of_kind(Change), logbook.aircraft.phase_hours
    by_name = {change.name: change for change in changes}

    def decides(change: Change) -> bool:
        """Whether it names one that was there: two that name each other would both be gone. Of one day either may be
        the later one, whatever their files are called.
        """
        named, seen = by_name.get(change.of), {change.name}
        if named is None or named.date > change.date or not may_decide(change, named, hours(named.phase)):
            return False
        while named is not None and named.name not in seen:
            seen.add(named.name)
            named = by_name.get(named.of)
        return named is None

    answered = {change.of for change in changes if decides(change)}
    return tuple(change for change in changes if change.name not in answered)


def _open_phases(book: Chronicle, changes: Iterable[Change]) -> Iterator[PhaseState]:
    major = [change for change in changes if change.answer == MAJOR]
    entries: list[Opening] = [*book.logbook.of_kind(Phase), *major]
    names = dict.fromkeys(entry.phase for entry in entries)
    for name in names:
        own = sorted((entry for entry in entries if entry.phase == name), key=lambda entry: _order(book, entry))
        openings: list[Opening] = []
        flights: list[Phase] = []
        state: PhaseState | None = None
        for entry in own:
            if isinstance(entry, Change) or entry.opens:
                openings.append(entry)
            elif openings:
                flights.append(entry)
                state = _state(book, name, openings, flights, at=entry)
                if entry.closes and not state.lacks:
                    openings, flights = [], []
        if openings:
            yield _state(book, name, openings, flights, at=None)


def _order(book: Chronicle, record: Record) -> tuple[object, int, str]:
    closes = isinstance(record, Phase) and bool(record.closes)
    return book.moments[record.name].order, closes, record.name


def _state(book: Chronicle, name: str, openings: list[Opening], flights: list[Phase], at: Record | None) -> PhaseState:
    """How a phase stands at a record, or now."""
    rule = book.logbook.aircraft.phases.get(name)
    # One that says nothing owes what the limitations ask for: a later opening with fewer hours takes none of them away.
    usual = book.logbook.aircraft.phase_hours(name)
    told = [opening.hours if opening.hours and opening.hours > 0 else usual for opening in openings]
    hours = max((each for each in told if each is not None), default=None)
    closing = next((flight for flight in reversed(flights) if flight.closes), None)
    until = at or closing
    # Hours count from the latest opening: what was flown before a change shows nothing of it.
    # Of an opening without a reading that of its day, else the first one after it: what was flown until then may have
    # been flown before.
    opened = book.moments[openings[-1].name]
    start, unread = opened.totals.get(book.clock), None
    if book.clock in opened.estimated:
        own = [point.total for point in book.histories[book.clock].points if point.date == opened.date]
        start = own[-1] if own else opened.at_most(book.clock)
        unread = None if own else openings[-1]
    now = book.moments[until.name].totals.get(book.clock) if until else book.total_now(book.clock)
    flown = None if start is None or now is None else now - start
    did = tuple(dict.fromkeys(task for flight in flights for task in flight.did))
    demonstrated: dict[str, str] = {}
    for flight in flights:
        demonstrated |= flight.demonstrated
    lacks = [*_owed(rule, hours, flown, did, demonstrated), *_unsigned(book, rule, closing)]
    lacks += _not_got(openings)
    lacks += _ill_written(book, (*openings, *flights))
    wordings = rule.prescribed(demonstrated, openings[-1].date) if rule else ()
    if not lacks and closing and not _as_prescribed(closing.statement, wordings):
        lacks.append(f"a statement in the words of aircraft.yaml ({closing.name} says others)")
    return PhaseState(
        name=name,
        rule=rule,
        openings=tuple(openings),
        since=min(_since(book.logbook, opening) for opening in openings),
        unread=unread,
        hours=hours,
        flown=flown,
        did=did,
        demonstrated=demonstrated,
        closing=closing,
        lacks=tuple(lacks),
    )


def _since(logbook: Logbook, opening: Opening) -> dt.date:
    """When a record opened its phase: one that tells more of a change did not open it anew."""
    since, seen = opening.date, {opening.name}
    while isinstance(opening, Change) and opening.of and opening.of not in seen:
        seen.add(opening.of)
        told = logbook.record(opening.of)
        if not isinstance(told, Change) or (told.answer, told.phase) != (MAJOR, opening.phase):
            break
        opening, since = told, min(since, told.date)
    return since


def _owed(
    rule: PhaseRule | None,
    hours: Decimal | None,
    flown: Decimal | None,
    did: tuple[str, ...],
    demonstrated: Mapping[str, str],
) -> Iterator[str]:
    if rule is None:
        yield "its rule in aircraft.yaml"
        return
    if hours is not None and flown is None:
        yield f"a reading that says how much of {hours} h is flown"
    elif hours is not None and flown is not None and flown < hours:
        yield f"{hours - flown} {TO_BE_FLOWN}"
    missing = [task for task in rule.tasks if task not in did]
    if missing:
        yield f"to be done: {'; '.join(missing)}"
    said = {value: demonstrated.get(value, "") for value in rule.demonstrates}
    unknown = [value for value, words in said.items() if says_nothing(words) or in_doubt(words)]
    if unknown:
        yield f"to be demonstrated: {', '.join(unknown)}"


def _unsigned(book: Chronicle, rule: PhaseRule | None, closing: Phase | None) -> Iterator[str]:
    if closing is None:
        yield "its closing statement"
        return
    if closing.by is None or not may_close(rule, closing.by.kind):
        named = " or ".join(rule.signers) if rule and rule.signers else "a private pilot or higher"
        held = closing.by.kind if closing.by and closing.by.kind else "no certificate named"
        yield f"a statement by {named} ({closing.name}: {held})"
    elif names_nobody(closing.by.name):
        yield f"the name of the person who makes its statement ({closing.name})"
    elif is_no_number(closing.by.certificate):
        yield f"the certificate number of {closing.by.name}, who makes its statement ({closing.name})"
    elif not book.logbook.is_signed(closing.name):
        yield f"the signature of its statement ({closing.name})"


def _not_got(openings: Iterable[Opening]) -> Iterator[str]:
    """What major changes still lack that is asked before they are flown: flown without it is no end of the phase."""
    for change in openings:
        if isinstance(change, Change) and change.wanted:
            yield f"{', '.join(change.wanted)} ({change.name})"


def _ill_written(book: Chronicle, records: Iterable[Record]) -> Iterator[str]:
    """Records of a phase with which something is wrong: on what it owes, and on who says so, nobody can rely."""
    told = {problem.place.file for problem in book.logbook.problems if not problem.note}
    for record in records:
        if record.place.file in told:
            yield f"what is wrong with {record.name}, see `verify`"


def _as_prescribed(statement: str, wordings: Iterable[str]) -> bool:
    """Whether a statement is one of the wordings, however its lines are broken: in other words it may say anything."""
    return statement.split() in [words.split() for words in wordings]


def may_close(rule: PhaseRule | None, kind: str) -> bool:
    """Whether a holder of that kind of certificate signs the closing statement, by the aircraft's own limitations."""
    if rule is None or not rule.signers:
        return is_pilot(kind)
    return _words(kind) in map(_words, rule.signers)


def _words(text: str) -> str:
    return " ".join(text.casefold().split())


def lifted_by(book: Chronicle, flight: str) -> Iterator[Record]:
    """Each record after which passengers are no longer barred by what this one says of a flight check, and no other."""
    for record, _, answers in _wanting_flight(book):
        if [each.name for each in answers] == [flight]:
            yield record


def flown_unordered(book: Chronicle) -> Iterator[tuple[Record, Record]]:
    """Each flight that alone answers for a record of its own day, which nothing says it came after; and that record."""
    return _unordered(book, _wanting_flight(book))


def _unordered(
    book: Chronicle, wanting: Iterable[tuple[Record, str, Sequence[Record]]]
) -> Iterator[tuple[Record, Record]]:
    for record, _, answers in wanting:
        then = book.moments[record.name]
        if answers and not any(then.clearly_before(book.moments[each.name], book.clock) for each in answers):
            yield answers[-1], record


def _wanting_flight(book: Chronicle) -> Iterator[tuple[Record, str, Sequence[Record]]]:
    """Each record that wants a flight check, what it lacks in words, and the records that answer for it.

    What was disturbed is asked about once the store answers the question at all, so that old records, which were never
    asked, are none; what was set, since the day of the certificate.
    """
    flown = [record for record in book.logbook.records if record.flight_check is not None]
    first = min((record.date for record in flown), default=dt.date.max)
    named = {name for record in flown if record.flight_check is not None for name in record.flight_check.of}
    built = book.logbook.aircraft.certificate_date
    standing = {change.name for change in standing_changes(book.logbook)}
    again = {each.of for each in flown if isinstance(each, Change) and _requires(each)} - standing
    disturbing = _disturbing(book)
    # All others neither asked for a flight nor tell of one.
    asking = (each for each in book.logbook.records if each.flight_check is not None or each.name in disturbing)
    for record in sorted(asking, key=lambda record: (record.date, record.name)):
        own = record.flight_check
        old = record.date < first and record.name not in named
        if isinstance(record, Setting):
            old = record.date <= built
        unsaid = own is None or (own.word == NOT_NEEDED and says_needed(own.words))
        asked = unsaid and not old and record.name in disturbing
        if own is not None and own.word == FLOWN and own.pilot is not None and (none := _no_pilot(book, record)):
            yield record, f"flown by {own.pilot.name}, {own.pilot.kind}: {none}", ()
            continue
        # A flight of an earlier day may answer for other work; what this record disturbed was not flown yet.
        early = own is not None and own.date is not None and own.date < record.date and record.name in disturbing
        failed = own is not None and own.failed
        wanted = asked or early or failed or (own is not None and own.word == REQUIRED)
        if record.name in again and _requires(record):
            # One flight is required, and by the record that tells more of the same change.
            continue
        if wanted:
            told = "a flight check is required and not recorded as flown"
            if failed and own is not None:
                told = f"its flight check was not found good: {own.words[:60]}"
            elif asked:
                told = f"{disturbing[record.name]}, and nothing says whether a flight check is required"
            elif early and own is not None:
                told = f"the flight check on {own.date} was flown before the work it is to answer for"
            yield record, told, [other for other in flown if _answers(book, other, record)]


def _requires(record: Record) -> bool:
    return record.flight_check is not None and record.flight_check.word == REQUIRED


def _disturbing(book: Chronicle) -> dict[str, str]:
    """The records that disturbed, set or changed what wants a flight check, with what it was in words."""
    after = book.logbook.flight_check_after
    carried = {record.name for record in book.logbook.of_kind(BroughtForward)}
    found: dict[str, str] = {}
    for name in after:
        # Of what was brought forward nobody can be asked.
        disturbed = [each.moment for each in book.disturbed.get(name, ()) if each.moment.record not in carried]
        for verb, moments in (("disturbed", disturbed), ("changed", book.installed.get(name, ()))):
            found |= {moment.record: f"{name} {verb}" for moment in moments if moment.record not in found}
    for setting in book.logbook.of_kind(Setting):
        if flown_after(book.logbook, setting.setting, setting.on):
            found.setdefault(setting.name, f"{setting.setting} set")
    return found


def _answers(book: Chronicle, other: Record, record: Record) -> bool:
    """Whether another record says that it was flown after this one (naming it, or naming none) or why it need not be
    (naming it, and not written for an earlier day).
    """
    answer = other.flight_check
    if answer is None or answer.word == REQUIRED or other is record or other.date < record.date:
        return False
    if answer.of and record.name not in answer.of:
        return False
    if answer.word == NOT_NEEDED:
        return bool(answer.of) and not says_needed(answer.words)
    if answer.failed or answer.date is None or answer.date < record.date:
        return False
    if answer.date == other.date and book.moments[other.name].clearly_before(book.moments[record.name], book.clock):
        # Of one day, and the meter read less.
        return False
    mine, theirs = book.moments[record.name].clock, book.moments[other.name].clock
    if mine is not None and theirs == mine and other.date > record.date:
        # On a later day, and by the meter nothing was flown since.
        return False
    return not _no_pilot(book, other)


def _no_pilot(book: Chronicle, record: Record) -> str:
    """Why whoever flew what a record says shows nothing by it; "" where they do, or are not named."""
    answer = record.flight_check
    if answer is None or answer.pilot is None:
        return ""
    if not may_show(answer.pilot):
        return "a private pilot or higher is asked for"
    aircraft = book.logbook.aircraft
    return aircraft.gone_by(answer.pilot.name, answer.date or record.date) or not_held(aircraft, answer.pilot)
