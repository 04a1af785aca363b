"""The due list as a calendar file: an all-day event for each item that has a day, which moves when imported again.

Source: RFC 5545. Lines end in CR LF and are folded so that none has more than 75 octets of UTF-8 (3.1); text is
escaped (3.3.11); an all-day event has DTSTART as a DATE and DTEND on the day after, which is no part of it (3.6.1).
"""

import datetime as dt
import re
from collections.abc import Iterator

from inspect_kit.due import once_asked, once_reaching
from inspect_kit.due.answer import CHECK, INSPECTION, TREND, DueAnswer, Item
from inspect_kit.model.aircraft import Identity
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.report.inert import inert
from inspect_kit.report.naming import title
from inspect_kit.report.pages.due import WORDS, left_words, reading_words
from inspect_kit.rules.cautions import NO_PERMISSION

LONGEST_LINE = 75


def calendar_text(answer: DueAnswer) -> str:
    """A calendar of every item that has a day, on the day of its limit or of the forecast, whichever is first; what is
    past due, owed or to be fixed before flight stands on the day of the answer: nobody looks at days gone by.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//inspect_kit//due list//EN", "CALSCALE:GREGORIAN"]
    for item in answer.items:
        if (day := day_of(answer, item)) is not None:
            lines += _event(answer, item.check, day, _summary(answer, item), _told(answer, item))
    for reference, finding in answer.seen.standing().items():
        if finding.before_flight:
            summary = f"{answer.seen.aircraft.identity.registration}: to fix before flight: {finding.text}"
            lines += _event(answer, reference, answer.on, summary, f"{reference}\n{NO_PERMISSION}")
    for name, day, summary in _gone(answer):
        lines += _event(answer, name, day, summary, "", cancelled=True)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded}\r\n" for line in lines for folded in fold(line))


def day_of(answer: DueAnswer, item: Item) -> dt.date | None:
    """The day on which an item stands in a calendar; None where nothing says one."""
    days = [item.due.date, item.expected.likely if item.expected else None]
    if _is_now(item):
        days.append(answer.on)
    first = min((day for day in days if day is not None), default=None)
    return first and max(first, answer.on)


def _is_now(item: Item) -> bool:
    """Whether it is due already: past due, or owed."""
    return item.owed or any(left is not None and left < 0 for left in (item.left.days, item.left.amount))


def without_day(answer: DueAnswer) -> tuple[Item, ...]:
    """The items that no calendar can hold: nobody knows when they come."""
    return tuple(item for item in answer.items if day_of(answer, item) is None)


def uid(answer: DueAnswer, name: str) -> str:
    """The id of an event, for ever the same: make and serial number as the oldest record has them, and the oldest id
    (the first under `was`), of what is to be looked at again at a check that of the check.
    """
    identity = _first_identity(answer.seen)
    head, slash, rest = name.partition("/")
    thing = answer.seen.checks.get(head)
    oldest = thing.was[0] if thing is not None and thing.was else head
    words = (identity.make, identity.serial, f"{oldest}{slash}{rest}")
    return ".".join(_plain(word) for word in words) + "@inspect-kit"


def _first_identity(logbook: Logbook) -> Identity:
    """Which aircraft this was by its oldest record that says so: make and serial may be spelled otherwise since."""

    def first() -> Identity:
        own = (each.identity for each in logbook.records if isinstance(each, Inspection | Work))
        return next((each for each in own if each is not None), logbook.aircraft.identity)

    return logbook.once("first identity", first)


def _plain(word: str) -> str:
    """Letters, digits and hyphens as they are, anything else as the hexadecimal of its bytes."""
    return re.sub(r"[^A-Za-z0-9#-]", lambda found: "_" + found.group().encode().hex(), word)


def _event(
    answer: DueAnswer, name: str, day: dt.date, summary: str, told: str, *, cancelled: bool = False
) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{uid(answer, name)}"
    yield f"DTSTAMP:{answer.on:%Y%m%d}T000000Z"
    # What is written later counts for more when it is imported over what was written before (3.8.7.4).
    yield f"SEQUENCE:{max(0, (answer.on - answer.seen.aircraft.certificate_date).days)}"
    yield f"DTSTART;VALUE=DATE:{day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{day + dt.timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{escape(summary)}"
    if told:
        yield f"DESCRIPTION:{escape(told)}"
    yield f"STATUS:{'CANCELLED' if cancelled else 'CONFIRMED'}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _summary(answer: DueAnswer, item: Item) -> str:
    name = f"{item.check} inspection" if item.kind == INSPECTION else item.name
    name = title(name) or item.check if item.kind == CHECK else name
    forecast = " (forecast)" if day_of(answer, item) != item.due.date and not _is_now(item) else ""
    return f"{answer.seen.aircraft.identity.registration}: {name}{forecast}"


def _told(answer: DueAnswer, item: Item) -> str:
    told = [f"{WORDS[item.state]} on {answer.on}: {left_words(item)}", item.check]
    told += [item.name] if item.kind == CHECK and item.name != title(item.name) else []
    told += [words for words in (reading_words(item),) if words]
    if item.expected is not None and item.expected.early != item.expected.late:
        # What a slope leads to has the interval of the slope, not that of the use.
        told.append(f"{'early to late, ' if item.kind == TREND else 'in 8 of 10 cases from '}{item.expected.span}")
    return "\n".join((*told, NO_PERMISSION))


def _gone(answer: DueAnswer) -> Iterator[tuple[str, dt.date, str]]:
    """What a calendar of an earlier day may hold and is to take out: retired checks, findings that were corrected, what
    was looked at again, and readings that go to their limit no more."""
    registration = answer.seen.aircraft.identity.registration
    for check in answer.seen.checks.values():
        if check.retired is not None and answer.item(check.id) is None:
            yield check.id, check.retired.date, f"{registration}: {check.text}"
    standing = answer.seen.standing()
    for reference, finding in answer.seen.findings().items():
        if reference not in standing and (finding.may_wait or finding.stands):
            record = answer.seen.record(reference.rpartition("#")[0])
            yield reference, record.date if record else answer.on, f"{registration}: {finding.text}"
    for name, words in {**once_asked(answer.seen), **once_reaching(answer.seen)}.items():
        if answer.item(name) is None:
            yield name, answer.on, f"{registration}: {words}"


def escape(text: str) -> str:
    """Text as a value: backslash, semicolon, comma and line feed escaped, control characters made visible."""
    lines = [inert(line) for line in text.splitlines()]
    escaped = (line.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,") for line in lines)
    return "\\n".join(escaped)


def fold(line: str) -> Iterator[str]:
    """A line in pieces of at most 75 octets, never cut inside a character; each but the first begins with a space."""
    piece, size = "", 0
    for character in line:
        octets = len(character.encode())
        if size + octets > LONGEST_LINE:
            yield piece
            piece, size = " ", 1
        piece, size = piece + character, size + octets
    yield piece
