"""The kinds of record: one dataclass each, all with a date, a place, and what they may have."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Identity, Person
from inspect_kit.model.finding import Cleared, Finding, Reading, Result
from inspect_kit.model.lines import Lines
from inspect_kit.noun import dataclass

# What an amendment replaces: a key of the record, and what stands below it, such as ("meters", "tach") or ("date",).
Field = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FileSum:
    """A file that belongs to a record, named with its SHA-256 (64 lower-case hexadecimal digits)."""

    name: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Seal:
    """The seal at the end of a record; what its values mean, to the byte, is said in `store.seals`."""

    record: str
    page: str
    worksheet: str
    after: tuple[str, ...]
    sha256: str


REQUIRED, FLOWN, NOT_NEEDED = "required", "done", "not needed"


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightCheck:
    """Whether the aircraft is to be flown by a pilot alone before passengers are carried (14 CFR 91.407(b), (c)).

    `word` is required, done or not needed. Done: on `date` by `pilot`, with `words`. Not needed: `words` name the
    ground tests or the inspection that show it conclusively. `of` are the records that it answers for, else all before.
    """

    word: str
    date: dt.date | None = None
    pilot: Person | None = None
    words: str = ""
    of: tuple[str, ...] = ()
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What every kind has. `name` is the file name without ending; `date` when it was done, `entered` when written.

    `meters` are readings as shown by the meters, not totals. `by` is who did it. `after` names the seals that stood
    when it was written.
    """

    name: str
    date: dt.date
    entered: dt.date | None = None
    meters: Mapping[str, Decimal] = field(default_factory=dict)
    text: str = ""
    by: Person | None = None
    at: str = ""
    paper: str = ""
    files: tuple[FileSum, ...] = ()
    after: tuple[str, ...] = ()
    flight_check: FlightCheck | None = None
    seal: Seal | None = None
    place: Place
    lines: Lines = field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours(Record):
    """Meter readings written down; `added` such as {"oil": "1 qt"}; `permit` the special flight permit flown on."""

    added: Mapping[str, str] = field(default_factory=dict)
    permit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageRecord(Record):
    """What a worksheet leaves in its record: results, readings, findings, panels, standing findings cleared.

    `clears` are references RECORD#F1, `cleared` how they were put right where that was said; `next` the dates that
    parts carry.
    `equipment` is whether equipment changed, as the page answered: `no change`, or the records that tell of it.
    `totals` are meter totals at the end of the work; `begun` the day it began; `sheet` the name of the open page.
    `did` and `results` are in the order in which they were done. `left_owed` are checks that this work made owed and
    left so: not done, or done before it.
    """

    sheet: str = ""
    begun: dt.date | None = None
    helpers: tuple[str, ...] = ()
    equipment: str = ""
    totals: Mapping[str, Decimal] = field(default_factory=dict)
    results: tuple[Result, ...] = ()
    readings: tuple[Reading, ...] = ()
    findings: tuple[Finding, ...] = ()
    did: tuple[str, ...] = ()
    opened: tuple[str, ...] = ()
    left_owed: tuple[str, ...] = ()
    disturbed: tuple[str, ...] = ()
    clears: tuple[str, ...] = ()
    cleared: Mapping[str, Cleared] = field(default_factory=dict)
    parts: tuple[str, ...] = ()
    next: Mapping[str, dt.date] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work(PageRecord):
    """Maintenance done: `did` names checks. From a signed worksheet it also has what the page held, and of which
    aircraft it was."""

    identity: Identity | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection(PageRecord):
    """A sealed inspection. `passed` False is a list of discrepancies without a statement.

    `not_applicable` are the scope codes that the aircraft has not got, as they stood then, with reasons. `signers` are
    the kinds of certificate that the limitations permitted to sign on that day; empty in records of before 2026-12.
    """

    inspection: str
    passed: bool
    identity: Identity
    basis: str
    statement: str
    not_applicable: Mapping[str, str] = field(default_factory=dict)
    signers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRecord(Record):
    """A finding outside a worksheet; its reference is NAME#F1."""

    finding: Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature(Record):
    """That a record was signed: in ink (logbook and page), or by an SSH signature over the bytes of the record.

    `sha256` is the digest of the bytes that were signed; "" in records of before 2026-12, and where nobody wrote it.
    """

    of: str
    ink: str = ""
    ssh: str = ""
    sha256: str = ""


# The serial of a part that has none: a new part at each fitting.
NO_SERIAL = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Installed(Record):
    """A part fitted in a position, with its own time since new and since overhaul at that moment, in hours.

    `made` is the date on its label, `fitted_on` when it was first fitted anywhere, `overhauled` its last overhaul.
    `where` it came from and the `reason` may be told; `no_change` why it changed neither weight nor balance.
    """

    position: str
    serial: str
    part: str = ""
    since_new: Decimal | None = None
    since_overhaul: Decimal | None = None
    made: dt.date | None = None
    fitted_on: dt.date | None = None
    overhauled: dt.date | None = None
    where: str = ""
    reason: str = ""
    no_change: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Removed(Record):
    """A part taken out of a position: where it went and why; its times, in hours, if somebody wrote them down."""

    position: str
    serial: str
    part: str = ""
    since_new: Decimal | None = None
    since_overhaul: Decimal | None = None
    where: str = ""
    reason: str = ""
    no_change: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterChange(Record):
    """A meter changed: last reading of the old one, first of the new; hours flown without one and how known."""

    meter: str
    old: Decimal
    new: Decimal
    unrecorded: Decimal | None = None
    how_known: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadsTotal:
    """What a meter reads and the total it stands for."""

    reads: Decimal
    total: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class LastDone:
    """When a check or an inspection was last done before records began; `totals` as totals, not readings.

    `good_until` is the date that the part itself carries, which may be all that is known.
    """

    date: dt.date | None = None
    totals: Mapping[str, Decimal] = field(default_factory=dict)
    paper: str = ""
    good_until: dt.date | None = None

    @property
    def done(self) -> bool:
        """Whether it says that something was done, and not only what a part carries."""
        return self.good_until is None or self.date is not None or bool(self.totals)


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtForward(Record):
    """The first day of an aircraft that comes with a past. `fitted` are parts that were fitted by then."""

    reads: Mapping[str, ReadsTotal]
    last: Mapping[str, LastDone] = field(default_factory=dict)
    fitted: tuple[Installed, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Amendment(Record):
    """A correction: a new record that names the old one and says what is put right.

    `instead` are the fields that it replaces, with their new values in the form in which the record has them;
    `not_done` the checks whose ticks are taken back. Laid over the original by `model.amended`.
    """

    of: str
    instead: Mapping[Field, object] = field(default_factory=dict)
    not_done: tuple[str, ...] = ()
