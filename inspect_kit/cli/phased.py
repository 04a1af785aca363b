"""`phase`: a flight-test phase begins, is flown in, or ends with the statement that the limitations prescribe."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import click

from inspect_kit import store
from inspect_kit.cli.called import near_or_find
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import enter_asked
from inspect_kit.cli.entries import clock_question, pairs, readings_of_day, split_words
from inspect_kit.cli.flight_asked import PILOTS, by_pilot
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import person, who_did
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import say
from inspect_kit.cli.told_kinds import NO_PHASES
from inspect_kit.cli.unusual import sure_of
from inspect_kit.due.either import passengers_barred
from inspect_kit.due.phases import PhaseState, may_close
from inspect_kit.errors import Misused
from inspect_kit.model.aircraft import PhaseRule
from inspect_kit.model.kinds.phase import Phase
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.past import parse_said_number, said_names
from inspect_kit.text.grammar import Unreadable

# As they are asked; the record has them under `opens`, `during` and `closes`.
OPENS, DURING, CLOSES = "begins", "during", "ends"
# By this name the answer is asked for: one of three options gives it, and a refusal names them all.
VERBS = "begins, --during or --ends"


@click.command()
@click.argument("words", metavar="[PHASE] [METER=READING...]", nargs=-1)
@click.option("--begins", "verb", flag_value=OPENS, help="It begins: passengers are barred until it is closed.")
@click.option("--during", "verb", flag_value=DURING, help="What was flown in it: tasks, values.")
@click.option("--ends", "verb", flag_value=CLOSES, help="It ends, with the statement of aircraft.yaml, to be signed.")
@click.option("--task", "tasks", multiple=True, metavar="WORDS", help="A task that was done, or none; may be repeated.")
@click.option(
    "--demonstrated", multiple=True, metavar="NAME=VALUE", help="A value demonstrated, or none; may be repeated."
)
@shared("hours", "area", "by", "at", "paper", "text", "yes")
@click.pass_obj
def phase(
    desk: Desk, /, words: tuple[str, ...], verb: str | None, tasks: tuple[str, ...], demonstrated: tuple[str, ...],
    sure: bool, **given: str | None,
) -> int:  # fmt: skip
    """A flight-test phase of aircraft.yaml: it begins, is flown in, ends.

    It is at its end once its statement is signed and nothing that the limitations ask for is missing.

    \b
    phase flight-test --begins
    phase flight-test --during tach=14.5 --task "stalls in every configuration" --demonstrated Vso="41 kt"
    phase flight-test --ends tach=41.5
    """
    desk.entry_day()
    logbook = desk.logbook()
    person(logbook, given["by"] or "")
    names, meter_words = split_words(words)
    meters, clock = readings_of_day(logbook, desk.on, meter_words), logbook.aircraft.time_in_service
    rule = _rule(logbook, names)
    state = _state(logbook, rule.name)
    verb = verb or answers({}, [_verb(state)])[VERBS]
    if verb != OPENS and state is None:
        cure = desk.typed(f"phase {rule.name} --begins")
        raise Misused(f"the {rule.name} phase is not open; --begins opens it: {cure}")
    told = {**given, "by": given["by"] or None}
    if clock not in meters and (reads := answers({}, [_clock(logbook, desk, verb)])[clock]) is not None:
        meters[clock] = reads
    facts: dict[str, Any] = {"did": (), "demonstrated": {}, "hours": None, "area": None}
    if verb == OPENS:
        facts |= answers(told, _of_opening(rule))
    else:
        _none_here(given, verb)
        facts["did"] = _tasks(tasks, rule, state)
        facts["demonstrated"] = _demonstrated(demonstrated, rule, state)
    facts |= answers(told, [_who(logbook, verb, rule)])
    statement = _statement(rule, state, facts["demonstrated"]) if verb == CLOSES else ""
    if statement:
        say(statement, err=True)

    def make(logbook: Logbook, own: str, after: tuple[str, ...], *, sure: bool) -> Record:
        sure_of(logbook, desk.on, meters, sure, _begun(state, verb))
        made = Phase(
            opens=rule.name if verb == OPENS else "", during=rule.name if verb == DURING else "",
            closes=rule.name if verb == CLOSES else "", name=own, date=desk.on, entered=desk.today, meters=meters,
            hours=facts["hours"], area=facts["area"] or "", did=facts["did"], demonstrated=facts["demonstrated"],
            statement=statement, text=given["text"] or "", at=given["at"] or "", paper=given["paper"] or "",
            by=person(logbook, facts["by"] or ""), after=after, place=store.record_place(own),
        )  # fmt: skip
        closed = _state(logbook.with_records([*logbook.records, made]), rule.name) if verb == CLOSES else None
        if missing := [each for each in closed.lacks if each != _to_sign(own)] if closed else []:
            told = f"the {rule.name} phase is not at its end: {'; '.join(missing)}"
            raise Misused(f"nothing was written: {told}. What was flown or done in it is written with --during")
        return made

    words_of = {OPENS: "begins", DURING: "flown", CLOSES: "ends"}
    code = enter_asked(desk, "phase", f"{rule.name}-{words_of[verb]}", make, sure)
    after = _state(desk.logbook(), rule.name)
    if after is None:
        say(f"The {rule.name} phase is at its end.", err=True)
        return code
    say(f"The {rule.name} phase is open, and passengers barred; still to come: {'; '.join(after.lacks)}.", err=True)
    if verb == CLOSES and after.closing is not None:
        say(f"When it is signed: {desk.typed(f'signature {after.closing.name} --ink REFERENCE')}", err=True)
    return code


def _to_sign(name: str) -> str:
    """What a closing record that lacks nothing but its signature lacks, as `due` words it."""
    return f"the signature of its statement ({name})"


def _rule(logbook: Logbook, names: Sequence[str]) -> PhaseRule:
    """The phase that is meant: as named, or the only one of aircraft.yaml; asked where there are several."""
    phases = logbook.aircraft.phases
    if len(names) > 1:
        raise Misused(f"`{names[1]}` is a word too many: a phase is named by its name in aircraft.yaml")
    if not phases:
        raise Misused(NO_PHASES)

    def read(words: str) -> PhaseRule:
        if words not in phases:
            raise Unreadable(f"no phase is called `{words[:40]}`{near_or_find(words, phases)}")
        return phases[words]

    if names:
        try:
            return read(names[0])
        except Unreadable as fault:
            raise Misused(f"{fault.message}: phases of aircraft.yaml are {', '.join(phases)}") from None
    if len(phases) == 1:
        return next(iter(phases.values()))
    try:
        asked = Question(name="phase", words=f"Which phase: {', '.join(phases)}", read=read, required=True)
        found: PhaseRule = answers({}, [asked])["phase"]
    except Misused:
        raise Misused(f"say which phase: {', '.join(phases)}") from None
    return found


def _state(logbook: Logbook, name: str) -> PhaseState | None:
    return next((each for each in passengers_barred(logbook).phases if each.name == name), None)


def _verb(state: PhaseState | None) -> Question:
    """What is told of it. One that is not open can only be opened."""
    verbs = (OPENS, DURING, CLOSES)

    def read(words: str) -> str:
        found = next((each for each in verbs if each.startswith(words.casefold().removeprefix("it "))), "")
        if not found:
            raise Unreadable(f"expected {OPENS}, {DURING} or {CLOSES}")
        return found

    words = f"What is told of it: that it {OPENS}, what was flown {DURING} it, or that it {CLOSES}"
    default = "" if state else OPENS
    return Question(name=VERBS, words=words, read=read, required=True, default=default)


def _of_opening(rule: PhaseRule) -> list[Question]:
    hours = f"{rule.hours} h, as aircraft.yaml says" if rule.hours is not None else "as aircraft.yaml says"
    return [
        Question(name="hours", words="Hours owed", read=parse_said_number, otherwise=hours),
        Question(name="area", words="Area in which they are flown", otherwise=rule.area or "as aircraft.yaml says"),
    ]


def _none_here(given: Mapping[str, str | None], verb: str) -> None:
    for name in ("hours", "area"):
        if given[name]:
            raise Misused(f"--{name} is said where the phase begins, with --{OPENS}: leave it out of --{verb}")


def _tasks(given: Sequence[str], rule: PhaseRule, state: PhaseState | None) -> tuple[str, ...]:
    """The tasks done, as given, else asked of those that are still to be done."""
    if given:
        return tuple(each for each in given if each != "none")
    left = [task for task in rule.tasks if state is None or task not in state.did]
    if not left:
        return ()

    def read(words: str) -> tuple[str, ...]:
        found = said_names(words)
        if stray := next((each for each in found if not (each.isdecimal() and 1 <= int(each) <= len(left))), ""):
            raise Unreadable(f"expected numbers from 1 to {len(left)}, by commas, not `{stray[:20]}`")
        return tuple(left[int(each) - 1] for each in found)

    listed = ", ".join(f"{at} {task}" for at, task in enumerate(left, start=1))
    words = f"Which tasks were done: {listed}"
    return answers({}, [Question(name="task", words=words, read=read, otherwise="none")])["task"] or ()


def _demonstrated(given: Sequence[str], rule: PhaseRule, state: PhaseState | None) -> dict[str, str]:
    """The values demonstrated, as given, else asked of those that are still to be."""
    if given:
        found = dict(pairs([each for each in given if each != "none"], "NAME=VALUE"))
        if stray := next((each for each in found if each not in rule.demonstrates), ""):
            known = ", ".join(rule.demonstrates) or "nothing"
            raise Misused(f"--demonstrated: the limitations ask for {known}, not for `{stray}`")
        return found
    left = [value for value in rule.demonstrates if state is None or value not in state.demonstrated]
    asks = [Question(name=value, words=f"{value}, as demonstrated", otherwise="not now") for value in left]
    return {name: value for name, value in answers({}, asks).items() if value}


def _clock(logbook: Logbook, desk: Desk, verb: str) -> Question:
    """What it reads; where that was read on the day itself, hours of the phase are counted up to that."""
    asked, clock = clock_question(logbook, desk.on), logbook.aircraft.time_in_service
    read = [each.meters[clock] for each in logbook.records if each.date == desk.on and clock in each.meters]
    return replace(asked, default=f"{max(read):f}" if read and verb != OPENS else "")


def _begun(state: PhaseState | None, verb: str) -> Iterator[str]:
    """What speaks against opening a phase that is open."""
    if state is not None and verb == OPENS:
        opened = state.openings[-1]
        told = f"The {state.name} phase is open since {opened.date} ({opened.name})"
        yield f"{told}; begun anew, its hours count from this day on."


def _who(logbook: Logbook, verb: str, rule: PhaseRule) -> Question:
    if verb != CLOSES:
        return who_did(logbook, {OPENS: "Who says so", DURING: "Who flew"}[verb])
    wanted = " or ".join(rule.signers) or PILOTS
    return by_pilot(logbook, f"Who makes the statement, {wanted}", lambda who: may_close(rule, who.kind), wanted)


def _statement(rule: PhaseRule, state: PhaseState | None, demonstrated: Mapping[str, str]) -> str:
    """The closing statement of aircraft.yaml, with the figures on record in their places."""
    known = {**(state.demonstrated if state else {}), **demonstrated}
    opened = state.openings[-1].date if state else None
    return rule.prescribed(known, opened)[0]
