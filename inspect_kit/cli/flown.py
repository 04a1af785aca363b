"""What is said, on the terminal alone, of hours flown while there was a reason on record not to fly.

A fact is a fact: the hours are written down, and nothing of this stands in the record.
"""

from collections.abc import Iterator
from dataclasses import replace

from inspect_kit.cli.said import PRESSES, say
from inspect_kit.due import due as due_of
from inspect_kit.due import totals_before
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.late_clock import past_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import meter_history
from inspect_kit.model.record import Record


def comment_on_flight(before: Logbook, entry: Record) -> None:
    """Say which reasons not to fly were on record on the day of an entry that shows more hours than before."""
    for line in flight_comment(before, entry):
        say(line, err=True)


def flight_comment(before: Logbook, entry: Record) -> Iterator[str]:
    """The lines of that comment; none where nothing was flown or there was no reason."""
    clock = before.aircraft.time_in_service
    # Of the days before the records begin only what was brought forward is known: that is no ground to speak of.
    past = past_of(before)
    if clock not in entry.meters or (past is not None and entry.date < past.date):
        return
    totals, offsets = totals_before(before, entry.date)
    total = entry.meters[clock] + offsets[clock]
    if any(each.meter == clock and each.date == entry.date for each in before.of_kind(MeterChange)):
        # Of that day it may be the old meter's: 420 h on it were told as 420 h flown.
        point = meter_history(clock, (*before.records, entry)).at_record.get(entry.name)
        total = point.total if point is not None else total
    flown = total - totals.get(clock, total)
    if flown <= 0:
        return
    then = [stop.text for stop in due_of(before, entry.date, expect=False).stops]
    # Held against the store as it was: what the entry took out, found or made owed came when the flying was over, and
    # what it did was not done before.
    landed = Hours(name=entry.name, date=entry.date, entered=entry.entered, meters=entry.meters, place=entry.place)
    with_hours = replace(before, records=tuple(sorted((*before.records, landed), key=lambda each: each.date)))
    reached = [stop.text for stop in due_of(with_hours, entry.date, expect=False).stops if stop.text not in then]
    if not then and not reached:
        return
    yield f"{flown} h more on {clock} are written down. Reasons on record not to fly on {entry.date}:"
    yield from (f"{PRESSES} {text}" for text in then)
    yield from (f"{PRESSES} {text}, reached by these hours" for text in reached)
    yield "This is said here only, not in the record."
    if isinstance(entry, Hours) and entry.permit:
        yield f"The permit is written down with the hours: {entry.permit}"
    else:
        line = f"inspect-kit --on {entry.date} hours {clock}={entry.meters[clock]:f} --permit WORDS"
        yield f"If a special flight permit covered the flight, write it down with the hours: {line}"
