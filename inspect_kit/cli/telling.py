"""`setting`, `change`, `equipment`, `stock`, `directive`, `search`: a record told, a question for each fact not given.

A new one is a `Told` in `cli.told_kinds`, which has the questions; what it writes is a record that a person could have
written.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

import click

from inspect_kit import store
from inspect_kit.audit import nothing_told
from inspect_kit.cli.called import id_meant, near_or_find
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import enter_asked
from inspect_kit.cli.entries import clock_question, read_as, readings_of_day, split_words
from inspect_kit.cli.flight_asked import ask_flight_check, asked_of, flight_check, who_flew
from inspect_kit.cli.options import SHARED, shared
from inspect_kit.cli.people_named import OFFERED, person
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.records_named import find_record, words_of_name
from inspect_kit.cli.said import say
from inspect_kit.cli.told import Ask, Facts, Told, never, nothing_touched
from inspect_kit.cli.told_kinds import TOLD
from inspect_kit.cli.unusual import sure_of
from inspect_kit.errors import Misused
from inspect_kit.model.kind import (
    ANSWER,
    CHOICE,
    DATE,
    ID,
    IDS,
    LIMITS,
    MONEY,
    NUMBER,
    QUANTITY,
    RECORD,
    RECORDS,
    TEXT,
    Key,
)
from inspect_kit.model.kinds.change import Change
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.quantity import WEIGHT
from inspect_kit.model.record import Record
from inspect_kit.past import (
    parse_said_date,
    parse_said_last_day,
    parse_said_number,
    parse_said_quantity,
    said_units,
)
from inspect_kit.text.grammar import Unreadable, parse_id, parse_money, said_decimals
from inspect_kit.text.kinds import parse_answer
from inspect_kit.text.limits import parse_every

ALL = "all"
CLOCK = "the clock"
PAPER = "paper"


def _of_the_day(logbook: Logbook, desk: Desk) -> Sequence[Record]:
    """The work, the fittings and the changes of the day, which other entries of it may have come with."""
    kinds = Work | Installed | Removed | Change
    return [each for each in logbook.records if isinstance(each, kinds) and each.date == desk.on][-OFFERED:]


def _read(key: Key, desk: Desk, logbook: Logbook, days: Sequence[Record]) -> Callable[[str], Any]:
    """The reader of one answer, by what the key holds; a record of `days` is meant by its number too."""
    dates = {"good-until": parse_said_last_day}
    loads = logbook.aircraft.loads

    def choice(words: str) -> str:
        if words not in key.words:
            raise Unreadable(f"expected {' or '.join(f'`{each}`' for each in key.words)}, not `{words[:40]}`")
        return words

    def quantity(words: str) -> Any:
        unit = (loads.weight_unit if key.words[0] == WEIGHT else loads.arm_unit) if loads else ""
        return parse_said_quantity(key.words[0], unit, words)

    readers: dict[str, Callable[[str], Any]] = {
        TEXT: said_decimals if key.name == "amount" else str,
        NUMBER: parse_said_number,
        MONEY: lambda words: parse_money(said_decimals(words)),
        LIMITS: lambda words: parse_every(said_units(words)),
        DATE: partial(dates.get(key.name, parse_said_date), today=desk.today),
        CHOICE: choice,
        QUANTITY: quantity,
        ANSWER: parse_answer(key.words),
        ID: partial(_id, key, logbook),
        IDS: lambda words: tuple(_id(key, logbook, each) for each in _every_one(key, logbook, _commas(words))),
        RECORD: partial(_record, logbook, ()),
        RECORDS: lambda words: tuple(_record(logbook, days, each) for each in _commas(words)),
    }
    return readers[key.holds]


def _commas(words: str) -> list[str]:
    return [each.strip() for each in words.split(",") if each.strip()]


def _every_one(key: Key, logbook: Logbook, words: list[str]) -> list[str]:
    """`all` as each position that is in use, with what else the key may be."""
    if [each.casefold() for each in words] != [ALL] or "position" not in key.refers:
        return words
    return [*key.words, *(each.id for each in logbook.aircraft.positions.values() if each.retired is None)]


def _id(key: Key, logbook: Logbook, words: str) -> str:
    """Today's id of what a key refers to; of a name of one's own any id."""
    name = "-".join(words.casefold().split())
    if not key.refers:
        return parse_id(name)
    aircraft = logbook.aircraft
    places: dict[str, Mapping[str, object]] = {
        "check": logbook.checks,
        "panel": logbook.panels,
        "position": aircraft.positions,
        "phase": aircraft.phases,
    }
    known = [*key.words, *(each for kind in key.refers for each in places[kind])]
    current = name if name in known else id_meant(logbook, words, *key.refers)
    if current not in known:
        what = " or ".join((*key.refers, *(f"`{each}`" for each in key.words)))
        raise Unreadable(f"no {what} is called `{words[:40]}`{near_or_find(words, known)}")
    return current


def _record(logbook: Logbook, days: Sequence[Record], words: str) -> str:
    if words.isascii() and words.isdigit() and 1 <= int(words) <= len(days):
        return days[int(words) - 1].name
    try:
        return find_record(logbook, words).name
    except Misused as fault:
        raise Unreadable(str(fault)) from None


def _asked(
    told: Told, desk: Desk, logbook: Logbook, given: Mapping[str, str | None], asks_clock: bool
) -> dict[str, Any]:
    """The value of every key: as given, as answered, or None; under CLOCK what the meter reads, where that is asked."""
    keys = {key.name: key for key in told.kind.keys}
    facts: dict[str, Any] = {}
    for ask in told.asks:
        # Who has answered a question is not told then that an option was wrong.
        if words := given.get(ask.name):
            days = _of_the_day(logbook, desk) if keys[ask.key].holds == RECORDS else ()
            read_as(_read(keys[ask.key], desk, logbook, days), words, f"--{ask.name}")
    # What is told by its option alone may decide what else is asked; of what is decided anew it says what Enter means.
    early = [one for one in told.asks if one.when is never or (one.early and given.get(one.name))]
    for ask in (*early, *(one for one in (told.first, *told.asks) if one not in early)):
        # What every entry may say fills a key of this one only where that is asked for.
        if not ask.when(facts, logbook) and (given.get(ask.name) is None or ask.name == PAPER):
            facts[ask.key] = None
            continue
        key = keys[ask.key]
        days = _of_the_day(logbook, desk) if key.holds == RECORDS else ()
        offered = ", ".join(f"{at} {words_of_name(each.name)}" for at, each in enumerate(days, start=1))
        question = Question(
            name=ask.name,
            words=f"{ask.words}: {offered}, or words of a name" if offered else ask.words,
            read=partial(_meant, ask, key, desk, logbook, days),
            required=_must(ask, facts, logbook) and not ask.usual(facts, logbook),
            default=ask.usual(facts, logbook),
            otherwise=ask.otherwise,
        )
        if ask is told.first:
            facts[ask.key] = _first(told, question, given[ask.name])
            # What it reads comes second everywhere, behind what it is about.
            clock = [clock_question(logbook, desk.on)] if asks_clock else []
            facts[CLOCK] = next(iter(answers({}, clock).values()), None)
        else:
            facts[ask.key] = answers(given, [question])[ask.name]
    return facts


def _meant(ask: Ask, key: Key, desk: Desk, logbook: Logbook, days: Sequence[Record], words: str) -> Any:
    """What an answer means, or why it cannot be, and what to do where there is nothing of the sort yet."""
    if none := nothing_told(key, words) if key.holds == TEXT else "":
        raise Unreadable(none)
    try:
        return ask.meant(_read(key, desk, logbook, days)(words), logbook)
    except Unreadable as fault:
        raise Unreadable(f"{fault.message}{ask.none_yet}") from None


def _must(ask: Ask, facts: Facts, logbook: Logbook) -> bool:
    return ask.required(facts, logbook) if callable(ask.required) else ask.required


def _first(told: Told, question: Question, given: str | None) -> Any:
    """The answer given as the command's own argument, such as `setting NAME`; asked if it was left out."""
    if given:
        return read_as(question.read, given, told.first.metavar)
    try:
        return answers({}, [question])[question.name]
    except Misused:
        raise Misused(f"`{question.words}` has no answer: inspect-kit {told.kind.name} {told.first.metavar}") from None


def _values(told: Told, facts: Facts) -> Iterator[tuple[str, Any]]:
    """The fields of the record that something was said of."""
    for key in told.kind.keys:
        if facts.get(key.name) not in (None, "", ()):
            yield key.attribute, facts[key.name]


def _write(
    told: Told,
    desk: Desk,
    words: Sequence[str],
    given: Mapping[str, str | None],
    flight: str | None,
    follows: Sequence[str],
    sure: bool,
) -> int:
    on = desk.entry_day()
    desk.options = {ask.key: ask.name for ask in told.asks if ask.name != ask.key}
    names, meter_words = split_words(words)
    if len(names) > 1:
        raise Misused(f"`{names[1]}` is a word too many: write what belongs together in quotes")
    logbook = desk.logbook()
    options = {key.replace("_", "-"): value for key, value in given.items()} | {PAPER: given[PAPER] or None}
    meters = readings_of_day(logbook, on, meter_words)
    asks_clock = told.clock and logbook.aircraft.time_in_service not in meters
    facts = _asked(told, desk, logbook, {**options, told.first.name: names[0] if names else None}, asks_clock)
    aside, read = "", facts.pop(CLOCK, None)
    meters |= {} if read is None else {logbook.aircraft.time_in_service: read}
    if told.then is not None:
        facts, aside = told.then.asks(facts, logbook, on, options[told.then.option])
    if told.flight is None:
        answer = ask_flight_check(flight, "Where it changed how the aircraft flies", given["text"])
    else:
        answer = asked_of(logbook, flight, told.flight(facts, logbook), given["text"])
    by = given["by"] or ""
    if told.who:
        who = who_flew(logbook, answer, told.who)
        who = replace(who, required=who.required or bool(told.kind.names_doer))
        by = answers({"by": by or None}, [who])["by"] or ""
    doer = person(logbook, by)
    placed = any(facts.get(ask.key) for ask in told.asks if ask.name == PAPER)
    text = "; ".join(filter(None, (answer.text if answer else given["text"], aside)))

    def make(logbook: Logbook, own: str, after: tuple[str, ...], *, sure: bool) -> Record:
        sure_of(logbook, on, meters, sure, told.doubts(facts, logbook))
        return told.kind.noun(
            **dict(_values(told, facts)),
            name=own,
            date=on,
            entered=desk.today,
            meters=meters,
            text=text,
            by=doer,
            at=given["at"] or "",
            paper="" if placed else given[PAPER] or "",
            flight_check=flight_check(answer, on, doer, store.record_place(own)),
            after=after,
            place=store.record_place(own),
        )

    code = enter_asked(desk, told.kind.name, f"{facts[told.first.key] or told.kind.name}", make, sure, follows=follows)
    for line in told.ending(facts, desk.logbook()):
        say(line, err=True)
    return code


def _one(said: str | tuple[str, ...] | None) -> str | None:
    """What an option says as one word; None where nobody gave it."""
    if isinstance(said, tuple):
        return ", ".join(said) if said else None
    return said


def _command(told: Told) -> click.Command:
    """The command of a kind: the word that says what it is about, its own options, and those of every entry."""

    @click.pass_obj
    def run(desk: Desk, /, words: tuple[str, ...], sure: bool, **said: Any) -> int:
        flight, follows = said.pop("flight", None), said.pop("follows", ())
        # Several of one may be repeated, or stand in one word with commas between.
        given = {key: _one(value) for key, value in said.items()}
        return _write(told, desk, words, given, flight, follows, sure)

    decorated: Any = run
    own = [ask for ask in told.asks if ask.name not in SHARED]
    common = [ask.name for ask in told.asks if ask.name in SHARED]
    touches = ["flight-check", "follows"] if told.flight is not nothing_touched else []
    several: dict[str, Mapping[str, Any]] = {
        ask.name.replace("-", "_"): {"multiple": True} for ask in told.asks if ask.several and ask.name in SHARED
    }
    decorated = shared(*common, *touches, "by", "at", "paper", "text", "yes", **several)(decorated)
    if told.then is not None:
        decorated = click.option(f"--{told.then.option}", metavar="ANSWER", help=told.then.help)(decorated)
    for ask in reversed(own):
        option = click.option(f"--{ask.name}", multiple=ask.several, metavar=ask.metavar, help=ask.help)
        decorated = option(decorated)
    metavar = f"[{told.first.metavar}] [METER=READING...]"
    decorated = click.argument("words", metavar=metavar, nargs=-1)(decorated)
    return click.command(name=told.kind.name, help=told.help)(decorated)


COMMANDS = tuple(map(_command, TOLD))
