"""`sign`: what is missing, or the statement and the sealed page; with `--not-passed` how much nobody has looked at."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import click

from inspect_kit import store
from inspect_kit.audit import changes_since
from inspect_kit.cli.certified import refuse_ended
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import NONE_BEFORE, as_entered, given_order, said_after, say_taken, with_order
from inspect_kit.cli.entries import clock_question, parse_readings, refuse_total, split_words
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import full_name, nearest_person
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import asked, say, somebody
from inspect_kit.cli.sheets import find_page
from inspect_kit.cli.shown import dated, show
from inspect_kit.cli.sign_asked import (
    ask_of_page,
    ask_unusual,
    findings_left,
    not_looked_at,
    reasons_left,
    refuse_nothing_fitted,
)
from inspect_kit.cli.signatures import record_signature, refuse_no_public_key
from inspect_kit.cli.signed_draft import WayToClose, drafted, seal
from inspect_kit.cli.typed import REASON
from inspect_kit.due import due as due_of
from inspect_kit.due import order_matters, unordered
from inspect_kit.errors import NO, InspectKitError, Misused
from inspect_kit.inspection import edit
from inspect_kit.inspection.owed import not_answered
from inspect_kit.model.aircraft import Identity
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.worksheet import JOB_WORK, Worksheet
from inspect_kit.report import left_sentences
from inspect_kit.report.naming import flight_check_words
from inspect_kit.report.pages.signing import missing_page, statement_page
from inspect_kit.rules import profile_of, signer_reminder
from inspect_kit.text.grammar import Unreadable
from inspect_kit.text.page_values import parse_logbook_page, parse_reason


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
        ask_unusual(logbook, desk.on, meters, "give the reading as it is", asked=True)
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
    way = WayToClose(
        signer=signer, passed=not not_passed, closing=close, new_meters=new_meters, read_now=frozenset(meters)
    )
    shown = drafted(desk, loaded, logbook, edit.name_findings(sheet), way)
    if shown.gaps:
        panels = {panel.id: panel.name for panel in logbook.panels.values()}
        is_work, gaps = sheet.page.job == JOB_WORK, edit.as_it_stands(shown.gaps, shown.sheet, lies)
        told = missing_page(sheet.page.place.file, gaps, panels, everything=everything, work=is_work)
        show(dated(told, desk.on, _job_words(logbook.aircraft.identity, sheet)), paged=False)
        return desk.code(NO)
    if isinstance(shown.record, Inspection) and shown.record.by is not None:
        refuse_ended(shown.record.by, shown.record.date, logbook.aircraft)
    if ssh_key and (known := logbook.aircraft.person(signer)) is not None:
        # Whoever may not sign at all has been told that: a key would not help.
        refuse_no_public_key(known.ssh, known.name)
    states = isinstance(shown.record, Inspection) and shown.record.passed
    today = due_of(logbook, desk.on, expect=False) if states else None
    if today is not None:
        refuse_nothing_fitted(today)
    did = not close or any(entry.ticked and not entry.answer for entry in sheet.page.checks)
    ask_of_page(
        _until(logbook, shown.record), sheet.page, meters, shown.record if did else None, lies.page.meters
    )
    if order := _order_told(desk, logbook, shown.record, follows):
        way = replace(way, order=order)
        shown = drafted(desk, loaded, logbook, shown.sheet, way)
    record = shown.record
    kinds = profile_of(logbook.aircraft).kinds
    reminder = signer_reminder(record.by, kinds) if record.by and isinstance(record, Inspection) else ""
    flight = flight_check_words(logbook.aircraft, record.flight_check)
    before = len(findings_left(logbook, record))
    told = statement_page(logbook, record, reminder, open_before=before, flight=flight)
    show(dated(told, desk.on, _job_words(logbook.aircraft.identity, sheet)), paged=False)
    if not_passed:
        say(not_looked_at(logbook, sheet.page), bold=True)
    for sentence in left_sentences(not_answered(logbook, shown.sheet.page), logbook):
        say(sentence)
    for left in reasons_left(today, logbook, record) if today is not None else ():
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


def _until(logbook: Logbook, record: PageRecord) -> Logbook:
    """The logbook without what came later on the day of a record: there time in service reads more."""
    clock = logbook.aircraft.time_in_service
    read, total = logbook.meter_history(clock).at_record, record.totals.get(clock)
    named = {each.name for each in logbook.records if each.date == record.date}
    later = {name for name, each in read.items() if name in named and total is not None and each.total > total}
    return logbook.up_to(lambda each: each.name not in later) if later else logbook


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


def _job_words(identity: Identity, sheet: edit.OpenPage) -> str:
    return f"{sheet.page.job_name}, {identity.registration}"
