"""What is asked where flight controls, rigging or pitch were disturbed, set or changed: a flight check.

ANSWER = "required" | "not needed: " WHAT SHOWS IT | "done", by the pilot who flew it, with --text (14 CFR 91.407)
"""

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import replace

from inspect_kit.cli.people_named import person, who_did, whole_name
from inspect_kit.cli.questions import Question, answers
from inspect_kit.errors import Misused, Place
from inspect_kit.model.aircraft import Person
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.pilots import is_pilot
from inspect_kit.model.reason import says_needed, says_not_good
from inspect_kit.model.record import FLOWN, NOT_NEEDED, REQUIRED, FlightCheck
from inspect_kit.noun import dataclass
from inspect_kit.text.grammar import Unreadable, did_you_mean

OPTION = "flight-check"
PILOTS = "a private pilot or higher"


def parse_flight_check(value: str) -> tuple[str, str]:
    """ANSWER, as its word and the reason that stands behind `not needed`."""
    word, colon, reason = (part.strip() for part in value.partition(":"))
    if word not in (REQUIRED, NOT_NEEDED, FLOWN) or (colon and word != NOT_NEEDED):
        hint = did_you_mean(word, (REQUIRED, NOT_NEEDED, FLOWN))
        raise Unreadable(f"expected `required`, `not needed: WHAT SHOWS IT` or `done`, not `{value[:40]}`{hint}")
    if word == NOT_NEEDED and says_needed(reason):
        raise Unreadable("`not needed` names the ground tests or the inspection that show it: `not needed: WHAT`")
    return word, reason


@dataclass(frozen=True, slots=True)
class FlightAnswer:
    """Whether a flight is wanted, and why not; how it went, where it was flown, else the words of the entry."""

    word: str
    reason: str
    text: str

    @property
    def flown(self) -> bool:
        return self.word == FLOWN


def who_flew(logbook: Logbook, answer: FlightAnswer | None, words: str) -> Question:
    """The question for a person: where they flew the check as well, only who may fly it is offered and taken."""
    if answer is None or not answer.flown:
        return who_did(logbook, words)
    return by_pilot(logbook, f"{words} and flew it, {PILOTS}", _may_fly, PILOTS)


def by_pilot(logbook: Logbook, words: str, may: Callable[[Person], bool], wanted: str) -> Question:
    """The question for a person who `may`, with the pilot's certificate that they have on record where they may not by
    that of aircraft.yaml, which has room for one: it need be told whole only once.
    """
    asked = who_did(logbook, words, may=lambda who: may(_as_pilot(logbook, who)), wanted=wanted)

    def read(typed: str) -> str:
        told: str = asked.read(typed)
        who = person(logbook, told)
        return told if who is None or may(who) else whole_name(_as_pilot(logbook, who))

    return replace(asked, read=read, required=True)


def _as_pilot(logbook: Logbook, who: Person) -> Person:
    """The same person with the last pilot's certificate on record; as they are where there is none."""
    if is_pilot(who.kind):
        return who
    for record in reversed(logbook.records):
        flown = record.flight_check.pilot if record.flight_check is not None else None
        for each in (record.by, flown):
            if each is not None and _may_fly(each) and logbook.aircraft.same_person(each.name, who.name):
                return Person(name=who.name, kind=each.kind, certificate=each.certificate)
    return who


def _may_fly(who: Person) -> bool:
    return is_pilot(who.kind) and bool(who.certificate)


def asked_of(logbook: Logbook, given: str | None, touched: Iterable[str], text: str | None) -> FlightAnswer | None:
    """The answer as given, else asked where something was touched that wants one; None where nobody knows it yet."""
    names = {logbook.id_now(name) for name in touched}
    wanted = [name for name in logbook.flight_check_after if name in names]
    if not wanted and given is None:
        return None
    return ask_flight_check(given, f"{' and '.join(wanted)} touched", text)


def ask_flight_check(given: str | None, why: str, text: str | None) -> FlightAnswer | None:
    """The answer as given, else asked; None where nobody knows it yet."""
    words = f"{why}: is a flight check `required`, `not needed: WHAT SHOWS IT`, or `done` by its pilot"
    question = Question(name=OPTION, words=words, read=parse_flight_check)
    found: tuple[str, str] | None = answers({OPTION: given}, [question])[OPTION]
    if found is None:
        return None
    if found[0] == FLOWN and not text:
        how = Question(name="text", words="How the flight went", read=_good, required=True)
        text = answers({}, [how])["text"]
    return FlightAnswer(*found, text or "")


def _good(words: str) -> str:
    if says_not_good(words):
        raise Unreadable(f"`{words[:40]}` says that it was not flown, or not found good: go back, and say `required`")
    return words


def flight_check(
    answer: FlightAnswer | None, on: dt.date, pilot: Person | None, place: Place
) -> FlightCheck | None:
    """What the record says; Misused for a flight without its pilot or its words."""
    if answer is None:
        return None
    text = answer.text
    if not answer.flown:
        return FlightCheck(word=answer.word, words=answer.reason, place=place)
    if pilot is None or not _may_fly(pilot):
        held = f"{pilot.name} is named as {pilot.kind or 'nothing'}" if pilot else "nobody is named"
        how = '--by "NAME, private pilot, NUMBER"'
        raise Misused(f"--{OPTION} done: it is flown by {PILOTS}, and {held}: {how}")
    if says_not_good(text):
        told = f"`{text[:40]}` says that it was not flown, or not found good"
        raise Misused(f"--{OPTION} done: {told}: a finding, and `--{OPTION} required`, say that")
    return FlightCheck(word=FLOWN, date=on, pilot=pilot, words=text, place=place)
