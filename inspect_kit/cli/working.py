"""`work`: maintenance that needed no page, of checks or in plain words, with what was read, used and found."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import click

from inspect_kit import store
from inspect_kit.cli.desk import NAME, Desk
from inspect_kit.cli.entries import check_ids, pairs, person, read_as, readings, split_words
from inspect_kit.cli.flown import comment_on_flight
from inspect_kit.cli.order_asked import left_by, opened_for
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.unusual import asking, sure_of, yes_option
from inspect_kit.errors import Misused
from inspect_kit.model.checklist import OTHERS, Check, Reads, decimal, gone
from inspect_kit.model.finding import Finding, Reading
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record, Work
from inspect_kit.text.grammar import Unreadable, did_you_mean, parse_date


@click.command()
@click.argument("words", metavar="[CHECK...] [METER=READING...]", nargs=-1)
@click.option("--by", "by", type=NAME, default="", metavar="NAME", help="Who did it.")
@click.option("--text", default="", help="What was done; the checks' own words if left out.")
@click.option("--at", "at", default="", metavar="PLACE", help="Where, if away from home.")
@click.option("--paper", default="", metavar="REFERENCE", help="Logbook and page, or the number of a work order.")
@click.option("--read", "read", multiple=True, metavar="LABEL=VALUE", help="A reading that a check asks for.")
@click.option("--found", multiple=True, metavar="CHECK=WHAT", help="What was found at it, to be fixed before flight.")
@click.option("--parts", multiple=True, metavar="PART", help="A part that was used; may be repeated.")
@click.option("--opened", multiple=True, metavar="PANEL", help="What came off for it and is back on; none, if asked.")
@click.option("--disturbed", multiple=True, metavar="ID", help="What else was disturbed by it.")
@click.option("--in-order", is_flag=True, help="They were done in the order in which they are named: nothing is asked.")
@click.option("--good-until", multiple=True, metavar="CHECK=DATE", help="The date that the part itself carries.")
@yes_option
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
    parts: tuple[str, ...],
    opened: tuple[str, ...],
    disturbed: tuple[str, ...],
    in_order: bool,
    good_until: tuple[str, ...],
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
    asked = _asked(known, did, _given(known, did, read))
    findings = tuple(_findings(known, did, asked, pairs(found, "CHECK=WHAT")))
    moved = opened_for(known, did, opened)
    left = left_by(known, did, moved, disturbed, in_order=in_order)
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
            by=person(logbook, by),
            at=at,
            paper=paper,
            readings=tuple(each.reading(store.place_of(name)) for each in asked if each.value),
            findings=findings,
            parts=parts,
            opened=moved,
            disturbed=disturbed,
            left_owed=left,
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

    @property
    def out(self) -> str:
        """`cylinder 1 is 58 psi, the limit is at least 60`; "" within its limit."""
        number, bound = decimal(self.value), self.reads.bound
        if not self.value or number is None or bound is None or self.reads.in_words or bound.holds(number):
            return ""
        measure = f" {self.reads.measure}" if self.reads.measure else ""
        return f"{self.label} is {self.value}{measure}, the limit is {bound}"


def _all_asked(logbook: Logbook, did: Iterable[str]) -> Iterator[Asked]:
    for name in did:
        check = logbook.checks[name]
        for reads in check.reads:
            yield from (Asked(check=check, label=label, reads=reads) for label in reads.labels)


def _given(logbook: Logbook, did: Sequence[str], words: Sequence[str]) -> dict[tuple[str, str], str]:
    """`cylinder 1=76` or, where two checks ask for one label, `compression.cylinder 1=76`, by check and label."""
    wanted = list(_all_asked(logbook, did))
    found: dict[tuple[str, str], str] = {}
    for name, value in pairs(words, "LABEL=VALUE").items():
        check, _, label = name.partition(".")
        exact = [each for each in wanted if (logbook.id_now(check), label) == (each.check.id, each.label)]
        fitting = exact or [each for each in wanted if each.label.casefold() == name.casefold()]
        if not fitting:
            labels = [each.label for each in wanted]
            told = f" (readings: {', '.join(labels)})" if labels else ": none of the checks named asks for a reading"
            raise Misused(f"--read: nothing asks for `{name}`{did_you_mean(name, labels)}{told}")
        if len(fitting) > 1:
            ways = " or ".join(f'--read "{each.check.id}.{each.label}={value}"' for each in fitting)
            raise Misused(f"--read: `{name}` is asked for by {len(fitting)} checks; write {ways}")
        (one,) = fitting
        found[one.check.id, one.label] = value
    return found


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
    logbook: Logbook, did: Sequence[str], asked: Sequence[Asked], found: Mapping[str, str]
) -> Iterator[Finding]:
    """What was found, as given; what a reading out of its limit wants is asked. All of it to be fixed before flight."""
    told: dict[str, str] = {}
    for name, words in found.items():
        if (check := logbook.id_now(name)) not in did:
            raise Misused(f"--found: `{name}` is none of the checks of this entry{did_you_mean(name, did)}")
        told[check] = words
    for each in asked:
        if each.out and each.check.id not in told:
            what = Question(name=f"found {each.check.id}", words=f"{each.out}: what was found", required=True)
            told[each.check.id] = answers({}, [what])[what.name]
    for at, (check, words) in enumerate(told.items(), start=1):
        yield Finding(id=f"F{at}", check=check, text=words, place=store.place_of("finding"))
