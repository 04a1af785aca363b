"""What checklists and aircraft.yaml name, and whether it is there: ids, and records with the copy of a paper.

See `audit.order` for what cannot be done so.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TypeVar

from inspect_kit.audit.known import (
    CHECK,
    PANEL,
    POSITION,
    Known,
    each_fault,
    idly_disturbed,
    limit_fault,
    missing_now,
    once_fault,
    unknown_inspection,
)
from inspect_kit.errors import Place, Problem
from inspect_kit.model.aircraft import FLIGHT_CHECK_AFTER, Position, plain_name
from inspect_kit.model.checklist import DID, DISTURBED, INSTALLED, PLACE_FILE, SETUP, Bound, Check, Panel, part_key
from inspect_kit.model.interval import DAYS_OF, HOURS, METER_UNITS, MONTHS, YEARS, AtInspection, Limit, in_days
from inspect_kit.model.lines import place_of
from inspect_kit.model.measured import other_measure
from inspect_kit.model.owed import slip_of
from inspect_kit.model.page_record import PageRecord
from inspect_kit.rules.profile import PROFILES, Profile, profile_of
from inspect_kit.rules.scope import APPENDIX_D
from inspect_kit.text.grammar import Unreadable, did_you_mean
from inspect_kit.text.page_values import parse_name

Noun = TypeVar("Noun", Panel, Check)

# Keys whose values are limits, and the field of Check that holds them.
LIMIT_KEYS = (("every", "every"), ("once", "once"), ("life", "life"), ("first", "first"), ("grace", "grace"))


def panel_references(names: Known) -> Iterator[Problem]:
    """Whatever a panel names: panels, gear, setups, the check it waits for, disturbances that make nothing owed."""
    for panel in _live(names.logbook.panels.values()):
        for outer in panel.behind:
            yield from each_fault(place_of(panel, "behind", outer), (_comes_off(names, outer),), "behind")
        for gear in panel.needs:
            yield from each_fault(place_of(panel, "needs", gear), (_tooling(names, gear),), "needs")
        for what in panel.disturbs:
            fault = idly_disturbed(names, what)
            if panel.kind == PLACE_FILE:
                fault = f"nothing comes off at `{panel.id}`, so nothing is disturbed: write it under a check"
            yield from each_fault(place_of(panel, "disturbs", what), (fault,), "disturbs")
        for setup in panel.not_while:
            yield from each_fault(place_of(panel, "not-while", setup), (_setup(names, setup),), "not-while")
        if panel.wait is not None:
            yield from each_fault(place_of(panel, "wait"), (missing_now(names, CHECK, panel.wait.check),), "wait")


def check_references(names: Known) -> Iterator[Problem]:
    """Whatever a check names: panels, setups, checks, positions, gear, inspections, codes, meters."""
    for check in _live(names.logbook.checks.values()):
        for key, fault in _faults(names, check):
            if fault is not None:
                yield Problem(place_of(check, key), f"{key}: {fault}")
        home = names.logbook.panels.get(check.panel)
        if home is not None and home.retired is not None:
            told = f"`{check.id}` stands in `{home.id}`, which is retired: retire it as well, or move it"
            yield Problem(check.place, told)


def unheard(names: Known) -> Iterator[Problem]:
    """What is disturbed and makes nothing owed, as it wants a flight check alone; what is waited for and never comes.

    A word that was given another name in one place, or in all checklists and not in the records: no `was` leads to it.
    """
    book = names.logbook
    heard = {*names.awaited, *(old for old, new in book.current.items() if new in names.awaited)}
    flown = {*names.aircraft.flight_check_after} - heard
    if not (heard and flown):
        return
    said = {word: place for record in book.of_kind(PageRecord) for word, place in _said_disturbed(record)}
    for word in sorted(flown.intersection(said)):
        told, meant = f"no check is owed after `{word}` is disturbed", slip_of(word, names.awaited)
        cure = f"did you mean `{meant}`?"
        if not meant:
            cure = f"if a check waits for it under a new name, write `disturbed {word}` beside that under `owed-after`"
        yield Problem(said[word], f"disturbed: {told}: {cure}", note=not meant)
    lost = [word for word in sorted(names.awaited) if word not in book.disturbed_by_work()]
    words = [word for word in lost if not any(word in ids for ids in (*names.things.values(), book.current))]
    nouns: list[Panel | Check] = [*_live(book.panels.values()), *_live(book.checks.values())]
    for noun in nouns if words else ():
        for word in (each for each in noun.disturbs if each in flown and not slip_of(each, words)):
            never = f"nothing disturbs {' or '.join(f'`{each}`' for each in words)}, which a check waits for"
            told = f"no check is owed after `{word}` is disturbed, and {never}: is it the same?"
            yield Problem(place_of(noun, "disturbs"), f"disturbs: {told}", note=True)
    for check in _live(book.checks.values()):
        for what in (each.what for each in check.owed_after if each.verb == DISTURBED and each.what in lost):
            if what in book.panels or what in book.checks:
                cure = f"`owed-after: did {what}`" if what in book.checks else f"`disturbs: {what}` at the panel"
                told = f"nothing disturbs `{what}` so far: if it is owed whenever that was done or opened, write {cure}"
                yield Problem(place_of(check, "owed-after"), f"owed-after: {told}", note=True)


def _said_disturbed(record: PageRecord) -> Iterator[tuple[str, Place]]:
    yield from ((word, place_of(record, "disturbed", word)) for word in record.disturbed)
    for result in record.results if record.only_done is None else ():
        yield from ((word, result.place) for word in result.disturbed)


def _faults(names: Known, check: Check) -> Iterator[tuple[str, str | None]]:
    yield from (("with", _comes_off(names, panel)) for panel in check.with_)
    yield from (("when", _comes_off(names, panel)) for panel in check.closed_except)
    yield from (("not-while", _setup(names, setup)) for setup in check.not_while)
    yield from (("after", missing_now(names, CHECK, other)) for other in check.after)
    yield from (("within", missing_now(names, CHECK, lag.check)) for lag in (check.within,) if lag)
    yield from (("wait", missing_now(names, CHECK, lag.check)) for lag in (check.wait,) if lag)
    yield from (("needs", _tooling(names, gear)) for gear in check.needs)
    yield from (("disturbs", idly_disturbed(names, what)) for what in check.disturbs)
    if check.counts_on is not None:
        yield "counts-on", missing_now(names, POSITION, check.counts_on)
    for trigger in check.owed_after:
        kind = {DID: CHECK, INSTALLED: POSITION}.get(trigger.verb)
        if kind is not None:
            yield "owed-after", missing_now(names, kind, trigger.what)
        elif trigger.what in names.logbook.current:
            # Any other word may be the owner's own: that it stands here is what declares it.
            yield "owed-after", f"`{trigger.what}` is called `{names.logbook.current[trigger.what]}` now"
        elif meant := names.logbook.meant_to_be_disturbed(trigger.what):
            yield "owed-after", f"nothing disturbs `{trigger.what}`; did you mean `{meant}`?"
        if (trigger.verb == DID and trigger.what == check.id) or (
            trigger.verb == DISTURBED and trigger.what in check.disturbs
        ):
            yield "owed-after", f"`{trigger}` is what doing this check does: it would be owed for ever"
    yield from _limits(names, check)
    yield from (("covers", _code(names, code)) for code in check.covers)
    measures = {label: reads.measure for reads in check.reads for label in reads.labels}
    for told, measured in (("reads", check.reads), ("reckons", check.reckons)):
        for each in measured:
            if each.bound is not None:
                yield told, _bound(names, each.bound, each.measure, measures)


def _limits(names: Known, check: Check) -> Iterator[tuple[str, str | None]]:
    for key, name in LIMIT_KEYS:
        limits = getattr(check, name)
        for term in limits:
            if isinstance(term, Limit):
                yield key, limit_fault(names, term)
            elif isinstance(term, AtInspection):
                yield key, unknown_inspection(names, term.name)
        yield key, _never_flown([term for term in limits if isinstance(term, Limit)]) if key != "first" else None
    yield "once", once_fault(names, check.once_date)


# Nothing comes round so seldom, and no part lives so long: engines are overhauled after 2,400 h or 15 years at most,
# sailplanes looked at every 3,000 h, to 15,000 h (common practice, no source).
SELDOM = dict.fromkeys(METER_UNITS, 10_000) | {HOURS: 3000, YEARS: 19}
LONGEST_LIVES = {HOURS: 15_000}


def seldom(names: Known) -> Iterator[Problem]:
    """A note on a check that comes round hardly ever, and on a life longer than any."""
    for check in names.logbook.checks.values():
        every = ("every", check.every, SELDOM, "comes round so seldom")
        life = ("life", check.life, LONGEST_LIVES, "lasts so long")
        for key, limits, most, never in (every, life) if check.retired is None else ():
            for limit in limits:
                if isinstance(limit, Limit) and (unit := _passed(names, limit, most)):
                    words = f"{limit} is more than {most[unit]} {unit}, and nothing {never}: is the number right?"
                    yield Problem(place_of(check, key), f"{key}: {words}", note=True)


def _passed(names: Known, limit: Limit, most: Mapping[str, int]) -> str:
    """The unit in which a limit that can come is more than the most; "" where it is not."""
    unit, number = limit.unit, float(limit.number)
    if limit.is_calendar:
        unit, number = YEARS, in_days(limit) / DAYS_OF[YEARS]
    return unit if number > most.get(unit, number) and not limit_fault(names, limit) else ""


# More is flown in a month by no light aircraft, not of a school (common practice, no source).
MOST_A_MONTH = 150


def _never_flown(limits: Sequence[Limit]) -> str | None:
    """Why hours stand beside a time for nothing: nobody flies so many in it, and the time alone decides."""
    for hours in limits:
        for time in limits if hours.unit == HOURS else ():
            months = in_days(time) / DAYS_OF[MONTHS] if time.is_calendar else 0
            if months and float(hours.number) > MOST_A_MONTH * months:
                return f"nobody flies {hours} in {time}: has a digit slipped in one of them?"
    return None


def retirements(names: Known) -> Iterator[Problem]:
    """What is retired before the aircraft had its certificate."""
    book = names.logbook
    certificate = names.aircraft.certificate_date
    nouns: tuple[Panel | Check | Position, ...]
    nouns = (*book.panels.values(), *book.checks.values(), *names.aircraft.positions.values())
    for each in nouns:
        if each.retired is not None and each.retired.date < certificate:
            told = f"{each.retired.date} is before {certificate}, the date of the certificate: is the year right?"
            yield Problem(place_of(each, "retired"), f"retired: {told}")


def aircraft_references(names: Known) -> Iterator[Problem]:
    """Positions on positions that are not there, limits on meters that do not count them, codes of no scope."""
    aircraft = names.aircraft
    for position in aircraft.positions.values():
        if position.on is not None and position.retired is None:
            yield from each_fault(place_of(position, "on"), (missing_now(names, POSITION, position.on),), "on")
    for rule in aircraft.inspections.values():
        faults = (limit_fault(names, term) for term in rule.every if isinstance(term, Limit))
        yield from each_fault(place_of(rule, "every"), faults, "every")
        yield from each_fault(place_of(rule, "scope"), (_scope(names, rule.scope),), "scope")
        for term in rule.every:
            seldom = isinstance(term, Limit) and term.is_calendar and term.due_date(FROM) > A_YEAR_LATER
            if seldom and rule.scope == APPENDIX_D.name:
                told = f"{term} is more than the 12 calendar months that limitations ask for: is the number right?"
                yield Problem(place_of(rule, "every"), f"every: {told}", note=True)
    for table in aircraft.tables.values():
        for ends in ([row.low for row in table.rows], [row.high for row in table.rows]):
            told_of = sorted(end for end in ends if end is not None and end > 0)
            if told_of and len(told_of) == len(ends) and told_of[-1] >= TIMES * told_of[0]:
                told = f"from {told_of[0]} to {told_of[-1]} {table.gives} in one table: has a digit slipped?"
                yield Problem(table.place, f"tables: {told}", note=True)
    if aircraft.rules not in PROFILES:
        told = f"no rules are called `{aircraft.rules}` (known: {', '.join(PROFILES)})"
        yield from each_fault(place_of(aircraft, "rules"), (told,), "rules")
    called: dict[str, str] = {}
    for person in aircraft.people:
        place = person.place or aircraft.place
        for plain in dict.fromkeys(map(plain_name, (person.name, *person.was))):
            # One name twice to the letter is told among the ids.
            if plain in called and called[plain] not in (person.name, *person.was):
                told = f"`{person.name}` is called as `{called[plain]}` is, capitals and blanks aside"
                yield Problem(place, f"people: {told}: tell them apart, or who did something is a guess")
            called.setdefault(plain, person.name)
        try:
            parse_name(person.name)
        except Unreadable as mixed:
            yield Problem(place, f"people: {mixed.message}")
        told = aircraft.taken_from(person)
        if told and person.place is not None:
            yield Problem(person.place, f"people: {told} as well: two people have two of them")
    happens = {*names.logbook.disturbed_by_work(), *names.awaited}
    for word in {*aircraft.flight_check_after}.difference(happens, FLIGHT_CHECK_AFTER, names.things[POSITION]):
        if meant := slip_of(word, happens):
            told = f"flight-check-after: nothing disturbs `{word}`; did you mean `{meant}`?"
            yield Problem(place_of(aircraft, "flight-check-after"), told)
    for code in aircraft.not_applicable:
        yield from each_fault(place_of(aircraft, "not-applicable", code), (_code(names, code),), "not-applicable")
    yield from _idle_lead_times(names)
    for paper in aircraft.papers:
        record = names.by_name.get(paper.copy)
        if paper.copy and (record is None or not record.files):
            fault = names.no_record(paper.copy) if record is None else f"{paper.copy} names no `files`"
            yield from each_fault(place_of(paper, "copy"), (fault,), "copy")
    unit = aircraft.meters[aircraft.time_in_service].unit
    if unit != HOURS:
        told = f"time-in-service: `{aircraft.time_in_service}` counts {unit}; time in service is in hours"
        yield Problem(place_of(aircraft, "time-in-service"), told)


def _idle_lead_times(names: Known) -> Iterator[Problem]:
    """A note for each time of an order that nothing is ordered by: a slip in the name of a part gives no day."""
    aircraft, live = names.logbook.aircraft, [*_live(names.logbook.checks.values())]
    wanted = {part.name for check in live for part in check.uses} | {c.counts_on or c.id for c in live if c.life}
    keys = {part_key(name) for name in wanted}
    for name in aircraft.lead_times:
        if part_key(name) not in keys:
            told = f"no check uses `{name}`, and no life ends there{did_you_mean(name, wanted)}"
            yield Problem(place_of(aircraft, "lead-times", name), f"lead-times: {told}", note=True)


# Experimental aircraft are inspected within the 12 calendar months before (operating limitations; 14 CFR 91.409(a)(1)).
FROM, A_YEAR_LATER = dt.date(2000, 1, 1), dt.date(2001, 1, 31)
# Between its rows a limit hardly changes so many times (common practice, no source).
TIMES = 8


def _comes_off(names: Known, panel: str) -> str | None:
    fault = missing_now(names, PANEL, panel)
    if fault is None and names.logbook.panels[panel].kind == PLACE_FILE:
        return f"nothing comes off at `{panel}`"
    return fault


def _setup(names: Known, setup: str) -> str | None:
    fault = missing_now(names, PANEL, setup)
    if fault is None and names.logbook.panels[setup].kind != SETUP:
        return f"`{setup}` is no setup"
    return fault


def _tooling(names: Known, name: str) -> str | None:
    if name in names.aircraft.tooling:
        return None
    return f"aircraft.yaml has no `{name}` under `tooling`{did_you_mean(name, names.aircraft.tooling)}"


# What is never below nothing; an ammeter, a temperature, an angle or an offset is.
NEVER_BELOW = ("psi", "bar", "rpm", "gal", "l", "qt", "h", "min", "s", "Nm", "in-lb", "ft-lb", "Ah")


def _bound(names: Known, bound: Bound, measure: str, measures: Mapping[str, str]) -> str | None:
    """What is wrong with a limit that depends on something else: its table, the measures, the meter of its change."""
    if bound.change is not None and (fault := limit_fault(names, bound.change.within)):
        return fault
    if bound.low is not None and bound.low < 0 and measure in NEVER_BELOW:
        return f"{bound.low} {measure} is below nothing: has a sign slipped?"
    if not bound.table:
        return None
    if bound.table not in names.aircraft.tables:
        return f"aircraft.yaml has no table `{bound.table}`{did_you_mean(bound.table, names.aircraft.tables)}"
    return other_measure(bound, measure, measures, names.aircraft) or None


def _profile(names: Known) -> Profile:
    return names.logbook.once("profile", lambda: profile_of(names.aircraft))


def _code(names: Known, code: str) -> str | None:
    profile = _profile(names)
    if profile.knows(code):
        return None
    return f"`{code}` is no code of {' or '.join(scope.title for scope in profile.scopes)}"


def _scope(names: Known, name: str) -> str | None:
    profile = _profile(names)
    if profile.scope(name) is not None:
        return None
    known = [scope.name for scope in profile.scopes]
    hint = did_you_mean(name, known) or f" (known: {', '.join(known)}; your own stand under `scopes`)"
    return f"no scope is called `{name}`{hint}"


def _live(nouns: Iterable[Noun]) -> Iterator[Noun]:
    return (noun for noun in nouns if noun.retired is None)
