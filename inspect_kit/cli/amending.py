"""`amend`: what a record says is corrected by an amendment beside it, with what follows from that."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Final

import click

from inspect_kit import store
from inspect_kit.audit import unfound
from inspect_kit.cli.amendment_words import ask_fields, read_amendment, refuse_unsaid
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import NONE_BEFORE, given_order, said_after, with_order
from inspect_kit.cli.entries import pairs
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import person, say_who
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.records_named import find_record
from inspect_kit.cli.said import say
from inspect_kit.cli.unusual import asking, leaps, reason_given, sure_of
from inspect_kit.due import chronicle, gone_too_far, may_be_one_part, order_matters, readings_before, unordered
from inspect_kit.errors import Misused
from inspect_kit.model.amended import fields_of, value_words
from inspect_kit.model.anew import anew
from inspect_kit.model.finding import Finding, Reading
from inspect_kit.model.followed import FOLLOWS, PRECEDES, followed
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.installed import NO_SERIAL, Installed
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import slipped
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Field, Record
from inspect_kit.noun import dataclass
from inspect_kit.text.fields import Writable

# How the field of a reading begins, as it is typed.
READS = "reads."


class Overtaken(Exception):
    """Somebody wrote since the store was read; nothing was written."""


@dataclass(frozen=True)
class _Asked:
    """What is asked of one record, in words; what is made of it with a store as it was read.

    `book` holds the logbook with the amendment that was made last; `order` what was said of the order of the day.
    """

    desk: Desk
    record: Record
    words: tuple[str, ...]
    not_done: tuple[str, ...]
    follows: tuple[str, ...]
    told: Mapping[str, str]
    order: dict[str, bool]
    book: list[Logbook]

    def made(self, logbook: Logbook, own: str, after: tuple[str, ...], *, sure: bool) -> Record:
        told: dict[str, Writable] = {"not-done": list(self.not_done), "text": self.told["text"], "by": self.told["by"]}
        read = read_amendment(logbook, self.record, self.words, self.desk.today, self.desk.on, **told)
        _refuse_overtaken(logbook, self.record.name, read)
        made = replace(
            read,
            name=own,
            entered=self.desk.today,
            by=person(logbook, self.told["by"]),
            at=self.told["at"],
            paper=self.told["paper"],
            after=after,
            place=store.record_place(own),
        )
        name = self.record.name
        made = _with_what_follows(logbook, name, _with_order(logbook, name, made, self.order))
        _sure_of_amended(logbook, name, made, sure)
        self.book[:] = [logbook.with_records((*logbook.records, made))]
        return made

    def finding(self, logbook: Logbook, own: str, after: tuple[str, ...], check: str, what: str) -> Record:
        return FindingRecord(
            name=own,
            date=self.desk.on,
            entered=self.desk.today,
            finding=Finding(id="F1", check=check, text=what, place=store.record_place(own)),
            by=person(logbook, self.told["by"]),
            after=after,
            place=store.record_place(own),
        )

    def alike(self, logbook: Logbook, own: str, after: tuple[str, ...], other: Record, field: str) -> Record:
        told: dict[str, Writable] = {"text": self.told["text"], "by": self.told["by"]}
        read = read_amendment(logbook, other, [field], self.desk.today, self.desk.on, **told)
        who = person(logbook, self.told["by"])
        return replace(read, name=own, entered=self.desk.today, by=who, after=after, place=store.record_place(own))

    def supposed(self, before: Logbook) -> Logbook:
        """The logbook as it would be, with the order of the day asked where the amendment leaves that open."""
        self.made(before, "amendment", (), sure=True)
        self.order.update(
            _order_of(before, self.book[-1], self.record.name, self.follows, self.desk.today, self.order)
        )
        if self.order:
            self.made(before, "amendment", (), sure=True)
        return self.book[-1]


@click.command()
@click.argument("name", metavar="RECORD")
@click.argument("words", metavar="[FIELD=VALUE...]", nargs=-1)
@click.option("--not-done", multiple=True, metavar="CHECK", help="A tick taken back; may be repeated.")
@shared("reason", "read", "found", "follows", "by", "at", "paper", "yes", reason={"default": ""})
@click.pass_obj
def amend(
    desk: Desk,
    name: str,
    words: tuple[str, ...],
    not_done: tuple[str, ...],
    reason: str,
    read: tuple[str, ...],
    found: tuple[str, ...],
    follows: tuple[str, ...],
    by: str,
    at: str,
    paper: str,
    sure: bool,
) -> int:
    """Correct what a record says, beside it.

    The record itself is never changed.

    \b
    amend 2026-05-14-condition-k3f9 tach=59.9 --reason "95.9 was a slip of the pen" --by "Your Name"
    amend 2024-08-31-magneto-5kfj serial=W4-2291 --reason "read off the data plate" --by "Your Name"
    amend 2026-05-14-condition-k3f9 "reads.compression.cylinder 1=67 psi" next.elt-battery=2031-05-31
    amend 2026-05-14-condition-k3f9 --not-done spark-plugs
    amend brought-forward fitted.magneto-left.serial=M-77 last.condition.date=2026-03-14 --reason "read again"

    A reading that is out of its limit after all asks what was found, to be fixed before flight. A day or a reading
    that becomes that of another entry says which of the two came first, as they stood, where that matters.
    """
    desk.entry_day()
    logbook = desk.logbook()
    person(logbook, by)
    record = find_record(logbook, name)
    words = (*words, *read)
    if not (words or not_done or follows or reason):
        words = tuple(ask_fields(logbook, record, desk.today))
    elif words:
        # What cannot be replaced is said before anything is asked.
        refuse_unsaid(logbook, record, read_amendment(logbook, record, words, desk.today, by="asked later"))
    words = (*words, *_of_the_same_day(logbook, record, words))
    text = reason_given(reason, "Why, and how it is known")
    told = {"text": text, "by": say_who(logbook, by), "at": at, "paper": paper}
    asked = _Asked(desk, record, words, not_done, follows, told, order={}, book=[])
    answered = pairs(found, "CHECK=WHAT")
    while True:
        try:
            written, alike = _enter(asked, desk.logbook(), answered, sure)
            break
        except Overtaken:
            # Somebody wrote while this was asked, or waited: what rests on the others of the day is asked of them too.
            continue
    say("\n".join(written))
    _say_changes(desk, asked.book[-1], record, Path(written[0]).stem, alike)
    return desk.code(0)


def _enter(
    asked: _Asked, before: Logbook, answered: dict[str, str], sure: bool
) -> tuple[list[str], list[tuple[Record, str]]]:
    """What is written with the store as it was read; Overtaken, with nothing written, if it is another by then."""
    name, book = asked.record.name, asked.supposed(before)
    changed = book.amended[name].changes if name in book.amended else ()
    # What cannot be replaced changes nothing either, and is refused in its own words.
    taken = any(change.amendment.name == "amendment" for change in changed) and not asked.not_done
    if taken and book.record(name) == before.record(name):
        told = ", ".join(asked.words or asked.follows)
        raise Misused(f"{name} says so already: {told}; give what it should say instead")
    answered.update(_findings(before, book, name, answered))
    alike = [*_of_the_same_part(before, asked.record, book), *_of_the_same_page(before, asked.record, book)]
    raised = [("amendment", partial(asked.alike, other=other, field=field)) for other, field in alike]
    raised += [(f"finding-{check}", partial(asked.finding, check=check, what=what)) for check, what in answered.items()]

    def make_now(logbook: Logbook, own: str, after: tuple[str, ...], *, sure: bool) -> Record:
        if logbook.records != before.records:
            raise Overtaken
        return asked.made(logbook, own, after, sure=sure)

    def write(sure: bool) -> str:
        return "\n".join(asked.desk.enter_all("amend", [("amendment", partial(make_now, sure=sure)), *raised]))

    return asking(write, sure).splitlines(), alike


def _say_changes(desk: Desk, book: Logbook, record: Record, stem: str, alike: Sequence[tuple[Record, str]]) -> None:
    """What the amendment of this name changed, in this record and in those that named the same part."""
    if record.name not in book.amended:
        return
    changes = [each for each in book.amended[record.name].changes if each.amendment.name == stem]
    for told in (*changes, *_left_as_reckoned(book, record.name)):
        say(f"  {told}")
    for other, field in alike:
        same = "has the same reading of the same page" if field.startswith(READS) else "named the same part"
        say(f"  and in {other.name}, which {same}: {field}")
    if any(change.pending for change in changes):
        # Whoever said so signs it, where they may: then nobody need be named.
        written = {each.name: book.as_written(each) for each in book.records}
        _, fault = store.signer_of(None, written[stem], written, book.aircraft, desk.on)
        as_whom = " --as NAME" if fault is not None else ""
        say(
            "Of a sealed record it counts fully once it is signed: "
            f"{desk.typed(f'signature {stem} --ink REFERENCE{as_whom}')}. "
            "Until then whichever makes an item due sooner counts."
        )


def _refuse_overtaken(logbook: Logbook, name: str, made: Amendment) -> None:
    """Misused where a later amendment says another thing of the same field: this one would change nothing."""
    for other in logbook.of_kind(Amendment):
        if other.of == name and other.date > made.date and fields_of(other).keys() & fields_of(made).keys():
            told = f"{other.name} of {other.date} corrects the same and is later, so this would change nothing"
            raise Misused(f"{told}: leave --on out, or take that one back first: inspect-kit withdraw {other.name}")


def _of_the_same_day(logbook: Logbook, record: Record, words: Sequence[str]) -> Iterator[str]:
    """What was brought forward as done with an inspection goes with it: the same day, totals and paper.

    `new` asks once whether all of it was done at the last inspection; who mends that date mends one answer.
    """
    for word in words:
        key, _, value = (part.strip() for part in word.partition("="))
        kind, _, fact = key.partition(".")
        name, _, fact = fact.partition(".")
        if isinstance(record, BroughtForward) and kind == "last" and name in logbook.aircraft.inspections:
            same = [other for other, each in record.last.items() if other != name and each == record.last.get(name)]
            yield from (f"last.{other}.{fact}={value}" for other in same)


def _of_the_same_part(logbook: Logbook, record: Record, book: Logbook) -> list[tuple[Record, str]]:
    """The other fittings and removals that name a part whose serial is put right in this record, with what they are to
    say: one alone could not be corrected, for it would contradict them. A part of another name is another part."""
    changes = book.amended[record.name].changes if record.name in book.amended else ()
    found: list[tuple[Record, str]] = []
    for change in changes:
        # What has no serial is a new part at each fitting.
        if change.field[-1] != "serial" or change.old == NO_SERIAL:
            continue
        name = next((part.part for field, part in _parts(record) if field == ".".join(change.field)), "")
        found += [
            (other, f"{field}={change.new}")
            for other in logbook.records
            if other.name != record.name
            for field, part in _parts(other)
            if part.serial == change.old and may_be_one_part(name, part.part)
        ]
    return found


def _of_the_same_page(logbook: Logbook, record: Record, book: Logbook) -> list[tuple[Record, str]]:
    """The other records as which one page was sealed that have a reading which is put right in this one, with what they
    are to say: it was taken once, and two values of it would be a trend that never was.
    """
    changes = book.amended[record.name].changes if record.name in book.amended else ()
    before = logbook.sealed_before()
    found: list[tuple[Record, str]] = []
    for other in logbook.of_kind(PageRecord):
        if record not in before.get(other.name, ()) and other not in before.get(record.name, ()):
            continue
        for change in changes:
            if not isinstance(change.old, Reading) or not isinstance(change.new, Reading):
                continue
            was = (logbook.id_now(change.old.check), change.old.label, change.old.bare)
            if was in ((logbook.id_now(each.check), each.label, each.bare) for each in other.readings):
                found.append((other, f"{READS}{change.old.check}.{was[1]}={change.new.last}"))
    return found


def _parts(record: Record) -> Iterator[tuple[str, Installed | Removed]]:
    """The parts that a record says to be fitted or taken out, by the words that put the serial of each right."""
    if isinstance(record, Installed | Removed):
        yield "serial", record
    elif isinstance(record, BroughtForward):
        yield from ((f"fitted.{part.position}.serial", part) for part in record.fitted)


def _order_of(
    before: Logbook, book: Logbook, name: str, given: Sequence[str], today: dt.date, said: Mapping[str, bool]
) -> dict[str, bool]:
    """Of records of one day with one that is amended whether it came after them: as told or said already, else as they
    stood before, where the amendment leaves that open and it matters; asked at a terminal.
    """
    record, moments = book.record(name), chronicle(before).moments
    told = {**said, **given_order(book, given)}
    if record is None:
        return told
    open_ones = [*unordered(_all_but(book, name), with_order(record, told))]
    if NONE_BEFORE in given:
        return told | dict.fromkeys(open_ones, False)
    for other in open_ones:
        clock = before.aircraft.time_in_service
        if other in told or not {other, name} <= {*moments}:
            continue
        for first, last in ((other, name), (name, other)):
            later = book.record(last)
            if later is None or not moments[first].clearly_before(moments[last], clock):
                continue
            if first in order_matters(_all_but(book, last), later, today):
                told[other] = said_after(book, other, was=first == other)
    return told


def _all_but(book: Logbook, name: str) -> Logbook:
    """The logbook without a record and what amends it: with what it says now it is as one that is entered."""
    own = {name, *(each.name for each in book.of_kind(Amendment) if each.of == name)}
    return book.with_records(each for each in book.records if each.name not in own)


def _with_order(logbook: Logbook, name: str, made: Amendment, order: Mapping[str, bool]) -> Amendment:
    """The amendment with what its record came after, and before, on its day, beside what that says already."""
    if not order or (record := logbook.record(name)) is None:
        return made
    says = {**dict.fromkeys(record.precedes, False), **dict.fromkeys(record.follows, True), **order}
    said = with_order(record, says)
    fields: dict[Field, object] = {}
    for key, names in ((FOLLOWS, said.follows), (PRECEDES, said.precedes)):
        if names != getattr(record, key):
            fields[(key,)] = names
    made = replace(made, instead={**made.instead, **fields})
    after = followed(logbook.with_records((*logbook.records, made))).before
    for other, is_so in order.items():
        first, last = (other, name) if is_so else (name, other)
        if first not in after.get(last, ()):
            raise Misused(f"{last} cannot have come after {first}, by their days and readings: leave that out")
    return made


def _with_what_follows(logbook: Logbook, name: str, made: Amendment) -> Amendment:
    """The amendment with what follows from the readings that it replaces, reckoned by the checks of today."""
    follows = anew(logbook.with_records((*logbook.records, made)), name)
    for each in follows:
        if each.refused:
            raise Misused(f"{each.refused}: correct the reading")
    more: dict[Field, object] = {("reads", each.reading.check, each.reading.label): each.reading for each in follows}
    return replace(made, instead={**made.instead, **more})


def _left_as_reckoned(book: Logbook, name: str) -> Iterator[str]:
    """What a check does not reckon any more, so that it cannot follow from what was amended."""
    record = book.record(name)
    changed = {each.field[1:] for each in book.amended[name].changes if each.field[0] == "reads"}
    of = {book.id_now(check) for check, _ in changed}
    for reading in record.readings if isinstance(record, PageRecord) else ():
        check = book.checks.get(book.id_now(reading.check))
        known = {each.label for each in check.reckons} if check else set()
        stays = book.id_now(reading.check) in of and (reading.check, reading.label) not in changed
        if reading.reckoned and stays and reading.label not in known:
            yield (
                f"{reading.label} of {reading.check} stays {value_words(reading)}: nothing reckons it any more. "
                f'Amend it with its arithmetic: "reads.{reading.check}.{reading.label}=VALUE = ARITHMETIC"'
            )


# What of a meter change moves the totals of all that was read since.
MOVES_TOTALS: Final[frozenset[Field]] = frozenset((("date",), ("old",), ("new",), ("unrecorded",)))


def _sure_of_amended(logbook: Logbook, name: str, made: Amendment, sure: bool) -> None:
    """NotSure if a meter or a label would read what is unusual on the day of the record, and nobody said yes."""
    record = logbook.record(name)
    date = made.instead.get(("date",), record.date if record else made.date)
    reads = {field[1]: value for field, value in made.instead.items() if field[0] == "meters"}
    plain = {meter: value for meter, value in reads.items() if isinstance(value, Decimal)}
    # What a meter that was changed read last is a reading like any other.
    last = made.instead.get(("old",))
    if isinstance(record, MeterChange) and isinstance(last, Decimal):
        plain[record.meter] = last
    labels = [field for field in made.instead if field[0] == "reads"]
    slips: Iterable[str] = ()
    if isinstance(record, MeterChange) and made.instead.keys() & MOVES_TOTALS:
        after = logbook.with_records((*logbook.records, made))
        if isinstance(now := after.record(name), MeterChange):
            slips = tuple(leaps(logbook, after, now))
    if (plain or labels or slips) and isinstance(date, dt.date):
        others = [each for each in logbook.records if each.name != name]
        if isinstance(record, MeterChange):
            # What was read on that day may have been read off the new meter.
            others = [each for each in others if each.date < date]
        logbook = logbook.with_records(others)
        sure_of(logbook, date, plain, sure, (*slips, *_slips(logbook, date, made, labels)))


def _slips(logbook: Logbook, date: dt.date, made: Amendment, labels: Sequence[Field]) -> Iterator[str]:
    """What speaks for a slip in what was put right."""
    earlier = readings_before(logbook, date) if labels else {}
    for field in labels:
        reading, check = made.instead[field], logbook.checks.get(logbook.id_now(field[1]))
        number = reading.number if isinstance(reading, Reading) else None
        if check is not None and number is not None:
            yield slipped(check, field[2], number, earlier.get((check.id, field[2]), ()))


def _findings(before: Logbook, book: Logbook, name: str, told: Mapping[str, str]) -> dict[str, str]:
    """What was found, by check: as given, and asked where a reading is out of its limit by what is put right here."""
    known = unfound(before, before.record(name))
    out = {
        book.id_now(each.check): f"{each.label} is {value_words(each)}, the limit is {each.bound}"
        for each in unfound(book, book.record(name))
        if each not in known
    }
    for check, fault in _gone_too_far(book, name):
        out.setdefault(check, fault)
    given = {book.id_now(check): words for check, words in told.items()}
    for check in given:
        if check not in out:
            raise Misused(f"--found: no reading of `{check}` is out of its limit without a finding")
    for check, each in out.items():
        if check not in given:
            words = f"{check}: {each}: what was found"
            question = Question(name=f"found {check}=WHAT", words=words, required=True)
            given[check] = answers({}, [question])[question.name]
    return given


def _gone_too_far(book: Logbook, name: str) -> Iterator[tuple[str, str]]:
    """The checks at which a reading of a record, as amended, went further from those before it than it may, unless
    something was found there."""
    changes = book.amended[name].changes if name in book.amended else ()
    labels = {(book.id_now(each.field[1]), each.field[2]) for each in changes if each.field[0] == "reads"}
    for each in gone_too_far(book) if labels else ():
        if each.record.name == name and (each.check, each.reading.label) in labels:
            yield each.check, each.told
