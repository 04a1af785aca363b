"""`signature`: what waits for one, and the signature of a sealed record recorded, in ink or by a key."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import click

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import full_name, nearest_person
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.records_named import SHOWN, find_record
from inspect_kit.cli.said import PRESSES, say
from inspect_kit.due import due as due_of
from inspect_kit.errors import Misused, Refused
from inspect_kit.model.aircraft import Aircraft, Person, plain_name
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.inspection import Inspection, is_not_passed
from inspect_kit.model.kinds.phase import Phase
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.rules import number_refusal
from inspect_kit.text.page_values import parse_logbook_page


@click.command()
@click.argument("name", metavar="[RECORD]", default="")
@shared("as", "ink", "ssh-key")
@click.pass_obj
def signature(desk: Desk, name: str, ink: str, ssh_key: str | None, signer: str) -> int:
    """Record the signature of a sealed record, of an amendment, or of what closes a phase.

    In ink, or by an SSH key. Whoever the record names has signed, unless --as says who.

    \b
    signature --ink "aircraft log p. 44"
    signature 2026-05-14-amendment-m5cz --ink "aircraft log p. 45" --as "Your Name"
    """
    if not (ink or ssh_key):
        if not name:
            # Where nothing waits, or a name is wanted, no answer helps: it refused, and asked the same again.
            _waiting_for_one(desk.logbook())
        place = Question(name="ink", words="Where it is signed in ink: logbook and page", read=parse_logbook_page)
        ink = answers({}, [replace(place, required=True)])["ink"]
    if ink and ssh_key:
        raise Misused("a signature is in ink (--ink) or by an SSH key (--ssh-key): one of the two")
    if ssh_key:
        store.refuse_no_key(Path(ssh_key))
    desk.entry_day()
    written = record_signature(desk, name, ink=ink, key=Path(ssh_key) if ssh_key else None, signer=signer)
    click.echo(written)
    logbook = desk.logbook()
    signed = logbook.record(Path(written).stem)
    if isinstance(signed, Signature):
        say(f"It signs {signed.of}.", err=True)
        of = logbook.record(signed.of)
        if isinstance(of, Inspection) and of.passed:
            _say_what_stands(desk, logbook)
    return desk.code(0)


def _say_what_stands(desk: Desk, logbook: Logbook) -> None:
    """The reasons not to fly that stand beside a statement when it is signed: some may have come since the seal."""
    stops = due_of(logbook, desk.on, expect=False).stops
    for stop in stops[:SHOWN]:
        say(f"{PRESSES} {stop.text}: a reason on record not to fly, and this signature leaves it so.", err=True)
    if len(stops) > SHOWN:
        say(f"{PRESSES} {len(stops) - SHOWN} more: {desk.typed('due')}", err=True)


def unsigned(logbook: Logbook) -> Iterator[Record]:
    """What waits for a signature, the newest first: inspections, amendments of what is sealed, work that puts a finding
    off, what closes a phase.
    """
    for record in reversed(logbook.records):
        # An amendment of what no seal protects counts without one.
        of = logbook.record(record.of) if isinstance(record, Amendment) else None
        waits = isinstance(record, Inspection) or (of is not None and of.seal is not None)
        waits = waits or (record.seal is not None and logbook.puts_off_unsigned(record))
        waits = waits or (isinstance(record, Phase) and bool(record.closes))
        if waits and not logbook.is_signed(record.name):
            yield record


def _waiting_for_one(logbook: Logbook) -> Record:
    """The one record that waits for a signature; Misused where there is none, or several."""
    found = [*unsigned(logbook)]
    # A list of discrepancies counts for nothing by its signature: what waits is what would.
    counting = [each for each in found if not is_not_passed(each)]
    if len(alone := counting or found) == 1:
        return alone[0]
    if not found:
        raise Misused("nothing waits for a signature: what is sealed and amended is signed. Name a record to sign it")
    listed = "".join(f"\n  {each.name}" for each in found[:SHOWN])
    raise Misused(f"{len(found)} records wait for a signature; name one, its last part is enough:{listed}")


def _refuse_signed(logbook: Logbook, record: Record, who: Person) -> None:
    """Refused if that person signed it already."""
    before = [each for each in logbook.signatures(record.name) if logbook.verdict(each).counts]
    if own := [each for each in before if each.by is None or plain_name(each.by.name) == plain_name(who.name)]:
        told = f"{record.name} is signed already, {logbook.verdict(own[-1]).words}"
        raise Refused(f"not signed: {told}; a wrong reference is corrected beside it: inspect-kit amend {own[-1].name}")


def record_signature(desk: Desk, name: str, *, ink: str, key: Path | None, signer: str, armour: str = "") -> str:
    """Write the signature of a sealed record, of an amendment or of a closing statement down; the new file's name.

    `armour` is a signature that was made and checked already.
    """
    loaded, logbook = desk.loaded()

    def waits(record: Record) -> bool:
        closes = isinstance(record, Phase) and bool(record.closes)
        can_be = record.seal is not None or closes or isinstance(record, Amendment)
        return can_be and not logbook.is_signed(record.name)

    record = logbook.as_written(find_record(logbook, name, meant=waits) if name else _waiting_for_one(logbook))
    if record.name in logbook.broken:
        why = f"its seal does not hold: {logbook.broken[record.name]}"
        raise Refused(f"nothing of {record.place.file} is signed, {why}; see `inspect-kit verify`")
    records = {each.name: logbook.as_written(each) for each in logbook.records}
    # Kind and number are those that were sealed, or else those of aircraft.yaml.
    signer = full_name(logbook, signer)
    known = logbook.aircraft.person(signer) if signer else None
    named = Person(name=known.name if known else signer) if signer else None
    who, fault = store.signer_of(named, record, records, logbook.aircraft, desk.on)
    if fault is not None:
        near = nearest_person(logbook, signer) if signer and logbook.aircraft.person(signer) is None else None
        # Another name helps where none was given, and where not the record alone says whose it is.
        other = not signer and (not who.name or isinstance(record, Amendment))
        whose = "say who signed with --as NAME" if other else f"`inspect-kit report {record.name}` says whose it is"
        raise Refused(f"not signed: {fault}; {f'did you mean `{near}`?' if near else whose}")
    original = logbook.record(record.of) if isinstance(record, Amendment) else None
    if isinstance(original, Inspection) and (refusal := number_refusal(who, desk.on, logbook.aircraft)) is not None:
        raise Refused(f"not signed: {refusal}; or give whoever else signs it with --as NAME")
    _refuse_signed(logbook, record, who)
    data = loaded.files[record.place.file]
    if key is not None:
        armour = ssh_signature(data, key, store.keys_of(who, record, logbook.aircraft), who.name, logbook.aircraft)

    def make(logbook: Logbook, own: str, after: tuple[str, ...]) -> Record:
        now = logbook.record(record.name)
        if now is None or logbook.as_written(now) != record:
            raise Refused(
                f"not signed: {record.place.file} was changed meanwhile: look at it again, with `inspect-kit report "
                f"{record.name}`"
            )
        # Somebody else may have signed it while the lock was waited for.
        _refuse_signed(logbook, record, who)
        return Signature(
            name=own,
            date=desk.on,
            entered=desk.today,
            of=record.name,
            ink=ink,
            ssh=armour,
            sha256=store.sha256(data),
            by=Person(name=who.name, kind=who.kind, certificate=who.certificate),
            after=after,
            place=store.record_place(own),
        )

    return desk.enter("signature", "signature", make)


def refuse_no_public_key(known: Sequence[str], who: str) -> None:
    """Refused where nothing says which keys are those of the signer."""
    if not known:
        raise Refused(
            f"{who} has no public key in aircraft.yaml: write it under `ssh` there, or sign in ink (--ink)"
        )


def ssh_signature(data: bytes, key: Path, known: Sequence[str], who: str, aircraft: Aircraft) -> str:
    """The signature of a record's bytes with a key; Refused unless it can be checked by the keys of the signer."""
    refuse_no_public_key(known, who)
    armour = store.sign_with_key(data, key)
    if store.check_signature(data, armour, known) is not None:
        whose = store.whose_key(data, armour, aircraft)
        under = f"its public half does not stand under `ssh` of {who}"
        told = f"it is the key of {whose}" if whose else under
        raise Refused(
            f"{key} is none of the keys of {who} that count for this record: {told}. Nothing was signed. Give the "
            f"key of {who} with --ssh-key, or sign in ink (--ink); a new key counts for what is sealed after it was "
            "written under `ssh` in aircraft.yaml"
        )
    return armour
