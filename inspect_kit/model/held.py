"""What aircraft.yaml says of somebody's certificate, against what a record says of it; and who signs an inspection.

People hold more than one certificate, and aircraft.yaml has one of each: another one is believed. Not so of whoever is
there with the kind of a helper and without a number, nor of a student under a higher pilot certificate.
"""

import datetime as dt
import json
import re
from typing import Final

from inspect_kit.model.aircraft import Aircraft, Person, bare_number, plain_name
from inspect_kit.model.pilots import is_pilot
from inspect_kit.model.reason import has_ended, has_no_digit

# What kinds of certificate are called; other words say what somebody does here. Common practice, no source.
CERTIFICATES: Final = frozenset(
    ("repairman", "mechanic", "pilot", "station", "inspector", "engineer", "builder", "technician")
)


def not_held(aircraft: Aircraft, who: Person) -> str:
    """Why somebody does not hold the certificate that a record gives them, as aircraft.yaml says; "" if they may."""
    known = aircraft.person(who.name)
    if known is None or not known.kind or not who.kind or plain_name(who.kind) == plain_name(known.kind):
        return ""
    words = {*re.findall(r"[a-z]+", known.kind.casefold())}
    helps = not known.certificate and CERTIFICATES.isdisjoint(words)
    learns = "pilot" in words and not is_pilot(known.kind) and is_pilot(who.kind)
    return f"{known.name} is {known.kind} in {aircraft.place.file}" if helps or learns else ""


def other_number(aircraft: Aircraft, who: Person) -> str:
    """The number that aircraft.yaml has for somebody's certificate of that kind, where a record has another one that
    it never had.
    """
    known = aircraft.person(who.name)
    if known is None or not (known.certificate and who.certificate) or plain_name(who.kind) != plain_name(known.kind):
        return ""
    former = {bare_number(each) for each in (known.certificate, *known.was)}
    return known.certificate if bare_number(who.certificate) not in former else ""


def had_then(aircraft: Aircraft, who: Person) -> str:
    """How aircraft.yaml says that somebody had another number when a record was written."""
    known = aircraft.person(who.name)
    was = [*known.was, who.certificate] if known is not None else [who.certificate]
    return f"Where it was issued again since, `was: {json.dumps(was, ensure_ascii=False)}` beside the name says so"


def other_kind(aircraft: Aircraft, who: Person) -> str:
    """That the number that aircraft.yaml has for somebody is given with another kind of certificate, in words."""
    known = aircraft.person(who.name)
    if known is None or not (known.kind and who.kind and who.certificate):
        return ""
    same = bare_number(who.certificate) == bare_number(known.certificate)
    if not same or plain_name(who.kind) == plain_name(known.kind):
        return ""
    return f"{who.certificate} is the number of {who.name} as {known.kind} in {aircraft.place.file}, here as {who.kind}"


# Who is there to learn or to help, of whom a paper may say so behind the name. Common practice, no source.
LEARNS: Final = frozenset(("apprentice", "student", "trainee", "helper", "assistant", "owner"))


def kind_apart(by: Person) -> Person:
    """Somebody without a kind whose name has it behind a comma or in brackets: `A. Bellcrank, apprentice, 123`."""
    said = re.fullmatch(r"\s*([^,(]+?)\s*[,(]\s*([^,)]+?)\s*(?:[,)]\s*(.*?)[\s)]*)?", by.name)
    if by.kind or said is None or {*re.findall(r"[a-z]+", said[2].casefold())}.isdisjoint(CERTIFICATES | LEARNS):
        return by
    return Person(name=said[1], kind=said[2], certificate=by.certificate or said[3] or "")


def no_signer(aircraft: Aircraft, by: Person, inspection: str, day: dt.date) -> str | None:
    """Why somebody signs no inspection of that name on a day, gone or by their kind; None if they do, or no kind is
    known.
    """
    by = kind_apart(by)
    rule, kind = aircraft.inspections.get(inspection), aircraft.kind_of(by)
    if was := aircraft.gone_by(by.name, day):
        return was
    if rule is None or not kind:
        return None
    if plain_name(kind) not in map(plain_name, rule.signers):
        return f"{by.name} holds: {kind}, and the limitations name {' or '.join(rule.signers) or 'nobody'}"
    return not_held(aircraft, by) or aircraft.taken_from(by) or _no_number(aircraft, by, day) or None


def _no_number(aircraft: Aircraft, by: Person, day: dt.date) -> str:
    """That aircraft.yaml has no number for somebody whom a record names without one, or that of a certificate which
    had ended by then. One that is not held today may have been.
    """
    known = aircraft.person(by.name)
    if known is None or by.certificate or not known.certificate:
        return ""
    never = all(map(has_no_digit, (known.certificate, *known.was)))
    if not (never or has_ended(known.certificate, day)):
        return ""
    return f"`{known.certificate[:40]}`, in {aircraft.place.file}, is the number of no certificate held on {day}"
