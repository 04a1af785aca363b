"""A clock that was first read after another had run: where the total that it began with belongs, and in which words."""

import datetime as dt

from inspect_kit.errors import Place
from inspect_kit.model.followed import seals_known
from inspect_kit.model.interval import HOURS
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import MeterHistory
from inspect_kit.model.page_record import PageRecord
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalMissing:
    """A total that nobody wrote down: the line to write, and the record where it belongs; `past` is one on file."""

    line: str
    past: BroughtForward | None
    place: Place
    day: str

    @property
    def where(self) -> str:
        if self.past is not None:
            return f"under `meters` of {self.past.place.file}"
        return f"under `meters` of a record `kind: brought-forward` of {self.day}"


def total_missing(logbook: Logbook, history: MeterHistory) -> TotalMissing:
    """Where the total of a clock belongs that began late: with the past, if that was brought forward then or later."""
    first, old = history.points[0], history.before
    past = next((each for each in logbook.of_kind(BroughtForward) if each.date >= first.date), None)
    reads, total = f"{first.reads:f}", None if old is None else old.read_beside(first)
    if past is not None and past.date > first.date:
        point = old.at_record.get(past.name) if old is not None else None
        reads, total = "READING", None if point is None else point.total
    line = f"{history.meter}: {{reads: {reads}, total: {'TOTAL' if total is None else f'{total:f}'}}}"
    place = first.place if past is None else place_of(past, "meters")
    return TotalMissing(line=line, past=past, place=place, day=str(first.date))


def past_of(logbook: Logbook) -> BroughtForward | None:
    """The record by which the past came before which nothing is known but what it says; None where records tell all.

    One that only tells what a clock had that came later is none.
    """
    starts = logbook.of_kind(BroughtForward)
    return logbook.once("the past", lambda: next((each for each in starts if not _tells_a_clock(logbook, each)), None))


def before_records(logbook: Logbook, day: dt.date) -> bool:
    """Whether nothing is known of a day but what a record says that brought the past forward later.

    Where somebody had read a meter for the records by then, or sealed a page, they had begun: what is brought forward
    afterwards, of one more check or part, takes nothing of theirs back. An old reading that came to the records only
    after it is of the time before them.
    """
    past = past_of(logbook)
    if past is None or day >= past.date:
        return False
    begun = logbook.once("the first day kept", lambda: _first_kept(logbook, past))
    return begun is None or day < begun


def _first_kept(logbook: Logbook, past: BroughtForward) -> dt.date | None:
    """The first day of a record that nobody writes of old paper: a reading that was there when the past was brought
    forward, or where nothing says that it was not; a sealed page.
    """
    pages = (each.date for each in logbook.of_kind(PageRecord) if each.seal is not None)
    old = (each for each in logbook.of_kind(Hours) if each.date < past.date)
    return min((*(each.date for each in old if not _is_later(logbook, each, past)), *pages), default=None)


def _is_later(logbook: Logbook, record: Hours, past: BroughtForward) -> bool:
    """Whether a record was surely written after the past was brought forward: on a later day, or knowing more seals."""
    if record.entered is not None and past.entered is not None and record.entered != past.entered:
        return record.entered > past.entered
    return bool(record.after) and seals_known(logbook, past) < seals_known(logbook, record)


def _tells_a_clock(logbook: Logbook, start: BroughtForward) -> bool:
    """Whether a total is brought forward, and nothing else, of a day before which another clock was written down."""
    if start.last or start.fitted:
        return False
    clocks = (name for name, each in logbook.aircraft.meters.items() if each.unit == HOURS and name not in start.reads)
    points = (point for name in clocks for point in logbook.meter_history(name).points if point.date < start.date)
    return any(not isinstance(logbook.record(point.record), PaperEntry) for point in points)


def not_beside(logbook: Logbook, history: MeterHistory, meters: tuple[str, ...]) -> str:
    """Which of these, read by an older record, was not read when the total of a clock was brought forward: with that
    what it had by then would be known; "" where none is.
    """
    if not history.starts or history.before is None or history.shift is not None:
        return ""
    first = history.points[0]
    hours = [name for name in meters if name in logbook.aircraft.meters and logbook.aircraft.meters[name].unit == HOURS]
    return next((name for name in hours if logbook.meter_history(name).read_beside(first) is None), "")
