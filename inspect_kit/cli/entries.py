"""`hours`, and what entries are typed with: readings, amounts, ids of checks. It writes one new record, or nothing."""

import datetime as dt
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import TypeVar

import click

from inspect_kit import store
from inspect_kit.audit import meter_problems
from inspect_kit.cli.called import CHECK, id_meant, near_or_find
from inspect_kit.cli.desk import Desk, Worse, fallen_on_record, without
from inspect_kit.cli.entering import enter_asked
from inspect_kit.cli.kept_answers import SAME
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import person
from inspect_kit.cli.questions import Question
from inspect_kit.cli.said import as_given
from inspect_kit.cli.unusual import sure_of
from inspect_kit.due import total_read, totals_before
from inspect_kit.errors import Misused, Problem
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import decimal
from inspect_kit.model.kinds.hours import Hours, is_oil, most_oil, quarts
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.past import parse_said_number
from inspect_kit.text.grammar import Unreadable, did_you_mean, said_decimals

T = TypeVar("T")
# Where a reading stands that is tried out: in no file.
ASKED = store.record_place("what-is-tried-out")


def parse_readings(words: Sequence[str], meters: Collection[str]) -> dict[str, Decimal]:
    """`tach=412.6` to {tach: 412.6}; Misused for an unknown meter or a reading that is no number."""
    form = f"METER=READING, such as {next(iter(meters), 'tach')}=412.6"
    for name in (given := pairs(words, form)):
        if name not in meters:
            known = ", ".join(meters)
            hint = did_you_mean(name, meters)
            raise Misused(f"`{name}` is no meter of this aircraft{hint} (meters: {known})")
    return {name: read_as(parse_said_number, as_given(name, value), name) for name, value in given.items()}


def pairs(words: Sequence[str], form: str) -> dict[str, str]:
    """`NAME=VALUE` words by name; Misused for one in another form, and for a name that is given twice."""
    found: dict[str, str] = {}
    for word in words:
        name, _, value = (part.strip() for part in word.partition("="))
        if not (name and value):
            raise Misused(f"expected {form}, not `{word}`")
        if name in found:
            raise Misused(f"`{name}` is given twice, as {found[name]} and as {value}: which of the two?")
        found[name] = value
    return found


def _as_readings(words: Sequence[str], aircraft: Aircraft) -> list[str]:
    """`tach 412.6`, and a number alone, which is of the meter that times are counted by, as `tach=412.6`."""
    found: list[str] = []
    for word in words:
        is_number = decimal(said_decimals(word)) is not None
        if is_number and found and found[-1] in aircraft.meters:
            found[-1] = f"{found[-1]}={word}"
        else:
            found.append(f"{aircraft.time_in_service}={word}" if is_number else word)
    return found


def said_readings(words: Sequence[str], aircraft: Aircraft) -> dict[str, Decimal]:
    """Readings as they are said, `tach 412.6`; Misused as `parse_readings` is."""
    return parse_readings(_as_readings(words, aircraft), aircraft.meters)


def _as_filled(words: str) -> str:
    """`oil 1qt` and `1 qt oil` as `oil=1 qt`; what has its sign of equality keeps both sides."""
    what, equals, amount = (part.strip() for part in words.partition("="))
    if not equals:
        behind = re.fullmatch(r"(\D+?) +(\d.*)", what)
        before = re.fullmatch(r"(\d[\d.,/]* *[^\W\d]+) +(?:of +)?(\D+)", what)
        if behind is None and before is None:
            return words
        what, amount = behind.groups() if behind else (before.group(2), before.group(1)) if before else (what, "")
    parted = re.sub(r"^([0-9./]+)(?=[^\W\d])", r"\1 ", said_decimals(amount))
    return f"{what}={parted}"


def at_the_one(words: Sequence[str], did: Sequence[str]) -> list[str]:
    """`CHECK=VALUE` words; where only one check is meant a VALUE alone is its own."""
    return [word if "=" in word or len(did) != 1 else f"{did[0]}={word}" for word in words]


def read_as(parse: Callable[[str], T], value: str, name: str) -> T:
    """A value of the command line as a grammar reads it; Misused, with its name, if it does not."""
    try:
        return parse(value)
    except Unreadable as fault:
        raise Misused(f"{name}: {fault.message}") from None


def without_blanks(given: Sequence[str]) -> tuple[str, ...]:
    """What an option that may be repeated was given; with nothing in it that is Enter."""
    return tuple(each for each in given if each.strip())


def split_words(words: Sequence[str]) -> tuple[list[str], list[str]]:
    """Ids, and METER=READING words."""
    return [word for word in words if "=" not in word], [word for word in words if "=" in word]


def clock_question(logbook: Logbook, on: dt.date, meter: str = "") -> Question:
    """The question for the meter that times are counted by, or for another; what cannot be on that day is told at
    once.
    """
    clock = meter or logbook.aircraft.time_in_service

    totals, offsets = totals_before(logbook, on)
    before_that = totals[clock] - offsets[clock] if clock in totals else None

    def read(typed: str) -> Decimal:
        if typed == SAME and before_that is not None:
            return before_that
        reads = parse_said_number(typed.removeprefix(f"{clock}=").strip())
        for problem in _added(logbook, on, {clock: reads}):
            raise Unreadable(without(problem.message, [ASKED.file]))
        return reads

    last = f", last {before_that:f}, {SAME} the same" if before_that is not None else ""
    return Question(name=clock, words=f"{clock} reads{last}", read=read, repeats=True)


def readings_of_day(logbook: Logbook, on: dt.date, words: Sequence[str]) -> dict[str, Decimal]:
    """`parse_readings`; Misused too for what cannot be on that day, before anything is asked: no answer mends it."""
    refuse_total(logbook, on, words)
    given = parse_readings(words, logbook.aircraft.meters)
    for problem in _added(logbook, on, given) if given else ():
        fallen = fallen_on_record(problem, [ASKED.file])
        raise Misused(Worse(f"  {without(problem.message, [ASKED.file])}", *fallen).refusal("nothing was written"))
    return given


def refuse_total(logbook: Logbook, on: dt.date, words: Sequence[str]) -> None:
    """Misused where a total is given as if it were read, as paper has it: with what the meter read then."""
    meters, clock = logbook.aircraft.meters, logbook.aircraft.time_in_service
    for word in words:
        name, _, value = (part.strip() for part in word.partition("="))
        total = decimal(said_decimals(value))
        if name.casefold() != "total" or name in meters or total is None:
            continue
        reads = total - (total_read(logbook, on, clock, total) - total)
        known = f"on {on} at a total of {total:f} {clock} read {reads:f}: {clock}={reads:f}"
        known = known if reads >= 0 else f"give what {clock} read, {clock}=READING"
        raise Misused(f"`{word}` is a total, and what a meter read is written down; {known}")


def _added(logbook: Logbook, on: dt.date, reads: Mapping[str, Decimal]) -> Iterator[Problem]:
    """What meters say against themselves with these readings of a day, and do not say without."""
    before = {problem.message for problem in meter_problems(logbook)}
    asked = Hours(name="asked", date=on, meters=reads, place=ASKED)
    with_it = logbook.with_records(sorted((*logbook.records, asked), key=lambda each: (each.date, each.name)))
    return (problem for problem in meter_problems(with_it) if problem.message not in before)


def check_ids(logbook: Logbook, names: Sequence[str]) -> tuple[str, ...]:
    """Today's ids of checks; Misused for one that nobody ever had, or that is named twice."""
    found = []
    for name in names:
        current = id_meant(logbook, name, CHECK)
        if name in logbook.aircraft.meters:
            raise Misused(f"`{name}` is a meter: write its reading in one word, such as {name}=412.6")
        if current not in logbook.checks:
            told = '; what is no check is written in words, `inspect-kit work --text "what was done"`'
            hint = did_you_mean(name, logbook.checks) or f"{near_or_find(name, ())}{told}"
            raise Misused(f"no check is called `{name}`{hint}")
        if current in found:
            raise Misused(f"`{current}` is named twice: name it once; what was done twice is two entries")
        found.append(current)
    return tuple(found)


@click.command()
@click.argument("words", metavar="METER=READING...", nargs=-1, required=True)
@click.option("--added", multiple=True, metavar="WHAT=AMOUNT", help="Filled up, such as oil='1 qt'; may be repeated.")
@click.option("--permit", default="", metavar="WORDS", help="The special flight permit it was flown under.")
@shared("by", "at", "paper", "text", "yes")
@click.pass_obj
def hours(
    desk: Desk,
    words: tuple[str, ...],
    added: tuple[str, ...],
    permit: str,
    by: str,
    at: str,
    paper: str,
    text: str,
    sure: bool,
) -> int:
    """Write meter readings down.

    \b
    hours tach=412.6
    hours tach=412.6 --added "oil=1 qt"
    """
    on = desk.entry_day()
    added = without_blanks(added)

    def make(logbook: Logbook, name: str, after: tuple[str, ...], *, sure: bool) -> Record:
        refuse_total(logbook, on, words)
        meters = said_readings(words, logbook.aircraft)
        filled = pairs([*map(_as_filled, added)], 'WHAT=AMOUNT, such as "oil=1 qt"')
        for what, amount in filled.items():
            if decimal(amount) is not None:
                raise Misused(f"--added: {amount} of what measure? Such as --added \"{what}={amount} qt\"")
        sure_of(logbook, on, meters, sure, _much_oil(logbook, filled))
        return Hours(
            name=name,
            date=on,
            entered=desk.today,
            meters=meters,
            added=filled,
            permit=permit,
            text=text,
            by=person(logbook, by),
            at=at,
            paper=paper,
            after=after,
            place=store.record_place(name),
        )

    return enter_asked(desk, "hours", "hours", make, sure)


def _much_oil(logbook: Logbook, filled: Mapping[str, str]) -> Iterator[str]:
    """What speaks for a slip in the oil that was filled up: more than the engine holds."""
    most = most_oil(logbook.checks.values())
    for what, told in filled.items():
        if is_oil(what) and (quarts(told) or 0) > most:
            yield f"{told} of {what} is more than the engine holds, {most:f} qt by its checklist."
