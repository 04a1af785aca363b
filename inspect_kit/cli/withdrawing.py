"""`withdraw`: an entry on which nothing rests is taken back."""

from collections.abc import Iterator

import click

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import person, say_who
from inspect_kit.cli.records_named import SAYS_ALONE, find_record, says
from inspect_kit.cli.said import say
from inspect_kit.cli.unusual import reason_given
from inspect_kit.cli.written_anew import written_anew
from inspect_kit.errors import Refused
from inspect_kit.model.amended import ORDER, fields_of
from inspect_kit.model.checklist import decimal
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.model.withdrawn import Withdrawn
from inspect_kit.text.withdrawn import write_withdrawn

# Where a record cannot be taken back.
CORRECT = "Correct what it says instead: inspect-kit amend RECORD"


@click.command()
@click.argument("name", metavar="RECORD")
@shared("reason", "by", reason={"default": ""})
@click.pass_obj
def withdraw(desk: Desk, name: str, reason: str, by: str) -> int:
    """Take back an entry that nothing rests on yet.

    It is kept whole in records/withdrawn, and counts for nothing.

    \b
    withdraw 2026-05-14-oil-change-k3f9 --reason "entered for the wrong aircraft" --by "Your Name"
    """
    desk.entry_day()
    loaded, before = desk.loaded()
    person(before, by)
    meant = before.as_written(find_record(before, name))
    if why := "; ".join(_rested_on(loaded, meant, reason or "WHY")):
        raise Refused(f"{meant.place.file} is not withdrawn: {why}")
    # A part of its name was enough to mean it: what it is stands before the question.
    if not (reason and by):
        say(f"{meant.name} says: {says(meant, SAYS_ALONE)}", err=True)
    text = reason_given(reason, "Why is it withdrawn")
    by = say_who(before, by)
    with desk.writing("withdraw") as writer:
        loaded, logbook = desk.loaded()
        record = logbook.as_written(find_record(logbook, name))
        if why := "; ".join(_rested_on(loaded, record, text)):
            raise Refused(f"{record.place.file} is not withdrawn: {why}")
        file, data = record.place.file, loaded.files[record.place.file]
        noted = Withdrawn(record=record, date=desk.on, reason=text, by=by, place=record.place)
        kept, whole = store.withdrawn_name(file), write_withdrawn(data.decode(), noted).encode()
        if worse := desk.new_problems(loaded, {file: None, kept: whole}):
            open_ones = [each for each in logbook.records if each.seal is None]
            named = [each for each in open_ones if f" {each.place.file}:" in worse.lines]
            # A line begins with what is wrong by it; what it says besides may have been there long before.
            named.sort(key=lambda each: (f"\n  {each.place.file}:" not in f"\n{worse.lines}", each.date < record.date))
            resting = [each.name for each in named]
            if isinstance(record, Amendment):
                # What another amendment said comes back with this one gone: that is wrong, not what it contradicts.
                beside = [each for each in logbook.of_kind(Amendment) if each.of == record.of and each is not record]
                same = [each.name for each in beside if fields_of(each).keys() & fields_of(record).keys()]
                resting = same or resting
            first = f"Take back first what rests on it: inspect-kit withdraw {resting[0]}" if resting else CORRECT
            raise Refused(f"{file} is not withdrawn, because of\n{worse.lines}\n{first}")
        store.withdraw(writer, file, read=data, whole=whole)
    click.echo(kept)
    say(f"Withdrawn, and counted nowhere from now on: {says(record, SAYS_ALONE)}", err=True)
    return desk.code(0)


def _mistyped(record: Record) -> str:
    """What comes before a finding is cleared that a reading out of its limit raised, if it was typed wrongly."""
    for reading in record.readings if isinstance(record, PageRecord) else ():
        value = decimal(reading.value)
        if value is not None and reading.bound is not None and not reading.bound.holds(value):
            field = f"reads.{reading.check}.{reading.label}=VALUE"
            return f'where the reading was typed wrongly, first inspect-kit amend {record.name} "{field}"; then '
    return ""


def _rested_on(loaded: store.Loaded, record: Record, reason: str) -> Iterator[str]:
    """Why an entry cannot be withdrawn, each with what to do instead."""
    if record.seal is not None:
        yield f"it is sealed. Correct what it says: inspect-kit amend {record.name}"
        return
    if isinstance(record, Signature):
        yield "a signature stays; one that is none counts for nothing. Sign anew: inspect-kit signature"
        return
    if isinstance(record, FindingRecord):
        how = f"raised in error: {reason}"
        yield f'a finding is cleared: inspect-kit finding {record.name}#{record.finding.id} --cleared "{how}"'
        return
    standing = loaded.logbook.standing() if loaded.logbook else {}
    found = [each.id for each in record.findings] if isinstance(record, PageRecord) else []
    if stands := [name for each in found if (name := f"{record.name}#{each}") in standing]:
        how = f"raised in error: {reason}"
        told = f"it raised {' and '.join(stands)}, and a finding is cleared"
        yield f'{told}: {_mistyped(record)}inspect-kit finding {stands[0]} --cleared "{how}"'
        return
    records = loaded.logbook.records if loaded.logbook else ()
    # That another one came after it says nothing of what it says.
    after = {each.place.file for each in records if record.name in _said_to_follow(each)}
    naming = [
        file
        for file, data in loaded.files.items()
        if file != record.place.file and _named(file, data, record) > (file in after)
    ]
    why = [f"it is named in {', '.join(naming)}"] if naming else []
    sealed = [each for each in records if each.seal is not None]
    written = record.entered or record.date
    since = [each for each in sealed if (each.entered or each.date) >= written]
    heads = set(store.heads(loaded.files))
    if (heads - set(record.after)) if record.after else since:
        why.append("something was sealed since")
    if why:
        anew = written_anew(loaded.logbook, record) if loaded.logbook else ""
        yield f"{', and '.join(why)}. Correct what it says: inspect-kit amend {record.name}{anew}"


def _said_to_follow(record: Record) -> tuple[str, ...]:
    """The records of its day that a record, or an amendment of one, says that it came after or before."""
    said = [record.follows, record.precedes]
    if isinstance(record, Amendment):
        said += [value for (key, *_), value in record.instead.items() if key in ORDER and isinstance(value, tuple)]
    return tuple(name for names in said for name in names)


def _named(file: str, data: bytes, record: Record) -> int:
    """How often a file names a record."""
    return 0 if store.is_withdrawn(file) else data.count(record.name.encode())
