"""What is asked where flight controls, rigging or pitch were disturbed, set or changed: a flight check.

ANSWER = "required" | "not needed: " WHAT SHOWS IT | "done", by the pilot who flew it, with --text (14 CFR 91.407)
"""

import datetime as dt
from collections.abc import Iterable

from inspect_kit.cli.questions import Question, answers
from inspect_kit.errors import Misused, Place
from inspect_kit.model.aircraft import Person
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.pilots import is_pilot
from inspect_kit.model.reason import says_needed, says_not_good
from inspect_kit.model.record import FLOWN, NOT_NEEDED, REQUIRED, FlightCheck
from inspect_kit.text.grammar import Unreadable, did_you_mean

OPTION = "flight-check"


def parse_flight_check(value: str) -> tuple[str, str]:
    """ANSWER, as its word and the reason that stands behind `not needed`."""
    word, colon, reason = (part.strip() for part in value.partition(":"))
    if word not in (REQUIRED, NOT_NEEDED, FLOWN) or (colon and word != NOT_NEEDED):
        hint = did_you_mean(word, (REQUIRED, NOT_NEEDED, FLOWN))
        raise Unreadable(f"expected `required`, `not needed: WHAT SHOWS IT` or `done`, not `{value[:40]}`{hint}")
    if word == NOT_NEEDED and says_needed(reason):
        raise Unreadable("`not needed` names the ground tests or the inspection that show it: `not needed: WHAT`")
    return word, reason


def asked_of(logbook: Logbook, given: str | None, touched: Iterable[str]) -> tuple[str, str] | None:
    """The answer as given, else asked where something was touched that wants one; None where nobody knows it yet."""
    names = {logbook.id_now(name) for name in touched}
    wanted = [name for name in logbook.aircraft.flight_check_after if name in names]
    if not wanted and given is None:
        return None
    return ask_flight_check(given, f"{' and '.join(wanted)} touched")


def ask_flight_check(given: str | None, why: str) -> tuple[str, str] | None:
    """The answer as given, else asked; None where nobody knows it yet."""
    words = f"{why}: is a flight check `required`, `not needed: WHAT SHOWS IT`, or `done` by its pilot"
    question = Question(name=OPTION, words=words, read=parse_flight_check)
    found: tuple[str, str] | None = answers({OPTION: given}, [question])[OPTION]
    return found


def flight_check(
    answer: tuple[str, str] | None, on: dt.date, pilot: Person | None, text: str, place: Place
) -> FlightCheck | None:
    """What the record says; Misused for a flight without its pilot or its words."""
    if answer is None:
        return None
    word, reason = answer
    if word != FLOWN:
        return FlightCheck(word=word, words=reason, place=place)
    if pilot is None or not (is_pilot(pilot.kind) and pilot.certificate):
        held = f"{pilot.name} is named as {pilot.kind or 'nothing'}" if pilot else "nobody is named"
        how = '--by "NAME, private pilot, NUMBER"'
        raise Misused(f"--{OPTION} done: it is flown by a private pilot or higher, and {held}: {how}")
    if not text:
        raise Misused(f"--{OPTION} done: say how it went with --text")
    if says_not_good(text):
        told = f"`{text[:40]}` says that it was not flown, or not found good"
        raise Misused(f"--{OPTION} done: {told}: a finding, and `--{OPTION} required`, say that")
    return FlightCheck(word=FLOWN, date=on, pilot=pilot, words=text, place=place)
