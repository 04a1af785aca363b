"""Entries: hours and signatures, and what all entries are typed with. Each writes one new record, or nothing."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import TypeVar

import click

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.flown import comment_on_flight
from inspect_kit.cli.unusual import asking, sure_of, yes_option
from inspect_kit.errors import Misused, Refused
from inspect_kit.model.aircraft import Person
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Hours, Inspection, Record, Signature
from inspect_kit.text.grammar import Unreadable, did_you_mean, parse_number

T = TypeVar("T")


def readings(words: Sequence[str], logbook: Logbook) -> dict[str, Decimal]:
    """`tach=412.6` to {tach: 412.6}; Misused for an unknown meter or a reading that is no number."""
    for name in (given := pairs(words, "METER=READING")):
        if name not in logbook.aircraft.meters:
            known = ", ".join(logbook.aircraft.meters)
            hint = did_you_mean(name, logbook.aircraft.meters)
            raise Misused(f"`{name}` is no meter of this aircraft{hint} (meters: {known})")
    return {name: read_as(parse_number, value, name) for name, value in given.items()}


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


def read_as(parse: Callable[[str], T], value: str, name: str) -> T:
    """A value of the command line as a grammar reads it; Misused, with its name, if it does not."""
    try:
        return parse(value)
    except Unreadable as fault:
        raise Misused(f"{name}: {fault.message}") from None


def split_words(words: Sequence[str]) -> tuple[list[str], list[str]]:
    """Ids, and METER=READING words."""
    return [word for word in words if "=" not in word], [word for word in words if "=" in word]


def person(logbook: Logbook, name: str) -> Person | None:
    """The person of that name with kind and certificate; any other name is kept as it is."""
    if not name:
        return None
    known = logbook.aircraft.person(name)
    if known is None:
        return Person(name=name)
    return Person(name=known.name, kind=known.kind, certificate=known.certificate)


def check_ids(logbook: Logbook, names: Sequence[str]) -> tuple[str, ...]:
    """Today's ids of checks; Misused for one that nobody ever had."""
    found = []
    for name in names:
        current = logbook.id_now(name)
        if current not in logbook.checks:
            raise Misused(f"no check is called `{name}`{did_you_mean(name, logbook.checks)}")
        if current in found:
            raise Misused(f"`{current}` is named twice: what was done twice is two entries")
        found.append(current)
    return tuple(found)


@click.command()
@click.argument("words", metavar="METER=READING...", nargs=-1, required=True)
@click.option("--added", multiple=True, metavar="WHAT=AMOUNT", help="Something filled up, such as oil='1 qt'.")
@click.option("--permit", default="", metavar="TEXT", help="The special flight permit that was flown on.")
@click.option("--text", default="", help="A remark.")
@yes_option
@click.pass_obj
def hours(desk: Desk, words: tuple[str, ...], added: tuple[str, ...], permit: str, text: str, sure: bool) -> int:
    """Write meter readings down, such as: hours tach=412.6"""
    on = desk.entry_day()
    seen: list[tuple[Logbook, Record]] = []

    def make(logbook: Logbook, name: str, after: tuple[str, ...], *, sure: bool) -> Record:
        meters, filled = readings(words, logbook), pairs(added, "WHAT=AMOUNT")
        sure_of(logbook, on, meters, sure)
        entry = Hours(
            name=name,
            date=on,
            entered=desk.today,
            meters=meters,
            added=filled,
            permit=permit,
            text=text,
            after=after,
            place=store.place_of(name),
        )
        seen.append((logbook, entry))
        return entry

    click.echo(asking(lambda sure: desk.enter("hours", "hours", partial(make, sure=sure)), sure))
    comment_on_flight(*seen[-1])
    return desk.code(0)


def find_record(logbook: Logbook, name: str, kind: type[Record] = Record) -> Record:
    """A record by its path or its file name without the ending; left out, the latest of the kind."""
    if not name:
        latest = logbook.of_kind(kind)
        if not latest:
            raise Misused("no such record has been written yet")
        return latest[-1]
    stem = Path(name).name.removesuffix(".yaml").removesuffix(".md")
    record = logbook.record(stem)
    if record is None:
        if (gone := next((each for each in logbook.withdrawn if each.record.name == stem), None)) is not None:
            raise Misused(f"`{stem}` was {gone} ({gone.place.file}): it counts for nothing")
        raise Misused(f"no record is called `{stem}`{did_you_mean(stem, [each.name for each in logbook.records])}")
    return record


@click.command()
@click.argument("name", metavar="[RECORD]", default="")
@click.option("--ink", default="", metavar="LOGBOOK-AND-PAGE", help='Signed in ink, such as "airframe log p. 44".')
@click.option("--ssh-key", type=click.Path(path_type=Path), metavar="KEY", help="Sign with this SSH key.")
@click.option("--as", "signer", default="", metavar="NAME", help="Who signs; whoever the record names if left out.")
@click.pass_obj
def signature(desk: Desk, name: str, ink: str, ssh_key: Path | None, signer: str) -> int:
    """Record the signature of a sealed inspection, or of an amendment: in ink, or by an SSH key."""
    if bool(ink) == bool(ssh_key):
        raise Misused("a signature is in ink (--ink) or by an SSH key (--ssh-key): one of the two")
    desk.entry_day()
    written = record_signature(desk, name, ink=ink, key=ssh_key, signer=signer)
    click.echo(written)
    return desk.code(0)


def record_signature(
    desk: Desk, name: str, *, ink: str, key: Path | None, signer: str, armour: str = ""
) -> str:
    """Write the signature of a sealed record, or of an amendment, down; the new file's name.

    `armour` is a signature that was made and checked already.
    """
    loaded, logbook = desk.loaded()
    record = logbook.as_written(find_record(logbook, name, Inspection))
    if record.name in logbook.broken:
        raise Refused(f"{record.place.file} {logbook.broken[record.name]}: nothing of it is signed")
    records = {each.name: logbook.as_written(each) for each in logbook.records}
    who, fault = store.signer_of(person(logbook, signer), record, records, logbook.aircraft)
    if fault is not None:
        raise Refused(f"not signed: {fault}")
    data = loaded.files[record.place.file]
    if key is not None:
        armour = ssh_signature(data, key, store.keys_of(who, record, logbook.aircraft))

    def make(logbook: Logbook, own: str, after: tuple[str, ...]) -> Record:
        now = logbook.record(record.name)
        if now is None or logbook.as_written(now) != record:
            raise Refused(f"not signed: {record.place.file} was changed meanwhile")
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
            place=store.place_of(own),
        )

    return desk.enter("signature", "signature", make)


def ssh_signature(data: bytes, key: Path, known: Sequence[str]) -> str:
    """The signature of a record's bytes with a key; Refused unless it can be checked by the keys of the signer."""
    if not known:
        raise Refused("the signer has no public key (`ssh`) in aircraft.yaml: nobody could check the signature")
    armour = store.sign_with_key(data, key)
    if (wrong := store.check_signature(data, armour, known)) is not None:
        raise Refused(f"{key} is none of the signer's keys in aircraft.yaml or in the record: the signature {wrong}")
    return armour
