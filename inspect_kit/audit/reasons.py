"""Reasons that are none (`n/a`, `-`), wherever something is let pass for a reason: hand-written, no command takes them.

A finding that waits for such a reason bars flight like one that has no limit (`Finding.before_flight`).
"""

from collections.abc import Iterable, Iterator, Mapping

from inspect_kit.audit.known import Known
from inspect_kit.errors import Place, Problem
from inspect_kit.model.finding import DONE, NOT_APPLICABLE, NOT_DONE, Cleared, Finding
from inspect_kit.model.kind import REASON, SOMETHING_OR_NONE, ChosenWord, Key
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.kinds.phase import Phase
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.lines import place_of
from inspect_kit.model.page_record import PageRecord, says_undone_of
from inspect_kit.model.reason import (
    is_left_open,
    is_no_number,
    is_no_reason,
    is_no_reason_why_not,
    may_not_wait,
    names_nobody,
    says_needed,
    says_nothing,
    says_unlooked,
)
from inspect_kit.model.record import NOT_NEEDED, Record

FINDING = "may wait because"


def empty_reasons(names: Known) -> Iterator[Problem]:
    """Of aircraft.yaml and of every record, as it was written."""
    aircraft = names.aircraft
    for code, reason in aircraft.not_applicable.items():
        place = place_of(aircraft, "not-applicable", code)
        if is_no_reason_why_not(reason):
            yield _none(place, f"not-applicable.{code}", reason)
        elif says_unlooked(reason):
            # Words that stood there for years: no list of words is sure of them.
            told = f"not-applicable.{code}: does `{reason[:40]}` say why it is not on the aircraft?"
            yield Problem(place, told, note=True)
    for record in map(names.logbook.as_written, names.logbook.records):
        yield from _of(record)
    for each in names.logbook.withdrawn:
        if is_no_reason(each.reason):
            yield _none(each.place, "withdrawn", each.reason)


def _of(record: Record) -> Iterator[Problem]:
    check = record.flight_check
    if check is not None and check.word == NOT_NEEDED and says_needed(check.words):
        yield _none(check.place, "flight-check: not needed", check.words)
    if isinstance(record, Installed | Removed) and record.no_change and is_no_reason(record.no_change):
        yield _none(place_of(record, "no change"), "no change", record.no_change)
    if check is not None and check.failed:
        yield Problem(check.place, f"flight-check: `{check.words[:40]}` says nothing of how it went")
    if isinstance(record, MeterChange) and record.how_known and is_no_reason(record.how_known):
        yield _none(place_of(record, "unrecorded"), "unrecorded.how-known", record.how_known)
    yield from _told(record)
    yield from _nobody(record)
    if isinstance(record, Amendment) and is_no_reason(record.text):
        yield _none(place_of(record, "text"), "text", record.text)
    if isinstance(record, FindingRecord):
        yield from _finding(record.finding, place_of(record, FINDING))
    for finding in record.findings if isinstance(record, PageRecord) else ():
        yield from _finding(finding, finding.place)
    for result in record.results if isinstance(record, PageRecord) else ():
        if result.answer == DONE and result.reason:
            told = f"`{result.reason[:40]}` stands beside `done`, which needs none: `not done`, or a note under `notes`"
            yield Problem(result.place, f"results.{result.check}.reason: {told}")
        if result.answer in (NOT_APPLICABLE, NOT_DONE) and result.reason and is_no_reason_why_not(result.reason):
            yield _none(result.place, f"results.{result.check}.reason", result.reason)
    if isinstance(record, PageRecord):
        for reference, cleared in record.cleared.items():
            yield from _how(cleared, place_of(record, "clears", reference), "clears")
        for reference in record.clears:
            if reference not in record.cleared and says_undone_of(record, reference):
                yield _undone(record.text, place_of(record, "clears", reference), "clears")


def _nobody(record: Record) -> Iterator[Problem]:
    """Who did, signed or flew it, under no name or number at all (`-`); a paper logbook names people as it likes."""
    people = [] if isinstance(record, PaperEntry) or record.by is None else [("by", record.by)]
    flown = record.flight_check
    people += [("flight-check: pilot", flown.pilot)] if flown is not None and flown.pilot is not None else []
    for key, person in people:
        place = person.place or record.place
        if names_nobody(person.name):
            yield Problem(place, f"{key}: `{person.name[:40]}` names nobody: write the name of the person")
        # Whoever passes an inspection, closes a phase or flies a check states it by the number; of others a builder may
        # have none yet.
        closes = isinstance(record, Phase) and bool(record.closes)
        states = person is not record.by or closes or (isinstance(record, Inspection) and record.passed)
        none = is_no_number if states else is_left_open
        if person.certificate and none(person.certificate):
            yield Problem(place, f"{key}: `{person.certificate[:40]}` is the number of no certificate")


def _told(record: Record) -> Iterator[Problem]:
    """What the keys of a kind are to say, by its table."""
    kind = kind_of(record)
    for key in kind.keys if kind is not None else ():
        value = getattr(record, key.attribute)
        if not value or not (key.says or isinstance(value, ChosenWord)):
            continue
        place = place_of(record, key.name)
        if isinstance(value, ChosenWord) and value.reason and is_no_reason(value.reason):
            yield _none(place, f"{key.name}: {value.word}", value.reason)
        for words in _words(value) if key.says else ():
            if fault := nothing_told(key, words):
                yield Problem(place, f"{key.name}: {fault}")


def nothing_told(key: Key, words: str) -> str:
    """Why words do not say what a key of a kind is to say; "" where they do."""
    nothing = {SOMETHING_OR_NONE: is_no_reason_why_not, REASON: is_no_reason}.get(key.says, says_nothing)
    if not key.says or not nothing(words):
        return ""
    if key.says == REASON:
        return _no_reason(words)
    # What need not be there is left out; `none` is an answer elsewhere.
    how = "" if key.required else ": leave it out until there is something to say"
    return f"`{words[:40]}` says nothing of it{how}"


def _words(value: object) -> Iterable[str]:
    """The text, the list of texts or the texts by name under a key; an empty one is as if it were not there."""
    if isinstance(value, str):
        return (value,) if value else ()
    return tuple(value.values()) if isinstance(value, Mapping) else value if isinstance(value, tuple) else ()


def _finding(finding: Finding, place: Place) -> Iterator[Problem]:
    if finding.may_wait and may_not_wait(finding.may_wait):
        yield _none(place, FINDING, finding.may_wait)
    if finding.cleared is not None:
        yield from _how(finding.cleared, finding.place, "cleared")


def _how(cleared: Cleared, place: Place, key: str) -> Iterator[Problem]:
    if is_no_reason(cleared.text):
        yield Problem(place, f"{key}: `{cleared.text[:40]}` says nothing of what was done")
    elif cleared.undone:
        yield _undone(cleared.text, place, key)


def _undone(words: str, place: Place, key: str) -> Problem:
    return Problem(
        place, f"{key}: `{words[:40]}` does not say that it was corrected: leave it open, or say what was done"
    )


def _none(place: Place, key: str, words: str) -> Problem:
    return Problem(place, f"{key}: {_no_reason(words)}")


def _no_reason(words: str) -> str:
    return f"`{words[:40]}` is no reason: say why, in words"
