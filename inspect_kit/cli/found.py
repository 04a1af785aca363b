"""`finding`: what was found is written down, given its place, cleared or put off, on an open page or as a record."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import field, replace
from decimal import Decimal
from pathlib import Path

import click

from inspect_kit import store
from inspect_kit.cli.called import CHECK, PANEL, id_meant, near_or_find, noun_of_id
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import asking_order, given_order, say_taken, with_told_order
from inspect_kit.cli.entries import pairs, read_as, readings_of_day
from inspect_kit.cli.finding_named import meant_by, the_one
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import person, say_who, who_did, whole_name
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.read_now import Meant, wanted_now
from inspect_kit.cli.said import say
from inspect_kit.cli.sheets import find_page, put
from inspect_kit.cli.typed import REASON
from inspect_kit.cli.unusual import asking, given_or_asked, meant_as_total, sure_of, total_as_read
from inspect_kit.due import totals_before
from inspect_kit.errors import Misused
from inspect_kit.inspection import edit
from inspect_kit.inspection.people import known_names
from inspect_kit.inspection.walk import passed
from inspect_kit.model.aircraft import Person, plain_name
from inspect_kit.model.finding import Cleared, Finding, Fix, Reading
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import at_once, deeds, owed_by
from inspect_kit.model.reason import may_not_wait
from inspect_kit.model.record import Record
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.noun import dataclass
from inspect_kit.past import said_units
from inspect_kit.text.grammar import Unreadable, parse_fix
from inspect_kit.text.page_values import parse_reason, parse_recheck


@click.command()
@click.argument("words", metavar="[CHECK|PANEL|FINDING] [WHAT] [METER=READING...]", nargs=-1, required=True)
@click.option("--fix", default="", metavar="LIMIT", help='"before flight", "by 2027-01-31", "by 430.0 h", ...')
@click.option("--waiting", default="", metavar="PART", help="What it waits for.")
@click.option("--cleared", type=REASON, default="", metavar="HOW", help="How it was corrected.")
@click.option("--under", default="", metavar="CHECK|PANEL", help="Its place, when that was not known at first.")
@click.option("--off-again", is_flag=True, help="The panel comes off once more: its boxes are added to the page.")
@shared(
    *("page", "follows", "reason", "read", "recheck", "by", "at", "paper", "text", "yes"),
    reason={"type": REASON, "default": ""},
    recheck={"default": ""},
)
@click.pass_obj
def finding(
    desk: Desk,
    /,
    words: tuple[str, ...],
    fix: str,
    reason: str,
    waiting: str,
    recheck: str,
    cleared: str,
    read: tuple[str, ...],
    by: str,
    at: str,
    paper: str,
    text: str,
    under: str,
    page: str,
    off_again: bool,
    follows: tuple[str, ...],
    sure: bool,
) -> int:
    """Raise a finding, clear it, or put it off.

    A finding on an open page is put off there. One on record is put off on a page that an inspector signs: start a
    worksheet of its check, put it off there, and close it, or do the check, and sign.

    \b
    finding exhaust-stacks "crack, 8 mm, at the number 3 weld"
    finding "rough on the left magneto at 2000 rpm"          its place can be given later:
    finding F1 --under ignition-leads
    finding F1 --cleared "stack replaced" --by "Your Name"
    finding F1 --cleared "valve lapped" --read "cylinder 3=70"     where it was found by that reading
    finding F1 --fix "by 2027-01-31" --reason "cosmetic, watched at each oil change"
    """
    on = desk.entry_day()
    where, what, meters = _what(words, desk)
    limit = _fix(fix)
    if fix and not cleared:
        logbook = desk.logbook()
        totals, _ = totals_before(logbook, on)
        if gone := passed(limit, on, totals, logbook.aircraft.time_in_service):
            raise Misused(f"--fix: {gone}{_as_it_reads(logbook, limit)}")
    if not limit.before_flight and not reason:
        asks = Question(name="reason", words=f"Why it may wait {limit}", read=_may_wait, required=True)
        reason = answers({}, [asks])["reason"]
    known = re.fullmatch(r"F\d+|\S+#F\d+", where := re.sub(r"(^|#)f(\d+)$", r"\1F\2", where)) is not None
    if known and not (cleared or fix or under):
        the_one(desk.logbook(), where, page)
        asks = Question(name="cleared", words=f"How {where} was corrected", read=parse_reason, otherwise="it was not")
        cleared = answers({}, [asks])["cleared"] or ""
    how = Cleared(date=on, text=cleared, by=by) if cleared else None
    if read and not cleared:
        raise Misused("--read goes with a finding that is cleared: what is read now")
    if recheck and (cleared or (fix and not what)):
        raise Misused("--recheck goes with a finding that is raised")
    if known:
        asked = _Asked(which=where, cleared=how, fix=fix, may_wait=reason, page=page)
        if not (cleared or fix or under):
            ways = "--cleared HOW, or until when it may wait (--fix, --reason), or its place (--under)"
            raise Misused(f"say how {where} was corrected: {ways}")
        if cleared:
            known_now = desk.logbook()
            wants = wanted_now(desk, known_now, the_one(known_now, where, page), pairs(read, "LABEL=VALUE"))
            by = answers({"by": by or None}, [who_did(desk.logbook())])["by"] or ""
            asked = replace(asked, cleared=Cleared(date=on, text=cleared, by=by), reads=wants)
        if under:
            who = say_who(desk.logbook(), by)
            say(_place(desk, where, under, who, page))
        entry = _Entry(by=by, at=at, paper=paper, text=text, meters=meters)
        if cleared or fix:
            say(_written(desk, lambda writer: _settle(desk, writer, asked, entry), entry, limit, sure))
        return desk.code(0)
    if how is not None:
        raise Misused(f"`{where}` is no finding: --cleared goes with one such as F1")
    logbook = desk.logbook()
    if not what and logbook.id_now(where) in {*logbook.checks, *logbook.panels}:
        what = given_or_asked("", "What was found", "WHAT")
    helpers = [each for open_page in logbook.pages for each in open_page.helpers]
    again = read_as(parse_recheck, said_units(recheck), "--recheck") if recheck else ()
    made = Finding(
        id="F1",
        text=what,
        fix=limit,
        may_wait=reason,
        waiting=waiting,
        recheck=again,
        place=store.record_place("finding"),
    )
    # Nobody is asked who found what has no place.
    _placed(logbook, where, made)
    by = answers({"by": by or None}, [who_did(logbook, "Who found it", helpers)])["by"] or ""
    entry = _Entry(by=by, at=at, paper=paper, text=text, meters=meters)
    told = given_order(logbook, follows)

    seen: list[tuple[Logbook, Record]] = []

    def order(logbook: Logbook, record: Record) -> Record:
        seen.append((logbook, with_told_order(desk, logbook, record, told, follows)))
        return seen[-1][1]

    def write(writer: store.Writer) -> str:
        return _raise(desk, writer, where, made, page, off_again, entry, order)

    say(asking_order(lambda: _written(desk, write, entry, limit, sure), told))
    for logbook, record in seen[-1:]:
        say_taken(logbook, record, told)
    return desk.code(0)


def _what(words: Sequence[str], desk: Desk) -> tuple[str, str, dict[str, Decimal]]:
    """Where it was found or which finding is meant, what was found, and what meters read then."""
    read = [word for word in words if re.fullmatch(r"[\w-]+=\S+", word)]
    said = [word for word in words if word not in read]
    if not said:
        raise Misused('say what was found, such as: finding exhaust-stacks "crack at the flange"')
    if len(said) > 2:
        raise Misused(f"`{said[2]}` is a word too many: write what belongs together in quotes")
    meters = readings_of_day(desk.logbook(), desk.on, read) if read else {}
    return said[0], said[1] if len(said) > 1 else "", meters


def _written(desk: Desk, write: Callable[[store.Writer], str], entry: "_Entry", limit: Fix, sure: bool) -> str:
    """What `write` tells, with the lock held: whoever waited for it sees what was written meanwhile."""

    def once(sure: bool) -> str:
        with desk.writing("finding") as writer:
            logbook = desk.logbook()
            sure_of(logbook, desk.on, entry.meters, sure, meant_as_total(logbook, limit))
            return write(writer)

    return asking(once, sure)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry:
    """Who, where, on which paper, with what words and at which readings, for a record of its own."""

    by: str = ""
    at: str = ""
    paper: str = ""
    text: str = ""
    meters: Mapping[str, Decimal] = field(default_factory=dict)


def _may_wait(words: str) -> str:
    if may_not_wait(words):
        raise Unreadable(f"`{words[:40]}` is no reason why it may: say why, in words")
    return words


def _fix(words: str) -> Fix:
    try:
        return parse_fix(said_units(words)) if words else Fix()
    except Unreadable as fault:
        raise Misused(f"--fix: {fault.message}") from None


def _as_it_reads(logbook: Logbook, limit: Fix) -> str:
    """How to say by its total what lies in the past as one, and is still to come as the meter reads."""
    total = total_as_read(logbook, limit)
    if total is None:
        return ""
    return f"; that {limit.meter or logbook.aircraft.time_in_service} reads {limit.by_total:f} is `by {total:f} h`"


def _placed(logbook: Logbook, where: str, made: Finding) -> Finding:
    """The finding with its check or panel; words alone are what was found, without a place."""
    name = id_meant(logbook, where, CHECK, PANEL) if made.text else logbook.id_now(where)
    if made.recheck and name not in logbook.checks:
        raise Misused(f"--recheck: `{where}` is no check, which could be done again; name the check")
    if name in logbook.checks or name in logbook.panels:
        if not made.text:
            raise Misused('say what was found, such as: finding exhaust-stacks "crack at the flange"')
        return replace(made, check=name) if name in logbook.checks else replace(made, panel=name)
    if made.text or not re.search(r"\s", where.strip()):
        names = [*logbook.checks, *logbook.panels]
        said = "" if made.text else '; without a place, say it in words: finding "rough on the left magneto"'
        kind = noun_of_id(logbook, name)
        near = f": it is a {kind}; name a check or a panel" if kind else near_or_find(where, names)
        raise Misused(f"no check or panel is called `{where}`{near}{said}")
    return replace(made, text=where.strip())


def _raise(
    desk: Desk,
    writer: store.Writer,
    where: str,
    made: Finding,
    page: str,
    off_again: bool,
    entry: _Entry,
    order: Callable[[Logbook, Record], Record],
) -> str:
    """A new finding: on the open page that has the box, else as a record of its own."""
    loaded, logbook = desk.loaded()
    found = _placed(logbook, where, made)
    name = found.check or found.panel
    if name and (page or logbook.pages):
        sheet, read = find_page(loaded, logbook, page)
        if off_again:
            panel = name if name in logbook.panels else logbook.checks[name].panel
            if logbook.panels[panel].remove is None:
                raise Misused(f"nothing comes off at `{panel}`: leave --off-again out")
            owed = owed_by(logbook.checks, deeds(logbook.checks, logbook.panels, closed=[panel]))
            then = [logbook.checks[each] for each in owed if at_once(logbook.checks[each])]
            sheet = edit.take_off_again(sheet, logbook.panels[panel], then)
        box = next((at for at in (sheet.box(name), *_verb_boxes(sheet, name)) if at is not None), None)
        if box is not None:
            _no_readings(desk, sheet.page, entry)
            named = edit.next_id(sheet.page)
            helper = next((each for each in sheet.page.helpers if plain_name(each) == plain_name(entry.by)), "")
            who = Person(name=helper) if helper else person(logbook, entry.by)
            other = who is not None and not logbook.aircraft.same_person(who.name, sheet.page.inspector)
            words = [f"found by {whole_name(who)}" if who and other else "", *_beside(entry)]
            made = replace(made, text=", ".join(filter(None, [made.text, *words])))
            save_asked(writer, desk, loaded, edit.write_finding(sheet, box, made), read)
            return f"{named} on {sheet.page.place.file}"

    def make(logbook: Logbook, own: str, after: tuple[str, ...]) -> Record:
        record = FindingRecord(
            name=own,
            date=desk.on,
            entered=desk.today,
            finding=found,
            meters=entry.meters,
            by=person(logbook, entry.by),
            at=entry.at,
            paper=entry.paper,
            text=entry.text,
            after=after,
            place=store.record_place(own),
        )
        return order(logbook, record)

    placed = found.check or found.panel
    told = desk.put(writer, loaded, logbook, f"finding-{placed}" if placed else "finding", make)
    if placed:
        return told
    # The shortest name that is unique, as `finding` takes it.
    alone = all(each.finding.cleared is not None for each in meant_by(logbook, "F1", ""))
    named = "F1" if alone else f"{Path(told).stem}#F1"
    return f"{told}\nIts place can be given later: {desk.typed(f'finding {named} --under CHECK|PANEL')}"


def _beside(entry: _Entry) -> tuple[str, str, str]:
    """What else is said of it, where it was and on which paper it stands, as a page has it: in its words."""
    return entry.text, f"at {entry.at}" if entry.at else "", f"see {entry.paper}" if entry.paper else ""


def _no_readings(desk: Desk, page: Worksheet, entry: _Entry) -> None:
    """Misused where a meter is read for what stands on a page: the page itself says what it reads."""
    for name, reads in entry.meters.items():
        sign = desk.typed(f"sign {page.name} {name}={reads:f} --as NAME")
        raise Misused(f"{name} is read of the whole page: say it when that is signed, {sign}")


def _is_known(logbook: Logbook, page: Worksheet, name: str) -> bool:
    return any(logbook.aircraft.same_person(name, each) for each in known_names(logbook.aircraft, page))


def save_asked(writer: store.Writer, desk: Desk, loaded: store.Loaded, sheet: edit.OpenPage, read: bytes) -> None:
    """Save a page unless the store as it would be has a problem more."""
    if worse := desk.new_problems(loaded, {sheet.page.place.file: sheet.text.encode()}):
        raise Misused(worse.refusal("nothing was written"))
    put(writer, sheet, read)


def _verb_boxes(sheet: edit.OpenPage, name: str) -> list[int | None]:
    return [sheet.box(name, verb) for verb in ("refit", "undo", "remove", "make")]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """A finding by the name that was typed, and what is to become of it."""

    which: str
    cleared: Cleared | None
    fix: str
    may_wait: str
    page: str
    reads: tuple[Reading, ...] = ()


def _settle(desk: Desk, writer: store.Writer, asked: _Asked, entry: _Entry) -> str:
    """Clear a finding or put it off: on the page where it has a box, else by a record of work."""
    loaded, logbook = desk.loaded()
    meant, cleared = the_one(logbook, asked.which, asked.page), asked.cleared
    if meant.page:
        sheet, read = find_page(loaded, logbook, meant.page)
        _no_readings(desk, sheet.page, entry)
        if (before := meant.finding.cleared) is not None and cleared is not None:
            told = f"{before.date} {before.text}"
            raise Misused(f"{meant.name} is cleared already: {told}. {edit.COME_BACK}")
        after = sheet
        if cleared:
            who = person(logbook, cleared.by)
            stranger = who is not None and not _is_known(logbook, sheet.page, who.name)
            words = [f"by {whole_name(who)}" if who and stranger else "", *_beside(entry)]
            # A page knows people by their names alone: whoever is on no list stands whole in the words.
            cleared = replace(cleared, text=", ".join(filter(None, [cleared.text, *words])), by=who.name if who else "")
            after = edit.clear(edit.add_helper(sheet, who.name) if who and stranger else sheet, meant.name, cleared)
        for each in asked.reads:
            box = edit.box_of_finding(after, meant.name) if "#" not in meant.name else after.box(each.check)
            if box is None:
                first = desk.typed(f'work {each.check} --read "{each.label}={each.value}"')
                raise Misused(f"`{each.check}` has no box on {sheet.page.place.file}: write it down first, {first}")
            after = edit.measure(after, box, each.label, each.value)
        if asked.fix and not cleared:
            after = edit.put_off(sheet, meant.name, asked.fix, asked.may_wait)
        save_asked(writer, desk, loaded, after, read)
        fix = None if cleared else parse_fix(asked.fix)
        told = "is cleared" if fix is None else f"is to be fixed {fix}" if fix.before_flight else f"may wait {fix}"
        return f"{meant.name} {told}, on {sheet.page.place.file}: {meant.finding.text}"
    if cleared is None:
        lines = _on_a_page(desk, logbook, meant, asked)
        raise Misused(f"an inspector signs for what is put off again, on a worksheet: type in turn\n{lines}")

    def make(logbook: Logbook, own: str, after: tuple[str, ...]) -> Record:
        return Work(
            name=own,
            date=desk.on,
            entered=desk.today,
            meters=entry.meters,
            text=", ".join(filter(None, [cleared.text, entry.text])),
            clears=(meant.name,),
            readings=tuple(replace(each, place=store.record_place(own)) for each in asked.reads),
            by=person(logbook, cleared.by),
            at=entry.at,
            paper=entry.paper,
            after=after,
            place=store.record_place(own),
        )

    told = desk.put(writer, loaded, logbook, "cleared", make)
    return f"{told}\n{meant.name} is cleared: {meant.finding.text}"


def _on_a_page(desk: Desk, logbook: Logbook, meant: Meant, asked: _Asked) -> str:
    """The lines by which a finding on record is put off, on a page of its check on which nothing else is done."""
    found = meant.finding
    place = found.check and logbook.id_now(found.check)
    own = [each.id for each in logbook.checks.values() if found.panel and each.panel == logbook.id_now(found.panel)]
    check = place if place in logbook.checks else next(iter(own), "CHECK")
    sooner = parse_fix(asked.fix).before_flight
    put_off = f'finding {meant.name} --fix "{asked.fix}"' + ("" if sooner else f' --reason "{asked.may_wait}"')
    close = 'sign --as NAME --closed --reason "only the limit of a finding was moved"'
    told = [f"  {desk.typed(line)}" for line in (f"start {check} --only", put_off, close)]
    return "\n".join([*told, f"Where it is looked at as well: `{desk.typed('walk')}`, and `sign` without --closed"])


def _place(desk: Desk, which: str, under: str, by: str, page: str) -> str:
    """The place of a finding that was written down without one, by an amendment."""

    def make(logbook: Logbook, own: str, after: tuple[str, ...]) -> Record:
        meant = the_one(logbook, which, page)
        name = id_meant(logbook, under, CHECK, PANEL)
        if name not in logbook.checks and name not in logbook.panels:
            names = [*logbook.checks, *logbook.panels]
            kind = noun_of_id(logbook, name)
            near = f": it is a {kind}; name a check or a panel" if kind else near_or_find(under, names)
            raise Misused(f"--under: no check or panel is called `{under}`{near}")
        if "#" not in meant.name:
            raise Misused(
                f"{meant.name} stands under its box on the page already; give --under for one that was written down "
                "without a place"
            )
        return Amendment(
            name=own,
            date=desk.on,
            entered=desk.today,
            of=meant.name.rpartition("#")[0],
            instead={("check" if name in logbook.checks else "panel",): name},
            text="its place, which was not known at first",
            by=person(logbook, by),
            after=after,
            place=store.record_place(own),
        )

    told = desk.enter("finding", "placed", make)
    logbook = desk.logbook()
    place = id_meant(logbook, under, CHECK, PANEL)
    name = logbook.checks[place].title if place in logbook.checks else logbook.panels[place].name
    return f"{told}\nF1 is under {place} now: {name}"
