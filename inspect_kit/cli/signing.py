"""`sign`: what is missing, or the statement and the sealed page; with `--not-passed` how much nobody has looked at."""

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from decimal import Decimal
from pathlib import Path
from typing import TypedDict

import click

from inspect_kit import store
from inspect_kit.audit import changes_since, meter_problems
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import NONE_BEFORE, as_entered, given_order, said_after, say_taken, with_order
from inspect_kit.cli.entries import clock_question, parse_readings, refuse_total, split_words
from inspect_kit.cli.odd_parts import odd_parts_of
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import full_name, nearest_person
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import asked, confirmed, say, somebody
from inspect_kit.cli.sheets import find_page
from inspect_kit.cli.shown import dated, show
from inspect_kit.cli.signatures import record_signature, refuse_no_public_key, ssh_signature
from inspect_kit.cli.typed import REASON
from inspect_kit.cli.unusual import not_so, unusual_meters
from inspect_kit.due import (
    RECHECK,
    chronicle,
    offsets_of_day,
    order_matters,
    past_limits,
    readings_before,
    totals_before,
    unordered,
)
from inspect_kit.due import due as due_of
from inspect_kit.due.answer import (
    STOP_BARRED,
    STOP_CHANGE,
    STOP_DIRECTIVE,
    STOP_EMPTY,
    STOP_GONE,
    STOP_LIFE,
    STOP_OWED,
    DueAnswer,
)
from inspect_kit.due.stops import passenger_seats
from inspect_kit.errors import NO, InspectKitError, Misused, Refused
from inspect_kit.inspection import edit
from inspect_kit.inspection.missing import missing, missing_for_discrepancies, touching
from inspect_kit.inspection.owed import not_answered
from inspect_kit.inspection.sealing import marked_on, over_already, record_of
from inspect_kit.inspection.signing import Request
from inspect_kit.inspection.walk import progress
from inspect_kit.model.aircraft import Identity, Person
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import slipped
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import FileSum
from inspect_kit.model.worksheet import CLOSING, JOB_WORK, OPENING, Missing, Worksheet
from inspect_kit.noun import dataclass
from inspect_kit.report import left_sentences
from inspect_kit.report.pages.signing import missing_page, statement_page
from inspect_kit.report.words import counted
from inspect_kit.rules import profile_of, signer_reminder
from inspect_kit.text.grammar import Unreadable
from inspect_kit.text.page_values import parse_logbook_page, parse_reason
from inspect_kit.text.record import write_record


def _owed_meanwhile(logbook: Logbook, page: Worksheet, on: dt.date) -> Iterator[str]:
    """A question for each ticked check that a record made owed, or to be looked at again, while the page was open."""
    ticked = {logbook.id_now(entry.id) for entry in page.checks if entry.ticked and not entry.answer}
    files = {record.place.file: record for record in logbook.records if record.date >= page.begun}
    same = [each for each in logbook.of_kind(Inspection) if (each.sheet, each.begun) == (page.name, page.begun)]
    signed = {check: each.date for each in same for check in chronicle(logbook).sequences.get(each.name, ())}
    for item in due_of(logbook, on, expect=False).items if files else ():
        check = item.check.partition("/")[0]
        if check in ticked and (item.owed or item.kind == RECHECK):
            places = [item.place, *(place for line in item.lines for place in line.places)]
            since = [files[place.file] for place in places if place.file in files]
            if check not in signed:
                # Its box was empty when this page itself was sealed as not passed: ticked now, it was done after that.
                since = [each for each in since if each not in same]
            if since:
                why = f"{since[-1].name} of {since[-1].date}, written while this page was open"
                what = "is owed after" if item.owed else "is to be looked at again by"
                told = f"`{check}` {what} {why}"
                if check in signed:
                    # On this page it would count from the first signature on, whatever is answered.
                    told += f", and was signed for on {signed[check]}: it stays so until `work {check}` says that it"
                    yield f"{told} was done since. Sign all the same?"
                else:
                    yield f"{told}. Was it done, as it is ticked, after that?"


# Reasons not to fly that are no matter of a page, but for those of the checks that are done on it.
NOT_OF_THE_PAGE = (STOP_GONE, STOP_DIRECTIVE, STOP_OWED, STOP_LIFE, STOP_BARRED, STOP_CHANGE)


def _refuse_empty(answer: DueAnswer) -> None:
    """Refused where nothing is fitted in a position without which nobody may fly: a statement speaks of all of it."""
    for stop in answer.stops:
        if stop.kind == STOP_EMPTY:
            told = f"nothing was sealed: {stop.text} ({stop.place}); a statement speaks of the whole aircraft"
            raise Refused(f"{told}: write down what is fitted there, `inspect-kit install POSITION`")


def _reasons_left(before: DueAnswer, logbook: Logbook, record: PageRecord) -> Iterator[str]:
    """The reasons not to fly that an inspection which passes does not touch: a life, a directive, a major change; and
    what bars passengers. `before` is the due list of the day without it.
    """
    done = {logbook.checks[each.check].place for each in record.results if each.check in logbook.checks}
    # What the page itself reads brings a life or a limit to its end; what it makes owed is told by its own words.
    after = due_of(logbook.with_records((*logbook.records, record)), before.on, expect=False)
    for kind, answer in ((STOP_OWED, before), *((each, after) for each in NOT_OF_THE_PAGE if each != STOP_OWED)):
        for stop in answer.stops:
            if stop.kind == kind and stop.place not in done:
                yield f"{stop.text}: a reason on record not to fly"
    for seats in passenger_seats(before.no_passengers):
        yield f"{seats.check}, {seats.why}: passengers are barred"


def _left_open(logbook: Logbook, record: PageRecord) -> list[str]:
    """The findings of earlier records that this one does not clear, or only puts off."""
    logbook = logbook.up_to(lambda each: each.date <= record.date)
    cleared = {name for name in record.clears if (how := record.cleared.get(name)) is None or not how.put_off}
    return [reference for reference in logbook.standing() if reference not in cleared]


@click.command()
@click.argument("words", metavar="[PAGE] [METER=READING...]", nargs=-1)
@click.option("--not-passed", is_flag=True, help="Seal a list of discrepancies, no statement.")
@click.option("--closed", is_flag=True, help="Close the page: what is not ticked was not done.")
@shared("reason", "follows", "as", "ink", "ssh-key", "all", reason={"type": REASON, "default": ""})
@click.pass_obj
def sign(
    desk: Desk,
    words: tuple[str, ...],
    follows: tuple[str, ...],
    signer: str,
    ink: str,
    ssh_key: str | None,
    not_passed: bool,
    closed: bool,
    reason: str,
    everything: bool,
) -> int:
    """Say what is missing; or show the statement, and seal the page.

    \b
    sign --as "Your Name" --ink "aircraft log p. 44"
    sign --as "Your Name" --not-passed      seals what was found, without a statement
    sign --as "Your Name" --closed --reason "begun by mistake"
    sign tach=304.3 --as "Your Name"        read again since the page was begun
    """
    desk.entry_day()
    if not_passed and closed:
        raise Misused("--not-passed seals what an inspection found, --closed that nothing was done: one of the two")
    if reason and not closed:
        raise Misused("--reason says why a page is closed: give --closed with it, or leave it out")
    if ink and ssh_key:
        raise Misused("a signature is in ink (--ink) or by an SSH key (--ssh-key), one of the two: nothing was sealed")
    if ssh_key:
        # A key that is none is known before anything is read, asked or typed.
        store.refuse_no_key(Path(ssh_key))
    loaded, logbook = desk.loaded()
    names, given = split_words(words)
    if len(names) > 1:
        raise Misused(f"one page is signed at a time: give {' or '.join(names)}")
    sheet, read = find_page(loaded, logbook, names[0] if names else "")
    if not_passed and sheet.page.job == JOB_WORK:
        how = "sign this page of work, what is open on it corrected or put off"
        raise Misused(f"--not-passed is of an inspection: {how}, or end it with --closed, which keeps its findings")
    lies = sheet
    refuse_total(logbook, desk.on, given)
    meters = parse_readings(given, logbook.aircraft.meters) if given else {}
    close = (reason or _why_closed()) if closed else ""
    signer = full_name(logbook, signer) if signer else _who_signs(logbook, sheet.page)
    changed = {name: [*changes_since(logbook, sheet.page, name)] for name in sheet.page.meters}
    if somebody() and not close:
        as_read = {name for name, changes in changed.items() if all(after for _, after in changes)}
        meters |= _read_now(logbook, sheet.page, desk.on, meters, as_read)
    if meters:
        _ask_unusual(logbook, desk.on, meters, "give the reading as it is", asked=True)
        for name, reads in meters.items():
            begun = sheet.page.meters.get(name)
            if begun is not None and reads < begun and all(after for _, after in changed[name]):
                raise Misused(f"{name} {reads} is below {begun}, which the page has: correct the one that is wrong")
    for name, changes in () if close else changed.items():
        if name not in meters and any(each.date < desk.on and not after for each, after in changes):
            old = sheet.page.meters[name]
            why = f"{name} was changed on {changes[-1][0].date}, and the page has {old}, of the old one"
            line = desk.typed(f"sign {name}=READING")
            raise Misused(f"{why}: say what it reads now, `{line}`")
    new_meters = _of_the_new(sheet.page, meters, changed, desk.on)
    if meters:
        sheet = edit.read_meters(sheet, meters)
    if close:
        sheet = edit.leave_undone(sheet, close)
    way = WayToClose(signer=signer, passed=not not_passed, closing=close, new_meters=new_meters)
    shown = drafted(desk, loaded, logbook, edit.name_findings(sheet), way)
    if shown.gaps:
        panels = {panel.id: panel.name for panel in logbook.panels.values()}
        is_work, gaps = sheet.page.job == JOB_WORK, edit.as_it_stands(shown.gaps, shown.sheet, lies)
        told = missing_page(sheet.page.place.file, gaps, panels, everything=everything, work=is_work)
        show(dated(told, desk.on, _job_words(logbook.aircraft.identity, sheet)), paged=False)
        return desk.code(NO)
    if ssh_key and (known := logbook.aircraft.person(signer)) is not None:
        # Whoever may not sign at all has been told that: a key would not help.
        refuse_no_public_key(known.ssh, known.name)
    states = isinstance(shown.record, Inspection) and shown.record.passed
    today = due_of(logbook, desk.on, expect=False) if states else None
    if today is not None:
        _refuse_empty(today)
    _ask_of_page(logbook, sheet.page, meters, None if close else desk.on)
    if order := _order_told(desk, logbook, shown.record, follows):
        way = replace(way, order=order)
        shown = drafted(desk, loaded, logbook, shown.sheet, way)
    record = shown.record
    kinds = profile_of(logbook.aircraft).kinds
    reminder = signer_reminder(record.by, kinds) if record.by and isinstance(record, Inspection) else ""
    told = statement_page(record, reminder, open_before=len(_left_open(logbook, record)))
    show(dated(told, desk.on, _job_words(logbook.aircraft.identity, sheet)), paged=False)
    if not_passed:
        say(_not_looked_at(logbook, sheet.page), bold=True)
    for sentence in left_sentences(not_answered(logbook, shown.sheet.page), logbook):
        say(sentence)
    for left in _reasons_left(today, logbook, record) if today is not None else ():
        say(f"!! {left}, and this signature leaves it so.", bold=True)
    if not (ink or ssh_key or close) and somebody():
        where = "Where it is signed in ink: logbook and page"
        place = Question(name="ink", words=where, read=parse_logbook_page, otherwise="later, with `signature`")
        ink = answers({}, [place])["ink"] or ""
    typed = asked(f'Type the name "{signer}" to sign, anything else to stop', default="")
    if typed is None or " ".join(typed.split()) != " ".join(signer.split()):
        say("Not signed; nothing was changed.", err=True)
        return desk.code(NO)
    name, armour = seal(desk, shown, read, way, Path(ssh_key) if ssh_key else None)
    say(f"Sealed: {name}")
    if not_passed:
        again = desk.typed('finding F1 --cleared HOW --by "NAME"')
        say(f"The page stays open: clear each finding on it, such as {again}, do what is left, then sign it again.")
    if not (ink or ssh_key):
        _say_unsigned(desk, name, record, passed=not not_passed)
        return desk.code(0)
    try:
        say(f"Signature: {record_signature(desk, name, ink=ink, key=None, armour=armour, signer='')}")
    except InspectKitError as error:
        raise type(error)(f"sealed: {name}; its signature was not recorded: {error}") from error
    return desk.code(0)


def _why_closed() -> str:
    why = Question(name="reason", words="Why is it closed", read=parse_reason, required=True)
    found: str = answers({}, [why])["reason"]
    return found


def _read_now(
    logbook: Logbook, page: Worksheet, on: dt.date, given: Mapping[str, Decimal], as_read: set[str]
) -> dict[str, Decimal]:
    """What each meter of the page, and that of time in service, reads now, asked where it was not given.

    Engine runs and days lie between. What the page has stands for those that `as_read` names, unless it is said anew.
    """
    clock, found = logbook.aircraft.time_in_service, {}
    unread = [each for each in (*page.meters, *((clock,) if clock not in page.meters else ())) if each not in given]
    for meter in unread:
        now = clock_question(logbook, on, meter)
        if meter in as_read:
            now = replace(now, words=f"{meter} reads now", otherwise=f"{page.meters[meter]:f}, as on the page")
        if (reads := answers({}, [now])[meter]) is not None:
            found[meter] = reads
    return found


def _ask_of_page(
    logbook: Logbook, page: Worksheet, read: Mapping[str, Decimal], on: dt.date | None
) -> None:
    """Misused unless somebody says that what is unusual on the page is right; it was written by an editor perhaps, and
    asked by nobody. `read` are the meters that were asked; without a day the page is closed and does nothing.
    """
    unasked = {name: reads for name, reads in page.meters.items() if name not in read}
    _ask_unusual(logbook, page.begun, unasked, f"correct the reading in {page.place.file}")
    for told in odd_parts_of(logbook, page):
        if not confirmed(f"{told} Is it right?"):
            raise Misused(f"nothing was sealed: correct what was used in {page.place.file}")
    for told in () if on is None else _slipped(logbook, page, on):
        if not confirmed(f"{told} Is it right?"):
            raise Misused(f"nothing was sealed: correct the reading in {page.place.file}")
    for told in () if on is None else over_already(marked_on(logbook, page), on):
        if not confirmed(f"{told} Is it right?"):
            raise Misused(f"nothing was sealed: correct the date in {page.place.file}")
    for question in () if on is None else _owed_meanwhile(logbook, page, on):
        if not confirmed(question):
            raise Misused(f"nothing was sealed: do it, and write that down, before {page.place.file} is signed")


def _slipped(logbook: Logbook, page: Worksheet, on: dt.date) -> Iterator[str]:
    """What speaks for a slip in a reading within its limit, which `walk` asks back and an editor does not."""
    earlier = readings_before(logbook, on)
    for entry in page.checks:
        check = logbook.checks.get(logbook.id_now(entry.id)) if entry.ticked and not entry.answer else None
        for label, number in entry.numbers().items() if check is not None else ():
            if check is not None and (told := slipped(check, label, number, earlier.get((check.id, label), ()))):
                yield told


def _of_the_new(
    page: Worksheet,
    meters: Mapping[str, Decimal],
    changed: Mapping[str, Sequence[tuple[MeterChange, bool]]],
    on: dt.date,
) -> frozenset[str]:
    """The meters changed that day of which less is read than the page has of the old one: it is of the new one."""
    return frozenset(
        name
        for name, reads in meters.items()
        if reads < page.meters.get(name, reads) and any(each.date == on for each, _ in changed[name][-1:])
    )


def _say_unsigned(desk: Desk, name: str, record: PageRecord, *, passed: bool) -> None:
    line = desk.typed(f"signature {Path(name).stem} --ink REFERENCE")
    alone = "It is a list of discrepancies, and counts for no inspection, signed or not; its signature is recorded"
    say(f"{'Sealed is not signed: record the signature' if passed else alone} with `{line}`.")
    if any(how.put_off for how in record.cleared.values()) and not isinstance(record, Inspection):
        say("Until then what it puts off stands as it was found, where that is sooner.")


def _order_told(desk: Desk, logbook: Logbook, record: PageRecord, given: Sequence[str]) -> Mapping[str, bool]:
    """Of records of its day whether a page came after them, where that matters: as given, or asked at a terminal."""
    told = given_order(logbook, given)
    if NONE_BEFORE in given:
        return told | dict.fromkeys(unordered(logbook, with_order(record, told)), False)
    matter = order_matters(logbook, with_order(record, told), desk.today)
    asked_now = {name: said_after(logbook, name, "do not sign now, but") for name in matter if name not in told}
    order = {**told, **asked_now}
    if given:
        return order
    taken = as_entered(logbook, record, order)
    say_taken(logbook, with_order(record, taken), order, "do not sign now, but")
    return taken


def _who_signs(logbook: Logbook, page: Worksheet) -> str:
    """Whoever signs, asked: the inspector of the page, unless another one is named; one of aircraft.yaml."""

    def read(typed: str) -> str:
        if logbook.aircraft.person(typed) is None:
            near = nearest_person(logbook, typed)
            hint = f"; did you mean `{near}`?" if near else ": whoever signs stands under `people`"
            raise Unreadable(f"nobody of aircraft.yaml is called `{typed}`{hint}")
        return typed

    # Nothing is signed by it: the name is typed at the end.
    asked_for = Question(name="as", words="Who signs", read=read, default=page.inspector, required=True)
    found: str = answers({}, [asked_for])["as"]
    return found


def _not_looked_at(logbook: Logbook, page: Worksheet) -> str:
    """How much of a page nobody has answered, and what is off: its list of discrepancies speaks of the rest alone."""
    done, boxes = progress(logbook, page)
    closed = {entry.id for entry in page.entries if entry.verb in CLOSING and not entry.ticked}
    opened = [entry.id for entry in page.entries if entry.verb in OPENING and entry.ticked]
    off = dict.fromkeys(name for name in opened if name in closed)
    told = f"Not looked at or not finished: {boxes - done} of {counted(boxes, 'box', 'boxes')}"
    return f"{told}; off or set up: {', '.join(off)}." if off else f"{told}; nothing is off."


def _ask_unusual(
    logbook: Logbook,
    day: dt.date,
    meters: Mapping[str, Decimal],
    cure: str,
    *,
    asked: bool = False,
) -> None:
    """Misused, with what to do, unless somebody says that unusual readings of a day are right; what was `asked` may be
    said anew.
    """
    for question, meter in unusual_meters(logbook, day, meters).items():
        if not confirmed(question):
            told = f"nothing was sealed: {cure}"
            raise not_so(told, meter) if asked else Misused(told)


def _job_words(identity: Identity, sheet: edit.OpenPage) -> str:
    return f"{sheet.page.job_name}, {identity.registration}"


@dataclass(frozen=True, slots=True, kw_only=True)
class WayToClose:
    """How a page is signed: by whom; passed or not; or closed, with the reason why the rest of it was not done.

    `order` says of records of the same day whether it came after them; `new_meters` were changed that day and are read
    as the new ones, though the old ones had that too.
    """

    signer: str
    passed: bool = True
    closing: str = ""
    order: Mapping[str, bool] = field(default_factory=dict)
    new_meters: frozenset[str] = frozenset()

    @property
    def words(self) -> str:
        return "-not-done" if self.closing else "" if self.passed else "-not-passed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What would be sealed, for a person to look at: the record, the page as it would stand beside it, and what it
    rests on, so that a change behind the signer's back is noticed. `gaps` are what is missing; then there is no more.
    """

    sheet: edit.OpenPage
    gaps: tuple[Missing, ...]
    record: PageRecord
    rests_on: Mapping[str, bytes]

    def changed_since(self, shown: "Draft") -> list[str]:
        """The files on which it rests that are not as they were when it was shown."""
        names = sorted({*self.rests_on, *shown.rests_on})
        return [name for name in names if self.rests_on.get(name) != shown.rests_on.get(name)]


# The record has no name before it is sealed.
UNNAMED = "to-be-signed"


def drafted(desk: Desk, loaded: store.Loaded, logbook: Logbook, sheet: edit.OpenPage, way: WayToClose) -> Draft:
    """What signing this page would seal. Refused where that could not stand, or rests on what cannot be read."""
    file = sheet.page.place.file
    request = request_of(logbook, sheet, desk.on, way)
    if unsettled := touching(tuple(desk.told), (*loaded.problems, *meter_problems(logbook)), request):
        told = "\n".join(f"  {problem.place}: {problem.message}" for problem in unsettled)
        raise Refused(f"nothing is signed while what it would seal rests on a problem, mend that first:\n{told}")
    _refuse_signed_before(loaded, logbook, sheet.page)
    sums = store.file_sums(desk.root, file)
    record = record_of(
        request,
        name=UNNAMED,
        entered=desk.today,
        passed=way.passed,
        files=[FileSum(name=each, sha256=digest) for each, digest in sums.items()],
    )
    record = with_order(record, way.order)
    gaps = missing(request) if way.passed else missing_for_discrepancies(request)
    if not gaps:
        name = store.record_name(desk.on, f"{sheet.page.job}{way.words}", store.new_code())
        changes: dict[str, bytes | None] = {name: write_record(record).encode()}
        if way.passed:
            changes[file] = None
        if worse := desk.new_problems(loaded, changes):
            raise Refused(worse.refusal("not signed: once sealed this could not stand"))
    rests_on = {name: data for name, data in loaded.files.items() if not name.startswith("records/open/")}
    return Draft(sheet=sheet, gaps=gaps, record=record, rests_on=rests_on)


def _refuse_signed_before(loaded: store.Loaded, logbook: Logbook, page: Worksheet) -> None:
    """Refused if the page, under this name or another, is one that a sealed record has taken already."""
    digest = store.sha256(loaded.files[page.place.file])
    for record in logbook.of_kind(PageRecord):
        same = (record.sheet, record.begun) == (page.name, page.begun)
        if record.seal and record.seal.page and (same or record.seal.worksheet == digest):
            told = f"this page was signed already as {record.place.file}"
            raise Refused(f"not signed: {told}; write what was done since on a page of its own, or with `work`")


def request_of(logbook: Logbook, sheet: edit.OpenPage, on: dt.date, way: WayToClose) -> Request:
    """The question that signing asks of a page, with the totals recorded before."""
    totals, offsets = totals_before(logbook, on)
    of_day = offsets_of_day(logbook, on, sheet.page.meters)
    return Request(
        logbook=logbook,
        page=sheet.page,
        signer=logbook.aircraft.person(way.signer),
        on=on,
        last_totals=totals,
        offsets=offsets | {name: each for name, each in of_day.items() if name not in way.new_meters},
        closing=way.closing,
        earlier=readings_before(logbook, on),
        named=way.signer,
        past=_past_by_check(logbook),
    )


def _past_by_check(logbook: Logbook) -> dict[str, dict[str, str]]:
    """How each last value on record is past its limit, by check and label."""
    return {
        check: {label: each.told for label, each in labels.items()} for check, labels in past_limits(logbook).items()
    }


def seal(desk: Desk, shown: Draft, read: bytes, way: WayToClose, key: Path | None) -> tuple[str, str]:
    """Make the page the sealed record that was shown; the record's file, and the signature if there is a key.

    Refused if anything that it rests on was changed while the statement was read.
    """
    page = shown.sheet.page.place.file
    with desk.writing("sign") as writer:
        loaded, logbook = desk.loaded()
        if page not in loaded.files:
            gone = "is no longer there: it was signed or moved meanwhile"
            raise Refused(f"not signed: {page} {gone}; `inspect-kit report` shows what was signed last")
        now = drafted(desk, loaded, logbook, shown.sheet, way)
        if changed := now.changed_since(shown):
            files = ", ".join(changed)
            raise Refused(f"not signed: while the statement was read this was changed: {files}. Look again, then sign")
        if now.gaps:
            known = "; ".join(gap.text for gap in now.gaps)
            raise Refused(f"not signed, look again, for meanwhile it became known: {known}")
        if now.record != shown.record:
            raise Refused("not signed: what would be sealed is no longer what was shown. Look again, then sign")
        name = store.record_name(desk.on, f"{shown.sheet.page.job}{way.words}", store.new_code())
        record = replace(now.record, name=name.rsplit("/", 1)[-1].removesuffix(".yaml"))
        text = shown.sheet.text.encode()
        sealing = Sealing(page=page, read=text, record=name, body=write_record(record).encode(), stays=not way.passed)
        armour = ""
        if key is not None:
            # Signed and checked before anything is written.
            by = record.by or Person(name=way.signer)
            armour = ssh_signature(store.sealed_bytes(writer, **sealing), key, by.ssh, by.name, logbook.aircraft)
        if text != read:
            store.replace(writer, page, text, read=read)
        store.sign(writer, **sealing)
    return name, armour


class Sealing(TypedDict):
    """The page that is sealed, the bytes it holds, and the record that it becomes."""

    page: str
    read: bytes
    record: str
    body: bytes
    stays: bool
