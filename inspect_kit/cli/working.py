"""`work`: maintenance that needed no page, of checks or in plain words, with what was read, used and found."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from typing import Any

import click

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entries import check_ids, pairs, person, read_as, readings, split_words, who_did
from inspect_kit.cli.flight_asked import asked_of, flight_check
from inspect_kit.cli.flown import comment_on_flight
from inspect_kit.cli.options import shared
from inspect_kit.cli.order_asked import left_by, opened_for
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.unusual import asking, sure_of
from inspect_kit.due import readings_before, totals_before
from inspect_kit.errors import Misused
from inspect_kit.model.checklist import OTHERS, Check, Reads, decimal, gone
from inspect_kit.model.finding import Finding, Reading, Result
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import Judged, When, judged, kept
from inspect_kit.model.record import Record, Work
from inspect_kit.text.grammar import Unreadable, did_you_mean, parse_date, parse_number
from inspect_kit.text.page_values import parse_recheck


@click.command()
@click.argument("words", metavar="[CHECK...] [METER=READING...]", nargs=-1)
@click.option("--read", "read", multiple=True, metavar="LABEL=VALUE", help="A reading that a check asks for.")
@click.option("--repaired", multiple=True, metavar="LABEL", help="What was repaired: its readings begin anew.")
@click.option("--parts", multiple=True, metavar="PART", help="A part that was used; may be repeated.")
@click.option("--opened", multiple=True, metavar="PANEL", help="What came off for it and is back on; none, if asked.")
@click.option("--disturbed", multiple=True, metavar="ID", help="What else was disturbed by it.")
@click.option("--in-order", is_flag=True, help="They were done in the order in which they are named: nothing is asked.")
@click.option("--good-until", multiple=True, metavar="CHECK=DATE", help="The date that the part itself carries.")
@shared("flight-check", "found", "recheck", "by", "at", "paper", "text", "yes", recheck={"multiple": True})
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
    parts: tuple[str, ...],
    opened: tuple[str, ...],
    disturbed: tuple[str, ...],
    in_order: bool,
    good_until: tuple[str, ...],
    flight: str | None,
    sure: bool,
) -> int:
    """Write down maintenance that needed no page; without a check, in words alone.

    \b
    work oil-change tach=412.6 --by "Your Name"
    work compression tach=412.6 --read "cylinder 1=76" --read "cylinder 2=74" --by "Your Name"
    work tach=412.6 --text "nose wheel tube replaced after a puncture" --parts "tube 5.00-5" --by "Your Name"
    """
    on = desk.entry_day()
    names, meters = split_words(words)
    if not (names or text):
        raise Misused("name a check, or say what was done with --text; for meter readings alone there is `hours`")
    known = desk.logbook()
    did = check_ids(known, names)
    _refuse_retired(known, did, desk)
    clock = known.aircraft.time_in_service
    if all(word.partition("=")[0].strip() != clock for word in meters):
        read_now = answers({}, [Question(name=clock, words=f"{clock} reads", read=parse_number)])[clock]
        meters += [] if read_now is None else [f"{clock}={read_now}"]
    asked = _asked(known, did, _given(known, did, read))
    ones = _judged(known, did, asked, readings(meters, known), on)
    for one in (one for each in ones.values() for one in each):
        if one.refused:
            raise Misused(f"{one.refused}: correct the reading, or leave both out")
        if one.words:
            click.echo(one.told)
    findings = tuple(_findings(known, did, ones, pairs(found, "CHECK=WHAT")))
    results = _results(known, did, asked, recheck, repaired, text, findings)
    moved = opened_for(known, did, opened)
    left = left_by(known, did, moved, disturbed, in_order=in_order)
    doer = answers({"by": by or None}, [who_did(known)])["by"] or ""
    person(known, doer)
    answer = asked_of(known, flight, _touched(known, did, moved, disturbed))
    seen: list[tuple[Logbook, Record]] = []

    def make(logbook: Logbook, name: str, after: tuple[str, ...], *, sure: bool) -> Record:
        did, meters_read = check_ids(logbook, names), readings(meters, logbook)
        sure_of(logbook, on, meters_read, sure)
        entry = Work(
            name=name,
            date=on,
            entered=desk.today,
            meters=meters_read,
            did=did,
            text=text or "; ".join(logbook.checks[check].text for check in did),
            by=person(logbook, doer),
            at=at,
            paper=paper,
            results=tuple(replace(each, place=store.place_of(name)) for each in results),
            readings=_readings(asked, ones, name),
            findings=findings,
            parts=parts,
            opened=moved,
            disturbed=disturbed,
            left_owed=left,
            flight_check=flight_check(answer, on, person(logbook, doer), text, store.place_of(name)),
            next=_marked(logbook, did, good_until, paper),
            after=after,
            place=store.place_of(name),
        )
        seen.append((logbook, entry))
        return entry

    file = names[0] if names else "work"
    click.echo(asking(lambda sure: desk.enter("work", file, partial(make, sure=sure)), sure))
    comment_on_flight(*seen[-1])
    return desk.code(0)


def _touched(logbook: Logbook, did: Sequence[str], moved: Sequence[str], disturbed: Sequence[str]) -> Iterator[str]:
    """What was disturbed: as said, by the checks done, and by the panels that were off."""
    yield from disturbed
    for name in did:
        yield from logbook.checks[name].disturbs
    for name in moved:
        yield from logbook.panels[name].disturbs


def _refuse_retired(logbook: Logbook, did: Sequence[str], desk: Desk) -> None:
    for name in did:
        retired = logbook.checks[name].retired
        if retired is not None and gone(retired, desk.on):
            raise Misused(f"`{name}` is retired since {retired.date}: say what was done with --text instead")


def _marked(logbook: Logbook, did: Sequence[str], good_until: Sequence[str], paper: str) -> dict[str, Any]:
    """The dates that parts carry, by today's ids; Misused where one is missing, or nobody asked for it."""
    given = pairs(good_until, "CHECK=DATE")
    marked = {logbook.id_now(check): read_as(parse_date, date, check) for check, date in given.items()}
    for check in marked:
        if check not in did:
            raise Misused(f"--good-until: `{check}` is none of the checks of this entry")
        if not logbook.checks[check].marked:
            raise Misused(f"--good-until: `{check}` does not count as marked on a part (`every: as marked`)")
    for check in did:
        noun = logbook.checks[check]
        if noun.marked and check not in marked:
            raise Misused(f"`{check}` counts as marked on the part: give its date, --good-until {check}=2031-05-31")
        if noun.who == OTHERS and not paper:
            raise Misused(f"`{check}` is done by {noun.others or 'others'}: give their reference with --paper")
    return marked


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One reading that a check asks for, and what was read; "" where nobody read it."""

    check: Check
    label: str
    reads: Reads
    value: str = ""

    def reading(self, place: Any) -> Reading:
        return Reading(
            check=self.check.id,
            label=self.label,
            value=self.value,
            measure=self.reads.measure,
            bound=self.reads.bound,
            place=place,
        )

    def parse(self, words: str) -> str:
        """The value without its measure: `76`, `76 psi`, or any words where it is read in words."""
        if self.reads.in_words:
            return words
        number = words.removesuffix(self.reads.measure).strip() if self.reads.measure else words
        if decimal(number) is None:
            raise Unreadable(f"expected a number{f' of {self.reads.measure}' if self.reads.measure else ''}")
        return number


def _judged(
    logbook: Logbook, did: Sequence[str], asked: Sequence[Asked], meters: Mapping[str, Decimal], on: dt.date
) -> dict[str, tuple[Judged, ...]]:
    """What was read at each check, and what follows from it, against its limits."""
    last, offsets = totals_before(logbook, on)
    totals = last | {name: reads + offsets.get(name, Decimal(0)) for name, reads in meters.items()}
    earlier = readings_before(logbook, on) if any(each.value for each in asked) else {}
    found = {}
    for name in did:
        read = {each.label: decimal(each.value) for each in asked if each.check.id == name}
        values = {label: number for label, number in read.items() if number is not None}
        found[name] = judged(
            logbook.checks[name],
            values,
            logbook.aircraft,
            when=When(date=on, totals=totals),
            earlier={label: each for (check, label), each in earlier.items() if check == name},
        )
    return found


def _readings(asked: Sequence[Asked], ones: Mapping[str, tuple[Judged, ...]], name: str) -> tuple[Reading, ...]:
    place = store.place_of(name)
    return tuple(
        reading
        for check, judged_ones in ones.items()
        if (read := [each.reading(place) for each in asked if each.value and each.check.id == check])
        for reading in kept(read, judged_ones)
    )


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
        logbook.id_now(name): read_as(parse_recheck, value, name)
        for name, value in pairs(recheck, "CHECK=LIMIT").items()
    }
    for name in limits:
        if name not in did:
            raise Misused(f"--recheck: `{name}` is none of the checks of this entry{did_you_mean(name, did)}")
        if not text and not any(each.check == name for each in findings):
            raise Misused(f"--recheck: say at what to look again, with --text or --found {name}=WHAT")
    mended: dict[str, tuple[str, ...]] = {}
    for words in repaired:
        fitting = _named(logbook, words, list(_known(logbook, did)), "--repaired")
        mended[fitting[0]] = (*mended.get(fitting[0], ()), fitting[1])
    if not limits and not mended:
        return ()
    return tuple(
        Result(
            check=name,
            recheck=limits.get(name, ()),
            repaired=mended.get(name, ()),
            notes=(text,) if text and name in limits else (),
            place=store.place_of("work"),
        )
        for name in did
    )


def _known(logbook: Logbook, did: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Every label that the checks read or reckon, with its check."""
    for name in did:
        check = logbook.checks[name]
        yield from ((name, label) for reads in check.reads for label in reads.labels)
        yield from ((name, reckons.label) for reckons in check.reckons)


def _named(logbook: Logbook, words: str, known: Sequence[tuple[str, str]], option: str) -> tuple[str, str]:
    """The check and the label that `cylinder 1` or, where two checks read it, `compression.cylinder 1` names."""
    check, _, label = words.partition(".")
    exact = [each for each in known if each == (logbook.id_now(check), label)]
    fitting = exact or [each for each in known if each[1].casefold() == words.casefold()]
    if not fitting:
        labels = [each[1] for each in known]
        told = f" (readings: {', '.join(labels)})" if labels else ": none of the checks named asks for a reading"
        raise Misused(f"{option}: nothing asks for `{words}`{did_you_mean(words, labels)}{told}")
    if len(fitting) > 1:
        ways = " or ".join(f'`{name}.{label}`' for name, label in fitting)
        raise Misused(f"{option}: `{words}` is asked for by {len(fitting)} checks; write {ways}")
    return fitting[0]


def _all_asked(logbook: Logbook, did: Iterable[str]) -> Iterator[Asked]:
    for name in did:
        check = logbook.checks[name]
        for reads in check.reads:
            yield from (Asked(check=check, label=label, reads=reads) for label in reads.labels)


def _given(logbook: Logbook, did: Sequence[str], words: Sequence[str]) -> dict[tuple[str, str], str]:
    """`cylinder 1=76` or, where two checks ask for one label, `compression.cylinder 1=76`, by check and label."""
    known = [(each.check.id, each.label) for each in _all_asked(logbook, did)]
    return {_named(logbook, name, known, "--read"): value for name, value in pairs(words, "LABEL=VALUE").items()}


def _asked(logbook: Logbook, did: Sequence[str], given: Mapping[tuple[str, str], str]) -> tuple[Asked, ...]:
    """Every reading of the checks, given or asked; what nobody knows stays empty."""
    wanted = {f'read "{each.check.id}.{each.label}"': each for each in _all_asked(logbook, did)}
    told = {key: given.get((each.check.id, each.label)) for key, each in wanted.items()}
    questions = [Question(name=key, words=_question(each), read=each.parse) for key, each in wanted.items()]
    values = answers(told, questions)
    return tuple(
        Asked(check=each.check, label=each.label, reads=each.reads, value=values[key] or "")
        for key, each in wanted.items()
    )


def _question(each: Asked) -> str:
    measure = f" in {each.reads.measure}" if each.reads.measure and not each.reads.in_words else ""
    bound = f", {each.reads.bound}" if each.reads.bound else ""
    return f"{each.check.id}: {each.label}{measure}{bound}"


def _findings(
    logbook: Logbook, did: Sequence[str], ones: Mapping[str, tuple[Judged, ...]], found: Mapping[str, str]
) -> Iterator[Finding]:
    """What was found, as given; what a value out of its limit wants is asked. All of it to be fixed before flight."""
    told: dict[str, str] = {}
    for name, words in found.items():
        if (check := logbook.id_now(name)) not in did:
            raise Misused(f"--found: `{name}` is none of the checks of this entry{did_you_mean(name, did)}")
        told[check] = words
    for check, judged_ones in ones.items():
        out = "; ".join(one.fault for one in judged_ones if one.fault)
        if out and check not in told:
            what = Question(name=f"found {check}", words=f"{out}: what was found", required=True)
            told[check] = answers({}, [what])[what.name]
    for at, (check, words) in enumerate(told.items(), start=1):
        yield Finding(id=f"F{at}", check=check, text=words, place=store.place_of("finding"))
