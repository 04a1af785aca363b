"""Whether a signature is one: who signed, whether the limitations of that day permitted it, whether the key is theirs.

Judged by what was sealed on the day: name, kind and certificate of the signer, the kinds that the limitations named,
and the signer's keys. A later change of people or limitations therefore unmakes nothing. Older records,
sealed before that was kept, have neither the permitted kinds nor the keys in them: `sign` had asked the limitations
then, and the keys are those of aircraft.yaml, former ones included.
"""

import contextlib
import datetime as dt
from collections.abc import Mapping

from inspect_kit.model.aircraft import Aircraft, Person, bare_number, plain_name
from inspect_kit.model.held import not_held
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.phase import Phase
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.logbook import Validity, Verdict
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.rules import kind_refusal
from inspect_kit.store.seals import sha256, unturned

UNCHECKED_WORDS = "signature not checked on this computer"


def judge(
    signature: Signature, records: Mapping[str, Record], files: Mapping[str, bytes], aircraft: Aircraft
) -> Verdict | None:
    """What is to be said of a signature; None where what it signs is not there, which the audit tells."""
    of = records.get(signature.of)
    if of is None or of is signature:
        return None
    who, fault = signer_of(signature.by, of, records, aircraft, signature.date)
    if fault is not None:
        return _refused(fault)
    if signature.date < of.date:
        return _refused(f"it is of {signature.date}, before {of.date}, the date of {of.name}")
    data = files.get(of.place.file, b"")
    # Line ends that git turned are told of the file: what it says was signed.
    data = data if signature.sha256 == sha256(data) else unturned(data)
    if signature.sha256 and signature.sha256 != sha256(data):
        return _refused(f"{of.name} is not what was signed: its bytes were changed since")
    ink = Verdict(validity=Validity.GOOD, words=f"signed in ink by {who.name}, see {signature.ink}")
    if signature.ink and not signature.ssh:
        return ink
    from inspect_kit.store.signature import Unchecked, check_signature

    # One that is both in ink and by a key must hold by the key: a wrong one is somebody else's, or of other bytes.
    try:
        wrong = check_signature(data, signature.ssh, keys_of(who, of, aircraft))
    except Unchecked as reason:
        words = f"{UNCHECKED_WORDS}: SSH signature of {who.name}; {reason}"
        return Verdict(validity=Validity.UNCHECKED, words=words)
    if wrong is not None:
        whose = whose_key(data, signature.ssh, aircraft)
        told = f"; it is the key of {whose}, who has to sign in their own name" if whose else ""
        return _refused(f"SSH signature of {who.name}: {wrong}{told}")
    good = Verdict(validity=Validity.GOOD, words=f"SSH signature of {who.name} checked: good")
    return ink if signature.ink else good


def signer_of(
    by: Person | None, of: Record, records: Mapping[str, Record], aircraft: Aircraft, on: dt.date
) -> tuple[Person, str | None]:
    """Who signs a record on a day, with kind and certificate, and why that is no signature of it; None if it is one.

    What an inspection states is stated by the person named in it: only they sign it. An amendment of an inspection is
    signed by anybody whose kind the limitations of that day or of today name, one of other sealed work by anybody under
    `people`; other sealed work itself, and the statement that closes a phase, by whoever it names.
    """
    who = by or of.by or Person(name="")
    known = aircraft.person(who.name)
    if known is not None and not (who.kind and who.certificate):
        who = Person(name=known.name, kind=known.kind, certificate=known.certificate)
    if not who.name:
        return who, "nobody is named who signed it"
    # What is sealed was asked about when it was: who made its statement then may have gone since.
    if not isinstance(of, PageRecord):
        told = aircraft.taken_from(who) or aircraft.gone_by(who.name, on) or not_held(aircraft, who)
        if told:
            return who, f"it is by {who.name}, and {told}"
    if isinstance(of, Amendment):
        return who, _other_number_than(by, of) or _may_not_amend(who, of, records, aircraft)
    if of.seal is None and not (isinstance(of, Phase) and of.closes):
        told = "only a sealed record, an amendment of one or the statement that closes a phase is signed"
        return who, f"{of.name} is not sealed: {told}"
    if of.by is None or not aircraft.same_person(who.name, of.by.name):
        return who, f"it is by {who.name}, and {of.name} is by {of.by.name if of.by else 'nobody'}"
    sealed = of.by
    for said, was in ((by.kind, sealed.kind), (by.certificate, sealed.certificate)) if by else ():
        if said and was and plain_name(said) != plain_name(was):
            return who, f"it is by {who.name}, {said}, and {of.name} is by {sealed.name}, {was}"
    if isinstance(of, Inspection):
        # Who was permitted on the day stays so; a record that has no list was sealed by a `sign` that had asked.
        return sealed, kind_refusal(sealed, of.signers, of.inspection) if of.signers else None
    # As the statement has them, whatever aircraft.yaml says since.
    kind, number = sealed.kind or who.kind, sealed.certificate or who.certificate
    stated = Person(name=who.name, kind=kind, certificate=number)
    told = "" if isinstance(of, PageRecord) else not_held(aircraft, stated)
    return stated, f"it is by {who.name}, {kind}, and {told}" if told else None


def _other_number_than(by: Person | None, of: Amendment) -> str | None:
    """That who signs an amendment gives another number than stands in it, of a certificate of the same kind."""
    wrote = of.by
    if by is None or wrote is None or plain_name(by.name) != plain_name(wrote.name):
        return None
    alike = not (by.kind and wrote.kind) or plain_name(by.kind) == plain_name(wrote.kind)
    numbers = by.certificate, wrote.certificate
    if not (alike and all(numbers)) or bare_number(numbers[0]) == bare_number(numbers[1]):
        return None
    return f"it is by {by.name}, number {by.certificate}, and {of.name} is by {wrote.name}, number {wrote.certificate}"


def _may_not_amend(who: Person, of: Amendment, records: Mapping[str, Record], aircraft: Aircraft) -> str | None:
    original = records.get(of.of)
    if not isinstance(original, Inspection):
        named = isinstance(original, PageRecord) and original.by and aircraft.same_person(who.name, original.by.name)
        return None if named or aircraft.person(who.name) else f"{who.name} is none of the people of aircraft.yaml"
    rule = aircraft.inspections.get(original.inspection)
    permitted = (*original.signers, *(rule.signers if rule else ()))
    return kind_refusal(who, permitted, original.inspection)


def keys_of(who: Person, of: Record, aircraft: Aircraft) -> tuple[str, ...]:
    """The keys that a signature of a record may be made with: those sealed in it, else those of aircraft.yaml."""
    sealed = of.by.ssh if isinstance(of, PageRecord) and of.by and aircraft.same_person(who.name, of.by.name) else ()
    known = aircraft.person(who.name)
    return sealed or (known.ssh if known else ())


def whose_key(data: bytes, armour: str, aircraft: Aircraft) -> str:
    """By whose key of aircraft.yaml a signature of these bytes holds; "" where by nobody's."""
    from inspect_kit.store.signature import Unchecked, check_signature

    for person in aircraft.people:
        with contextlib.suppress(Unchecked):
            if person.ssh and check_signature(data, armour, person.ssh) is None:
                return person.name
    return ""


def _refused(words: str) -> Verdict:
    return Verdict(validity=Validity.REFUSED, words=words)
