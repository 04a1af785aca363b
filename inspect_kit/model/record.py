"""What every record has, whatever its kind: a date, a place, and what it may have. The kinds are in `model.kinds`."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Person
from inspect_kit.model.lines import Lines
from inspect_kit.model.reason import says_not_good
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
    # Whether the words of one that was flown say that it was not, or was not found good; found when it is made, as the
    # words of what was corrected are judged (`finding.Cleared`).
    failed: bool = field(default=False, init=False)
    place: Place

    def __post_init__(self) -> None:
        object.__setattr__(self, "failed", self.word == FLOWN and says_not_good(self.words))


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What every kind has. `name` is the file name without ending; `date` when it was done, `entered` when written.

    `meters` are readings as shown by the meters, not totals. `by` is who did it. `after` names the seals that stood
    when it was written, `follows` the records of its day that it came after, `precedes` those that it came before.
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
    follows: tuple[str, ...] = ()
    precedes: tuple[str, ...] = ()
    seal: Seal | None = None
    place: Place
    lines: Lines = field(default_factory=dict, compare=False, repr=False)
