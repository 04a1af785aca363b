"""What is owed only because a record by hand does not say whether a panel came off, as notes with the line to write."""

from collections.abc import Iterable, Iterator

from inspect_kit.due.check_history import CheckHistory
from inspect_kit.due.chronicle import Chronicle, chronicle
from inspect_kit.due.fitting import all_fittings
from inspect_kit.due.moments import Moment
from inspect_kit.due.owed import Happened, still_owing, triggers
from inspect_kit.due.phases import no_passengers
from inspect_kit.due.sequences import open_entries
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import DISTURBED
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.opened import panels_opened, unsaid_of_clearings
from inspect_kit.model.page_record import NONE_OPENED, PageRecord
from inspect_kit.model.record import Record


def opened_unsaid(logbook: Logbook) -> tuple[Problem, ...]:
    """A note for each record by whose silence something is owed, or due sooner, until it says which panels came off;
    and for each that clears a finding behind a panel and is silent of it: nothing counts by that.
    """
    book = chronicle(logbook)
    return (*_taken_as_off(book, logbook), *_of_clearings(book, logbook))


def _taken_as_off(book: Chronicle, logbook: Logbook) -> tuple[Problem, ...]:
    disturbed = [(what, each) for what, found in book.disturbed.items() for each in found]
    unsaid = [(what, each) for what, each in disturbed if _asks(each.unsaid, each.moment)]
    if not unsaid:
        return ()
    told = [*_owed(book, {what for what, _ in unsaid})]
    flown = {each.record.name for each in no_passengers(book).unflown}
    asked = [each for what, each in unsaid if what in logbook.flight_check_after]
    told += [(each.moment.record, each.by, "a flight check") for each in asked if each.moment.record in flown]
    return tuple(_note(logbook, name, told) for name in sorted({record for record, _, _ in told}))


def _of_clearings(book: Chronicle, logbook: Logbook) -> Iterator[Problem]:
    """What would be owed if the panel before a finding came off to clear it, and was not done since."""
    for record in logbook.of_kind(Work):
        for panel, reference in unsaid_of_clearings(record, logbook).items():
            disturbs = {*map(logbook.id_now, logbook.panels[panel].disturbs)}
            owed = [
                f"`{check.id}`"
                for check in logbook.checks.values()
                if check.retired is None
                and any(each.verb == DISTURBED and logbook.id_now(each.what) in disturbs for each in check.owed_after)
                and not any(done.date is not None and done.date >= record.date for done in book.done.get(check.id, ()))
            ]
            if owed:
                told = f"clears: nothing says whether `{panel}` came off for {reference}, which would make "
                told += f"{', '.join(owed)} owed: `opened: [{', '.join((*panels_opened(record), panel))}]` here says "
                told += f"that it was so, `opened: {_stayed(record)}` that it stayed on"
                yield Problem(place_of(record, "clears"), told, note=True)


def _asks(unsaid: bool, moment: Moment) -> bool:
    """Whether it is taken so, and not of paper, of which nothing is owed."""
    return unsaid and not moment.brought


def _owed(book: Chronicle, disturbed: set[str]) -> Iterator[tuple[str, str, str]]:
    """The record, the panel that it is silent of, and the check that this makes owed."""
    logbook, fittings = book.logbook, all_fittings(book)
    for check in logbook.checks.values():
        if check.retired is None and any(logbook.id_now(each.what) in disturbed for each in check.owed_after):
            for each in _open(CheckHistory(check, book, fittings)):
                if _asks(each.unsaid, each.moment):
                    yield each.moment.record, each.by, f"`{check.id}`"


def _open(history: CheckHistory) -> Iterator[Happened]:
    yield from still_owing(history)
    if history.check.first:
        yield from (each for each in triggers(history) if open_entries(history, each.moment))


def _note(logbook: Logbook, name: str, told: Iterable[tuple[str, str, str]]) -> Problem:
    record = logbook.record(name)
    assert record is not None
    own = [(panel, what) for each, panel, what in told if each == name]
    panels, owed = (list(dict.fromkeys(each)) for each in zip(*own, strict=True))
    named = panels_opened(record) if isinstance(record, PageRecord) else ()
    words = (
        f"opened: nothing says whether {', '.join(f'`{each}`' for each in panels)} came off for this, and that makes "
        f"{', '.join(owed)} owed: taken as off. `opened: [{', '.join((*named, *panels))}]` here says that it was so, "
        f"`opened: {_stayed(record)}` that it stayed on"
    )
    return Problem(place_of(record, "did"), words, note=True)


def _stayed(record: Record) -> str:
    """What `opened` says of a record where no other panel came off than it names."""
    named = panels_opened(record) if isinstance(record, PageRecord) else ()
    return f"[{', '.join((*named, NONE_OPENED))}]" if named else NONE_OPENED
