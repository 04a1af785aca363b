"""What is asked before an entry is written: what was not given, and readings or limits that may be a slip."""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal

from inspect_kit.cli.said import (
    BACK,
    asked,
    confirmed,
    forget_answer,
    go_back,
    read_anew,
    say,
    somebody,
    was_asked_more,
)
from inspect_kit.due import either_meter, unusual_readings, unusual_totals
from inspect_kit.errors import Misused
from inspect_kit.model.finding import Fix
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.reason import is_no_reason
from inspect_kit.past import parse_said_number

# Who says no to a doubt loses no other answer by it.
ONE_BEFORE = f"the question before comes again, {BACK} goes back further, Enter keeps what stands there"


class NotSure(Exception):
    """Questions about an entry that want a yes, each with the meter whose reading it doubts ("" for anything else);
    nothing was written.
    """

    def __init__(self, questions: Mapping[str, str]) -> None:
        super().__init__(*questions)
        self.questions = questions


def sure_of(
    logbook: Logbook, date: dt.date, meters: Mapping[str, Decimal], sure: bool, slips: Iterable[str] = ()
) -> None:
    """NotSure if a meter reads what is unusual, or a reading has what speaks for a slip, and nobody said yes."""
    found = unusual_meters(logbook, date, meters) | dict(either_meter(logbook, date, meters))
    found |= {f"{slip} Is it right?": "" for slip in slips if slip}
    if found and not sure:
        raise NotSure(found)


def unusual_meters(logbook: Logbook, date: dt.date, meters: Mapping[str, Decimal]) -> dict[str, str]:
    """The question about each reading of a day that is unusual, and its meter."""
    return {each: meter for meter, reads in meters.items() for each in unusual_readings(logbook, date, {meter: reads})}


def leaps(before: Logbook, after: Logbook, change: MeterChange) -> Iterator[str]:
    """What speaks for a slip in what a changed meter reads, or in its day: the new one begins above the old one, or
    readings leap by it, in the logbook `after` it was written down or put right.
    """
    if change.new > change.old:
        yield f"The new {change.meter} begins at {change.new}, above the {change.old} of the old one."
    since = min(each.date for each in (change, before.record(change.name)) if each is not None)
    later = {record.name for record in after.records if record.date >= since} - {change.name}
    known = {problem.place for problem in unusual_totals(before, later)}
    for problem in unusual_totals(after, later):
        if problem.place not in known:
            yield f"By that {problem.message} ({problem.place})."


def asking(write: Callable[[bool], str], sure: bool) -> str:
    """What `write` gives; it is told whether the readings are sure, and asked again once a person said yes.

    The question is put while nobody is kept from writing.
    """
    try:
        return write(sure)
    except NotSure as unsure:
        for question, meter in unsure.questions.items():
            if not confirmed(question):
                raise not_so("nothing was written; --yes takes it as it is", meter) from None
        return write(True)


def not_so(told: str, meter: str = "") -> Misused:
    """The refusal of what was doubted and is not so.

    With somebody at the keys what the meter reads is asked anew, or it goes back to the question before.
    """
    if somebody() and meter:
        read_anew(meter, parse_said_number)
    if somebody() and was_asked_more():
        say(f"  not written; {ONE_BEFORE}; what the line of the command says wants that typed anew", err=True)
        go_back()
    return Misused(told)


def given_or_asked(given: str, question: str, option: str) -> str:
    """What was given, else what is answered to a question; Misused where there is nobody to ask."""
    if given.strip():
        return given.strip()
    while (said := asked(question, default="", err=True)) is not None:
        if said.strip() == BACK:
            go_back()
        elif said.strip():
            return said.strip()
        else:
            forget_answer()
            say("  this must be answered", err=True)
    raise Misused(f"nobody answers, so give it with {option}: {question}")


def reason_given(given: str, question: str) -> str:
    """Why an entry is corrected or taken back, in words that say something."""
    said = given_or_asked(given, question, "--reason")
    if is_no_reason(said):
        raise Misused(f"--reason: `{said[:40]}` says nothing: write it in words")
    return said


def meant_as_total(logbook: Logbook, limit: Fix) -> Iterator[str]:
    """A question where hours that were given as a total are sooner reached if somebody meant what the meter reads."""
    sooner = total_as_read(logbook, limit)
    if sooner is not None and limit.by_total is not None and sooner < limit.by_total:
        meter = limit.meter or logbook.aircraft.time_in_service
        reads = logbook.meter_history(meter).reading_for(limit.by_total)
        told = f"{limit.by_total:f} h is a total, at which {meter} will read {reads:f}"
        yield f"{told}; that {meter} reads {limit.by_total:f} is `by {sooner:f} h`."


def total_as_read(logbook: Logbook, limit: Fix) -> Decimal | None:
    """The total at which the meter reads what a limit has; None where it has passed that, or was never read."""
    history = logbook.meter_history(limit.meter or logbook.aircraft.time_in_service)
    if limit.by_total is None or not history.points:
        return None
    total = limit.by_total + history.offset
    return total if total >= history.points[-1].total else None
