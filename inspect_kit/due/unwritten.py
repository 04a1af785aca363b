"""Where in the files the fact belongs that an unknown item waits for, and in which words it is written there."""

import datetime as dt
from collections.abc import Iterator, Sequence

from inspect_kit.due.answer import CHECK, FINDING, INSPECTION, UNKNOWN, DueAnswer, Item
from inspect_kit.due.check_history import CheckHistory
from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.fitting import all_fittings, own_position, present
from inspect_kit.due.stops import since_empty
from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import Limit
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.late_clock import not_beside, past_of, total_missing
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.noun import dataclass

# Words for what only the owner knows: a made-up fact would be typed as it stands.
DATE, TOTAL, READING = "DATE", "TOTAL", "READING"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """What is not on record of an item: the line where it belongs, and how it is written there.

    `empty` is the position in which nothing is fitted, so that nothing can be written until something is; `amends` what
    tells it by an amendment, where what was brought forward says something of it that an entry would contradict;
    `under` is the key that the words stand under.
    """

    check: str
    place: Place
    words: str
    empty: str = ""
    amends: str = ""
    under: str = ""

    @property
    def told(self) -> str:
        """The words, and the key that they stand under: a line that is typed as it is shown is YAML of that meaning."""
        return f"{self.words}, under `{self.under}`" if self.under else self.words


def gaps(answer: DueAnswer) -> tuple[Gap, ...]:
    """A gap for every item that is unknown, in the order of the list."""
    found = (gap_of(answer, item) for item in answer.items)
    return tuple(gap for gap in found if gap is not None)


def gap_of(answer: DueAnswer, item: Item) -> Gap | None:
    """Where what nobody knows of an item belongs; None where it is known, or comes from somewhere else.

    Of a part that was taken out nothing is to be written: it waits for the next one.
    A reading is written by `hours`. What was done before records began stands under `last` of the record that brought
    the past forward, a part and its ages under `fitted`; without such a record it is an entry of its own.
    """
    if item.state != UNKNOWN or item.kind not in (CHECK, INSPECTION, FINDING):
        return None
    logbook = answer.seen
    check, clock = logbook.checks.get(item.check), logbook.aircraft.time_in_service
    past = past_of(logbook)
    position = logbook.id_now(check.counts_on) if check is not None and check.counts_on else ""
    if (out := answer.emptied.get(position)) is not None and out.end is not None:
        words = f"nothing is fitted there {since_empty(out)}: inspect-kit install {position}"
        return Gap(check=item.check, place=out.end.place, words=words, empty=position)
    unread = [name for name in _meters(logbook.aircraft, check) if answer.meters.get(name) is None]
    if unread or item.kind == FINDING:
        meter = [*unread, clock][0]
        words = f"write the meter down: inspect-kit hours {meter}={READING}"
        if unread and past is not None:
            # A meter that counts since before records began has had its total then.
            told = f"{meter}: {{reads: {READING}, total: {TOTAL}}}, under `meters`, as it was on {past.date}"
            return Gap(check=item.check, place=place_of(past, "meters"), words=f"{told}; what it reads now: {words}")
        return Gap(check=item.check, place=item.place, words=words)
    late = [name for name in (*_meters(logbook.aircraft, check), clock) if logbook.meter_history(name).begun_late]
    if late:
        total = total_missing(logbook, logbook.meter_history(late[0]))
        where = "under `meters`" if total.past is not None else total.where
        return Gap(check=item.check, place=total.place, words=f"{total.line}, {where}")
    if check is not None and check.life and check.counts_on:
        return _of_part(logbook, check.counts_on, item, past)
    if (told := _not_beside(logbook, item)) and check is not None and not check.marked:
        return Gap(check=item.check, place=item.place if item.last is None else item.last.place, words=told)
    if check is not None and check.marked and (gap := _of_the_plate(logbook, check, item, past)) is not None:
        return gap
    if past is None:
        marked = f" --good-until {item.check}={DATE}" if check is not None and check.marked else ""
        words = f"write it down as it was: inspect-kit --on {DATE} work {item.check}{marked}"
        return Gap(check=item.check, place=item.place, words=words)
    how = f"good-until: {DATE}" if check is not None and check.marked else f"date: {DATE}, {clock}: {TOTAL}"
    name = item.check
    if check is not None and item.last is not None:
        # When it was done itself is known: what is missing is the inspection that it comes with, or the total then.
        missing = (each for each in logbook.aircraft.inspections if check.at_inspection(each) and _never(answer, each))
        name = next(missing, name)
        if name == item.check and item.last.total is None and item.last.date is not None and not check.marked:
            how = f"date: {item.last.date}, {clock}: {TOTAL}"
            if item.last.place.file != past.place.file:
                own = next((each for each in logbook.records if each.place.file == item.last.place.file), past)
                told = f"amend it: inspect-kit amend {own.name} {clock}={READING}"
                return Gap(check=item.check, place=item.last.place, words=told)
    amends = amending_past(past, [each for each in past.last if logbook.id_now(each) == name], how)
    place, words = place_of(past, "last", name), f"{name}: {{{how}}}"
    return Gap(check=item.check, place=place, words=words, amends=amends, under="last")


def _not_beside(logbook: Logbook, item: Item) -> str:
    """How it becomes known what a clock had, which came later, when something was done by another; "" where that is
    not what is missing.
    """
    last, clock = item.last, logbook.aircraft.time_in_service
    if last is None or last.total is not None or last.date is None:
        return ""
    own = next((each for each in logbook.records if each.place.file == last.place.file), None)
    history = logbook.meter_history(clock)
    beside = not_beside(logbook, history, tuple(own.meters)) if own is not None else ""
    if own is None or not beside:
        return ""
    day, amend = history.points[0].date, f"amend it: inspect-kit amend {own.name} {clock}={READING}"
    return f"what {beside} read on {day}: inspect-kit --on {day} hours {beside}={READING}; or {amend}"


def amending_past(past: BroughtForward, names: Sequence[str], how: str) -> str:
    """The words that put right what was brought forward of these, `how` as it would stand in the file; "" for none.

    An entry of a day before would contradict it.
    """
    facts = [fact.replace(": ", "=") for fact in how.split(", ")]
    told = " ".join(f"last.{name}.{fact}" for name in names for fact in facts)
    return f"amend {past.name} {told}" if told else ""


def told_instead(logbook: Logbook, past: BroughtForward, names: Sequence[str], on: dt.date, total: str = TOTAL) -> str:
    """The words that put right what was brought forward of these, where an entry of a day before contradicts it."""
    return amending_past(past, names, f"date: {on}, {logbook.aircraft.time_in_service}: {total}")


def _never(answer: DueAnswer, inspection: str) -> bool:
    """Whether an inspection was never done on record."""
    item = answer.item(inspection)
    return item is None or item.last is None


def _meters(aircraft: Aircraft, check: Check | None) -> Iterator[str]:
    """The meters that its limits count on."""
    for term in (*check.every, *check.once, *check.life, *check.first, *check.directed) if check is not None else ():
        if isinstance(term, Limit) and (meter := aircraft.meter_of(term.unit, term.meter)):
            yield meter


def _of_the_plate(logbook: Logbook, check: Check, item: Item, past: BroughtForward | None) -> Gap | None:
    """The date that a part carries, where none that was brought forward is its own: it was done again since, without
    that date, or the part came later.
    """
    book = chronicle(logbook)
    fittings = all_fittings(book)
    history = CheckHistory(check, book, fittings)
    stays = fittings.get(own_position(check, logbook), ())
    part = present(stays)
    done = next((each for each in history.dones[::-1] if part is None or history.was_done_to(part, stays, each)), None)
    if done is not None and isinstance(record := logbook.record(done.record), PageRecord):
        told = f"amend it: inspect-kit amend {record.name} next.{check.id}={DATE}"
        return Gap(check=item.check, place=done.place, words=told)
    if part is None:
        return None
    later = past is not None and not history.was_done_to(part, stays, book.moments[past.name])
    if history.unmarked is None and not later:
        return None
    words = f"read it on serial {part.serial}: inspect-kit work {check.id} --good-until {check.id}={DATE}"
    return Gap(check=item.check, place=item.place, words=words)


def _of_part(logbook: Logbook, position: str, item: Item, past: BroughtForward | None) -> Gap:
    """The part whose life it is: the record that fitted it, or where what is fitted would be written."""
    fitted = [
        record
        for record in logbook.of_kind(Installed)
        if logbook.id_now(record.position) == position
    ]
    if fitted:
        told = f"amend it: inspect-kit amend {fitted[-1].name} made={DATE}"
        return Gap(check=item.check, place=place_of(fitted[-1], "position"), words=told)
    if past is None:
        words = f"write down what is fitted: inspect-kit install {position}"
        return Gap(check=item.check, place=item.place, words=words)
    words = f"{position}: {{serial: SERIAL, since-new: HOURS, made: {DATE}, fitted-on: {DATE}}}"
    return Gap(check=item.check, place=place_of(past, "fitted", position), words=words, under="fitted")
