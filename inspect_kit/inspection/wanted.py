"""The readings that a box wants, each beside its limit, the value of last time, and that of the run before."""

import datetime as dt
from collections.abc import Mapping

from inspect_kit.inspection.walk import check_of_box
from inspect_kit.model.finding import Reading
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import limit_words
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.noun import dataclass

LastTime = tuple[dt.date, Reading]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One reading: what is written already ("" if nothing), its limit, the last time it was recorded, the run before.

    `limit` is the bound in words: off a table what it gives at the value that is written, or all its rows.
    `before` is the value that another box of the same panel, further up on this page, has under the same label: of the
    engine run before the inspection when the run after it is read.
    """

    label: str
    measure: str
    limit: str = ""
    written: str = ""
    last: LastTime | None = None
    before: str = ""


def last_times(logbook: Logbook, page: Worksheet) -> Mapping[tuple[str, str], LastTime]:
    """The latest recorded reading by today's id of its check and its label; what this very page left is not counted."""
    found: dict[tuple[str, str], LastTime] = {}
    for record in logbook.of_kind(PageRecord):
        if record.sheet != page.name:
            found |= {(logbook.id_now(each.check), each.label): (record.date, each) for each in record.readings}
    return found


def wanted(logbook: Logbook, page: Worksheet, at: int, last: Mapping[tuple[str, str], LastTime]) -> tuple[Wanted, ...]:
    """The readings of a box in the order in which they are asked; `last` are the `last_times` of the page."""
    entry = page.entries[at]
    check = check_of_box(logbook, entry)
    written = {reading.label: reading.bare for reading in entry.readings}
    values = {reading.label: value for reading in entry.readings if (value := reading.number) is not None}
    if check is None:
        return ()
    return tuple(
        Wanted(
            label=label,
            measure=reads.measure,
            limit=limit_words(reads.bound, values, logbook.aircraft),
            written=written.get(label, ""),
            last=last.get((check.id, label)),
            before=_before(logbook, page, at, label, reads.measure),
        )
        for reads in check.reads
        for label in reads.labels
    )


def _before(logbook: Logbook, page: Worksheet, at: int, label: str, measure: str) -> str:
    """The value of the same label in an earlier box of the same panel that has a check of its own; the nearest."""
    panel = logbook.panel_in(page.entries[at])
    for entry in reversed(page.entries[:at]):
        check = check_of_box(logbook, entry)
        if check is None or panel is None or check.panel != panel.id or not entry.ticked or entry.answer:
            continue
        if any(label in reads.labels and reads.measure == measure for reads in check.reads):
            return next((reading.bare for reading in entry.readings if reading.label == label), "")
    return ""
