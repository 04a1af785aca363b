"""An entry that was taken back: what it said, and why, when and by whom it was withdrawn. It counts for nothing."""

import datetime as dt

from inspect_kit.errors import Place
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawn:
    """A record that was withdrawn, and what was said when that was done."""

    record: Record
    date: dt.date
    reason: str
    by: str
    place: Place

    def __str__(self) -> str:
        """`withdrawn 2026-06-02 by Sample Builder: entered twice`."""
        return f"withdrawn {self.date} by {self.by}: {self.reason}"
