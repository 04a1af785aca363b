"""Walking a page at the aircraft: which box comes next, what it asks, and which may be answered together."""

import datetime as dt
from collections.abc import Collection, Mapping
from decimal import Decimal
from itertools import chain

from inspect_kit.inspection.boxes import box_at
from inspect_kit.model.checklist import OTHERS, Check
from inspect_kit.model.finding import Finding, Fix
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import OPENING, Entry, Worksheet
from inspect_kit.noun import dataclass

USED, GOOD_UNTIL, PAPER, SECOND_LOOK = "used", "good until", "paper", "second look by"


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """Something a box still asks to be written: a reading by its label, or one of the four keys above."""

    key: str
    measure: str = ""
    is_reading: bool = False


def blanks(entry: Entry, check: Check | None) -> tuple[Blank, ...]:
    """What is still to be written under a box, in the order in which it is asked."""
    if entry.answer:
        return ()
    found = []
    written = {reading.label for reading in entry.readings if reading.value}
    for reads in check.reads if check else ():
        for label in reads.labels:
            if label not in written:
                found.append(Blank(key=label, measure=reads.measure, is_reading=True))
    if ((check and check.marked) or entry.good_until is not None) and not entry.good_until:
        found.append(Blank(key=GOOD_UNTIL))
    if ((check and check.who == OTHERS) or entry.paper is not None) and not entry.paper:
        found.append(Blank(key=PAPER))
    if ((check and check.uses) or entry.used is not None) and not entry.used:
        found.append(Blank(key=USED))
    if ((check and check.second_look) or entry.second_look is not None) and not entry.second_look:
        found.append(Blank(key=SECOND_LOOK))
    return tuple(found)


def is_settled(entry: Entry, check: Check | None) -> bool:
    """Whether a box needs no more of the person: answered, and nothing left blank."""
    return entry.answered and not blanks(entry, check)


def asked_alone(entry: Entry, check: Check | None) -> bool:
    """Whether a box is always asked one by one.

    Panels, setups and findings from before; checks with readings, a second look, parts used, a date or a paper; with a
    caution; done alone, as engine runs are; by others; and any under which a finding is open.
    """
    if not entry.is_check or check is None:
        return True
    wants = (check.reads, check.second_look, check.uses, check.marked, check.cautions, check.alone, check.who == OTHERS)
    # What is written already, by a pen or an editor, is looked at like what is still blank.
    asked = (entry.good_until, entry.paper, entry.used, entry.second_look)
    open_finding = any(finding.stands for finding in entry.findings)
    return any(wants) or bool(entry.readings) or any(each is not None for each in asked) or open_finding


def next_box(logbook: Logbook, page: Worksheet, later: Collection[object] = (), start: int = 0) -> int | None:
    """The first box that is not settled and was not left for later, from `start` on and then from the top.

    A finding from before stands at the top of the page, to be read first, and is asked where it can be looked at: after
    the box of its check, else after its panel came off; last where the page has neither.
    """
    settled = [is_settled(entry, check_of_box(logbook, entry)) for entry in page.entries]
    waiting = [at for at in range(len(page.entries)) if not settled[at] and box_at(page, at) not in later]
    standing = [at for at in waiting if page.entries[at].is_standing]
    seen = (at for at in standing if (where := _looked_at(logbook, page, at)) is not None and settled[where])
    rest = [at for at in waiting if not page.entries[at].is_standing]
    later_on = chain((at for at in rest if at >= start), rest)
    return next(chain(seen, later_on, standing), None)


def _looked_at(logbook: Logbook, page: Worksheet, at: int) -> int | None:
    """The box after which a finding from before can be looked at: that of its check, else the way off of its panel."""
    finding = logbook.findings().get(page.entries[at].id)
    panel = logbook.panel_in(page.entries[at])
    check = logbook.id_now(finding.check) if finding is not None and finding.check else None
    boxes = range(len(page.entries))
    by_check = (i for i in boxes if page.entries[i].is_check and logbook.id_now(page.entries[i].id) == check)
    by_panel = (
        i
        for i in boxes
        if panel is not None
        and page.entries[i].verb in OPENING
        and logbook.id_now(page.entries[i].id) == panel.id
    )
    return next(chain(by_check if check else (), by_panel), None)


def together(logbook: Logbook, page: Worksheet, box: int) -> tuple[int, ...]:
    """The boxes from `box` on that one answer may tick together: the simple checks of one stretch at one panel.

    What is asked alone is left out, and so is every check that comes after one that is left out.
    """
    first = check_of_box(logbook, page.entries[box])
    found: list[int] = []
    left: set[str] = set()
    for at in range(box, len(page.entries)):
        entry = page.entries[at]
        check = check_of_box(logbook, entry)
        if first is None or check is None or check.panel != first.panel:
            break
        if entry.answered:
            continue
        tied = {*check.after, *(lag.check for lag in (check.wait, check.within) if lag)}
        if asked_alone(entry, check) or tied & left:
            left.add(check.id)
        else:
            found.append(at)
    return tuple(found) if box in found else ()


def open_findings(page: Worksheet) -> tuple[tuple[int, Finding], ...]:
    """The findings raised on this page that are to be fixed before flight and are not cleared, each with its box."""
    return tuple(
        (at, finding) for at, entry in enumerate(page.entries) for finding in entry.findings if finding.before_flight
    )


def waits_as_it_is(finding: Finding, job: str, on: dt.date, totals: Mapping[str, Decimal], service: str) -> bool:
    """Whether a finding from before may wait as it stands: its limit is neither this inspection nor passed.

    `totals` are meter totals by name on the day, `service` the meter that counts where the limit names none.
    """
    fix = finding.fix
    return not finding.before_flight and fix.at_inspection != job and not passed(fix, on, totals, service)


def passed(fix: Fix, on: dt.date, totals: Mapping[str, Decimal], service: str) -> str:
    """Why a limit lies before this day, `2026-11-01 is past`; "" where it is still to come or nothing tells."""
    if fix.by_date is not None and fix.by_date < on:
        return f"{fix.by_date} is past"
    meter = fix.meter or service
    total = totals.get(meter)
    if fix.by_total is not None and total is not None and fix.by_total < total:
        return f"{fix.by_total} h is past: the total of {meter} is {total} h"
    return ""


def check_of_box(logbook: Logbook, entry: Entry) -> Check | None:
    """The check of a box; None for a panel, a standing finding, or a check that the checklists no longer hold."""
    return logbook.check_in(entry)


def progress(logbook: Logbook, page: Worksheet) -> tuple[int, int]:
    """How many boxes are settled, and how many there are."""
    settled = sum(is_settled(entry, check_of_box(logbook, entry)) for entry in page.entries)
    return settled, len(page.entries)
