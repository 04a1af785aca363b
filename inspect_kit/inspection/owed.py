"""What the boxes of a page make owed, and which of it the page itself has not answered yet."""

from inspect_kit.model.checklist import Check
from inspect_kit.model.finding import DONE
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import Cause, OwedOnPage, at_once, done_in_order, owed_on_page
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.worksheet import Entry, Worksheet


def page_owes(logbook: Logbook, page: Worksheet) -> tuple[OwedOnPage, ...]:
    """Every check that the ticked boxes of a page make owed, at once or later, in the order of the checklists."""
    return tuple(owed_on_page(page, logbook.checks, logbook.panels, logbook.id_now, done_in_order))


def left_owed(logbook: Logbook, page: Worksheet) -> tuple[OwedOnPage, ...]:
    """What is owed at once and not done below what made it so; what comes later answers nothing on this page."""
    return tuple(owed for owed in page_owes(logbook, page) if owed.box is None and not owed.check.first)


def box_below(logbook: Logbook, page: Worksheet, owed: OwedOnPage) -> Entry | None:
    """The last box of an owed check that stands below what made it owed, whatever was answered there."""
    last = page.entries.index(owed.after)
    own = [entry for entry in page.entries[last + 1 :] if entry.is_check and logbook.id_now(entry.id) == owed.check.id]
    return own[-1] if own else None


def without_box(logbook: Logbook, page: Worksheet) -> tuple[OwedOnPage, ...]:
    """What is owed at once, can be done here, and has no box below what made it owed."""
    left = left_owed(logbook, page)
    return tuple(owed for owed in left if at_once(owed.check) and box_below(logbook, page, owed) is None)


def not_answered(logbook: Logbook, page: Worksheet) -> dict[str, tuple[Cause, ...]]:
    """All that a page leaves owed, now or some hours later, by check with what it is owed after.

    What an entry did meanwhile, at the reading with which the page ends or a higher one, is owed no more.
    """
    return {
        owed.check.id: (owed.cause,)
        for owed in page_owes(logbook, page)
        if owed.check.first or (owed.box is None and not _done_since(logbook, page, owed.check))
    }


def _done_since(logbook: Logbook, page: Worksheet, check: Check) -> bool:
    clock = logbook.aircraft.time_in_service
    ends, history = page.meters.get(clock), logbook.meter_history(clock)
    for record in logbook.of_kind(PageRecord):
        total = history.at(record).total if clock in record.meters else None
        if record.sheet == page.name or record.date < page.begun or total is None or ends is None:
            continue
        answers = {logbook.id_now(each.check): each.answer for each in record.results}
        did = check.id in map(logbook.id_now, record.did) or answers.get(check.id) == DONE
        if did and answers.get(check.id, DONE) == DONE and total >= ends + history.offset:
            return True
    return False
