"""`install`, `remove`, `meter`: a part goes into a position, comes out of it, or both in one go; a meter is changed."""

import datetime as dt
import shlex
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

import click

from inspect_kit import store
from inspect_kit.audit.fittings import arranged
from inspect_kit.cli.called import POSITION, id_meant
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import enter_asked, given_order, with_order
from inspect_kit.cli.entries import clock_question, readings_of_day
from inspect_kit.cli.flight_asked import asked_of, flight_check, who_flew
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import person, who_did
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import OLD_READ, as_given, say
from inspect_kit.cli.unusual import asking, leaps, sure_of
from inspect_kit.due import chronicle
from inspect_kit.due.directives import to_decide
from inspect_kit.errors import Misused
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.installed import NO_SERIAL, Installed, nearly, plain_serial, words_beside, words_of_part
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.kinds.weighing import Weighing
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.reason import is_no_reason
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass
from inspect_kit.past import parse_said_label_date, parse_said_number
from inspect_kit.text.grammar import Unreadable, did_you_mean

if TYPE_CHECKING:
    from inspect_kit.cli.desk import Make

# A part that was fitted here before brings its own times with it: these are asked of others.
AGES = {
    "since-new": "Its hours since new, 0 for a new one",
    "since-overhaul": "Its hours since overhaul",
    "made": "When it was made, by its label",
}
# Told by their options alone.
DATES = {"fitted-on": "When it was first fitted, anywhere", "overhauled": "When it was last overhauled"}
BENCH = "bench"
GOES = f"{BENCH}, overhaul, scrapped"
# Of a part that went anywhere but to the bench.
AGAIN = "Its hours since overhaul, 0 where it was overhauled meanwhile"
STAY, GO, NOTHING = "stay", "go", "none"


@dataclass(frozen=True, slots=True)
class Shelf:
    """What is fitted by position, and what came out and is fitted nowhere, as the records tell it."""

    fitted: Mapping[str, Installed]
    out: Sequence[Removed]


def parts_at_hand(logbook: Logbook, on: dt.date) -> Shelf:
    """The parts as they stand at the end of a day: what was fitted or taken out later was not, then."""
    moves: dict[str, list[Installed | Removed]] = {}
    for record in logbook.records:
        if record.date > on:
            continue
        for move in record.fitted if isinstance(record, BroughtForward) else (record,):
            if isinstance(move, Installed | Removed):
                moves.setdefault(logbook.id_now(move.position), []).append(move)
    fitted: dict[str, Installed] = {}
    out: list[Removed] = []
    for position, own in moves.items():
        for move in arranged(own, logbook):
            if isinstance(move, Installed):
                fitted[position] = move
            else:
                fitted.pop(position, None)
                out.append(move)
    here = {move.serial for move in fitted.values()}
    gone = {move.serial: move for move in sorted(out, key=lambda move: move.date) if not _nameless(move)}
    return Shelf(fitted, [move for serial, move in gone.items() if serial not in here])


def _nameless(move: Installed | Removed) -> bool:
    return move.serial.casefold() == NO_SERIAL


def _named_moves(logbook: Logbook) -> Iterator[Installed | Removed]:
    """Every part with a serial that went in or came out, the past that was brought forward included."""
    for record in logbook.records:
        for move in record.fitted if isinstance(record, BroughtForward) else (record,):
            if isinstance(move, Installed | Removed) and not _nameless(move):
                yield move


def _named_before(logbook: Logbook, serial: str, part: str) -> str:
    """That a serial is on record under other names alone; "" where it is not, or nothing is named."""
    known = {words_of_part(move.part): move for move in _named_moves(logbook) if move.serial == serial and move.part}
    if not part or not known or words_of_part(part) in known:
        return ""
    move = [*known.values()][-1]
    return (
        f"Serial {serial} is on record as {move.part} ({move.place}); as {part} it would be another part, which brings "
        "none of its hours."
    )


def _nearly_before(logbook: Logbook, serial: str) -> str:
    """That a serial which is not on record is nearly one that is; "" where it is on record, or like none."""
    known = {move.serial: move for move in _named_moves(logbook)}
    near = next((each for each in known if nearly(each) == nearly(serial)), "") or words_beside(serial, known)
    if serial in known or not near or plain_serial(near) == plain_serial(serial):
        return ""
    told = f"Serial {serial} is not on record, and {near} is ({known[near].place})"
    return f"{told}: as {serial} it would be another part, which brings none of its hours."


def position_of(logbook: Logbook, name: str) -> str:
    """Today's id of a position that is in use; Misused for any other."""
    current = id_meant(logbook, name, POSITION)
    positions = logbook.aircraft.positions
    if current not in positions:
        none = "; write it under `positions` in aircraft.yaml"
        known = f" (positions: {', '.join(positions)})" if positions else none
        raise Misused(f"no position is called `{name}`{did_you_mean(name, positions)}{known}")
    if (gone := positions[current].retired) is not None:
        told = "nothing is fitted there; take `retired` out of aircraft.yaml if it is used again"
        raise Misused(f"`{current}` is retired since {gone.date}: {told}")
    return current


def _clock(desk: Desk, logbook: Logbook, words: Sequence[str]) -> tuple[dict[str, Any], list[Question]]:
    """Meter readings as given, and the question for the one that times are counted by."""
    given = readings_of_day(logbook, desk.on, words)
    return given, [] if logbook.aircraft.time_in_service in given else [clock_question(logbook, desk.on)]


def _of_part(name: str, words: str, desk: Desk) -> Question:
    """The question for an age of a part, or for one of its dates."""
    read = parse_said_number if name.startswith("since-") else partial(parse_said_label_date, today=desk.today)
    return Question(name=name, words=words, read=read)


# A part that goes back into its place asks for nothing: `balance` pairs the two.
BACK_IN = "; Enter too where the same part goes back in"


def _weighed(logbook: Logbook, told: Mapping[str, str | None], unless: str = "") -> list[Question]:
    """The question about weight and balance, of an aircraft whose weighing is on record."""
    if told["no-change"] is not None or not logbook.of_kind(Weighing):
        return []
    words = "Why it changes neither weight nor balance; where it does, Enter, and `inspect-kit equipment`"
    return [Question(name="no-change", words=f"{words}{unless}", read=_why)]


def _why(words: str) -> str:
    """A reason in words; what is none is asked again at once, and not at the end of all questions."""
    if is_no_reason(words):
        raise Unreadable(f"`{words[:40]}` is no reason: say why, in words")
    return words


@click.command()
@click.argument("position")
@click.argument("words", metavar="[METER=READING...]", nargs=-1)
@shared(
    *("serial", "part", "since-new", "since-overhaul", "made", "fitted-on", "overhauled", "from", "where", "goes-with"),
    *("reason", "no-change", "flight-check", "follows", "by", "at", "paper", "text", "yes"),
)
@click.pass_obj
def install(
    desk: Desk, /, position: str, words: tuple[str, ...], goes_with: tuple[str, ...], flight: str | None, sure: bool,
    follows: tuple[str, ...], **given: str | None,
) -> int:  # fmt: skip
    """Fit a part; what is fitted there comes out in the same go.

    \b
    install magneto-left
    install magneto-left tach=412.6 --serial A4711 --since-new 0 --reason "the old one ran rough"
    """
    desk.entry_day()
    logbook = desk.logbook()
    person(logbook, given["by"] or "")
    name = position_of(logbook, position)
    stock = parts_at_hand(logbook, desk.on)
    old = stock.fitted.get(name)
    meters, clock = _clock(desk, logbook, words)
    told = _dashed(given)
    if old is not None:
        say(f"{name} holds {_named(old)}{_since(logbook, old)}: it comes out.", err=True)
    elif told["serial"] is None and all(logbook.id_now(move.position) != name for move in stock.out):
        then = f"what comes out is told first with {desk.typed(f'remove {name}')}"
        say(f"Nothing is on record as fitted in {name}; if something is, {then}.", err=True)
    meters |= _read(answers({}, clock), clock)
    # Of magnetos one may go where the other was; an alternator is none.
    alike = [move for move in stock.out if move.position.partition("-")[0] == name.partition("-")[0]]
    if told["serial"] is None and alike:
        say("Taken out earlier, and fitted nowhere:", err=True)
        for move in alike:
            gone = f"to {move.where}" if move.where else "where it went is not on record"
            say(f"  {move.serial}  {move.part or move.position}, {move.date}, {gone}", err=True)
    if old is None and told["where"]:
        remark = f"Nothing is fitted in {name}, so nothing goes anywhere; --from says where a part comes from."
        say(remark, err=True)
    goes_in = Question(name="serial", words="Serial number of what goes in, or none", required=True)
    serial = answers(told, [goes_in])["serial"]
    if old is not None and serial == old.serial and not _nameless(old):
        off = f"if it came off and the same one went on again, first {desk.typed(f'remove {name}')}, then this again"
        held = f"`{serial}` is fitted in {name} already{_since(logbook, old)}"
        raise Misused(f"{held}: give the serial of what goes in; {off}")
    known = next((move for move in stock.out if move.serial == serial), None)
    usual = known.part if known else old.part if old else ""
    asks = [Question(name="part", words="What it is: maker and part number", default=usual)]
    asks += [_of_part(key, AGES[key], desk) for key in AGES if known is None or told[key] is not None]
    if known is not None and told["since-overhaul"] is None and known.where.casefold() != BENCH:
        asks.append(Question(name="since-overhaul", words=AGAIN, read=parse_said_number, otherwise="it was not"))
    asks += [_of_part(key, DATES[key], desk) for key in DATES if told[key] is not None]
    asks.append(Question(name="from", words="Where it comes from"))
    if old is not None:
        asks.append(Question(name="where", words=f"Where {_named(old)} goes: {GOES}"))
    asks.append(Question(name="reason", words="Why", read=_why))
    facts = {**told, **answers(told, [*asks, *_weighed(logbook, told)])}
    along, facts["text"] = _sat_on(logbook, name, stock if old is not None else Shelf({}, ()), goes_with, facts["text"])
    answer = asked_of(logbook, flight, [name, *along], facts["text"])
    facts |= answers(told, [who_flew(logbook, answer, "Who did it")])
    facts["text"] = answer.text if answer else facts["text"]

    def make(logbook: Logbook, own: str, after: tuple[str, ...], *, sure: bool) -> Record:
        doubts = (_named_before(logbook, serial, facts["part"] or ""), _nearly_before(logbook, serial))
        sure_of(logbook, desk.on, meters, sure, doubts)
        return Installed(
            position=name, serial=serial, part=facts["part"] or "", since_new=facts.get("since-new"),
            since_overhaul=facts.get("since-overhaul"), made=facts.get("made"), where=facts["from"] or "",
            fitted_on=facts.get("fitted-on"), overhauled=facts.get("overhauled"), reason=facts["reason"] or "",
            flight_check=flight_check(answer, desk.on, person(logbook, facts["by"] or ""), store.record_place(own)),
            **_entry(desk, logbook, own, after, meters, facts),
        )  # fmt: skip

    out = _coming_out(desk, name, {name: old, **along} if old is not None else {}, meters, facts)
    code = enter_asked(desk, "install", f"{name}-fitted", make, sure, first=out, follows=follows)
    for number, why in to_decide(chronicle(desk.logbook()), name):
        say(f"{number} {why}: decide it, {desk.typed(f'directive {shlex.quote(number)}')}", err=True)
    return code


@click.command()
@click.argument("position")
@click.argument("words", metavar="[METER=READING...]", nargs=-1)
@shared(
    *("serial", "where", "goes-with", "reason", "no-change", "flight-check", "follows", "by", "at", "paper", "text"),
    "yes",
)
@click.pass_obj
def remove(
    desk: Desk, /, position: str, words: tuple[str, ...], goes_with: tuple[str, ...], flight: str | None, sure: bool,
    follows: tuple[str, ...], **given: str | None,
) -> int:  # fmt: skip
    """Take a part out and fit nothing instead.

    \b
    remove magneto-left tach=412.6 --where overhaul
    """
    desk.entry_day()
    logbook = desk.logbook()
    person(logbook, given["by"] or "")
    name = position_of(logbook, position)
    stock = parts_at_hand(logbook, desk.on)
    old = stock.fitted.get(name)
    meters, clock = _clock(desk, logbook, words)
    if old is not None:
        if given["serial"] is not None and given["serial"] != old.serial:
            raise Misused(
                f"{name} holds {_named(old)}{_since(logbook, old)}, not `{given['serial']}`: give that one, or leave "
                "--serial out"
            )
        say(f"{name} holds {_named(old)}{_since(logbook, old)}: it comes out.", err=True)
    comes_out = Question(name="serial", words="Serial number of what comes out, or none", required=True)
    asks = [*clock] if old is not None else [*clock, comes_out]
    asks += [Question(name="where", words=f"Where it goes: {GOES}"), Question(name="reason", words="Why", read=_why)]
    told = _dashed(given)
    facts = {**told, **answers(told, [*asks, *_weighed(logbook, told, BACK_IN)])}
    meters |= _read(facts, clock)
    along, facts["text"] = _sat_on(logbook, name, stock, goes_with, facts["text"])
    answer = asked_of(logbook, flight, [name, *along], facts["text"])
    facts |= answers(told, [who_flew(logbook, answer, "Who did it")])
    facts["text"] = answer.text if answer else facts["text"]

    def make(logbook: Logbook, own: str, after: tuple[str, ...], *, sure: bool) -> Record:
        sure_of(logbook, desk.on, meters, sure)
        return Removed(
            position=name, serial=old.serial if old else facts["serial"], part=old.part if old else "",
            where=facts["where"] or "", reason=facts["reason"] or "",
            flight_check=flight_check(answer, desk.on, person(logbook, facts["by"] or ""), store.record_place(own)),
            **_entry(desk, logbook, own, after, meters, facts),
        )  # fmt: skip

    first = _coming_out(desk, name, along, meters, facts)
    return enter_asked(desk, "remove", f"{name}-removed", make, sure, first=first, follows=follows)


def _sat_on(
    logbook: Logbook, name: str, stock: Shelf, given: Sequence[str], text: str | None
) -> tuple[dict[str, Installed], str]:
    """The parts that go with what comes out of a position, and the words of the entry, which tell what stayed.

    Asked of each that sits on it, and on those, where no option says it.
    """
    on = [name]
    for below in on:
        positions = logbook.aircraft.positions.values()
        on += [each.id for each in positions if each.on == below and each.id not in on and each.retired is None]
    sitting = {position: stock.fitted[position] for position in on[1:] if position in stock.fitted}
    named = [] if [*given] == [NOTHING] else [position_of(logbook, each) for each in given]
    if stray := next((each for each in named if each not in sitting), ""):
        told = f"one of {', '.join(sitting)}, or {NOTHING}" if sitting else "leave it out"
        raise Misused(f"--goes-with: no part is on record in {stray} that sits on {name}: {told}")
    along = {position: part for position, part in sitting.items() if position in named}
    for position, part in {} if given else sitting.items():
        words = f"Did {_named(part)} in {position} stay, or go with it: {STAY} or {GO}"
        asked = Question(name="goes-with", words=words, read=_stay_or_go, required=True)
        if answers({}, [asked])["goes-with"] == GO:
            along[position] = part
    stayed = [f"{_named(part)} in {position}" for position, part in sitting.items() if position not in along]
    return along, "; ".join(filter(None, (text, f"stayed: {', '.join(stayed)}" if stayed else "")))


def _stay_or_go(words: str) -> str:
    for each in (STAY, GO):
        if each.startswith(words.casefold()):
            return each
    raise Unreadable(f"expected {STAY} or {GO}")


def _coming_out(
    desk: Desk, name: str, parts: Mapping[str, Installed], meters: Mapping[str, Any], facts: Mapping[str, Any]
) -> "list[tuple[str, Make]]":
    """The removal of each of these parts; one of another position went with what was in `name`, and says so."""

    def make(position: str, part: Installed, logbook: Logbook, own: str, after: tuple[str, ...]) -> Record:
        reason = facts["reason"] or "" if position == name else f"went with what came out of {name}"
        entry = _entry(desk, logbook, own, after, meters, facts if position == name else {**facts, "text": ""})
        where = facts["where"] or ""
        return Removed(position=position, serial=part.serial, part=part.part, where=where, reason=reason, **entry)

    return [(f"{position}-removed", partial(make, position, part)) for position, part in parts.items()]


@click.command()
@click.argument("name", metavar="METER")
@click.option("--old", metavar="READING", help="What the old one read last.")
@click.option("--new", metavar="READING", help="What the new one reads first, or the same one after it rolled over.")
@click.option("--unrecorded", metavar="HOURS", help="Hours flown without either; 0 if none.")
@click.option("--how-known", metavar="HOW", help="How these hours are known, such as the journey log.")
@shared("by", "at", "follows", "paper", "text", "yes")
@click.pass_obj
def meter(desk: Desk, /, name: str, follows: tuple[str, ...], sure: bool, **given: str | None) -> int:
    """A meter changed, or rolled over.

    \b
    meter tach
    meter tach --old 612.4 --new 0 --unrecorded 0.4 --how-known "journey log"
    """
    desk.entry_day()
    logbook = desk.logbook()
    person(logbook, given["by"] or "")
    if name not in logbook.aircraft.meters:
        hint = did_you_mean(name, logbook.aircraft.meters)
        raise Misused(f"`{name}` is no meter of this aircraft{hint} (meters: {', '.join(logbook.aircraft.meters)})")
    told = _dashed(given)
    told["old"] = told["old"] and as_given(name, told["old"], OLD_READ.format(name))
    last = Question(name="old", words=OLD_READ.format(name), read=parse_said_number, required=True)
    first = Question(name="new", words=f"The new {name} reads", read=parse_said_number, required=True)
    between = Question(name="unrecorded", words="Hours flown without either", read=parse_said_number, default="0")
    facts = {**told, **answers(told, [last, first, between])}
    unrecorded = facts["unrecorded"] or None
    if unrecorded:
        how = Question(name="how-known", words="How these hours are known", required=True)
        facts |= answers(told, [how])
    elif told["how-known"]:
        raise Misused("--how-known says of hours flown without a meter how they are known: give them with --unrecorded")

    facts |= answers(told, [who_did(logbook)])

    def make(logbook: Logbook, own: str, after: tuple[str, ...], *, sure: bool) -> Record:
        change = MeterChange(
            meter=name, old=facts["old"], new=facts["new"], unrecorded=unrecorded,
            how_known=(facts["how-known"] or "") if unrecorded else "", **_entry(desk, logbook, own, after, {}, facts),
        )  # fmt: skip
        change = with_order(change, given_order(logbook, follows))
        changed = logbook.with_records((*logbook.records, change))
        sure_of(logbook, desk.on, {name: facts["old"]}, sure, leaps(logbook, changed, change))
        return change

    say(asking(lambda sure: desk.enter("meter", f"{name}-changed", partial(make, sure=sure)), sure))
    return desk.code(0)


def _named(move: Installed) -> str:
    return f"{move.part or 'the part'} without a serial number" if _nameless(move) else f"serial {move.serial}"


def _since(logbook: Logbook, move: Installed) -> str:
    """` since 2018-06-08`; nothing where only the day is known on which it was written down as fitted."""
    carried = any(move in record.fitted for record in logbook.of_kind(BroughtForward))
    day = move.fitted_on if carried else move.date
    return f" since {day}" if day else ""


def _read(facts: Mapping[str, Any], clock: Sequence[Question]) -> dict[str, Any]:
    return {each.name: facts[each.name] for each in clock if facts[each.name] is not None}


def _dashed(given: Mapping[str, str | None]) -> dict[str, str | None]:
    """The options by their names on the command line."""
    told = {key.replace("_", "-"): value for key, value in given.items()}
    return {**told, "by": told.get("by") or None}


def _entry(
    desk: Desk,
    logbook: Logbook,
    own: str,
    after: tuple[str, ...],
    meters: Mapping[str, Any],
    facts: Mapping[str, Any],
) -> dict[str, Any]:
    """What every such record has besides the part or the meter."""
    more = {"no_change": facts["no-change"]} if facts.get("no-change") else {}
    return more | {
        "name": own,
        "date": desk.on,
        "entered": desk.today,
        "meters": meters,
        "by": person(logbook, facts["by"] or ""),
        "at": facts["at"] or "",
        "paper": facts["paper"] or "",
        "text": facts["text"] or "",
        "after": after,
        "place": store.record_place(own),
    }
