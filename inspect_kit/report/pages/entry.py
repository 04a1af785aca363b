"""A short entry to copy or paste into a paper logbook."""

from collections.abc import Iterator
from decimal import Decimal

from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.directives import APPLIES, REVIEWED, directives
from inspect_kit.model.checklist import DID
from inspect_kit.model.finding import DONE, Cleared
from inspect_kit.model.interval import HOURS
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.report import blocks
from inspect_kit.report.asked import ReportFacts
from inspect_kit.report.blocks import Block, Paragraph, Quote
from inspect_kit.report.cells import checks_done
from inspect_kit.report.naming import (
    box_title,
    check_of,
    check_title,
    fix,
    flight_check_words,
    in_words,
    listed,
    name_words,
    person_words,
    where,
)
from inspect_kit.report.pages.checks import others, to_look_again
from inspect_kit.report.pages.findings import own_findings, up_to
from inspect_kit.report.words import amount, fitted, number, part_names, sentence
from inspect_kit.rules import missing_contents, profile_of


def entry_page(facts: ReportFacts) -> blocks.Page:
    """The entry for an inspection or for work, with the total time in service."""
    note = (
        "Copy or paste this into the paper logbook, compare it with the record, and sign there by hand. The signature "
        "approves only what the entry describes."
    )
    made: list[Block] = [Paragraph(text=note, tone=blocks.QUIET), Quote(text=entry_text(facts))]
    if broken := facts.logbook.broken.get(facts.record.name):
        made.insert(0, Paragraph(text=f"THE SEAL DOES NOT HOLD: {broken}. Copy nothing of it.", tone=blocks.STOP))
    aircraft = facts.logbook.aircraft
    if isinstance(facts.record, Inspection):
        for content in missing_contents(facts.record, aircraft, profile_of(aircraft).contents):
            told = f"The record does not hold what an entry shows: {content.name} ({content.citation})."
            made.append(Paragraph(text=told, tone=blocks.STOP))
    registration = aircraft.identity.registration
    return blocks.Page(title=f"Logbook entry, {registration}, {facts.record.date}", blocks=tuple(made))


def entry_text(facts: ReportFacts) -> str:
    """The entry alone, a paragraph to a line. Contents as in 14 CFR 43.11(a) and 43.9(a), used as a model."""
    return "\n".join(line for line in _lines(facts) if line)


def _lines(facts: ReportFacts) -> Iterator[str]:
    record, logbook = facts.page, facts.then
    if broken := logbook.broken.get(record.name):
        yield f"!! THE SEAL OF {record.name} DOES NOT HOLD: {broken}. NOT TO BE COPIED."
    identity = record.identity if isinstance(record, Inspection) else logbook.aircraft.identity
    yield f"{record.date}   {identity.registration}, {identity.make} {identity.model}, serial {identity.serial}"
    yield f"Total time in service: {_total(record, logbook)}"
    if isinstance(record, Inspection):
        yield from _inspection(record, logbook)
    else:
        yield from _work(record, logbook)
    yield from (f"Amended: {sentence(words)}" for words in facts.logbook.amendments(record.name))
    by = record.by
    if by is None:
        yield "By: ____________________"
    else:
        yield person_words(logbook.aircraft, by).replace(", number ", ", certificate number ")
    yield "Signature: ____________________"
    if isinstance(record, Inspection):
        yield f"({facts.signature_words}; record {record.name})"
    else:
        yield f"(record {record.name})"


def _total(record: Record, logbook: Logbook) -> str:
    """Total time in service at the record; estimated where it has no reading of its own."""
    clock = logbook.aircraft.time_in_service
    reads: Decimal | None = record.meters.get(clock)
    total: Decimal | None = record.totals.get(clock) if isinstance(record, PageRecord) else None
    estimated = False
    if total is None:
        at = logbook.meter_history(clock).at(record)
        total, estimated = at.total, at.estimated
    if total is None:
        return "not known"
    extra = f" ({clock} reads {number(reads)})" if reads is not None and reads != total else ""
    return f"{amount(total, HOURS)}{extra}{' (last total before that day)' if estimated else ''}"


def _inspection(record: Inspection, logbook: Logbook) -> Iterator[str]:
    extent = f"{record.inspection.capitalize()} inspection, scope and detail of {record.basis}"
    if record.passed:
        yield f"{extent}."
        yield record.statement
    else:
        yield f"{extent}: not passed. List of discrepancies dated {record.date}, no statement:"
    yield from _finding_lines(record, logbook)
    if record.passed:
        standing = [
            f"{_within(finding.text)} (to be corrected {fix(logbook, finding)})"
            for reference, finding in up_to(logbook, record).standing().items()
            if reference not in own_findings(record)
        ]
        if standing:
            yield f"Still open: {'; '.join(standing)}."
    if served := [*_served(record, logbook)]:
        # 14 CFR 43.9(a)(1): a description of the work; its words in full stand in the record that the entry names.
        yield f"Work done with it, as the record describes: {'; '.join(served)}."
    yield from _directives(record, logbook)
    yield from _extras(record, logbook)


def _directives(record: PageRecord, logbook: Logbook) -> Iterator[str]:
    """The directives that a record complied with: number, revision date, method, time (14 CFR 91.417(a)(2)(v)), as they
    were decided by then.
    """
    done = {logbook.id_now(name) for name in checks_done(record)}
    if not any(logbook.id_now(each.check) in done for each in logbook.of_kind(Directive) if each.check):
        return
    then = logbook.up_to(lambda each: each.date <= record.date or kind_of(each).of_a_record)
    book = chronicle(then)
    # What a page had ticked when it was first signed, not passed, counts from then.
    same = {each.name: each for each in then.of_kind(PageRecord) if record.sheet and each.sheet == record.sheet}
    for state in directives(book).states:
        made = state.directive
        counts = made.counts and state.state in (APPLIES, REVIEWED) and record.date >= state.since
        if counts and state.check is not None and state.check.id in done:
            number_of = f"{made.number}{f' {made.revision}' if made.revision else ''}"
            issued = f" of {made.issued}" if made.issued else ""
            method = made.method or state.check.title
            again = f"; again every {' or '.join(map(str, made.every))}" if made.every else ""
            verb = "complied with" if made.is_airworthiness else "done as it asks"
            counted = [same[each.record] for each in book.done.get(state.check.id, ()) if each.record in same]
            first = counted[-1] if counted else record
            at = _total(first, logbook) + (f" on {first.date}" if first.date != record.date else "")
            yield (
                f"{sentence(made.authority).rstrip('.')} {number_of}{issued} ({state.product}) {verb}: "
                f"{_within(made.subject)}; method: {_within(method)}; at a total of {at}{again}."
            )


def _served(record: Inspection, logbook: Logbook) -> Iterator[str]:
    """What was more than a look: the checks that were done and took a part or a supply that was used, or after which
    others are owed.
    """
    used, now = part_names(record.parts), logbook.id_now
    leads = {now(each.what) for check in logbook.checks.values() for each in check.owed_after if each.verb == DID}
    for result in record.results:
        check = check_of(logbook, result.check)
        if check is None or result.answer != DONE:
            continue
        if check.id in leads or any(part.name in used for part in check.uses):
            yield check.title


def _work(record: PageRecord, logbook: Logbook) -> Iterator[str]:
    did = (check for name in record.did if (check := check_of(logbook, name)))
    done = [in_words(logbook, sentence(check.text)) for check in did]
    # The words of the checks describe the work (14 CFR 43.9(a)(1)); what the record itself repeats stands there once.
    told = [text for text in dict.fromkeys(done) if text.rstrip(".") not in record.text]
    yield f"Done: {' '.join(told)}" if told else ""
    yield record.text
    known = logbook.findings()
    cleared = []
    for reference in record.clears:
        finding, how = known.get(reference), record.cleared.get(reference)
        if how is not None and how.put_off:
            # It stands below, as a finding of this record.
            continue
        words = f"{_within(how.text)}{_corrected_by(record, logbook, how)}" if how is not None else ""
        found = _within(finding.text) if finding else reference
        cleared.append(f"{found}: {words}" if finding and words else found)
    if cleared:
        yield f"Corrected: {'; '.join(cleared)}."
    yield from _finding_lines(record, logbook)
    yield from _directives(record, logbook)
    yield from _extras(record, logbook)


def _finding_lines(record: PageRecord, logbook: Logbook) -> Iterator[str]:
    for finding in own_findings(record).values():
        limit = f"open, to be corrected {fix(logbook, finding)}"
        done = limit
        if (how := finding.cleared) is not None:
            done = f"corrected {how.date}: {_within(how.text)}{_corrected_by(record, logbook, how)}"
        yield f"{finding.id} {where(logbook, finding)}: {_within(finding.text)}; {done}."


def _within(text: str) -> str:
    """What somebody wrote as a sentence, where a longer one goes on after it."""
    return text.removesuffix(".")


def _corrected_by(record: PageRecord, logbook: Logbook, how: Cleared) -> str:
    """`, by R. Swift, mechanic, certificate number 1234567` (14 CFR 43.9(a)(3)), where it was not whoever the entry is
    of, and the words do not say it already.
    """
    name, own = how.by, record.by
    if not name or name in how.text or (own is not None and logbook.aircraft.same_person(name, own.name)):
        return ""
    return f", by {name_words(logbook, name).replace(', number ', ', certificate number ')}"


def _extras(record: PageRecord, logbook: Logbook) -> Iterator[str]:
    # Who did it, where that is not whoever signs (14 CFR 43.9(a)(3)).
    checks = [*checks_done(record)]
    for (name, paper), told in others(logbook, record).items():
        who = name_words(logbook, name).replace(", number ", ", certificate number ")
        every = len(checks) > 1 and {*checks} <= {*told}
        titles = [box_title(logbook, each) for each in told if not every or each not in checks]
        done = listed(["all checks", *titles] if every else titles)
        yield f"Done by {who}{f' ({paper})' if paper else ''}: {done}."
    if parts := fitted(record.parts):
        yield f"Parts: {'; '.join(parts)}."
    if record.next:
        yield f"Next: {', '.join(f'{check_title(logbook, name)} {date}' for name, date in record.next.items())}."
    if again := to_look_again(logbook, record):
        yield f"To be looked at again: {listed(again)}."
    if flight := flight_check_words(logbook.aircraft, record.flight_check):
        yield f"Flight check {_within(flight)}."
    if record.at:
        yield f"At: {record.at}."
    if record.paper:
        yield f"Paper: {record.paper}."
