"""Flight-test phases against what the aircraft's own limitations ask, as aircraft.yaml has it under `phases`."""

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from itertools import zip_longest

from inspect_kit.audit.known import Known
from inspect_kit.errors import Problem
from inspect_kit.model.aircraft import PhaseRule
from inspect_kit.model.checklist import decimal
from inspect_kit.model.kinds.change import MAJOR, Change, may_decide
from inspect_kit.model.kinds.phase import Phase
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.lines import place_of
from inspect_kit.model.owed import slip_of
from inspect_kit.model.record import Record
from inspect_kit.model.settings import flown_after
from inspect_kit.text.grammar import did_you_mean

AROUND = 3  # Words before and behind the first one that differs.


def openings(names: Known) -> Iterator[Problem]:
    """A phase that no change opened is flown as the limitations say: not fewer hours, and in their area.

    What is owed after a change is told by the change, and by who concurred.
    """
    for phase in names.logbook.of_kind(Phase):
        rule = names.aircraft.phases.get(phase.opens)
        if rule is None or any(each.phase == phase.opens for each in _before(names, phase) if isinstance(each, Change)):
            continue
        if phase.hours is not None and rule.hours is not None and phase.hours < rule.hours:
            told = f"{phase.hours} h are fewer than the {rule.hours} h that aircraft.yaml asks of this phase"
            yield Problem(place_of(phase, "hours"), f"hours: {told}: which of the two?")
        if phase.area and rule.area and _words(phase.area) != _words(rule.area):
            told = f"`{phase.area}` is not the area of this phase in aircraft.yaml, `{rule.area}`: which of the two?"
            yield Problem(place_of(phase, "area"), f"area: {told}")


def decided_again(names: Known) -> Iterator[Problem]:
    """A change that is to decide one which is decided: what a major one owes stays owed."""
    changes = {each.name: each for each in names.logbook.of_kind(Change)}
    for change in changes.values():
        named = changes.get(change.of)
        usual = names.aircraft.phase_hours(named.phase) if named is not None else None
        if named is not None and not may_decide(change, named, usual):
            told = f"of: {named.name} is decided, as a major change, and stays so until its phase is closed"
            hours = named.hours or usual
            owed = "no hours, as it says none" if hours is None else f"no fewer than its {hours} h"
            cure = f"if that was a slip, withdraw it; else say the same phase and {owed}"
            yield Problem(place_of(change, "of"), f"{told}: {cure}")


def statements(names: Known) -> Iterator[Problem]:
    """The words in which a phase was closed are those that the limitations prescribe, with what was demonstrated.

    Or that they prescribed, by `was`. What was signed is a note; it closes nothing (`due/phases`).
    """
    for phase in names.logbook.of_kind(Phase):
        rule = names.aircraft.phases.get(phase.closes)
        if rule is None or not phase.statement:
            continue
        asked, *former = map(_words, _prescribed(names, phase, rule))
        told = _differs(asked, _words(phase.statement))
        if told and _words(phase.statement) not in former:
            place, signed = place_of(phase, "statement"), names.logbook.is_signed(phase.name)
            yield Problem(place, f"statement: {told}, by `phases` of aircraft.yaml", note=signed)


# Of these nothing, or less than nothing, was never flown; an arm or a centre of gravity may be either.
MEASURES = "kts?|kn|knots?|k[ic]as|mph|km/?h|m/s|lbs?|kg"
SPEED_OR_WEIGHT = re.compile(
    rf"\s*(?P<sign>[-\u2212\u2013])?\s*(?P<digits>[\d., ]*\d)\s*(?:{MEASURES})\b", re.IGNORECASE
)


def flights(names: Known) -> Iterator[Problem]:
    """What was told of a phase and counts for nothing: before anything opened it, a second opening on one day, a task
    by a slip of its name, a value that nothing asks for or without its measure; and a value of which another record of
    that day says otherwise. A closed phase is left alone: what its limitations ask may be another since.
    """
    book = names.logbook
    phases = book.of_kind(Phase)
    closed = [(each.closes, each.date) for each in phases if each.closes and book.is_signed(each.name)]
    major = [each for each in book.of_kind(Change) if each.answer == MAJOR]
    begun = [(each.phase, each.date) for each in major]
    begun += [(each.phase, each.date) for each in phases if each.opens]
    told: dict[tuple[str, str, dt.date], tuple[str, Phase]] = {}
    opened: dict[tuple[str, dt.date], Phase] = {}
    for phase in phases:
        rule, name = names.aircraft.phases.get(phase.phase), phase.phase
        if rule is None or any(each == name and date >= phase.date for each, date in closed):
            continue
        if phase.opens:
            first = opened.setdefault((name, phase.date), phase)
            if first is not phase:
                again = f"opens: the {name} phase was opened on {phase.date} already ({first.place})"
                yield Problem(place_of(phase, "opens"), f"{again}: withdraw one of them")
        elif not any(each == name and date <= phase.date for each, date in begun):
            none = f"nothing opened the {name} phase by {phase.date}, so that this counts for nothing"
            yield Problem(phase.place, none)
        yield from _counted(phase, rule)
        for what, value in phase.demonstrated.items():
            said, other = told.setdefault((name, what, phase.date), (value, phase))
            if _words(said) != _words(value):
                again = f"{what} is `{value}`, and `{said}` by {other.place}, of the same day: withdraw one of them"
                yield Problem(place_of(phase, "demonstrated", what), f"demonstrated: {again}")


def _counted(phase: Phase, rule: PhaseRule) -> Iterator[Problem]:
    """Slips in the names of tasks, and values that the limitations do not ask for or that have no measure."""
    for task in phase.did:
        if task not in rule.tasks and (hint := did_you_mean(task, rule.tasks)):
            yield Problem(place_of(phase, "did", task), f"did: `{task}` is none of its tasks{hint}")
    for name, value in phase.demonstrated.items():
        fault = ""
        if name not in rule.demonstrates:
            fault = f"the limitations do not ask for `{name[:40]}`{did_you_mean(name, rule.demonstrates)}"
        elif decimal(value) is not None:
            fault = f"{name}: {value[:20]} of what? Write the measure behind it, as in `38 mph`"
        elif (read := SPEED_OR_WEIGHT.match(value)) and (read["sign"] or not read["digits"].strip("0., ")):
            fault = f"{name}: {value[:20]} is no speed and no weight that was flown: write what was"
        if fault:
            yield Problem(place_of(phase, "demonstrated", name), f"demonstrated: {fault}")


def _opens(record: Record) -> bool:
    return isinstance(record, Change) or (isinstance(record, Phase) and bool(record.opens))


def settings(names: Known) -> Iterator[Problem]:
    """What was set under a name that is a slip of one after which a flight check is asked: nobody would be asked."""
    after = names.aircraft.flight_check_after
    for record in names.logbook.of_kind(Setting):
        meant = slip_of(record.setting, after) or _short_of(record.setting, after)
        if meant and not flown_after(names.logbook, record.setting, record.on):
            told = f"`{record.setting}` is not `{meant}`, after which a flight check is asked for"
            cure = f"write that, or name this one too under `flight-check-after` in {names.aircraft.place.file}"
            yield Problem(place_of(record, "setting"), f"setting: {told}: {cure}")


def odd_settings(names: Known) -> Iterator[Problem]:
    """What was set under a name that is a slip of one that was set before: it does not follow that."""
    before = set[str]()
    for record in names.logbook.of_kind(Setting):
        if record.setting not in before and (near := slip_of(record.setting, before)):
            told = f"`{record.setting}` is not `{near}`, which was set before, and does not follow it"
            yield Problem(place_of(record, "setting"), f"setting: {told}")
        before.add(record.setting)


def _short_of(word: str, known: Iterable[str]) -> str:
    """The known word of which another one is short, part by part: `prop-pitch` of `propeller-pitch`."""
    parts = word.split("-")
    for other in known:
        whole = other.split("-")
        if len(whole) == len(parts) > 1 and all(map(str.startswith, whole, parts)):
            return other
    return ""


def _before(names: Known, phase: Phase) -> Iterator[Record]:
    """What opened, or told of, the same phase before, since it was closed last: the oldest first."""
    found: list[Record] = []
    # Of one day what closes it is the last, whatever its file is called: as `due` has it.
    for record in sorted(names.logbook.records, key=_closing_last):
        if record is phase:
            break
        if isinstance(record, Phase) and record.phase == phase.phase:
            found = [] if record.closes else [*found, record]
        elif isinstance(record, Change) and record.answer == MAJOR and record.phase == phase.phase:
            found.append(record)
    yield from found


def _closing_last(record: Record) -> tuple[dt.date, bool]:
    return record.date, isinstance(record, Phase) and bool(record.closes)


def _prescribed(names: Known, phase: Phase, rule: PhaseRule) -> tuple[str, ...]:
    """The statement in each of its wordings, with the values that are on record in their places."""
    before = [*_before(names, phase)]
    values: dict[str, str] = {}
    for record in (*before, phase):
        if isinstance(record, Phase):
            values |= record.demonstrated
    opened = [*filter(_opens, before)]
    return rule.prescribed(values, opened[-1].date if opened else None)


def _words(text: str) -> list[str]:
    return text.split()


def _differs(asked: list[str], said: list[str]) -> str:
    """Where what was said leaves what was asked for the first time; "" where it does not."""
    for at, (one, other) in enumerate(zip_longest(asked, said)):
        if one != other:
            near = slice(max(0, at - AROUND), at + AROUND)
            says = f"`... {' '.join(said[near])} ...`" if said[near] else "nothing more"
            return f"says {says} where the limitations prescribe `... {' '.join(asked[near])} ...`"
    return ""
