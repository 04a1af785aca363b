"""`work`: maintenance that needed no page, of checks or in plain words, with what was read, used and found."""

import contextlib
import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial
from typing import Any

import click

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import enter_asked
from inspect_kit.cli.entries import (
    at_the_one,
    check_ids,
    clock_question,
    pairs,
    read_as,
    readings_of_day,
    split_words,
    without_blanks,
)
from inspect_kit.cli.flight_asked import asked_of, flight_check, who_flew
from inspect_kit.cli.odd_parts import odd_parts
from inspect_kit.cli.options import OF_CHECKS, shared
from inspect_kit.cli.order_asked import left_by, opened_for, order_of
from inspect_kit.cli.people_named import person, who_looked
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.unusual import sure_of
from inspect_kit.cli.values_asked import (
    Asked,
    found_given,
    label_named,
    labels_of,
    read_and_found,
    reading_slips,
    readings_kept,
    values_given,
)
from inspect_kit.due import total_read
from inspect_kit.due.unwritten import TOTAL, told_instead
from inspect_kit.errors import Misused
from inspect_kit.inspection.sealing import over_already
from inspect_kit.model.checklist import OTHERS, Check, Part, added_up, gone
from inspect_kit.model.finding import Finding, Result
from inspect_kit.model.interval import Limit
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.opened import taken_as_off
from inspect_kit.model.owed import deeds, owed_by
from inspect_kit.model.page_record import NONE_OPENED
from inspect_kit.model.record import FLOWN, Record
from inspect_kit.model.worksheet import AS_PLANNED, NOTHING_USED
from inspect_kit.past import parse_said_last_day, said_parts, said_units
from inspect_kit.report.words import joined
from inspect_kit.text.page_values import parse_recheck, parse_used, plain_answer


@click.command()
@click.argument("words", metavar="[CHECK...] [METER=READING...]", nargs=-1)
@click.option("--repaired", multiple=True, metavar="LABEL", help="Its readings begin anew; may be repeated.")
@click.option("--used", multiple=True, metavar="PART", help="A part used, `as planned`, or none; may be repeated.")
@click.option("--opened", multiple=True, metavar="PANEL", help="Off for it and on again, or none; may be repeated.")
@click.option("--disturbed", multiple=True, metavar="ID", help="What else was disturbed by it; may be repeated.")
@click.option("--second-look", metavar="NAME", help="Who else looked at it, where a check wants that.")
@click.option("--in-order", is_flag=True, help="They were done in the order in which they are named: it is not asked.")
@shared(
    *("good-until", "flight-check", "follows", "read", "found", "recheck", "by", "at", "paper", "text", "yes"),
    good_until={"multiple": True, "metavar": f"{OF_CHECKS}DATE"},
    found={"metavar": f"{OF_CHECKS}WHAT"},
    recheck={"multiple": True, "metavar": f"{OF_CHECKS}LIMIT"},
)
@click.pass_obj
def work(
    desk: Desk,
    /,
    words: tuple[str, ...],
    by: str,
    text: str,
    at: str,
    paper: str,
    read: tuple[str, ...],
    found: tuple[str, ...],
    recheck: tuple[str, ...],
    repaired: tuple[str, ...],
    used: tuple[str, ...],
    opened: tuple[str, ...],
    disturbed: tuple[str, ...],
    second_look: str | None,
    in_order: bool,
    good_until: tuple[str, ...],
    flight: str | None,
    follows: tuple[str, ...],
    sure: bool,
) -> int:
    """Write down maintenance that needed no page.

    Without a check, in words alone.

    \b
    work oil-change tach=412.6 --by "Your Name"
    work compression tach=412.6 --read "cylinder 1=76" --read "cylinder 2=74" --by "Your Name"
    work tach=412.6 --text "nose wheel tube replaced after a puncture" --used "tube 5.00-5" --by "Your Name"
    """
    on = desk.entry_day()
    names, meter_words = split_words(words)
    read, found, recheck, repaired = map(without_blanks, (read, found, recheck, repaired))
    used, disturbed, good_until = map(without_blanks, (used, disturbed, good_until))
    known = desk.logbook()
    # What is wrong in the line is said before anything is asked.
    meters = readings_of_day(known, on, meter_words)
    person(known, by)
    if not (names or text):
        names, text = _said_done(known)
    did = check_ids(known, names)
    _refuse_retired(known.checks, did, desk)
    _refuse_told(known, did, on, meters)
    for meter in _counted_by(known, did):
        if meter not in meters and (read_now := answers({}, [clock_question(known, on, meter)])[meter]) is not None:
            meters[meter] = read_now
    # A flight alone opened nothing.
    flown_alone = not did and (flight or "").strip() == FLOWN
    moved = opened_for(known, did, opened or ((NONE_OPENED,) if flown_alone else ()), on)
    if in_order:
        # Before anything is read, so that no answer is lost by it.
        did = order_of(known, did, moved, disturbed, on)
    left, did = left_by(known, did, moved, disturbed, in_order=in_order)
    # What the checklists say today may be edited away: the record says itself what it disturbed and left owed.
    left = _left_owed(known, did, moved, disturbed, left)
    touched = tuple(dict.fromkeys(_touched(known, did, moved, disturbed)))
    names = [*did]
    asked, ones, findings = read_and_found(
        known,
        did,
        values_given(known, did, read),
        meters,
        on,
        found_given(known, did, pairs(at_the_one(found, did), "CHECK=WHAT")),
    )
    results = _results(known, did, asked, recheck, repaired, text, findings)
    marked, paper = _marked(known, did, good_until, desk), _reference(known.checks, did, paper)
    planned = added_up(part for name in did for part in known.checks[name].uses)
    parts = _used(planned, used)
    answer = asked_of(known, flight, touched, text)
    text = answer.text if answer else text
    doer = answers({"by": by or None}, [who_flew(known, answer, "Who did it")])["by"] or ""
    person(known, doer)
    results = _looked_at(known, did, results, _second_look(known, did, second_look, doer))

    def make(logbook: Logbook, name: str, after: tuple[str, ...], *, sure: bool) -> Record:
        did = check_ids(logbook, names)
        slips = (*reading_slips(logbook, on, asked), *odd_parts(logbook, planned, parts), *over_already(marked, on))
        sure_of(logbook, on, meters, sure, slips)
        made = Work(
            name=name,
            date=on,
            entered=desk.today,
            meters=meters,
            did=did,
            text=text or "; ".join(logbook.checks[check].text for check in did),
            by=person(logbook, doer),
            at=at,
            paper=paper,
            results=tuple(replace(each, place=store.record_place(name)) for each in results),
            readings=readings_kept(asked, ones, name),
            findings=findings,
            parts=tuple(map(str, parts)),
            opened=moved,
            # What its checks disturb is theirs, and goes with them if one was not done.
            disturbed=tuple(dict.fromkeys(_touched(known, (), moved, disturbed))),
            left_owed=left,
            flight_check=flight_check(answer, on, person(logbook, doer), store.record_place(name)),
            next=marked,
            after=after,
            place=store.record_place(name),
        )
        # It was asked, and said no: a record that is silent of it is taken as though it came off.
        return replace(made, opened=(*moved, NONE_OPENED)) if taken_as_off(made, did, logbook) else made

    return enter_asked(desk, "work", did[0] if did else "work", make, sure, follows=follows)


def _counted_by(logbook: Logbook, did: Sequence[str]) -> list[str]:
    """The meter of time in service, and those by which these checks come round: without them it is unknown when."""
    found = [logbook.aircraft.time_in_service]
    for check in (logbook.checks[name] for name in did):
        limits = [each for each in (*check.every, *check.first) if isinstance(each, Limit) and not each.is_calendar]
        found += filter(None, (logbook.aircraft.meter_of(each.unit, each.meter) for each in limits))
    return [*dict.fromkeys(found)]


def _said_done(logbook: Logbook) -> tuple[list[str], str]:
    """What was done where the line does not say it: checks, or a sentence of words that name none."""

    def read(typed: str) -> tuple[list[str], str]:
        for names in ([typed], typed.split()):
            with contextlib.suppress(Misused):
                return [*check_ids(logbook, names)], ""
        if len(typed.split()) == 1:
            check_ids(logbook, [typed])
        return [], typed

    asked = Question(name="text", words="Which checks were done, or what was done, in words", read=read, required=True)
    try:
        found: tuple[list[str], str] = answers({}, [asked])["text"]
    except Misused:
        told = "name a check, or say what was done with --text; for meter readings alone there is `hours`"
        raise Misused(told) from None
    return found


def _touched(logbook: Logbook, did: Sequence[str], moved: Sequence[str], disturbed: Sequence[str]) -> Iterator[str]:
    """What was disturbed: as said, by the checks done, and by the panels that were off."""
    yield from disturbed
    for name in did:
        yield from logbook.checks[name].disturbs
    for name in moved:
        yield from logbook.panels[name].disturbs


def _left_owed(
    logbook: Logbook, did: Sequence[str], moved: Sequence[str], disturbed: Sequence[str], early: Sequence[str]
) -> tuple[str, ...]:
    """What is owed at once after this work: the checks that were done too `early` for it, and those not done at all."""
    now = logbook.id_now
    done = deeds(logbook.checks, logbook.panels, did=did, closed=moved, disturbed=[now(what) for what in disturbed])
    owed = owed_by(logbook.checks, done)
    return (*early, *(name for name in owed if name not in did and not logbook.checks[name].first))


def _used(planned: Sequence[Part], given: Sequence[str]) -> tuple[Part, ...]:
    """What was used: as given, asked where the checks name parts, unknown where nobody answers."""

    def read(words: str) -> tuple[Part, ...]:
        return tuple(planned) if plain_answer(words) == AS_PLANNED else parse_used(said_parts(words))

    if given:
        return tuple(part for words in given for part in read_as(read, words, "--used"))
    if not planned:
        return ()
    listed = "; ".join(map(str, planned))
    # Enter is a person's word for it; where nobody is there, nothing is known of the shelf.
    asked = Question(
        name="used",
        words=f"Used: {listed}? Else {NOTHING_USED}, or what it was",
        read=read,
        default=AS_PLANNED,
        stands=False,
    )
    return answers({}, [asked])["used"] or ()


def _refuse_retired(checks: Mapping[str, Check], did: Sequence[str], desk: Desk) -> None:
    for name in did:
        retired = checks[name].retired
        if retired is not None and gone(retired, desk.on):
            raise Misused(f"`{name}` is retired since {retired.date}: say what was done with --text instead")


def _refuse_told(logbook: Logbook, did: Sequence[str], on: dt.date, read: Mapping[str, Decimal]) -> None:
    """Misused, before anything is asked, where an entry would contradict what was brought forward of its checks."""
    clock = logbook.aircraft.time_in_service
    for start in logbook.of_kind(BroughtForward):
        if on >= start.date:
            continue
        dates = {name: last.date for name, last in start.last.items() if last.date is not None and last.date < on}
        found = [name for name in dates if logbook.id_now(name) in did]
        if found:
            says = "; ".join(f"{place_of(start, 'last', each)}: {each}: last done {dates[each]}" for each in found)
            total = f"{total_read(logbook, on, clock, read[clock]):f}" if clock in read else TOTAL
            line = told_instead(logbook, start, found, on, total)
            rest = [each for each in did if each not in map(logbook.id_now, found)]
            then = f"{clock}={read[clock]:f}" if clock in read else f"{clock}=READING"
            if rest:
                line += f"\nand the rest after it: inspect-kit --on {on} work {' '.join(rest)} {then}"
            told = f"an entry of {on} would contradict what was brought forward, {says}"
            raise Misused(f"{told}. If it was done last on {on}, that is told instead: inspect-kit {line}")


def _marked(logbook: Logbook, did: Sequence[str], good_until: Sequence[str], desk: Desk) -> dict[str, Any]:
    """The dates that parts carry, by today's ids, asked where one is not given; Misused where nobody asked for it."""
    last_day = partial(parse_said_last_day, today=desk.today)
    given = pairs(at_the_one(good_until, [each for each in did if logbook.checks[each].marked] or did), "CHECK=DATE")
    marked = {logbook.id_now(check): read_as(last_day, date, check) for check, date in given.items()}
    for check in marked:
        if check not in did:
            raise Misused(f"--good-until: `{check}` is none of the checks of this entry; name it among them")
        if not logbook.checks[check].marked:
            raise Misused(
                f"--good-until: `{check}` carries no date of its own (`every: as marked`): leave --good-until out"
            )
    for check in did:
        noun = logbook.checks[check]
        if noun.marked and check not in marked:
            words = f"{check}: good until, the date marked on the part"
            date = Question(name=f"good-until {check}=2031-05-31", words=words, read=last_day, required=True)
            marked[check] = answers({}, [date])[date.name]
    return marked


def _reference(checks: Mapping[str, Check], did: Sequence[str], paper: str) -> str:
    """The paper of what is done by others, asked where it is not given."""
    for noun in (checks[check] for check in did):
        if noun.who == OTHERS and not paper:
            words = f"{noun.id}, done by {noun.others or 'others'}: their reference, such as work order 118"
            paper = answers({}, [Question(name="paper", words=words, required=True)])["paper"]
    return paper


def _results(
    logbook: Logbook,
    did: Sequence[str],
    asked: Sequence[Asked],
    recheck: Sequence[str],
    repaired: Sequence[str],
    text: str,
    findings: Sequence[Finding],
) -> tuple[Result, ...]:
    """What `did` alone does not tell: when to look again and at what, and what was repaired."""
    limits = {
        logbook.id_now(name): read_as(parse_recheck, said_units(value), name)
        for name, value in pairs(at_the_one(recheck, did), "CHECK=LIMIT").items()
    }
    for name in limits:
        if name not in did:
            raise Misused(
                f"--recheck: `{name}` is none of the checks of this entry; name one of {', '.join(did) or 'them'}"
            )
        if not text and not any(each.check == name for each in findings):
            raise Misused(f"--recheck: say at what to look again, with --text or --found {name}=WHAT")
    mended: dict[str, tuple[str, ...]] = {}
    for words in repaired:
        fitting = label_named(logbook, words, list(labels_of(logbook.checks, did)), "--repaired")
        mended[fitting[0]] = (*mended.get(fitting[0], ()), fitting[1])
    if not limits and not mended:
        return ()
    return tuple(
        Result(
            check=name,
            recheck=limits.get(name, ()),
            repaired=mended.get(name, ()),
            notes=(text,) if text and name in limits else (),
            place=store.record_place("work"),
        )
        for name in did
    )


def _second_look(logbook: Logbook, did: Sequence[str], given: str | None, doer: str) -> str:
    """Who else looked at what wants a second look: as given, or asked; "" where nobody did, which is said."""
    wanting = [name for name in did if logbook.checks[name].second_look]
    if given is not None and not wanting:
        raise Misused("--second-look: none of these checks wants one: leave it out")
    if not wanting:
        return ""
    asked = who_looked(logbook, f"Who else looked at {joined(wanting)}", person(logbook, doer))
    return answers({"second-look": given}, [asked])["second-look"] or ""


def _looked_at(
    logbook: Logbook, did: Sequence[str], results: Sequence[Result], second_look: str
) -> tuple[Result, ...]:
    """The results of all that was done, with the second look at each check that wants one."""
    if not second_look:
        return tuple(results)
    told = results or [Result(check=name, place=store.record_place("work")) for name in did]
    wants = {name for name in did if logbook.checks[name].second_look}
    return tuple(replace(each, second_look=second_look) if each.check in wants else each for each in told)
