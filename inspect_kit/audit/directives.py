"""Directives against the checks whose arithmetic they use: a check that comes later than asked would hide it.

(What complies with a directive is said by `due.directives`: the last work that did its check.)
"""

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Sequence

from inspect_kit.audit.known import Known, known, once_fault, too_far
from inspect_kit.audit.order import idle_grace
from inspect_kit.errors import Problem
from inspect_kit.model.asked_once import asked_once, counted_from, leaves_when_open
from inspect_kit.model.checklist import Check
from inspect_kit.model.finding import DONE
from inspect_kit.model.interval import CALENDAR_MONTHS, DAYS_OF, AtInspection, Limit, Term, in_days
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.directive import AIRCRAFT, YES, Directive, binds_all_the_same, leaves_why_open
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.revisions import (
    in_force_since,
    is_newer,
    is_unsaid,
    newest_decision,
    revision_words,
    supersedes,
)


def intervals(names: Known) -> Iterator[Problem]:
    """Of every decision that counts and says that the directive applies: each limit is kept by the check it names."""
    for record, check in _applied(names):
        if check.retired is not None:
            told = f"`{check.id}` is retired since {check.retired.date}: name the check that does it now"
            yield Problem(place_of(record, "check"), f"check: {told}")
            continue
        if told := _of_another(names, record, check):
            yield Problem(place_of(record, "check"), f"check: {told}")
        for told in _late(names, check, record.every):
            yield Problem(place_of(record, "every"), f"every: {told}")


def _of_another(names: Known, record: Directive, check: Check) -> str:
    """That a check counts on the part of another position than a directive is about, and neither sits on the other: it
    would be done to the wrong part; "" where it does not.
    """
    if not check.counts_on or record.on == AIRCRAFT:
        return ""
    own, other = (names.logbook.id_now(each) for each in (record.on, check.counts_on))
    places = names.aircraft.positions
    if own not in places or other not in places or other in _up_from(names, own) or own in _up_from(names, other):
        return ""
    told = f"`{check.id}` counts on the part in {other}, and this is about {own}"
    return f"{told}: what is done to the one is not done to the other; name a check of {own}, or of no position"


def _up_from(names: Known, name: str) -> set[str]:
    """A position and those on which it sits, by today's ids."""
    places, found = names.aircraft.positions, set[str]()
    while name in places and name not in found:
        found.add(name)
        name = names.logbook.id_now(places[name].on or "")
    return found


def told_too_late(logbook: Logbook, check: Check, every: Sequence[Term]) -> tuple[str, ...]:
    """Of a decision that is to be written: why a check does not come as often as it asks, and what to do."""
    return tuple(_late(known(logbook), check, every))


def _late(names: Known, check: Check, every: Sequence[Term]) -> Iterator[str]:
    own = [*_limits(names, check)]
    for limit in every:
        if not isinstance(limit, Limit):
            continue
        told = f"asks for it every {limit}, and `{check.id}` comes"
        if not any(_keeps(names, each, limit) for each in own):
            comes = _comes(check, [*check.once, *own])
            yield f"{told} {comes}: it would be told too late; {_mended(names, check, [limit])}"
        elif first := _first_late(names, check, limit):
            cure = f"correct that at {place_of(check, 'first')}; if it asks for it first by then, decide"
            until = f"`once: by {first}` till it was done, and `every` then"
            yield f"{told} first at {first}: it would be told too late; {cure} {until}"


def _first_late(names: Known, check: Check, asked: Limit) -> Limit | None:
    """The entry of `first` that comes later than asked after the one before it, while `first` stands in for the
    interval: before a new part or a new aircraft has had its first doing.
    """
    if (check.counts_on is None and (check.owed_after or _ever_done(names, check))) or check.unread:
        return None
    before = 0.0
    for each in check.first:
        calendar = each.is_calendar and asked.is_calendar
        if calendar or (each.unit == asked.unit and names.aircraft.counts_with(each, asked)):
            comes, allowed = (in_days(each), in_days(asked)) if calendar else (float(each.number), float(asked.number))
            if comes - before > allowed:
                return each
            before = comes
    return None


def _ever_done(names: Known, check: Check) -> bool:
    """Whether anything on record says that a check was done."""
    now, book = names.logbook.id_now, names.logbook
    last = {now(each) for start in book.of_kind(BroughtForward) for each in start.last}
    last.update(now(each) for paper in book.of_kind(PaperEntry) for each in paper.did)
    return check.id in last or any(
        check.id in map(now, (*each.did, *(one.check for one in each.results if one.answer == DONE)))
        for each in book.of_kind(PageRecord)
    )


def once(names: Known) -> Iterator[Problem]:
    """Of the same that asks once: where its words give a day or a limit, the check comes by then, or was done as asked.

    `within 25 h`, `by 30 June 2027`; by other words it is due now, where it binds.
    """
    for record, check in _applied(names):
        asked = asked_once(record.once, check)
        for_good = bool(record.once) and record.says_done
        if check.retired is not None or for_good or _done_since(names, record, check):
            continue
        if asked is None:
            if leaves_when_open(record, check):
                told = f"by when `{record.once[:40]}` asks for it cannot be read, so that `{check.id}` is due now"
                cure = "write `within 25 h`, `within 25 h or 3 months`, `by 2027-06-30` or `before further flight`"
                with_it = next((each.name for each in check.every if isinstance(each, AtInspection)), "")
                cure += f", or `at the next {with_it} inspection` alone" if with_it else ""
                yield Problem(place_of(record, "once"), f"once: {told}; {cure}")
            continue
        own = [*check.once, *_limits(names, check)]
        if isinstance(asked, dt.date):
            days = (asked - record.date).days
            kept = check.once_date is not None and check.once_date <= asked
            kept = kept or any(each.is_calendar and in_days(each) <= days for each in own)
            wanted = [f"by {asked}"] if not kept else []
        else:
            # All of them: whichever comes first.
            since = counted_from(record.once) or _in_force_since(names, record)
            late = [each for each in asked if not _is_by(check.once_date, each, since)]
            kept_by = {each: any(_keeps(names, one, each) for one in own) for each in late}
            late = [each for each in late if not kept_by[each] or _first_late(names, check, each)]
            if check.once_date and asked and all(each.is_calendar for each in asked):
                # The day itself, as the check has one.
                asked = min(each.due_date(since) for each in asked)
            wanted = [f"within {each}{f' of {since}' if check.once_date and each.is_calendar else ''}" for each in late]
        if wanted:
            comes = _comes(check, own)
            if check.first:
                comes += f", first at {check.first[0]}"
            told = f"asks for it once {' and '.join(wanted)}, and `{check.id}` comes {comes}: it would be told too late"
            yield Problem(place_of(record, "once"), f"once: {told}; {_once_mended(names, check, asked)}")


def _is_by(date: dt.date | None, asked: Limit, since: dt.date) -> bool:
    """Whether a date is no later than a limit of the calendar counted from a day."""
    return date is not None and asked.is_calendar and date <= asked.due_date(since)


def _in_force_since(names: Known, record: Directive) -> dt.date:
    """The day of the revision of a decision, else that of the first one on it: a later one moves no time on."""
    now = names.logbook.id_now
    same = [
        each
        for each in names.logbook.of_kind(Directive)
        if (_words(each.number), now(each.on)) == (_words(record.number), now(record.on))
    ]
    return in_force_since(record, same)


def asked_too_late(names: Known) -> Iterator[Problem]:
    """What a directive asks for, so late that it never comes: a digit of it slipped."""
    for record in names.logbook.of_kind(Directive):
        asked = asked_once(record.once, names.logbook.checks.get(names.logbook.id_now(record.check)))
        faults = [("every", too_far(each)) for each in record.every if isinstance(each, Limit)]
        if isinstance(asked, dt.date):
            faults.append(("once", once_fault(names, asked)))
        else:
            faults += [("once", too_far(each)) for each in asked or ()]
        for key, fault in faults:
            if fault:
                yield Problem(place_of(record, key), f"{key}: {fault}")


def grace(names: Known) -> Iterator[Problem]:
    """Of the same that bind: what grace they give goes past an interval of the check, whose own grace it replaces."""
    for record, check in _applied(names):
        for each in record.grace if record.binds and check.retired is None else ():
            if isinstance(each, Limit) and (told := idle_grace(names, check, each)):
                yield Problem(place_of(record, "grace"), f"grace: at `{check.id}` {told}")


def authorities(names: Known) -> Iterator[Problem]:
    """A directive that a later decision on the same one calls otherwise, so that it would bar nothing any more."""
    known: dict[tuple[str, str], Directive] = {}
    for record in sorted(names.logbook.of_kind(Directive), key=_order):
        key = _words(record.number), names.logbook.id_now(record.on)
        first = known.setdefault(key, record) if record.is_airworthiness else known.get(key)
        if first is not None and not record.is_airworthiness:
            told = f"`{record.authority[:40]}`, and {first.place} calls it an airworthiness directive: it counts as one"
            yield Problem(place_of(record, "authority"), f"authority: {told}. If it is none, withdraw that")


def doubts(names: Known) -> Iterator[Problem]:
    """What may be a slip in a decision: a reason why one that binds does not apply which names no thing, a day on
    which it was done before it was issued, and one that binds taken as voluntary.
    """
    for record in names.logbook.of_kind(Directive):
        if not record.undecided and (told := leaves_why_open(record.authority, record.applies)):
            yield Problem(place_of(record, "applies"), f"applies: {told}")
        if told := done_early(names.logbook, record.issued, record.done_on):
            yield Problem(place_of(record, "done-on"), f"done-on: {told}")
    for record in map(newest_decision, _by_directive(names)):
        if told := binds_all_the_same(record):
            yield Problem(place_of(record, "applies"), f"applies: {told}")


# So long nobody builds; common practice, no source.
LONGEST_BUILD = 10


def done_early(logbook: Logbook, issued: dt.date | None, done_on: dt.date | None) -> str:
    """That what complies was done before the directive was issued, or before anybody built the aircraft, and no record
    of that day tells of it; "" where it was not.
    """
    certified = logbook.aircraft.certificate_date
    built = dt.date(max(certified.year - LONGEST_BUILD, 1), 1, 1)
    if done_on is None or done_on >= (issued or built) or _told_of(logbook, done_on):
        return ""
    early = f"before {issued}, the day it was issued" if issued else f"long before {certified}, that of the certificate"
    return f"{done_on} is {early}, and no work of that day is on record"


def _told_of(logbook: Logbook, day: dt.date) -> bool:
    """Whether work of a day is on record, or was brought forward."""
    brought = (last.date for start in logbook.of_kind(BroughtForward) for last in start.last.values())
    work = (*logbook.of_kind(PageRecord), *logbook.of_kind(PaperEntry), *logbook.of_kind(Installed))
    return day in brought or any(each.date == day for each in work)


def superseded(names: Known) -> Iterator[Problem]:
    """A decision on an older revision than was decided before it, or on one that it leaves open: it takes nothing back.
    """
    for records in _by_directive(names):
        for record in records:
            newer = [each for each in records if each.date < record.date and is_newer(each, record, records)]
            if newer:
                since = newest_decision(newer)
                key = "revision" if record.revision else "issued"
                what = f"{revision_words(record)} is older than {revision_words(since)}, which {since.place} decides"
                cure = "that one counts; withdraw whichever of the two is wrong"
                yield Problem(place_of(record, key), f"{key}: {what}: {cure}")
            elif is_unsaid(record, records) and not any(supersedes(each, record, records) for each in records):
                key = "revision" if record.revision else "number"
                told = "this does not say on which of them it decides, and takes none of them back"
                cure = "write `revision` and `issued` as that paper says them"
                yield Problem(place_of(record, key), f"{key}: {_told_before(record, records)}: {told}; {cure}")


def _told_before(record: Directive, records: Collection[Directive]) -> str:
    """The revisions that were decided on before a decision, in words."""
    before = dict.fromkeys(revision_words(each) for each in records if each.date <= record.date and each is not record)
    return f"{' and '.join(before)} were decided on before"


def _applied(names: Known) -> Iterator[tuple[Directive, Check]]:
    """Every decision that counts and says that a directive applies, with the check that it names."""
    for record in map(newest_decision, _by_directive(names)):
        check = names.logbook.checks.get(names.logbook.id_now(record.check))
        if check is not None and record.applies.word == YES:
            yield record, check


def _by_directive(names: Known) -> Iterable[list[Directive]]:
    """The decisions on each directive for each product, and for each serial that they name."""
    found: dict[tuple[str, ...], list[Directive]] = {}
    for record in names.logbook.of_kind(Directive):
        key = (_words(record.number), names.logbook.id_now(record.on), _words(record.part), record.serial)
        found.setdefault(key, []).append(record)
    return found.values()


def _mended(names: Known, check: Check, asked: Sequence[Limit]) -> str:
    """Where its checklist says how often a check comes, and what to write there for it to come in time."""
    own = [
        each
        for each in check.every
        if not (isinstance(each, Limit) and any(_keeps(names, one, each) for one in asked))
    ]
    where = f"at {place_of(check, 'every')}, or name a check that comes by then"
    # What comes once, or ends a life, is no interval to add to.
    if check.once or check.once_date or check.life or not asked:
        return f"correct it {where}"
    return f"write `every: {' or '.join(map(str, [*asked, *own]))}` {where}"


def _once_mended(names: Known, check: Check, asked: dt.date | Sequence[Limit]) -> str:
    """What to write for something that is asked once to come in time: an `every` would ask for it for ever, and a
    `once` in place of an `every` or a `life` would take that away.
    """
    if isinstance(asked, dt.date):
        wanted, fits = str(asked), not check.once
    else:
        own = [each for each in check.once if not any(_keeps(names, one, each) for one in asked)]
        wanted, fits = " or ".join(map(str, [*asked, *own])), check.once_date is None
    if check.every or check.life or not fits:
        return f"name a check of its own that says `once: {wanted}`, or do it by then"
    return f"write `once: {wanted}` at {place_of(check, 'once')}, or name a check that comes by then"


def _comes(check: Check, own: Sequence[Limit]) -> str:
    told = " or ".join(map(str, own))
    if check.once_date:
        return f"once, by {check.once_date}"
    if not told:
        return "only when it is named"
    return f"once, within {told}" if check.once else f"every {told}" if check.every else told


def _done_since(names: Known, record: Directive, check: Check) -> bool:
    """Whether the check was done on the day of the directive, or of the decision where that is not given, or after it,
    whichever waiting amendments count.
    """
    now, since = names.logbook.id_now, record.issued or record.date

    def did(book: Logbook) -> bool:
        pages = (
            page.date >= since
            and check.id in map(now, (*page.did, *(each.check for each in page.results if each.answer == DONE)))
            for page in book.of_kind(PageRecord)
        )
        papers = (each.date >= since and check.id in map(now, each.did) for each in book.of_kind(PaperEntry))
        return any(pages) or any(papers)

    return all(map(did, names.logbook.readings()))


def _order(record: Directive) -> tuple[object, ...]:
    return record.date, record.entered or record.date, record.name


def _words(text: str) -> str:
    return " ".join(text.casefold().split())


def _limits(names: Known, check: Check) -> Iterator[Limit]:
    """The limits of a check, those of the inspections that it comes with too."""
    for term in (*check.every, *check.life):
        if isinstance(term, Limit):
            yield term
        elif isinstance(term, AtInspection) and term.name in names.aircraft.inspections:
            yield from (each for each in names.aircraft.inspections[term.name].every if isinstance(each, Limit))


def _keeps(names: Known, own: Limit, asked: Limit) -> bool:
    """Whether what keeps to one limit keeps to another: on one meter, or by the calendar in whatever unit."""
    if own.is_calendar != asked.is_calendar:
        return False
    if own.unit == asked.unit:
        return own.number <= asked.number and names.aircraft.counts_with(own, asked)
    if not own.is_calendar:
        return False
    # Calendar months run to the end of the last one: up to a month more.
    more = DAYS_OF[CALENDAR_MONTHS] if own.unit == CALENDAR_MONTHS else 0
    return in_days(own) + more <= in_days(asked)
