"""What records say of themselves and of each other."""

import datetime as dt
import re
from collections.abc import Iterable, Iterator

from inspect_kit.audit.known import (
    CHECK,
    PANEL,
    Known,
    each_fault,
    fix_fault,
    missing_ever,
    undisturbable,
)
from inspect_kit.audit.pages import unknown_labels
from inspect_kit.errors import Place, Problem
from inspect_kit.model.aircraft import Person
from inspect_kit.model.checklist import OTHERS
from inspect_kit.model.finding import DONE, Finding
from inspect_kit.model.first_flown import first_flown
from inspect_kit.model.held import had_then, not_held, other_kind, other_number
from inspect_kit.model.interval import may_be_marked, so_many
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.lines import place_of
from inspect_kit.model.opened import panels_opened
from inspect_kit.model.other_eyes import no_other
from inspect_kit.model.page_record import PageRecord, box_of
from inspect_kit.model.public_key import key_fault
from inspect_kit.model.record import Record
from inspect_kit.text.grammar import REF_PATTERN, did_you_mean


def dates(names: Known) -> Iterator[Problem]:
    """File names that begin with another date than the record's (any other name will do), entries before the deed, a
    past that is brought forward twice.
    """
    starts = names.logbook.of_kind(BroughtForward)
    certified = names.aircraft.certificate_date
    for record in names.logbook.records:
        # An amended date stands in the amendment: the file keeps the name under which it was written.
        written = names.logbook.as_written(record)
        day = str(written.date)
        named = None if record.name.startswith(day) else re.match(r"\d{4}-\d{2}-\d{2}(?!\d)", record.name)
        if named and named.group() != day:
            yield Problem(place_of(record, "date"), f"date: {written.date} is not the date of the file's name")
        if record.entered is not None and record.entered < written.date:
            told = f"entered: {record.entered} is before {written.date}, when it was done"
            yield Problem(place_of(record, "entered"), told)
        if isinstance(record, Inspection) and record.date < certified:
            told = f"date: {record.date} is before the certificate of the aircraft, {certified}"
            yield Problem(place_of(record, "date"), told)
        elif isinstance(record, Inspection) and record.begun is not None and record.begun < certified - YEAR:
            told = f"begun: {record.begun} is more than a year before the certificate of the aircraft, {certified}"
            yield Problem(place_of(record, "begun"), told)
        if isinstance(record, PageRecord) and record.begun is not None and record.begun > record.date:
            yield Problem(place_of(record, "begun"), f"begun: {record.begun} is after {record.date}, when it was done")
    book = names.logbook
    flown = first_flown({name: book.meter_history(name) for name in names.aircraft.meters}, names.aircraft)
    if flown is not None:
        meter, point = flown
        has = f"{so_many(point.total, meter.unit)} by {point.date} ({point.place})"
        told = f"{certified} is later than the first flight on record, {has}"
        cure = "that of the first one stands here; what was never done counts from the first reading of all"
        yield Problem(names.aircraft.place, f"certificate-date: {told}: {cure}", note=True)
    read = {meter for each in starts[:1] for meter in each.reads}
    for again in starts[1:]:
        # A clock that came later brings its own total, and nothing else of the past.
        if not (again.last or again.fitted or read & {*again.reads}):
            read |= {*again.reads}
            continue
        yield Problem(again.place, f"the past is brought forward once, and was in {starts[0].place}")


def without_paper(names: Known) -> Iterator[Problem]:
    """Work of others of which an entry by hand names no paper, where nothing was done since that names one."""
    last: dict[str, Work | None] = {}
    for record in names.logbook.records:
        if not isinstance(record, PageRecord | PaperEntry):
            continue
        results = record.results if isinstance(record, PageRecord) else ()
        told = {names.logbook.id_now(each.check): each.paper for each in results}
        for check in dict.fromkeys((*map(names.logbook.id_now, record.did), *told)):
            noun = names.logbook.checks.get(check)
            if noun is not None and noun.who == OTHERS and noun.retired is None:
                bare = isinstance(record, Work) and not (record.paper or record.seal or told.get(check))
                last[check] = record if bare and isinstance(record, Work) else None
    for check, work in last.items():
        if work is not None:
            who = names.logbook.checks[check].others or "others"
            told_so = f"did: `{check}` is done by {who}, and no paper is named"
            cure = f"`paper: REFERENCE` in this file says which; if you did it, take `who` off `{check}`"
            yield Problem(place_of(work, "did", check), f"{told_so}: {cure}")


def results(names: Known) -> Iterator[Problem]:
    """A result of a check that an entry by hand does not name under `did`, where it names others: an id slipped; a
    second look by the doer, or by nobody.
    """
    for record in names.logbook.of_kind(Work):
        did = {names.logbook.id_now(name) for name in record.did}
        if record.sheet:
            continue
        for each in record.results:
            doer = each.by or (record.by.name if record.by else "")
            if each.second_look and (none := no_other(names.aircraft, each.second_look, doer)):
                told = f"`{each.check}`: the second look is by {none}"
                yield Problem(each.place, f"results: {told}: another pair of eyes is asked")
            if not did:
                continue
            check = names.logbook.id_now(each.check)
            if each.answer == DONE and check in names.logbook.checks and check not in did:
                told = f"results: `{each.check}` is done here and is not under `did`: name it there, or the check meant"
                yield Problem(each.place, told)


def gone_people(names: Known) -> Iterator[Problem]:
    """Who did, looked at or flew something after the day on which they went; of a page the day it was begun. On that
    day itself it was before.

    A signature is judged by itself, and a paper logbook names people as it likes.
    """
    if all(person.retired is None for person in names.aircraft.people):
        return
    for record in names.logbook.records:
        if isinstance(record, PaperEntry | Signature):
            continue
        day = record.begun or record.date if isinstance(record, PageRecord) else record.date
        said = [("by", record.by.name, day, place_of(record, "by"))] if record.by is not None else []
        flown = record.flight_check
        if flown is not None and flown.pilot is not None:
            said.append(("flight-check: pilot", flown.pilot.name, flown.date or day, flown.place))
        for each in (*record.results, *record.boxes) if isinstance(record, PageRecord) else ():
            said += [("results", who, day, each.place) for who in dict.fromkeys((each.by, each.second_look)) if who]
        for key, who, on, place in said:
            if told := names.aircraft.gone_by(who, on - dt.timedelta(days=1)):
                yield Problem(place, f"{key}: {told}: is it the right name, and the right day there?")


def certificates(names: Known) -> Iterator[Problem]:
    """Who did or flew something by a certificate that they do not hold, or, a note, under another number than is known.
    """
    for record in names.logbook.records:
        if isinstance(record, PaperEntry | Signature):
            continue
        flown = record.flight_check
        said = [("by", record.by, place_of(record, "by"))] if record.by is not None else []
        if flown is not None and flown.pilot is not None and flown.pilot != record.by:
            said.append(("flight-check: pilot", flown.pilot, flown.place))
        for key, who, place in said:
            if told := not_held(names.aircraft, who):
                cure = "correct whichever of the two is wrong"
                yield Problem(place, f"{key}: {told}, and here under another certificate, {who.kind}: {cure}")
            elif told := _number_told(names, who):
                yield Problem(place, f"{key}: {told}", note=True)


def signed_otherwise(names: Known) -> Iterator[Problem]:
    """Who signed under another number than is known, or under that of another kind: what the signature counts for is
    judged by itself, and people may have had another one then.
    """
    for record in names.logbook.of_kind(Signature):
        by = record.by
        if by is not None and (told := _number_told(names, by) or _kind_told(names, by)):
            yield Problem(place_of(record, "by"), f"by: {told}", note=True)


def _kind_told(names: Known, who: Person) -> str:
    told = other_kind(names.aircraft, who)
    return f"{told}: is one of them a slip?" if told else ""


def _number_told(names: Known, who: Person) -> str:
    if not (number := other_number(names.aircraft, who)):
        return ""
    told = f"the number of {who.name} is {who.certificate} here and {number} in {names.aircraft.place.file}"
    return f"{told}: is one of them a slip? {had_then(names.aircraft, who)}"


def done_or_not(names: Known) -> Iterator[Problem]:
    """A check that one entry says was done, under `did` or under a former id, and answers otherwise."""
    now = names.logbook.id_now
    for record in names.logbook.of_kind(PageRecord):
        answers = record.results if record.only_done is None else ()
        did = set(map(now, (*record.did, *(each.check for each in answers if each.answer == DONE))))
        for each in answers:
            if each.answer != DONE and now(each.check) in did:
                told = f"`{each.check}` is {each.answer} here, and the same entry says that it was done"
                cure = "until one of them is corrected it was not, and what it would make owed is owed"
                yield Problem(each.place, f"results: {told}: {cure}")


def done_twice(names: Known) -> Iterator[Problem]:
    """A check that one entry says was done twice: in what order it stands to the others, nothing says."""
    for record in names.logbook.of_kind(PageRecord):
        seen: set[str] = set()
        for check in map(names.logbook.id_now, record.did if len(record.did) > 1 else ()):
            if check in seen:
                told = f"`{check}` is named twice: name it once; what was done twice is two entries"
                yield Problem(place_of(record, "did"), f"did: {told}")
            seen.add(check)


def _unmarked(names: Known, record: Record) -> Iterator[tuple[str, Place]]:
    """The checks of a record with a date that their part carries, which they do not ask for; and where it stands."""
    said: list[tuple[str, Place]] = []
    if isinstance(record, PageRecord):
        # Of what the record does not say that it was done another problem is told.
        said = [(check, place_of(record, "next", check)) for check in record.next if check in record.did]
        said += [(each.check, each.place) for each in record.results if each.good_until and each.answer == DONE]
    elif isinstance(record, BroughtForward):
        said = [(name, place_of(record, "last", name)) for name, each in record.last.items() if each.good_until]
    for name, place in said:
        check = names.logbook.checks.get(names.logbook.id_now(name))
        if check is not None and not check.marked and check.retired is None:
            yield check.id, place


def marked_dates(names: Known) -> Iterator[Problem]:
    """Dates that parts carry, so far ahead that the year must be a slip: nothing would be due for a lifetime."""
    for record in names.logbook.records:
        if isinstance(record, PageRecord):
            told = [(place_of(record, "next", check), "next", date) for check, date in record.next.items()]
            told += [(each.place, "good-until", each.good_until) for each in record.results if each.good_until]
        elif isinstance(record, BroughtForward):
            lasts = [(name, each.good_until) for name, each in record.last.items() if each.good_until]
            told = [(place_of(record, "last", name), "good-until", date) for name, date in lasts]
        elif isinstance(record, Stock) and record.good_until:
            told = [(place_of(record, "good-until"), "good-until", record.good_until)]
        else:
            continue
        for check, place in _unmarked(names, names.logbook.as_written(record)):
            words = f"`{check}` is not `every: as marked`: what it says of when that is due counts for nothing"
            yield Problem(place, words, note=True)
        for place, key, date in told:
            if not may_be_marked(date, record.date):
                years = date.year - record.date.year
                yield Problem(place, f"{key}: {date} is {years} years after {record.date}: is the year right?")


# The first inspection may begin before there is a certificate, and no longer ago.
YEAR = dt.timedelta(days=366)
# Of so many records dated after today it is the clock that is wrong.
FEW = 2


def clock_behind(records: Iterable[Record], today: dt.date) -> str | None:
    """That a clock cannot be right which says `today`; None if it can.

    A day's difference is left to the time zones, and two wrong dates to whoever typed them.
    """
    later = sorted(
        (record.entered or record.date, record.name)
        for record in records
        if (record.entered or record.date) > today + dt.timedelta(days=1)
    )
    if len(later) <= FEW:
        return None
    date, name = later[-1]
    told = f"today is {today} by this computer, and {len(later)} records were written later"
    return f"{told}, the last of them, {name}, on {date}: is its clock right?"


def future(names: Known, today: dt.date) -> Iterator[Problem]:
    """Records, entries, pages and a certificate dated after today."""
    if names.aircraft.certificate_date > today:
        told = f"certificate-date: {names.aircraft.certificate_date} is in the future"
        yield Problem(names.aircraft.place, told)
    for record in names.logbook.records:
        if record.date > today:
            yield Problem(place_of(record, "date"), f"date: {record.date} is in the future")
        if record.entered is not None and record.entered > today:
            yield Problem(place_of(record, "entered"), f"entered: {record.entered} is in the future")
        for place, key, date in _told_done(record):
            if date > today:
                yield Problem(place, f"{key}: {date} is in the future")
    for gone in names.logbook.withdrawn:
        if gone.date > today:
            yield Problem(gone.place, f"withdrawn: {gone.date} is in the future")
        # A slip of the date, or a clock that was ahead, may be why it was withdrawn: then its day is still to come.
        # That it was entered on a later day is no fault: so it stands where both were written down later, with --on.
        if gone.date < gone.record.date <= today:
            told = f"withdrawn: {gone.date} is before {gone.record.date}, when it was done"
            yield Problem(gone.place, told, note=True)
    for page in names.logbook.pages:
        if page.begun > today:
            yield Problem(place_of(page, "begun"), f"begun: {page.begun} is in the future")


def withdrawals(names: Known) -> Iterator[Problem]:
    """A finding or a signature, which are not withdrawn: the one is cleared, the other counts or does not."""
    for gone in names.logbook.withdrawn:
        record = gone.record
        found = [record.finding] if isinstance(record, FindingRecord) else []
        found += record.findings if isinstance(record, PageRecord) else ()
        for finding in found:
            if finding.stands:
                told = f"{finding.id} is withdrawn, and a finding is cleared instead: {finding.text[:60]}"
                cure = "put the file back without its `withdrawn`, then clear it: inspect-kit finding"
                yield Problem(gone.place, f"withdrawn: {told}. If nothing else says it, {cure}")
        if isinstance(record, Signature):
            yield Problem(gone.place, "withdrawn: a signature stays; one that is none counts for nothing")


def _told_done(record: Record) -> Iterator[tuple[Place, str, dt.date]]:
    """What a record says was done on a day that is not its own: a flight, a finding put right, a directive."""
    check = record.flight_check
    if check is not None and check.date is not None:
        yield check.place, "flight-check: done", check.date
    if isinstance(record, Directive) and record.done_on is not None:
        yield place_of(record, "done-on"), "done-on", record.done_on
    if isinstance(record, Stock) and record.opened_on is not None:
        yield place_of(record, "opened-on"), "opened-on", record.opened_on
    findings = record.findings if isinstance(record, PageRecord) else ()
    for finding in (record.finding,) if isinstance(record, FindingRecord) else findings:
        if finding.cleared is not None:
            yield finding.place, "cleared", finding.cleared.date
    for reference, cleared in record.cleared.items() if isinstance(record, PageRecord) else ():
        yield place_of(record, "clears", reference), "clears", cleared.date


def references(names: Known) -> Iterator[Problem]:
    """People who are not there, and ids that nobody ever had, below the keys; see `audit.kinds` for those under one."""
    for record in map(names.logbook.as_written, names.logbook.records):
        yield from _by(names, record)
        if isinstance(record, PageRecord):
            yield from _page(names, record)
        if isinstance(record, FindingRecord):
            yield from _finding(names, record.finding, record.place, record)
        flown = record.flight_check
        for name in flown.of if flown is not None else ():
            if flown is not None and name not in names.by_name:
                yield Problem(flown.place, f"flight-check: of: {names.no_record(name)}")
        if isinstance(record, Signature):
            yield from _signed_before(names, record)
        for item in record.last if isinstance(record, BroughtForward) else ():
            if item not in names.aircraft.inspections:
                fault = missing_ever(names, (CHECK,), item)
                if fault and (near := did_you_mean(item, names.aircraft.inspections)):
                    fault = f"no check is called `{item}`{near}"
                yield from each_fault(place_of(record, "last", item), (fault,), "last")


def _by(names: Known, record: Record) -> Iterator[Problem]:
    """`by: NAME` wants a name that aircraft.yaml knows; whoever else it was is written with kind or certificate.

    Whoever signed a paper logbook is named as the paper names them.
    """
    by = None if isinstance(record, PaperEntry) else record.by
    if by is not None and (told := names.aircraft.taken_from(by)):
        yield Problem(place_of(record, "by"), f"by: {told}: is `{by.name}` another name of theirs (`was` of `people`)?")
    for key in by.ssh if by is not None else ():
        yield from each_fault(place_of(record, "by"), (key_fault(key) or None,), "by.ssh")
    if by is None or by.kind or by.certificate or names.aircraft.person(by.name):
        return
    as_mapping = ("by", "name") in record.lines
    if as_mapping:
        return
    known = [name for person in names.aircraft.people for name in (person.name, *person.was)]
    # Records stay as they are: whoever left stays in the list.
    kept = "; whoever has left stays under `people` with `retired: DATE`; else give name, kind and certificate here"
    told = f"by: nobody of aircraft.yaml is called `{by.name}`{did_you_mean(by.name, known) or kept}"
    yield Problem(place_of(record, "by"), told)


def _page(names: Known, record: PageRecord) -> Iterator[Problem]:
    checks = names.ever[CHECK]
    for word in record.disturbed:
        yield from each_fault(place_of(record, "disturbed", word), (undisturbable(names, word),), "disturbed")
    for result in record.results:
        if result.check not in checks:
            yield from each_fault(result.place, (_missing(names, record, CHECK, result.check),), "results")
        if result.disturbed:
            yield from each_fault(result.place, (undisturbable(names, word) for word in result.disturbed), "disturbed")
    for box in record.boxes:
        verb, name = box_of(box.check)
        kinds = (PANEL,) if verb else (CHECK,)
        if "#" not in name and name not in names.ever[kinds[0]]:
            yield from each_fault(box.place, (_missing(names, record, kinds[0], name),), "boxes")
    for check, place in {reading.check: reading.place for reading in reversed(record.readings)}.items():
        if check not in checks:
            yield from each_fault(place, (_missing(names, record, CHECK, check),), "readings")
    for result in record.results:
        known = names.logbook.checks.get(names.logbook.id_now(result.check)) if result.repaired else None
        if known is not None:
            yield from unknown_labels(known, result.repaired, result.place)
    for finding in record.findings:
        yield from _finding(names, finding, finding.place, record)
    told = (*record.did, *(each.check for each in record.results if each.answer == DONE))
    done = set(map(names.logbook.id_now, told))
    for check in record.next:
        if check in checks and names.logbook.id_now(check) not in done:
            near = did_you_mean(check, record.did) or ": name it under `did`, or take its date out"
            what = f"next: a date of `{check}`, and the record does not say that it was done{near}"
            yield Problem(place_of(record, "next", check), what)


def _finding(names: Known, finding: Finding, place: Place, record: Record) -> Iterator[Problem]:
    def at(key: str) -> Place:
        return place_of(record, key) if isinstance(record, FindingRecord) else place

    # A finding may stand under the box of an earlier one that is still open: then `check` names that.
    if finding.check is not None and "#" not in finding.check:
        yield from each_fault(at("check"), (_missing(names, record, CHECK, finding.check),), "check")
    if finding.panel is not None:
        yield from each_fault(at("panel"), (_missing(names, record, PANEL, finding.panel),), "panel")
    yield from each_fault(at("fix"), (fix_fault(names, finding.fix, record.date),), "fix")
    if finding.recheck and finding.check is None:
        told = "stands under no check, which could be done again: name the `check`, or leave it out"
        yield Problem(at("recheck"), f"recheck: {finding.id} {told}")


def _missing(names: Known, record: Record, kind: str, name: str) -> str | None:
    """Why a record may not name this; of what was sealed `lost` tells it, once for all."""
    return None if names.is_whole(record) else missing_ever(names, (kind,), name)


def lost(names: Known) -> Iterator[Problem]:
    """What sealed records say was done, left owed, read or found at a check or a panel of which nothing is left in the
    checklists.

    It was there when they were sealed: told once, of the newest of them, and at the checklists, which are wrong.
    """
    if any(place.file.startswith("checklists/") for place in names.logbook.lost):
        # One that cannot be read is told itself, and holds them perhaps.
        return
    newest: dict[tuple[str, str], Place] = {}
    for record in names.logbook.of_kind(PageRecord):
        if names.is_whole(record):
            for kind, name, place in _named(record):
                if name not in names.ever[kind]:
                    newest[kind, name] = place
    for (kind, name), place in newest.items():
        told = missing_ever(names, (kind,), name)
        if told is not None:
            yield Problem(Place("checklists"), f"{told}. It was there when {place} was sealed: its lines are lost")


def _named(record: PageRecord) -> Iterator[tuple[str, str, Place]]:
    """Every check and panel that a record names, with the line."""
    yield from ((CHECK, each.check, each.place) for each in record.results)
    yield from ((CHECK, each.check, each.place) for each in record.readings)
    yield from ((CHECK, name, place_of(record, "did", name)) for name in record.did)
    yield from ((CHECK, name, place_of(record, "next", name)) for name in record.next)
    yield from ((CHECK, name, place_of(record, "left-owed", name)) for name in record.left_owed)
    yield from ((PANEL, name, place_of(record, "opened", name)) for name in panels_opened(record))
    for box in record.boxes:
        verb, name = box_of(box.check)
        if "#" not in name:
            yield PANEL if verb else CHECK, name, box.place
    for each in record.findings:
        yield from ((CHECK, name, each.place) for name in (each.check,) if name is not None and "#" not in name)
        yield from ((PANEL, name, each.place) for name in (each.panel,) if name is not None)


def _signed_before(names: Known, record: Signature) -> Iterator[Problem]:
    what = names.by_name.get(record.of)
    if what is None or what is record:
        # Told among the references of keys, in `audit.kinds`.
        return
    if record.date < (signed := names.logbook.as_written(what)).date:
        told = f"date: {record.date} is before {signed.date}, the date of what is signed ({what.place})"
        yield Problem(place_of(record, "date"), told)


def reference_names(names: Known) -> Iterator[Problem]:
    """Records with findings whose file name could not be written into a worksheet or another record."""
    for reference in names.findings:
        record = names.by_name[reference.rpartition("#")[0]]
        if not re.fullmatch(REF_PATTERN, reference):
            told = f"`{record.name[:60]}` has findings, and no page could name it: give the file a plain name"
            yield Problem(Place(record.place.file), told)


def clearances(names: Known) -> Iterator[Problem]:
    """Findings cleared that nobody found, that were cleared where they stand, or cleared before they were found.

    Two records that clear one finding agree: each was written where the other was not known, in two clones perhaps.
    """
    found_in = {reference: names.by_name.get(reference.rpartition("#")[0]) for reference in names.findings}
    first: dict[str, Place] = {}
    for reference, finding in names.findings.items():
        if finding.cleared is not None:
            first[reference] = finding.place
            record = found_in[reference]
            since = (record.begun if isinstance(record, PageRecord) else None) or (record.date if record else None)
            if since is not None and finding.cleared.date < since:
                told = f"cleared: {finding.cleared.date} is before {since}, when {finding.id} can have been found"
                yield Problem(finding.place, told)
    for record in names.logbook.of_kind(PageRecord):
        for reference in dict.fromkeys(record.clears):
            place = place_of(record, "clears", reference)
            found = found_in.get(reference)
            if found is None:
                yield Problem(place, f"clears: {names.no_finding(reference)}")
                continue
            cleared = record.cleared.get(reference)
            date = cleared.date if cleared else record.date
            if date < found.date:
                yield Problem(place, f"clears: {date} is before {found.date}, when it was found ({found.place})")
            elif names.logbook.is_before_found(record, reference):
                told = "was done before it was found that day, by what was read or by `follows` or `precedes`"
                yield Problem(place, f"clears: `{reference}` {told} ({found.place})")
            if reference in first:
                yield Problem(place, f"clears: `{reference}` is cleared already in {first[reference]}")
