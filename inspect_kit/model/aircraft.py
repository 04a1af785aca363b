"""The aircraft as its owner describes it in aircraft.yaml."""

import datetime as dt
import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import field
from decimal import Decimal
from functools import lru_cache
from typing import Final

from inspect_kit.errors import Place
from inspect_kit.model.checklist import FLIGHT, Bars, Retired, gone
from inspect_kit.model.interval import UNITS, Limit, Term
from inspect_kit.model.lines import Lines
from inspect_kit.model.loads import Loads
from inspect_kit.noun import dataclass

# What wants a flight check, or the reason why not, once it was disturbed, set or changed (14 CFR 91.407(b)).
FLIGHT_CHECK_AFTER: Final = ("flight-controls", "rigging", "propeller-pitch")


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """Which aircraft this is; printed on every report and sealed into every inspection."""

    registration: str
    make: str
    model: str
    serial: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Meter:
    """A clock or counter; `unit` is one of METER_UNITS."""

    name: str
    unit: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """A place that takes one part at a time, such as `magneto-left`; `on` names the position it sits on.

    `bars` is what it forbids that the part is taken out and none is in.
    """

    id: str
    on: str | None = None
    was: tuple[str, ...] = ()
    retired: Retired | None = None
    bars: Bars = FLIGHT
    place: Place
    lines: Lines = field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionRule:
    """An inspection that the operating limitations ask for: wording and permitted signers are theirs, not ours."""

    name: str
    every: tuple[Term, ...]
    scope: str
    statement: str
    signers: tuple[str, ...]
    source: str = ""
    bars: Bars = FLIGHT
    place: Place
    lines: Lines = field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseRule:
    """A flight-test phase that the operating limitations ask for: hours or tasks, what it demonstrates, its statement.

    `statement` has the names in `demonstrates` in braces, and `{date}`; `was` are former wordings, in which it may
    have been signed. Without `signers` a pilot signs, one who holds at least a private pilot certificate.
    """

    name: str
    hours: Decimal | None = None
    tasks: tuple[str, ...] = ()
    demonstrates: tuple[str, ...] = ()
    area: str = ""
    statement: str
    was: tuple[str, ...] = ()
    signers: tuple[str, ...] = ()
    source: str = ""
    place: Place

    def prescribed(self, demonstrated: Mapping[str, str], opened: dt.date | None) -> tuple[str, ...]:
        """The statement in today's wording and in the former ones, with what was demonstrated and the day on which the
        phase was opened in their places; a blank for a value that is not on record.
        """
        values = {name: demonstrated.get(name, "____") for name in self.demonstrates}
        values |= {"date": str(opened)} if opened else {}
        return tuple(
            re.sub(r"\{([^{}]*)\}", lambda match: values.get(match.group(1), match.group()), words)
            for words in (self.statement, *self.was)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """A person who works on the aircraft; `certificate` and `kind` as on the certificate.

    `ssh` are public keys: today's, and former ones by which older signatures are checked.
    """

    name: str
    kind: str = ""
    certificate: str = ""
    ssh: tuple[str, ...] = ()
    was: tuple[str, ...] = ()
    retired: Retired | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """How many people work, and how many of them may inspect."""

    people: int = 1
    inspectors: int = 1

    def __post_init__(self) -> None:
        if not 1 <= self.inspectors <= self.people:
            raise ValueError("a crew has at least one inspector and no more inspectors than people")


@dataclass(frozen=True, slots=True, kw_only=True)
class Soon:
    """How much may be left for an item to count as soon: days, and use by the unit of its meter."""

    days: int = 30
    use: Mapping[str, Decimal] = field(default_factory=dict)

    def of(self, unit: str) -> Decimal:
        """So much of a meter's unit, by default what is usual."""
        return self.use.get(unit, UNITS[unit].soon)


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """Hours at hand: on one `date`, or every week on `weekday` (0 is Monday); minutes from midnight."""

    date: dt.date | None = None
    weekday: int | None = None
    start: int
    end: int
    people: int | None = None
    inspectors: int | None = None

    def __post_init__(self) -> None:
        if (self.date is None) == (self.weekday is None):
            raise ValueError("a session is on a date or on a day of the week")
        if not 0 <= self.start < self.end <= 24 * 60:
            raise ValueError("a session ends after it starts, on the same day")


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitHabit:
    """How the owner likes the year: a fixed cost per visit in minutes, days of the week, months kept free (1-12).

    `season` are months that are for flying, `no_flying` months in which the aircraft stands. `hour` is what an hour of
    one's own is worth in the owner's `currency`; where it is None money is not weighed against minutes.
    """

    minutes: int = 45
    weekdays: tuple[int, ...] = ()
    not_in: tuple[int, ...] = ()
    season: tuple[int, ...] = ()
    no_flying: tuple[int, ...] = ()
    hour: Decimal | None = None
    currency: str = ""

    def __post_init__(self) -> None:
        if self.hour is not None and self.hour <= 0:
            raise ValueError("an hour is worth more than 0")
        if set(self.season) & set(self.no_flying):
            raise ValueError("a month of the flying season is none without flying")


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """What a reading must keep at one value of another: `low`, `high`, or both."""

    at: Decimal
    low: Decimal | None = None
    high: Decimal | None = None

    def __str__(self) -> str:
        if self.low is None:
            return f"at most {self.high}"
        return f"at least {self.low}" if self.high is None else f"{self.low} to {self.high}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitTable:
    """Limits in the measure `gives` that depend on another reading in the measure `at`; two rows or more, upwards.

    Between two rows they go in a straight line; before the first and after the last there are none.
    """

    at: str
    gives: str
    rows: tuple[TableRow, ...]
    source: str = ""
    place: Place

    def __str__(self) -> str:
        """`at 20 °F 25 to 35, at 70 °F 20 to 30 lb, between in proportion`"""
        return f"{', '.join(f'at {row.at} {self.at} {row}' for row in self.rows)} {self.gives}, between in proportion"


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A paper that belongs to the aircraft: `what` it is, `at` which place; `copy` a record whose files hold a copy."""

    what: str
    at: str
    copy: str = ""
    place: Place
    lines: Lines = field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aircraft:
    """All of aircraft.yaml. What is fitted in a position is said by records, not here.

    `was` are former registrations, and whatever else of the identity older records say otherwise.
    `lead_times` are how long an order takes, by the name of a part as `uses` names it, or by its position.
    `crew` is None where the file does not say who usually works.
    `rules` names the rule profile; `scopes` are scopes of the owner's own, a subject for each code, by name.
    """

    identity: Identity
    was: tuple[str, ...] = ()
    certificate_date: dt.date
    meters: Mapping[str, Meter]
    time_in_service: str
    positions: Mapping[str, Position] = field(default_factory=dict)
    inspections: Mapping[str, InspectionRule]
    people: tuple[Person, ...]
    tooling: Mapping[str, int] = field(default_factory=dict)
    not_applicable: Mapping[str, str] = field(default_factory=dict)
    crew: Crew | None = None
    soon: Soon = Soon()
    sessions: tuple[Session, ...] = ()
    visits: VisitHabit = VisitHabit()
    loads: Loads | None = None
    phases: Mapping[str, PhaseRule] = field(default_factory=dict)
    flight_check_after: tuple[str, ...] = FLIGHT_CHECK_AFTER
    papers: tuple[Paper, ...] = ()
    rules: str = "US"
    scopes: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    lead_times: Mapping[str, Limit] = field(default_factory=dict)
    tables: Mapping[str, LimitTable] = field(default_factory=dict)
    place: Place
    lines: Lines = field(default_factory=dict, compare=False, repr=False)

    def meter_of(self, unit: str, named: str | None) -> str | None:
        """The meter that a limit in `unit` counts on, or None if there is none that counts it.

        `named` is the meter after `on`. A bare `h` counts on the meter that stands for time in service, another
        unit on the only meter of it.
        """
        if named is not None:
            return named if named in self.meters and self.meters[named].unit == unit else None
        if self.meters[self.time_in_service].unit == unit:
            return self.time_in_service
        of_unit = [meter.name for meter in self.meters.values() if meter.unit == unit]
        return of_unit[0] if len(of_unit) == 1 else None

    def counts_with(self, one: Limit, other: Limit) -> bool:
        """Whether both count by the calendar, or both on one meter, in whatever words it is named."""
        if one.is_calendar or other.is_calendar:
            return one.is_calendar and other.is_calendar
        return one.unit == other.unit and len({self.meter_of(each.unit, each.meter) for each in (one, other)}) == 1

    def is_own(self, identity: Identity) -> bool:
        """Whether a record of that identity is of this aircraft: registration, make and serial, former ones as well."""
        known = set(map(plain_name, (*self.was,)))
        return all(
            plain_name(getattr(identity, key)) in known | {plain_name(getattr(self.identity, key))}
            for key in ("registration", "make", "serial")
        )

    def phase_hours(self, name: str) -> Decimal | None:
        """The hours that the limitations ask for in a phase; None where they say none, or there is no such phase."""
        rule = self.phases.get(name)
        return rule.hours if rule is not None else None

    def person(self, name: str) -> Person | None:
        """The person of that name, or of that former name, as `plain_name` reads them."""
        asked = plain_name(name)
        return next(
            (person for person in self.people if asked in map(plain_name, (person.name, *person.was))),
            None,
        )

    def gone_by(self, name: str, day: dt.date) -> str:
        """That somebody is retired by that day, with where it says so and since when; "" of everybody else."""
        person = self.person(name)
        if person is None or person.retired is None or not gone(person.retired, day):
            return ""
        return f"{person.name} is retired in {self.place.file} since {person.retired.date}"

    def kind_of(self, by: "Person") -> str:
        """The kind of somebody's certificate: as a record has it, else as it is known here; "" where nobody knows."""
        known = self.person(by.name)
        return by.kind or (known.kind if known else "")

    def same_person(self, one: str, other: str) -> bool:
        """Whether two names mean one person, by a former name too, as `plain_name` reads them."""
        first, second = self.person(one), self.person(other)
        return first is second if first and second else plain_name(one) == plain_name(other)

    def taken_from(self, who: Person) -> str:
        """What is named with somebody and belongs to another one of `people`, with whose it is; "" if nothing is."""
        if not (who.certificate or who.ssh):
            return ""
        for other in self.people:
            if not self.same_person(who.name, other.name):
                if has_number(who) and bare_number(who.certificate) == bare_number(other.certificate):
                    return f"`{who.certificate}` is the number of {other.name}"
                if not {*map(_plain_key, who.ssh)}.isdisjoint(map(_plain_key, other.ssh)):
                    return f"the key named with {who.name} is that of {other.name}"
        return ""


def has_number(who: Person) -> bool:
    """Whether what stands as somebody's certificate has a digit: `none` and `student` are words that many may have."""
    return any(letter.isdigit() for letter in who.certificate)


def bare_number(number: str) -> str:
    """A certificate's number without blanks and dashes."""
    return plain_name(number).replace(" ", "")


def _plain_key(key: str) -> str:
    """A public key without its remark."""
    return " ".join(key.split()[:2])


def kind_named(words: str, known: Iterable[str]) -> str:
    """The one known kind of certificate that has all of these words, `A&P mechanic` among them; "" for none or several.
    """
    said = {*re.findall(r"[a-z]+", words.casefold().replace("a&p", "airframe powerplant"))} - {"a", "an", "and"}
    kinds = [*dict.fromkeys(known)]
    if exact := next((each for each in kinds if plain_name(each) == plain_name(words)), ""):
        return exact
    found = [each for each in kinds if said and said <= {*re.findall(r"[a-z]+", each.casefold())}]
    return found[0] if len(found) == 1 else ""


# Cached: every record names the same few people.
@lru_cache(maxsize=256)
def plain_name(name: str) -> str:
    """A name without what a pen makes of it: `Ada  bellcrank ` is `ada bellcrank`."""
    same = unicodedata.normalize("NFKC", name).casefold()
    seen = "".join(
        mark if mark.isalnum() or unicodedata.category(mark)[0] == "M" else " "
        for mark in same
        if unicodedata.category(mark) != "Cf"
    )
    return " ".join((seen if seen.strip() else same).split())
