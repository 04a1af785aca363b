"""Directives and letters: the owner's newest decision for each product as it is fitted now, and what comes next.

Source: 14 CFR 39.7 (operating a product that does not meet a directive is a violation), 91.417(a)(2)(v). A directive
gives no grace unless it is written in it. Nothing here decides that one applies, and no list is ever complete.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Final

from inspect_kit.due.answer import STOP_DIRECTIVE, Stop
from inspect_kit.due.chronicle import Chronicle, chronicle, seen_on
from inspect_kit.due.fitting import Fitting, Fittings, all_fittings, present, stays_in
from inspect_kit.due.moments import Moment
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.asked_once import leaves_when_open
from inspect_kit.model.checklist import FLIGHT, Check
from inspect_kit.model.interval import Limit
from inspect_kit.model.kinds.directive import AIRCRAFT, NO, VOLUNTARY, Directive
from inspect_kit.model.kinds.installed import NO_SERIAL
from inspect_kit.model.kinds.search import Search
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord, by_others
from inspect_kit.model.reason import says_nothing
from inspect_kit.model.revisions import in_force_since, is_newer, is_unsaid, newest_decision
from inspect_kit.noun import dataclass

UNDECIDED: Final = "not decided"
OPEN_AGAIN: Final = "open again"
APPLIES: Final = "applies"
REVIEWED: Final = "reviewed, voluntary"
DOES_NOT: Final = "does not apply"
NOT_FITTED: Final = "not fitted"
# What wants a decision comes first.
STATES: Final = (UNDECIDED, OPEN_AGAIN, APPLIES, REVIEWED, DOES_NOT, NOT_FITTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectiveState:
    """A directive on a product: the decision that counts, or the last one where a part was changed since.

    `product` is the position or `aircraft`, `part` and `serial` what is fitted there now. `complied` is the last record
    that did its check. `older` is when its check was last done, where that is older than the directive and nobody has
    said that it was done as that asks, or than the part that is fitted (`to_another`): it complies with nothing;
    `never` where nothing says that it was done at all. `since` is the day of the revision, or of the first decision.
    """

    directive: Directive
    product: str
    part: str
    serial: str
    state: str
    check: Check | None
    complied: PageRecord | None
    older: Moment | None
    since: dt.date
    never: bool = False
    to_another: bool = False

    @property
    def complied_by(self) -> str:
        """Who did its check in the record that complied, others by their paper; "" where nobody is named."""
        record, check = self.complied, self.check
        if record is None:
            return ""
        names = (check.id, *check.was) if check is not None else ()
        here = [each for each in record.results if each.check in names]
        if away := next((f"{who} ({each.paper})" for each in here if (who := by_others(check, each))), ""):
            return away
        own = next((each.by for each in here if each.by), "")
        return own or (record.by.name if record.by else "")

    @property
    def undecided(self) -> bool:
        return self.state in (UNDECIDED, OPEN_AGAIN)

    @property
    def waits_for_nothing(self) -> bool:
        """Whether its check is due before any limit of it: before anybody flies, or as nobody can read by when."""
        return self.directive.asks_at_once or self.cannot_say_when

    @property
    def cannot_say_when(self) -> bool:
        """Whether it applies, and its words give neither a day nor a limit."""
        return self.state == APPLIES and self.check is not None and leaves_when_open(self.directive, self.check)


@dataclass(frozen=True, slots=True, kw_only=True)
class Directives:
    """Every directive on record, what wants a decision first; the searches, and the products that none covers.

    `unsearched` are products that no search names, or whose part was fitted after the last one that does.
    """

    states: tuple[DirectiveState, ...]
    searches: tuple[Search, ...]
    unsearched: tuple[str, ...]

    @property
    def undecided(self) -> tuple[DirectiveState, ...]:
        return tuple(state for state in self.states if state.undecided)


def directives(book: Chronicle) -> Directives:
    """The directives of a chronicle as they stand at its end."""
    return book.logbook.once("directives", lambda: _directives(book))


def directives_told(seen: Logbook, on: dt.date) -> Directives:
    """The directives of a logbook as they are told on a day: while amendments wait for a signature each one as it
    stands in the reading of the records in which it asks for most, what was done soonest.
    """
    amended, *others = [directives(chronicle(seen_on(reading, on)[0])) for reading in seen.readings()]
    ways: dict[object, list[DirectiveState]] = {}
    for found in (amended, *others):
        for state in found.states:
            key = _words(state.directive.number), state.product, _words(state.directive.part)
            ways.setdefault(key, []).append(state)
    states = tuple(min(each, key=_how_soon) for each in ways.values())
    return replace(amended, states=tuple(sorted(states, key=lambda state: (STATES.index(state.state), state.product))))


def _how_soon(state: DirectiveState) -> tuple[int, bool, dt.date]:
    done = state.complied.date if state.complied else dt.date.min
    return STATES.index(state.state), state.older is None and not state.never, done


def _directives(book: Chronicle) -> Directives:
    fittings = all_fittings(book)
    states = sorted(_states(book, fittings), key=lambda state: (STATES.index(state.state), state.product))
    searches = book.logbook.of_kind(Search)
    return Directives(
        states=tuple(states), searches=searches, unsearched=tuple(_unsearched(book.logbook, fittings, searches))
    )


def _states(book: Chronicle, fittings: Fittings) -> Iterator[DirectiveState]:
    now = book.logbook.id_now
    decisions: dict[tuple[str, str, str], list[Directive]] = {}
    for record in book.logbook.of_kind(Directive):
        product = record.on if record.on == AIRCRAFT else now(record.on)
        key = (_words(record.number), product, _words(record.part))
        decisions.setdefault(key, []).append(record)
    for (_, product, _), records in decisions.items():
        stays = fittings.get(product, ())
        stay = present(stays)
        newest = newest_decision(records)
        if product == AIRCRAFT:
            counts, state = newest, _state_of(newest)
        elif stay is None:
            counts, state = newest, _state_of(newest) if not stays else NOT_FITTED
        else:
            own = [record for record in records if _was_for(record, stays, stay, book)]
            counts = newest_decision(own) if own else newest
            # Decided for this part as it was issued once, and for another one as it was issued since.
            doubt = is_unsaid(counts, records) and not is_unsaid(counts, own)
            doubt = doubt or (newest not in own and is_unsaid(newest, records))
            is_open = not own or doubt or is_newer(newest, counts, records)
            counts, state = (newest, OPEN_AGAIN) if is_open else (counts, _state_of(counts))
        check = book.logbook.checks.get(now(counts.check)) if counts.check else None
        binding = next((each for each in records if each.is_airworthiness), None)
        if binding is not None and not counts.is_airworthiness:
            # Called a letter since, it is what it was: `audit.directives` says so.
            counts = replace(counts, authority=binding.authority)
        if not counts.says_done and (counts.done_on or counts.done or counts.done_by):
            # A day without what was done and by whom complies with nothing.
            counts = replace(counts, done_on=None, done="", done_by="")
        # What was done to the part that was there before is not done to this one.
        done = dones(book, check, stays) if check and state != OPEN_AGAIN else ()
        since = in_force_since(counts, records)
        # Work that is older than a directive cannot have known what that asks.
        asks = state in (APPLIES, REVIEWED) and counts.done_on is None
        older = older_than(since, done) if asks else None
        before = to_another(book, check, stays) if asks and not done and check else None
        yield DirectiveState(
            directive=counts,
            product=product,
            part=counts.part or (stay.part if stay else ""),
            serial=stay.serial if stay else counts.serial,
            state=state,
            check=check,
            complied=None if older else _last_record(book, done),
            older=older or before,
            never=asks and not done and before is None,
            to_another=before is not None,
            since=since,
        )


def _was_for(record: Directive, stays: Iterable[Fitting], stay: Fitting, book: Chronicle) -> bool:
    """Whether a decision was made for the part that is fitted now; one without a serial is another at each fitting."""
    if serial_of(record, stays, book) != stay.serial:
        return False
    # That it does not apply may rest on the serial; what was done to the part was done to it under any.
    then = _there(record, stays, book) if record.applies.word == NO and not record.serial else None
    if then is not None and _corrected_since(record, then, book):
        return False
    start = stay.start.date
    return stay.serial.casefold() != NO_SERIAL or start is None or record.date >= start


def _corrected_since(record: Directive, stay: Fitting, book: Chronicle) -> bool:
    """Whether the serial of the part that was there is another one by an amendment that is later than the decision: it
    was made for a part that was never there.
    """
    amended = book.logbook.amended.get(stay.start.record)
    return any(
        change.field[-1] == "serial"
        and (len(change.field) == 1 or book.logbook.id_now(change.field[1]) == stay.position)
        and change.new != change.old
        and record.date < change.amendment.date
        for change in (amended.changes if amended is not None else ())
    )


def due_now(book: Chronicle) -> dict[str, DirectiveState]:
    """By the id of their checks, the directives for which only work that is older than they are was done, or none."""
    if not book.logbook.of_kind(Directive):
        return {}
    found = [state for state in directives(book).states if state.older or state.never]
    # Of two that ask for one check that which waits for no limit of it comes last.
    found.sort(key=lambda state: state.older is not None or state.waits_for_nothing)
    return {state.check.id: state for state in found if state.check}


def to_decide(book: Chronicle, position: str) -> Iterator[tuple[str, str]]:
    """The numbers of the directives to be decided anew for the part that is fitted in a position now, and why."""
    fittings = all_fittings(book)
    for state in directives(book).states:
        if state.state == OPEN_AGAIN and state.product == position:
            told = f"is open again: it was decided for another part than is in {position} now"
            yield state.directive.number, told
    for record, serial in _brought_along(book, fittings, position):
        place = book.logbook.id_now(record.on)
        yield record.number, f"was decided for serial {serial} in {place}, and that is in {position} now"


def undecided_stops(book: Chronicle) -> Iterator[Stop]:
    """The airworthiness directives of which nobody has decided whether they apply to what is fitted now.

    A letter without a decision bars nothing; nor does a directive on a product that is not fitted.
    """
    if not any(record.is_airworthiness for record in book.logbook.of_kind(Directive)):
        return
    for state in directives(book).states:
        made = state.directive
        if state.undecided and made.is_airworthiness:
            part = f", serial {state.serial}" if state.state == OPEN_AGAIN and state.serial else ""
            why = "decided for another part than is fitted" if state.state == OPEN_AGAIN else "not decided"
            told = f"airworthiness directive {made.number} ({state.product}{part}): {why}"
            yield Stop(kind=STOP_DIRECTIVE, text=told, place=made.place)
        elif state.state == APPLIES and made.binds and (why := _unmet(state, book.logbook)):
            told = f"airworthiness directive {made.number} ({state.product}): {why}"
            yield Stop(kind=STOP_DIRECTIVE, text=told, place=made.place)
    fittings = all_fittings(book)
    for position in fittings:
        for made, serial in _brought_along(book, fittings, position):
            if made.is_airworthiness:
                told = f"airworthiness directive {made.number} ({position}, serial {serial})"
                text = f"{told}: decided where that part was before, {made.on}, and not here"
                yield Stop(kind=STOP_DIRECTIVE, text=text, place=made.place)


def _unmet(state: DirectiveState, logbook: Logbook) -> str:
    """Why nothing says when a directive that applies is due, or that it was met for good; "" where something does."""
    made = state.directive
    if made.check and state.check is None:
        return f"no check is called `{made.check}`, so that nothing says when it is due"
    if state.check is not None and state.check.retired is not None and made.done_on is None:
        return f"its check `{made.check}` is retired, and nothing says that it is done for good"
    if state.check is not None and _comes_once(state.check):
        left = [each for each in made.every if isinstance(each, Limit) and not _is_kept(each, state.check, logbook)]
        if left:
            asks, check = " or ".join(map(str, left)), state.check.id
            return f"it asks every {asks}, and its check `{check}` only says when it comes once, or a life ends"
    if not made.every and any(key[0] == "every" for key in made.lines):
        return "how often it asks cannot be read"
    if not made.check and (made.done_on is None or made.every):
        return "nothing says when it is due, or that it was done for good"
    return ""


def _brought_along(book: Chronicle, fittings: Fittings, position: str) -> Iterator[tuple[Directive, str]]:
    """The decisions that were made for the part in a position while it was in another one, not again since; its serial.
    """
    stay = present(fittings.get(position, ()))
    here = {_words(each.number) for each in book.logbook.of_kind(Directive) if book.logbook.id_now(each.on) == position}
    if stay is None or stay.serial.casefold() == NO_SERIAL:
        return
    elsewhere: dict[str, list[Directive]] = {}
    for record in book.logbook.of_kind(Directive):
        place, number = book.logbook.id_now(record.on), _words(record.number)
        if record.on == AIRCRAFT or number in here:
            continue
        if serial_of(record, fittings.get(place, ()), book) == stay.serial:
            elsewhere.setdefault(number, []).append(record)
    for decision in map(newest_decision, elsewhere.values()):
        if decision.counts:
            yield decision, stay.serial


def _state_of(record: Directive) -> str:
    if record.undecided:
        return UNDECIDED
    return {NO: DOES_NOT, VOLUNTARY: REVIEWED}.get(record.applies.word, APPLIES)


def serial_of(record: Directive, stays: Iterable[Fitting], book: Chronicle) -> str | None:
    """The serial of the part that a decision was made for: as it says, else of what was fitted on its day."""
    if record.serial:
        return record.serial
    there = _there(record, stays, book)
    return there.serial if there is not None else None


def _is_more(total: Decimal | None, than: Decimal | None) -> bool:
    return total is not None and than is not None and total > than


def _there(record: Directive, stays: Iterable[Fitting], book: Chronicle) -> Fitting | None:
    """The last stay of a part that there was on the day of a decision, none that began later at its reading."""
    at = book.moments[record.name].totals.get(book.clock) if book.clock in record.meters else None
    there = [
        stay
        for stay in stays
        # Of one brought forward that says no day on which it was fitted it is known that it was there on that day.
        if (since := stay.start.date or stay.told.date) is not None
        and since <= record.date
        and not (since == record.date and _is_more(stay.start.totals.get(book.clock), at))
        and (stay.end is None or (stay.end.date is not None and record.date <= stay.end.date))
    ]
    return there[-1] if there else None


def dones(book: Chronicle, check: Check, stays: tuple[Fitting, ...]) -> tuple[Moment, ...]:
    """When a check was done, the last one last: to the part that is fitted now, where a part is."""
    stay, found = present(stays), book.done.get(check.id, ())
    own = tuple(stays_in(stay)) if stay is not None else ()
    if stay is not None and stays == (stay,) and stay.start.date is None and not _counts_on(book, check, stay):
        # Nothing says that another one was ever there.
        return tuple(found)
    return tuple(moment for moment in found if not own or any(each.holds(moment, book.clock) for each in own))


def to_another(book: Chronicle, check: Check, stays: tuple[Fitting, ...]) -> Moment | None:
    """The last doing of a check that does not count from the part that is fitted: before that came it was not done to
    it. One that counts on that part begins anew with it.
    """
    stay, found = present(stays), book.done.get(check.id, ())
    return found[-1] if found and stay is not None and not _counts_on(book, check, stay) else None


def _counts_on(book: Chronicle, check: Check, stay: Fitting) -> bool:
    return check.counts_on is not None and book.logbook.id_now(check.counts_on) == stay.position


def older_than(since: dt.date, done: Sequence[Moment]) -> Moment | None:
    """The last doing, where it was before a day, or on none that is known."""
    return done[-1] if done and (done[-1].date is None or done[-1].date < since) else None


def _last_record(book: Chronicle, done: Iterable[Moment]) -> PageRecord | None:
    records = [book.logbook.record(moment.record) for moment in done]
    return next((record for record in reversed(records) if isinstance(record, PageRecord)), None)


def _unsearched(logbook: Logbook, fittings: Fittings, searches: tuple[Search, ...]) -> Iterator[str]:
    last: dict[str, dt.date] = {}
    for search in searches:
        for product in () if says_nothing(search.source) else search.products:
            last[product if product == AIRCRAFT else logbook.id_now(product)] = search.date
    for product in (AIRCRAFT, *fittings):
        stay = present(fittings.get(product, ()))
        if product != AIRCRAFT and stay is None:
            continue
        date = last.get(product)
        fitted = (stay.start.date or stay.told.date) if stay else None
        if date is None or (fitted is not None and fitted > date):
            yield product


def _words(text: str) -> str:
    return " ".join(text.casefold().split())


def with_directives(logbook: Logbook) -> Logbook:
    """The logbook with what its directives do to their checks: one that binds makes its check bar flight once it
    is past due, without grace unless the directive gives one (14 CFR 39.7).
    """
    return logbook.once("with directives", lambda: _with_directives(logbook))


def _with_directives(logbook: Logbook) -> Logbook:
    if not any(record.binds and record.check for record in logbook.of_kind(Directive)):
        return logbook
    bound = dict(logbook.checks)
    own: set[str] = set()
    for state in directives(chronicle(logbook)).states:
        record = state.directive
        name = logbook.id_now(record.check)
        # The decision for the part that is fitted counts; one that a new part opened again binds until it is decided.
        if record.binds and name in bound and state.state in (APPLIES, OPEN_AGAIN):
            grace = tuple(term for term in record.grace if isinstance(term, Limit))
            if name in own:
                # Of two that ask for one check, what only one of them allows is not allowed.
                grace = tuple(term for term in grace if _is_among(term, bound[name].grace, logbook.aircraft))
            own.add(name)
            asked = [each for each in record.every if isinstance(each, Limit)]
            check = replace(bound[name], bars=FLIGHT, grace=grace)
            more = [each for each in asked if check.first or not _is_kept(each, check, logbook)]
            if _comes_once(check) or check.first:
                # No interval may stand beside what comes once, or ends a life, and a `first` may stand in for one.
                bound[name] = replace(check, directed=(*check.directed, *more))
            else:
                bound[name] = replace(check, every=(*check.every, *more))
    if bound == logbook.checks:
        return logbook
    twin = logbook.with_same_records(checks=bound)
    # What bars flight and what may wait changes nothing of what was done when.
    return chronicle(logbook).in_the_words_of(twin)


def _comes_once(check: Check) -> bool:
    return bool(check.once or check.once_date or check.life)


def _is_kept(asked: Limit, check: Check, logbook: Logbook) -> bool:
    """Whether a check comes as often by itself as a directive asks, on the same meter or in the same unit."""
    return any(
        isinstance(own, Limit)
        and own.unit == asked.unit
        and own.number <= asked.number
        and logbook.aircraft.counts_with(own, asked)
        for own in (*check.every, *check.life)
    )


def _is_among(one: Limit, others: Iterable[Limit], aircraft: Aircraft) -> bool:
    """Whether it is one of them, in whatever words its meter is named."""
    return any(
        (one.number, one.unit) == (other.number, other.unit) and aircraft.counts_with(one, other) for other in others
    )
