"""A worksheet: the page copied from the checklists and filled in; and, by its ticks, which panels are off."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal
from typing import Final

from inspect_kit.errors import Place
from inspect_kit.model.finding import Cleared, Finding, Fix, Reading
from inspect_kit.model.interval import Limit
from inspect_kit.model.lines import Lines
from inspect_kit.model.record import FlightCheck
from inspect_kit.noun import dataclass

REMOVE, REFIT, MAKE, UNDO = "remove", "refit", "make", "undo"
OPENING, CLOSING = (REMOVE, MAKE), (REFIT, UNDO)
VERBS = (REMOVE, REFIT, MAKE, UNDO)
JOB_WORK = "work"
AS_PLANNED, NOTHING_USED = "as planned", "none"
# What is merely still to be done; everything else wants a decision.
NOT_TICKED: Final = "not ticked"
NOT_READ: Final = "not read"
NOT_WRITTEN: Final = "not written"
# A scope code that a box still open would cover: it follows by itself.
NOT_COVERED: Final = "not covered"
RESTS: Final = (NOT_TICKED, NOT_READ, NOT_WRITTEN, NOT_COVERED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One box of a page. `verb` is empty for a check or a standing finding.

    `id` is a panel (with a verb), a check, or the reference RECORD#F1 of a finding that still stands from before.
    `lines` are the first and the last line of the entry in the file, from 1, its sub-bullets included.
    `planned` is what the page reminds of behind `used`, `blank` are the keys below it that were begun and say nothing.
    `answer` is "" (in order once ticked), "not applicable" or "not done", with `reason`.
    """

    verb: str = ""
    id: str
    text: str
    ticked: bool
    readings: tuple[Reading, ...] = ()
    findings: tuple[Finding, ...] = ()
    answer: str = ""
    reason: str = ""
    notes: tuple[str, ...] = ()
    took: int | None = None
    by: str = ""
    second_look: str | None = None
    good_until: str | None = None
    paper: str | None = None
    used: str | None = None
    planned: str = ""
    blank: tuple[str, ...] = ()
    disturbed: tuple[str, ...] = ()
    repaired: tuple[str, ...] = ()
    recheck: tuple[Limit, ...] = ()
    cleared: Cleared | None = None
    fix: Fix | None = None
    may_wait: str = ""
    place: Place
    lines: tuple[int, int]

    def numbers(self) -> dict[str, Decimal]:
        """The readings that are numbers, by label: of each the last value."""
        return {each.label: number for each in self.readings if (number := each.number) is not None}

    @property
    def is_panel(self) -> bool:
        return self.verb != ""

    @property
    def is_standing(self) -> bool:
        """Whether it is a finding that stands from an earlier record."""
        return "#" in self.id

    @property
    def is_check(self) -> bool:
        return not self.is_panel and not self.is_standing

    @property
    def answered(self) -> bool:
        """Whether a person has dealt with it: ticked, or answered not applicable or not done."""
        return self.ticked or self.answer != ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Loose:
    """A line below the first box of a page that is neither box nor key, in a code fence or not.

    `box` is the place among the entries of the box whose words it goes on with, or with `key` the value of that key;
    None where it stands by itself.
    """

    text: str
    place: Place
    box: int | None = None
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worksheet:
    """An open page. `job` is an inspection's name or `work`; `meters` the readings on the day; `name` the file's stem.

    `second_look`, `good_until`, `paper` and `used` of an entry are None where the page does not ask, "" where it still
    asks. `used` is `AS_PLANNED` (what the check's `uses` names), `NOTHING_USED`, or parts in the form of `uses`.
    `loose` are the lines that a page about to be signed must account for.
    `equipment` is `no change` or names of records, "" where nothing is written; `flight_check` None.
    """

    name: str
    job: str
    registration: str
    begun: dt.date
    meters: Mapping[str, Decimal] = field(default_factory=dict)
    inspector: str = ""
    helpers: tuple[str, ...] = ()
    equipment: str = ""
    flight_check: FlightCheck | None = None
    entries: tuple[Entry, ...] = ()
    loose: tuple[Loose, ...] = ()
    place: Place
    lines: Lines = field(default_factory=dict, compare=False, repr=False)

    @property
    def job_name(self) -> str:
        """`condition inspection`, or work: what is done on it, as it is said to whoever signs it."""
        return self.job if self.job == JOB_WORK else f"{self.job} inspection"

    @property
    def checks(self) -> tuple[Entry, ...]:
        return tuple(entry for entry in self.entries if entry.is_check)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What was found on this page, under whichever box."""
        return tuple(finding for entry in self.entries for finding in entry.findings)

    def panels_off(self) -> tuple[str, ...]:
        """Panels off and setups standing by what is ticked: every removal has its refit, however often it came off."""
        balance: dict[str, int] = {}
        for entry in self.entries:
            if entry.is_panel and entry.ticked:
                balance[entry.id] = balance.get(entry.id, 0) + (1 if entry.verb in OPENING else -1)
        return tuple(panel for panel, count in balance.items() if count > 0)

    def panels_unrefitted(self) -> tuple[str, ...]:
        """Panels with fewer ticked refits than removals, ticked or not; one answered `not done` is no removal."""
        balance: dict[str, int] = {}
        for entry in self.entries:
            if entry.is_panel and (entry.ticked or not entry.answer):
                gain = 1 if entry.verb in OPENING else -1 if entry.ticked else 0
                balance[entry.id] = balance.get(entry.id, 0) + gain
        return tuple(panel for panel, count in balance.items() if count > 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a plan, as it is written on a worksheet: a verb and a panel, or a check. Minutes from the start."""

    step: str
    panel: str
    check: str | None = None
    start: int
    end: int
    people: int = 1
    who: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing that stands between a page and a signature; `about` is the check, panel, finding or scope code.

    `rest` is one of `RESTS` for a box, a reading or a line that is merely still empty, "" where somebody has to
    decide; `panel` is the id of the panel, setup or place at which that box stands, where it has one.
    """

    about: str
    text: str
    place: Place
    rest: str = ""
    panel: str = ""

    @property
    def wants_decision(self) -> bool:
        return not self.rest

    def __str__(self) -> str:
        return f"{self.place}: {self.about}: {self.text}" if self.about else f"{self.place}: {self.text}"
