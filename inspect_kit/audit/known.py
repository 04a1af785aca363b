"""All that a store has a name for, looked up once for every audit."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal

from inspect_kit.errors import Place, Problem
from inspect_kit.model.aircraft import Aircraft, Position
from inspect_kit.model.checklist import DISTURBED, SETUP, Check, Panel
from inspect_kit.model.finding import Finding, Fix
from inspect_kit.model.interval import HOURS, MOST_YEARS, UNITS, Limit
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass
from inspect_kit.text.grammar import did_you_mean

MOST_HOURS = UNITS[HOURS].most_ever

# What may wait for so long is no defect that was put off: it outlasts the engine (common practice, no source).
LONGEST_WAIT, LONGEST_WAIT_YEARS = Decimal(2500), 9
ZERO = Decimal(0)

CHECK, PANEL, POSITION = "check", "panel", "position"


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A logbook with its names: `things` by kind and id, `findings` by reference, `by_name` the records (foreign too).

    `ever` are by kind the ids that something has or had.

    `awaited` are the words under `owed-after: disturbed …` of checks in use. `disturbable` is whatever may be
    disturbed: panels, checks, positions by any of their ids, and every word that some `owed-after: disturbed …` of a
    checklist uses, so that such a word needs no other declaration.
    """

    logbook: Logbook
    things: Mapping[str, Mapping[str, Panel | Check | Position]]
    ever: Mapping[str, frozenset[str]]
    by_name: Mapping[str, Record]
    findings: Mapping[str, Finding]
    awaited: frozenset[str]
    disturbable: frozenset[str]

    @property
    def aircraft(self) -> Aircraft:
        return self.logbook.aircraft

    @property
    def newest(self) -> dt.date:
        """The day of the last record; that of the certificate where there is none."""
        return max((record.date for record in self.logbook.records), default=self.aircraft.certificate_date)

    def is_whole(self, record: Record) -> bool:
        """Whether a record is sealed and its seal holds: what it names was there then."""
        return record.seal is not None and record.name not in self.logbook.broken

    def no_record(self, name: str) -> str:
        """That no record has this name, and what may have been meant; or that the one that had it was withdrawn."""
        return self._withdrawn(name) or f"no record is called `{name}`{did_you_mean(name, self.by_name)}"

    def no_finding(self, reference: str) -> str:
        """The same of a finding, `RECORD#F1`."""
        told = self._withdrawn(reference.rpartition("#")[0])
        return told or f"no record has a finding `{reference}`{did_you_mean(reference, self.findings)}"

    def _withdrawn(self, name: str) -> str:
        # In one clone it was withdrawn, in another one something was written about it.
        gone = next((each for each in self.logbook.withdrawn if each.record.name == name), None)
        if gone is None:
            return ""
        return f"`{name}` was {gone}. Withdraw this too, or put that back without its `withdrawn:` ({gone.place.file})"


def known(logbook: Logbook) -> Known:
    """Look up every name of a logbook."""
    things: dict[str, Mapping[str, Panel | Check | Position]] = {
        CHECK: logbook.checks,
        PANEL: logbook.panels,
        POSITION: logbook.aircraft.positions,
    }
    words = {
        (trigger.what, check.retired is None)
        for check in logbook.checks.values()
        for trigger in check.owed_after
        if trigger.verb == DISTURBED
    }
    return Known(
        logbook=logbook,
        things=things,
        ever={
            kind: frozenset(own).union(old for old, new in logbook.current.items() if new in own)
            for kind, own in things.items()
        },
        by_name={record.name: record for record in (*logbook.foreign, *logbook.records)},
        findings=logbook.findings(),
        awaited=frozenset(word for word, in_use in words if in_use),
        disturbable=frozenset(word for word, _ in words).union(logbook.current, *things.values()),
    )


def missing_now(names: Known, kind: str, name: str) -> str | None:
    """Why what is written today may not name this; None if it may."""
    thing = names.things[kind].get(name)
    if thing is not None:
        return f"`{name}` is retired since {thing.retired.date}" if thing.retired else None
    if name in names.logbook.current and names.logbook.current[name] in names.things[kind]:
        return f"`{name}` is called `{names.logbook.current[name]}` now"
    other = _of_another_kind(names, (kind,), name)
    return other or f"no {kind} is called `{name}`{_near(names, (kind,), name)}"


def missing_ever(names: Known, kinds: tuple[str, ...], name: str) -> str | None:
    """Why a record may not name this; None if something of one of the kinds has the id or ever had it."""
    if any(name in names.ever[kind] for kind in kinds):
        return None
    if (other := _of_another_kind(names, kinds, name)) is not None:
        return other
    near, told = _near(names, kinds, name), f"no {' or '.join(kinds)} is called `{name}`"
    # Records stay as they are: whoever gave the check another id says so beside the new one.
    if near:
        return f"{told}{near} If that is its new id, write `was: {name}` there"
    renamed = f"if it is called otherwise now, write `was: {name}` under its new id"
    gone = "retired: DATE, reason" if CHECK in kinds else "retired: DATE"
    return f"{told}; {renamed}; if it is gone, keep it there with `{gone}`"


def _of_another_kind(names: Known, kinds: tuple[str, ...], name: str) -> str | None:
    for kind, things in names.things.items():
        if name in things:
            return f"`{name}` is a {_kind_of(things[name], kind)}, not a {' or '.join(kinds)}"
    return None


def _near(names: Known, kinds: tuple[str, ...], name: str) -> str:
    return did_you_mean(name, [each for kind in kinds for each in names.things[kind]])


def _kind_of(thing: Panel | Check | Position, kind: str) -> str:
    return "setup" if isinstance(thing, Panel) and thing.kind == SETUP else kind


def unknown_meter(names: Known, name: str) -> str | None:
    """Why this is no meter; None if it is one."""
    if name in names.aircraft.meters:
        return None
    return f"no meter is called `{name}`{did_you_mean(name, names.aircraft.meters)}"


def unknown_inspection(names: Known, name: str) -> str | None:
    """Why this is no inspection; None if aircraft.yaml has it."""
    if name in names.aircraft.inspections:
        return None
    return f"no inspection is called `{name}`{did_you_mean(name, names.aircraft.inspections)}"


def unknown_phase(names: Known, name: str) -> str | None:
    """Why this is no flight-test phase; None if aircraft.yaml has it."""
    if name in names.aircraft.phases:
        return None
    return f"no phase is called `{name}` in aircraft.yaml{did_you_mean(name, names.aircraft.phases)}"


def limit_fault(names: Known, limit: Limit) -> str | None:
    """Why a limit cannot be counted on a meter, or never comes; None if it can, and does."""
    if (far := too_far(limit)) is not None:
        return far
    if limit.is_calendar:
        return None
    meters = names.aircraft.meters
    if limit.meter is not None:
        if limit.meter not in meters:
            return unknown_meter(names, limit.meter)
        unit = meters[limit.meter].unit
        return None if unit == limit.unit else f"`{limit.meter}` counts {unit}, not {limit.unit}"
    if names.aircraft.meter_of(limit.unit, None) is not None:
        return None
    if any(meter.unit == limit.unit for meter in meters.values()):
        return f"more than one meter counts {limit.unit}: say which, as in `{limit} on METER`"
    return f"no meter counts {limit.unit}"


def too_far(limit: Limit) -> str | None:
    """Why a limit is none: nobody lives so long, and no aircraft of this kind."""
    if not limit.never_comes:
        return None
    told = f"more than {MOST_YEARS} years"
    if not limit.is_calendar:
        told = f"more than the {UNITS[limit.unit].most_ever} {limit.unit} that no aircraft of this kind comes to"
    return f"{limit} is {told}: is the number right? What nothing makes due says `replace: on condition`"


def once_fault(names: Known, day: dt.date | None) -> str | None:
    """Why a day on which a check is done once never comes; None if it does."""
    if day is None:
        return None
    newest = names.newest
    if day.year - newest.year <= MOST_YEARS:
        return None
    return f"{day} is {day.year - newest.year} years after the last record: is the year right?"


def fix_fault(names: Known, fix: Fix, day: dt.date) -> str | None:
    """Why the limit of a finding that is put off on a day cannot be kept, or never comes; None if it can."""
    if fix.by_date is not None and fix.by_date.year - day.year > LONGEST_WAIT_YEARS:
        return f"{fix.by_date} is {fix.by_date.year - day.year} years after {day}: is the year right?"
    if fix.by_total is not None and fix.by_total > MOST_HOURS:
        return f"{fix.by_total} h are more than any aircraft of this kind has flown: is the number right?"
    if fix.by_total is not None and (more := _ahead(names, fix)) > LONGEST_WAIT:
        return f"{fix.by_total} h are {more} h on from what is on record: is the number right?"
    if fix.at_inspection is not None:
        return unknown_inspection(names, fix.at_inspection)
    if fix.meter is not None:
        unit = names.aircraft.meters[fix.meter].unit if fix.meter in names.aircraft.meters else "h"
        return unknown_meter(names, fix.meter) or (None if unit == "h" else f"`{fix.meter}` counts {unit}, not h")
    return None


def _ahead(names: Known, fix: Fix) -> Decimal:
    """How many hours a limit lies beyond everything on record."""
    meter = fix.meter or names.aircraft.time_in_service
    read = [point.total for point in names.logbook.meter_history(meter).points]
    return max(ZERO, (fix.by_total or ZERO) - read[-1]) if read else ZERO


def undisturbable(names: Known, name: str) -> str | None:
    """Why this cannot have been disturbed; None if it can."""
    if name in names.disturbable or name in names.aircraft.flight_check_after:
        return None
    hint = did_you_mean(name, names.disturbable)
    return f"nothing is called `{name}`, and no check is owed after it is disturbed{hint}"


def idly_disturbed(names: Known, name: str) -> str | None:
    """Why it would ask for nothing to say that this is disturbed; None if a check or a flight check waits for it."""
    if name in names.awaited or name in names.aircraft.flight_check_after:
        return None
    if names.logbook.current.get(name) in names.awaited:
        return f"`{name}` is called `{names.logbook.current[name]}` now"
    return f"no check is owed after `{name}` is disturbed{did_you_mean(name, names.awaited)}"


def each_fault(place: Place, faults: Iterable[str | None], key: str = "") -> Iterator[Problem]:
    """A problem at a place for each fault that there is, with the key it stands under."""
    for fault in faults:
        if fault is not None:
            yield Problem(place, f"{key}: {fault}" if key else fault)
