"""The past of an aircraft brought forward: what its meters read, what was last done when, what was fitted."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal

from inspect_kit.model.kind import FITTED, LAST_DONE, READS_TOTALS, Key, Kind
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.reason import leads_nowhere
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


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

    @property
    def paper_is_none(self) -> bool:
        """Whether it names a paper, and words that lead to none: an inspection that has no paper but that is none."""
        return bool(self.paper) and leads_nowhere(self.paper)


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtForward(Record):
    """The first day of an aircraft that comes with a past. `fitted` are parts that were fitted by then."""

    reads: Mapping[str, ReadsTotal]
    last: Mapping[str, LastDone] = field(default_factory=dict)
    fitted: tuple[Installed, ...] = ()


def _summary(record: BroughtForward) -> str:
    return ""


KIND = Kind(
    name="brought-forward",
    noun=BroughtForward,
    title="brought forward",
    summary=_summary,
    keys=(
        # In the place of the readings that every other kind may have under this key.
        Key(name="meters", holds=READS_TOTALS, fills=("reads",), required=True),
        Key(name="last", holds=LAST_DONE),
        Key(name="fitted", holds=FITTED),
    ),
)
