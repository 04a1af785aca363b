"""What is to be looked at again: a `recheck` beside a finding or a note, until its check is done once more."""

import datetime as dt
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import chain

from inspect_kit.due.answer import PAST_DUE, RECHECK
from inspect_kit.due.check_history import ALONE, ANOTHER, CheckHistory
from inspect_kit.due.chronicle import Chronicle, chronicle
from inspect_kit.due.fitting import all_fittings, empty_between, present
from inspect_kit.due.limits import Now, state_of
from inspect_kit.due.moments import Moment
from inspect_kit.due.reckoning import reckon
from inspect_kit.errors import Place, Problem
from inspect_kit.model.checklist import Check, gone
from inspect_kit.model.finding import DONE, Finding
from inspect_kit.model.interval import Limit
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Recheck:
    """A check to be done again within `limits` (whichever comes first) from a moment, to look at what `words` say."""

    check: Check
    moment: Moment
    limits: tuple[Limit, ...]
    words: str
    place: Place


def rechecks(book: Chronicle, day: dt.date) -> tuple[Recheck, ...]:
    """All that nobody has answered by a day, in the order of their records. What a broken seal holds still counts."""
    return tuple(each for each in _unanswered(book) if not gone(each.check.retired, day))


def once_asked(logbook: Logbook) -> dict[str, str]:
    """What was ever to be looked at again, answered or not, by the id that a due list gives it: the words of its check.

    The second at one check has its own number; it may be one that never stood beside the first.
    """
    found: Counter[str] = Counter()
    for record in logbook.records:
        if isinstance(record, PageRecord):
            found.update(logbook.id_now(each.check) for each in record.results if each.recheck)
        if isinstance(record, PageRecord | FindingRecord):
            findings = record.findings if isinstance(record, PageRecord) else (record.finding,)
            found.update(logbook.id_now(each.check) for each in findings if each.recheck and each.check is not None)
    asked = ((name, number) for name, count in found.items() for number in range(1, count + 1))
    return {recheck_id(name, number): logbook.checks[name].title for name, number in asked if name in logbook.checks}


def recheck_id(check: str, number: int) -> str:
    """What the due list calls the first, the second ... thing to be looked at again at a check."""
    return f"{check}/{RECHECK}" + (f"-{number}" if number > 1 else "")


def watched_no_more(logbook: Logbook) -> tuple[Problem, ...]:
    """A note for each thing that was to be looked at again at a check that was retired meanwhile."""
    found = []
    for each in _unanswered(chronicle(logbook)):
        if (retired := each.check.retired) is not None:
            when = " or ".join(map(str, each.limits))
            told = f"`{each.check.id}` was to be looked at again within {when}{f', {each.words}' if each.words else ''}"
            cure = "nobody asks for it: what is still to be watched belongs in a finding"
            place = each.place
            found.append(Problem(place, f"recheck: {told}, and is retired since {retired.date}: {cure}", note=True))
    return tuple(found)


def owed_no_more(logbook: Logbook, day: dt.date) -> tuple[Problem, ...]:
    """A note for each check that was owed when it was retired, by a day, where no other one is owed after the same; and
    for each that was past due then, until an inspection that counts has passed since.
    """
    cure = "nobody asks for it: do what is still to be done, or write a finding"
    left = [*_owed_when_retired(logbook)]
    if late := _past_due_when_retired(logbook):
        book = chronicle(logbook)
        left += [each for each in late if not _inspected_since(book, each[1])]
    return tuple(
        Problem(place_of(check, "retired"), f"retired: {words}: {cure}", note=True)
        for check, _, words in left
        if gone(check.retired, day)
    )


def left_undone(book: Chronicle, day: dt.date) -> Iterator[tuple[Place, str]]:
    """The checks that were owed before flight when they were retired, or past due and barred it, with no counted
    inspection since: retiring one, in another clone for instance, does not do it.
    """
    left = [each for each in _owed_when_retired(book.logbook) if each[0].bars_owed.flight]
    left += [each for each in _past_due_when_retired(book.logbook) if each[0].bars_past_due.flight]
    for check, retired, words in left:
        if gone(check.retired, day) and not _inspected_since(book, retired):
            yield place_of(check, "retired"), words


def _inspected_since(book: Chronicle, day: dt.date) -> bool:
    """Whether an inspection that counts was passed after a day: whoever made it has seen what was retired by then."""
    since = (moment.date for each in book.inspections.values() for moment in each)
    return any(each and each > day for each in since)


def _owed_when_retired(logbook: Logbook) -> tuple[tuple[Check, dt.date, str], ...]:
    """Each check that was owed when it was retired, the day, and both in words."""
    return logbook.once("owed when retired", lambda: tuple(_left_owed(logbook)))


def _past_due_when_retired(logbook: Logbook) -> tuple[tuple[Check, dt.date, str], ...]:
    """The same of each check that was past due on that day; not of what went with the part that it counted on."""
    return logbook.once("past due when retired", lambda: tuple(_left_past_due(logbook)))


def _left_past_due(logbook: Logbook) -> Iterator[tuple[Check, dt.date, str]]:
    for check in logbook.checks.values():
        if check.retired is None or not check.is_item:
            continue
        book, day = chronicle(logbook), check.retired.date
        fittings = all_fittings(book)
        position = logbook.aircraft.positions.get(logbook.id_now(check.counts_on or ""))
        empty = check.counts_on is not None and present(fittings.get(logbook.id_now(check.counts_on), ())) is None
        if empty or (position is not None and position.retired is not None):
            continue
        found = reckon(replace(check, retired=None), book, fittings)
        for most in (False, True):
            now = Now(day=day, totals=_totals_on(book, day, most=most), soon=logbook.aircraft.soon)
            late = next((point for point in found.points if state_of(point, now) == PAST_DUE), None)
            if late is not None:
                was = "may have been past due" if most else "was past due"
                since = late.date or f"{late.meter} {late.total}"
                unread = ", of which no reading is on record" if most else ""
                yield check, day, f"`{check.id}` {was}, since {since}, when it was retired on {day}{unread}"
                break
        else:
            if found.unknown and check.bars_unknown.flight:
                told = f"when `{check.id}` was due was not known when it was retired on {day}: {found.unknown}"
                yield check, day, told


def _totals_on(book: Chronicle, day: dt.date, *, most: bool) -> dict[str, Decimal]:
    """What the meters had on a day: the least that it can have been, or the most."""
    found = {}
    for meter, history in book.histories.items():
        total = history.later(day) if most and not history.is_read_on(day) else history.by(day)
        if total is not None:
            found[meter] = total
    return found


def _left_owed(logbook: Logbook) -> Iterator[tuple[Check, dt.date, str]]:
    living = {each for check in logbook.checks.values() if check.retired is None for each in check.owed_after}
    left = [check for check in logbook.checks.values() if check.retired and {*check.owed_after} - living]
    book = chronicle(logbook) if left else None
    for check in left:
        assert book is not None
        assert check.retired is not None
        triggers = tuple(each for each in check.owed_after if each not in living)
        owed = reckon(replace(check, retired=None, owed_after=triggers), book, all_fittings(book)).owed
        if owed is not None and owed.date is not None and owed.date <= check.retired.date:
            told = f"`{check.id}` was owed since {owed.date} ({owed.place}), and is retired since {check.retired.date}"
            yield check, check.retired.date, told


def left_open(logbook: Logbook, record: Record) -> Iterator[tuple[str, str]]:
    """What is to be looked at again at a check that a new record did on the very day on which that was asked, and that
    it does not answer, as nothing says that it came after: the check, and the record that asks.
    """
    if not isinstance(record, PageRecord) or all(each.date != record.date for each in logbook.records):
        return
    book = chronicle(logbook.with_records((*logbook.records, record)))
    new = book.moments[record.name]
    # Of one thing written down twice one is kept among the doings: what this one says itself counts here.
    answers = {logbook.id_now(each.check) for each in record.results if each.answer == DONE}
    did = answers | {*map(logbook.id_now, record.did)}
    for each in _unanswered(book):
        if each.check.id in did and each.moment.record != record.name and each.moment.is_tied(new, book.clock):
            yield each.check.id, each.moment.record


def _unanswered(book: Chronicle) -> Iterator[Recheck]:
    asking = (record for record in book.logbook.records if isinstance(record, PageRecord | FindingRecord))
    by_check: dict[str, tuple[CheckHistory, tuple[Moment, ...]]] = {}
    for record in asking:
        for name, limits, words, place in _asked(record, book):
            check = book.logbook.checks.get(book.logbook.id_now(name))
            moment = book.moments[record.name]
            if check is None:
                continue
            if check.id not in by_check:
                by_check[check.id] = _doings(CheckHistory(check, book, all_fittings(book)))
            history, answers = by_check[check.id]
            if history.part_at(moment) == ANOTHER:
                continue  # It is on the bench, or gone.
            # Of the same day and reading it may be what was found, written down once more.
            # What was done with nothing in the position since was done to the part on the bench on which it was seen.
            every = book.done.get(check.id, ()) if history.history else ()
            between = (each for each in every if empty_between(history.history, moment, each, book.clock))
            done = (each for each in chain(answers, between) if each.record != record.name)
            if not any(moment.is_answered_by(each, book.clock) for each in done):
                yield Recheck(check=check, moment=moment, limits=limits, words=words, place=place)


def _doings(history: CheckHistory) -> tuple[CheckHistory, tuple[Moment, ...]]:
    """A history, and what was done to the part that is there now or to none, the last first: it answers most."""
    alone = (each for each in history.chronicle.done.get(history.check.id, ()) if history.part_at(each) == ALONE)
    return history, (*history.dones, *alone)[::-1]


def _asked(record: Record, book: Chronicle) -> Iterator[tuple[str, tuple[Limit, ...], str, Place]]:
    """The check, the limits, the words and the place of every `recheck` of a record."""
    findings: tuple[Finding, ...] = ()
    if isinstance(record, FindingRecord):
        findings = (record.finding,)
    elif isinstance(record, PageRecord):
        findings = record.findings
    early = book.sealed_before.get(record.name)
    before = {(each.check, each.recheck) for each in early.results} if early is not None else set()
    before |= {(each.check, each.recheck) for each in early.findings if each.check} if early is not None else set()

    def is_new(check: str, limits: tuple[Limit, ...]) -> bool:
        """What a page said when it was sealed the first time counts from then."""
        again = (book.logbook.id_now(check), record.name) not in book.not_again
        return bool(limits) and (again or (check, limits) not in before)

    for finding in findings:
        # A finding that was cleared since leaves it: whether the hole that stopped the crack holds is looked at too.
        if finding.check is not None and is_new(finding.check, finding.recheck):
            yield finding.check, finding.recheck, finding.text, finding.place
    for result in record.results if isinstance(record, PageRecord) and record.only_done is None else ():
        if is_new(result.check, result.recheck):
            told = [*result.notes, *(each.text for each in findings if each.check == result.check)]
            yield result.check, result.recheck, "; ".join(told), result.place
