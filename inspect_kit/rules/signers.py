"""Who may sign: what the aircraft's own operating limitations say, which aircraft.yaml holds as data.

The table below only adds what the regulations say of a kind of certificate, as a reminder to the signer. It never
permits anybody: operating limitations of older issue do not name every kind, and they control (14 CFR 91.319(i)).
"""

import datetime as dt
from collections.abc import Iterable

from inspect_kit.model.aircraft import Aircraft, InspectionRule, Person
from inspect_kit.model.reason import is_no_number
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class KindOfCertificate:
    """A kind of certificate by words that stand in its name, and what its holder should bear in mind."""

    words: tuple[str, ...]
    reminder: str
    citation: str


KINDS = (
    KindOfCertificate(
        words=("repairman", "builder"),
        reminder="only the aircraft that the holder built, in accordance with its operating limitations",
        citation="14 CFR 65.104(b)",
    ),
    KindOfCertificate(
        words=("repairman", "inspection"),
        reminder="only an aircraft that the holder owns, of the category of the course taken, if the operating "
        "limitations name this certificate",
        citation="14 CFR 65.109(a)",
    ),
    KindOfCertificate(
        words=("repairman", "maintenance"),
        reminder="only work of a kind done before or shown, with the current instructions understood, if the operating "
        "limitations name this certificate",
        citation="14 CFR 65.109(b), (c)",
    ),
    KindOfCertificate(
        words=("mechanic",),
        reminder="rated as the operating limitations ask",
        citation="the aircraft's operating limitations",
    ),
    KindOfCertificate(
        words=("repair station",),
        reminder="rated as the operating limitations ask, and only if they name repair stations",
        citation="the aircraft's operating limitations",
    ),
)


def signer_refusal(
    aircraft: Aircraft, rule: InspectionRule, person: Person, on: dt.date | None = None
) -> str | None:
    """Why this person may not sign this inspection, in a sentence; None when the operating limitations name them.

    `on` is the day, where a certificate that ends is asked for.

    Source: the operating limitations as aircraft.yaml gives them under `signers`; the certificate number and its kind
    belong in the entry (operating limitations; 14 CFR 43.11(a)(3) as a model).
    """
    if person.retired is not None:
        return f"{person.name} is retired in {aircraft.place.file} since {person.retired.date}"
    if (refusal := kind_refusal(person, rule.signers, rule.name, aircraft)) is not None:
        return refusal
    return number_refusal(person, on, aircraft)


def number_refusal(person: Person, on: dt.date | None, aircraft: Aircraft) -> str | None:
    """Why what stands as somebody's certificate number is that of none which is held on a day; None if it may be."""
    if not person.certificate or not is_no_number(person.certificate, on):
        return None
    told = f"`{person.certificate[:40]}`, which {aircraft.place.file} has as the certificate of {person.name}"
    return f"{told}, is the number of none that is held{f' on {on}' if on else ''}: write its number there"


def kind_refusal(
    person: Person, signers: Iterable[str], inspection: str, aircraft: Aircraft | None = None
) -> str | None:
    """Why a person with that kind and certificate is none whom these signers name; None when they are.

    `aircraft` where it is asked today: then the message says whose limitations they are and where to look.
    """
    where = f" in {aircraft.place.file}" if aircraft else ""
    if not person.kind:
        return f"no kind of certificate is given for {person.name}{where}"
    if not person.certificate:
        return f"no certificate number is given for {person.name}{where}"
    if _words(person.kind) not in [_words(kind) for kind in signers]:
        named = " or ".join(dict.fromkeys(signers)) or "nobody"
        whose = f"of {aircraft.identity.registration} name" if aircraft else "of that day named"
        return (
            f"the operating limitations {whose} {named} for the {inspection} inspection, and {person.name} holds: "
            f"{person.kind}"
        )
    return None


def signer_reminder(person: Person, kinds: Iterable[KindOfCertificate] = KINDS) -> str:
    """What the regulations say of this kind of certificate, to be shown before signing; "" for one not known here."""
    kind = _words(person.kind)
    for known in kinds:
        if all(word in kind for word in known.words):
            return f"{person.kind}: {known.reminder} ({known.citation})"
    return ""


def _words(text: str) -> str:
    return " ".join(text.casefold().split())
