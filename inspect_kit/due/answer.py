"""What the room `due` answers: frozen values, made for the JSON promise and for a page alike."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal
from functools import cached_property
from typing import Final, cast

from inspect_kit.due import phases
from inspect_kit.due.fitting import Fitting
from inspect_kit.due.oil import Oil
from inspect_kit.due.phases import NoPassengers
from inspect_kit.due.trends import Reached, Series
from inspect_kit.errors import Place, Problem
from inspect_kit.model.checklist import NOTHING, Bars
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import Point
from inspect_kit.noun import dataclass

PAST_DUE: Final = "past-due"
IN_GRACE: Final = "in-grace"
UNKNOWN: Final = "unknown"
SOON: Final = "soon"
LATER: Final = "later"
# From worst to best. What is known to be past its limit outranks what cannot be known, and that outranks the rest.
STATES: Final = (PAST_DUE, IN_GRACE, UNKNOWN, SOON, LATER)

CHECK: Final = "check"
INSPECTION: Final = "inspection"
FINDING: Final = "finding"
TREND: Final = "trend"
RECHECK: Final = "recheck"

# The kinds of reasons not to fly, in the order in which they are told.
STOP_INSPECTION: Final = "inspection-past-due"
STOP_UNINSPECTED: Final = "inspection-unknown"
STOP_NOT_PASSED: Final = "inspection-not-passed"
STOP_SIGNATURE: Final = "signature"
STOP_SEAL: Final = "seal-broken"
STOP_GONE: Final = "record-gone"
STOP_UNREAD: Final = "file-unread"
STOP_TAKEN_BACK: Final = "inspection-amended"
STOP_FINDING: Final = "finding"
STOP_LATE_FINDING: Final = "finding-past-limit"
STOP_PANEL: Final = "panel-off"
STOP_EMPTY: Final = "position-empty"
STOP_DIRECTIVE: Final = "directive-undecided"
STOP_SETUP: Final = "setup-standing"
STOP_PAGE: Final = "open-worksheet"
STOP_OWED: Final = "owed-before-flight"
STOP_LIFE: Final = "life-past-due"
STOP_BARRED: Final = "barred"
STOP_CHANGE: Final = "change"
STOPS: Final = (
    *(STOP_INSPECTION, STOP_UNINSPECTED, STOP_NOT_PASSED, STOP_SIGNATURE, STOP_SEAL, STOP_GONE, STOP_UNREAD),
    *(STOP_TAKEN_BACK, STOP_FINDING, STOP_LATE_FINDING),
    *(STOP_PANEL, STOP_EMPTY, STOP_SETUP, STOP_PAGE, STOP_OWED, STOP_LIFE, STOP_BARRED, STOP_DIRECTIVE),
    STOP_CHANGE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Last:
    """When something was last done, and the total then on the meter that its limit counts on.

    `date` or `total` is None where it is not on record; `estimated` where the record itself has no reading; `amended`
    where an amendment changed what that record says. `unit` is what that meter counts.
    """

    date: dt.date | None
    total: Decimal | None
    estimated: bool
    place: Place
    amended: bool = False
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueAt:
    """The point at which something is due: the calendar limit alone, and the total on one meter.

    `reads` is what the present meter will show at `total`; negative for a point before that meter.
    """

    date: dt.date | None = None
    meter: str | None = None
    total: Decimal | None = None
    reads: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What is left until then, negative once it is past: days, and an amount in `unit` (h or landings)."""

    days: int | None = None
    amount: Decimal | None = None
    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """When it is expected to fall due: as likely before as after `likely`, in 8 of 10 cases from `early` to `late`.

    `age_days` is how old the last reading is that this rests on. `late` is the last day of all where it is further away
    than any forecast goes. `reached` says that `likely` has passed: by use that
    nobody wrote down yet the limit has probably been reached.
    """

    early: dt.date
    likely: dt.date
    late: dt.date
    age_days: int = 0
    reached: bool = False

    @property
    def span(self) -> str:
        """`2030-03-20 to 2034-10-23`, in words where the end is further away than any forecast goes."""
        return f"{self.early} to {'more than ten years ahead' if self.late == dt.date.max else self.late}"


class ExpectedTrend(Expected):
    """When a trend is expected at its limit: `early` and `late` are made when they are asked for."""

    def __init__(self, trend: Reached, likely: dt.date, age_days: int) -> None:
        vars(self).update(trend=trend, likely=likely, age_days=age_days, reached=False)

    @cached_property
    def early(self) -> dt.date:
        return self._trend().early or self.likely

    @cached_property
    def late(self) -> dt.date:
        return self._trend().late or dt.date.max

    def _trend(self) -> Reached:
        return cast("Reached", vars(self)["trend"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the arithmetic, in words and figures, with the places in files that it rests on."""

    text: str
    places: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing that falls due. `check` is the id of a check, the name of an inspection, RECORD#F1 of a finding, or
    CHECK/LABEL of a trend, which never bars anything, or CHECK/recheck of what is to be looked at again.

    `owed` says that something on record makes it due at once; `asked` is the directive that does, for which only work
    older than it was done. `bars` is what its present state forbids, and `grace`,
    while it is in grace, how long its source lets it go on. `taken_after` is the record of the same day that it counts
    as done after only because nothing says otherwise. `lines` are the arithmetic, to be checked on paper.
    """

    check: str
    kind: str
    name: str
    panel: str | None
    state: str
    last: Last | None
    due: DueAt
    left: Left
    expected: Expected | None
    source: str
    owed: bool
    bars: Bars = NOTHING
    asked: str = ""
    grace: DueAt | None = None
    taken_after: str = ""
    lines: tuple[Line, ...]
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A reason on record not to fly; `kind` is one of STOPS."""

    kind: str
    text: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class NotToBeUsed:
    """What may not be used, in the words of `bars`, until `check` is done; `why` in a few words."""

    what: str
    check: str
    why: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Either:
    """What an item would be by the records as amended and as they were recorded, while no signature decides."""

    check: str
    amended: Item
    recorded: Item


@dataclass(frozen=True, slots=True, kw_only=True)
class DueAnswer:
    """Reasons on record not to fly, what may not be used, and every item in the order in which it comes.

    That there is no reason on record is no permission to fly.

    `by` and `flying` are those of a question about the future, else `by` is `on` and `flying` is 0. `meters` has the
    last reading of each meter, None where there is none; `totals` the totals that the states were judged by.
    `left_out` are the records and pages later than `on`. `seen` is the logbook without them. `no_passengers` is what
    bars passengers. `either` are the items of which an amendment that is not signed yet makes another date or total;
    the sooner of both stands in `items`. `emptied` has the last stay in each position from which the part was taken
    and into which none came, by its id. `trends` are the readings of every label, `oil` what was added between oil
    changes. `forward` is the day, later than `on`, on which the past was brought forward: of `on` only the paper knows.
    """

    on: dt.date
    by: dt.date
    flying: Decimal
    meters: Mapping[str, Point | None]
    totals: Mapping[str, Decimal]
    offsets: Mapping[str, Decimal]
    stops: tuple[Stop, ...]
    not_to_be_used: tuple[NotToBeUsed, ...] = ()
    items: tuple[Item, ...]
    left_out: tuple[Place, ...]
    problems: tuple[Problem, ...]
    seen: Logbook
    no_passengers: NoPassengers = phases.NONE
    either: tuple[Either, ...] = ()
    emptied: Mapping[str, Fitting] = field(default_factory=dict)
    trends: tuple[Series, ...] = ()
    oil: tuple[Oil, ...] = ()
    forward: dt.date | None = None

    def item(self, check: str) -> Item | None:
        """The item of that id, name or reference."""
        return next((item for item in self.items if item.check == check), None)

    @property
    def strict_no(self) -> bool:
        """Whether there is a reason not to fly, anything that may not be used, or anything past due."""
        return bool(self.stops or self.not_to_be_used) or any(item.state == PAST_DUE for item in self.items)
