"""`hours`, `signature`, and what all entries are typed with. Each writes one new record, or nothing."""

import datetime as dt
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from textwrap import shorten
from typing import TypeVar

import click

from inspect_kit import store
from inspect_kit.audit import meter_problems
from inspect_kit.cli.called import CHECK, id_meant, near_or_find
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import enter_asked
from inspect_kit.cli.kept_answers import SAME
from inspect_kit.cli.options import shared
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import confirmed, say
from inspect_kit.cli.unusual import sure_of
from inspect_kit.due import totals_before
from inspect_kit.errors import Misused, Refused
from inspect_kit.inspection.people import on_record
from inspect_kit.model.aircraft import Aircraft, Person, kind_named, plain_name
from inspect_kit.model.checklist import decimal
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.hours import Hours, is_oil, most_oil, quarts
from inspect_kit.model.kinds.inspection import Inspection, is_not_passed
from inspect_kit.model.kinds.phase import Phase
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.pilots import is_pilot
from inspect_kit.model.record import Record
from inspect_kit.past import parse_said_number, said_decimals
from inspect_kit.report.cells import checks_done, record_words
from inspect_kit.text.grammar import Unreadable, did_you_mean, nearest
from inspect_kit.text.page_values import parse_logbook_page, parse_name

T = TypeVar("T")
# Of records that a part of a name may mean so many are named; the part has that many letters at least.
SHOWN, LEAST, DATE_LENGTH = 9, 4, 10
# Of those on no list who did something before, so many are offered: the newest.
OFFERED = 5
# Characters of what one of them says.
SAYS = 60


def parse_readings(words: Sequence[str], meters: Collection[str]) -> dict[str, Decimal]:
    """`tach=412.6` to {tach: 412.6}; Misused for an unknown meter or a reading that is no number."""
    form = f"METER=READING, such as {next(iter(meters), 'tach')}=412.6"
    for name in (given := pairs(words, form)):
        if name not in meters:
            known = ", ".join(meters)
            hint = did_you_mean(name, meters)
            raise Misused(f"`{name}` is no meter of this aircraft{hint} (meters: {known})")
    return {name: read_as(parse_said_number, value, name) for name, value in given.items()}


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


def _as_readings(words: Sequence[str], aircraft: Aircraft) -> list[str]:
    """`tach 412.6`, and a number alone, which is of the meter that times are counted by, as `tach=412.6`."""
    found: list[str] = []
    for word in words:
        is_number = decimal(said_decimals(word)) is not None
        if is_number and found and found[-1] in aircraft.meters:
            found[-1] = f"{found[-1]}={word}"
        else:
            found.append(f"{aircraft.time_in_service}={word}" if is_number else word)
    return found


def said_readings(words: Sequence[str], aircraft: Aircraft) -> dict[str, Decimal]:
    """Readings as they are said, `tach 412.6`; Misused as `parse_readings` is."""
    return parse_readings(_as_readings(words, aircraft), aircraft.meters)


def _as_filled(words: str) -> str:
    """`oil 1qt` and `1 qt oil` as `oil=1 qt`; what has its sign of equality keeps both sides."""
    what, equals, amount = (part.strip() for part in words.partition("="))
    if not equals:
        behind = re.fullmatch(r"(\D+?) +(\d.*)", what)
        before = re.fullmatch(r"(\d[\d.,/]* *[^\W\d]+) +(?:of +)?(\D+)", what)
        if behind is None and before is None:
            return words
        what, amount = behind.groups() if behind else (before.group(2), before.group(1)) if before else (what, "")
    parted = re.sub(r"^([0-9./]+)(?=[^\W\d])", r"\1 ", said_decimals(amount))
    return f"{what}={parted}"


def at_the_one(words: Sequence[str], did: Sequence[str]) -> list[str]:
    """`CHECK=VALUE` words; where only one check is meant a VALUE alone is its own."""
    return [word if "=" in word or len(did) != 1 else f"{did[0]}={word}" for word in words]


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
    """The person of that name with kind and certificate, or whoever else is told with both; Misused for any other."""
    try:
        return _person(logbook, name) if name else None
    except Unreadable as fault:
        raise Misused(fault.message) from None


def _person(logbook: Logbook, words: str, *, asked: bool = False) -> Person:
    """NAME | NAME "," KIND [ "," CERTIFICATE ]; a name alone is one of aircraft.yaml, else of who did something before.

    `asked` is whether somebody answers a question, and did not give an option.
    """
    known = logbook.aircraft.person(words)
    if known is not None:
        return Person(name=known.name, kind=known.kind, certificate=known.certificate)
    name, kind, certificate = (part.strip() for part in [*words.split(",", 2), "", ""][:3])
    if not kind:
        before = [each for each in on_record(logbook) if plain_name(each.name) == plain_name(name)]
        if len(before) == 1:
            return before[0]
        if before:
            told = " or ".join(f"`{whole_name(each)}`" for each in before)
            raise Unreadable(f"`{name}` of earlier records may be {told}: give the whole of it")
        if (whole := full_name(logbook, name)) != name:
            return _person(logbook, whole, asked=asked)
        near = nearest_person(logbook, name)
        whole = f"{name}, mechanic (airframe and powerplant), 1234567"
        whole = whole if asked else f'--by "{whole}"'
        how = f"say who it was, {whole}, or name them under `people`"
        hint = f"; did you mean `{near}`? Else {how}" if near else f": {how}"
        raise Unreadable(f"nobody of aircraft.yaml is called `{name}`{hint}")
    who = Person(name=parse_name(name), kind=kind, certificate=certificate)
    if taken := logbook.aircraft.taken_from(who):
        raise Unreadable(f"{taken}: name them alone, or {name} by their own")
    known = logbook.aircraft.person(name)
    if known is None or is_pilot(kind):
        return who
    if [*map(plain_name, (kind, certificate))] != [*map(plain_name, (known.kind, known.certificate))]:
        told = ", ".join(word for word in (known.kind, known.certificate) if word) or "without a certificate"
        raise Unreadable(f"{known.name} of aircraft.yaml is {told}: name them alone")
    return Person(name=known.name, kind=known.kind, certificate=known.certificate)


def nearest_person(logbook: Logbook, name: str) -> str | None:
    """The name on the list of people that may have been meant: nearly it, or of which it is a part."""
    whole, begin = full_name(logbook, name), name.casefold()
    begun = [each for each in _names(logbook) if any(word.startswith(begin) for word in each.casefold().split())]
    if whole == name and begin and len(begun) == 1:
        return begun[0]
    return whole if whole != name else nearest(name, _names(logbook))


def full_name(logbook: Logbook, name: str) -> str:
    """The name of a person, of which whole words will do if only one person has them; any other as it is."""
    words = {*name.casefold().split()}
    within = [each for each in _names(logbook) if words and words < {*each.casefold().split()}]
    return within[0] if len(within) == 1 and logbook.aircraft.person(name) is None else name


def _names(logbook: Logbook) -> list[str]:
    people = (each.name for each in logbook.aircraft.people if each.retired is None)
    return [*dict.fromkeys((*people, *(each.name for each in on_record(logbook))))]


def whole_name(who: Person) -> str:
    """A person as whoever is on no list is typed: NAME, KIND, NUMBER."""
    return ", ".join(word for word in (who.name, who.kind, who.certificate) if word)


def who_did(
    logbook: Logbook,
    words: str = "Who did it",
    helpers: Sequence[str] = (),
    may: Callable[[Person], bool] = lambda who: True,
    wanted: str = "",
) -> Question:
    """The question for a person, who may be named by the number before the name.

    Those of aircraft.yaml, then who did something before and is on no list: named whole once, then by one key; last
    the `helpers` of a page, who need no kind there. Who `may` not is neither offered nor taken: `wanted` says who may.
    """
    people = [each.name for each in logbook.aircraft.people if each.retired is None and may(each)]
    before = [each for each in on_record(logbook) if may(each)][:OFFERED]
    names = [each.name for each in before]
    shown = [*people, *(each.name if names.count(each.name) == 1 else whole_name(each) for each in before)]
    people += map(whole_name, before)
    others = [each for each in helpers if plain_name(each) not in {*map(plain_name, shown)}]
    people, shown = [*people, *others], [*shown, *others]

    def read(typed: str) -> str:
        if (helper := next((each for each in others if plain_name(each) == plain_name(typed)), "")) != "":
            return helper
        if typed.isascii() and typed.isdigit() and 1 <= int(typed) <= len(people):
            return people[int(typed) - 1]
        who = _person(logbook, typed := full_name(logbook, typed), asked=True)
        if not may(who):
            held = f"{who.name} is {who.kind}" if who.kind else f"{who.name} has no kind of certificate here"
            raise Unreadable(f"{held}, and {wanted} is asked for: NAME, KIND, NUMBER")
        meant = kind_named(who.kind, _kinds(logbook))
        if not meant or plain_name(meant) == plain_name(who.kind) or who in before:
            return typed
        # The name of a kind says what its holder may sign: half of it says nothing.
        whole = confirmed(f"Is `{who.kind}` meant as {meant}?", enter=True)
        return whole_name(replace(who, kind=meant)) if whole else typed

    known = ", ".join(f"{at} {name}" for at, name in enumerate(shown, 1))
    return Question(name="by", words=f"{words}: {known}, or NAME, KIND, NUMBER" if known else words, read=read)


def _kinds(logbook: Logbook) -> Iterator[str]:
    """The kinds of certificate that aircraft.yaml names."""
    yield from (kind for rule in logbook.aircraft.inspections.values() for kind in rule.signers)
    yield from (each.kind for each in logbook.aircraft.people)


def clock_question(logbook: Logbook, on: dt.date, meter: str = "") -> Question:
    """The question for the meter that times are counted by, or for another; what cannot be on that day is told at
    once.
    """
    clock = meter or logbook.aircraft.time_in_service
    before = {problem.message for problem in meter_problems(logbook)}

    totals, offsets = totals_before(logbook, on)
    before_that = totals[clock] - offsets[clock] if clock in totals else None

    def read(typed: str) -> Decimal:
        if typed == SAME and before_that is not None:
            return before_that
        reads = parse_said_number(typed.removeprefix(f"{clock}=").strip())
        asked = Hours(name="asked", date=on, meters={clock: reads}, place=store.record_place("asked"))
        with_it = logbook.with_records(sorted((*logbook.records, asked), key=lambda each: (each.date, each.name)))
        for problem in meter_problems(with_it):
            if problem.message not in before:
                raise Unreadable(problem.message)
        return reads

    last = f", last {before_that:f}, {SAME} the same" if before_that is not None else ""
    return Question(name=clock, words=f"{clock} reads{last}", read=read)


def say_who(logbook: Logbook, by: str) -> str:
    """Who says so: as given, or as answered."""
    return str(answers({"by": by or None}, [replace(who_did(logbook, "Who says so"), required=True)])["by"])


def check_ids(logbook: Logbook, names: Sequence[str]) -> tuple[str, ...]:
    """Today's ids of checks; Misused for one that nobody ever had, or that is named twice."""
    found = []
    for name in names:
        current = id_meant(logbook, name, CHECK)
        if name in logbook.aircraft.meters:
            raise Misused(f"`{name}` is a meter: write its reading in one word, such as {name}=412.6")
        if current not in logbook.checks:
            raise Misused(f"no check is called `{name}`{near_or_find(name, logbook.checks)}")
        if current in found:
            raise Misused(f"`{current}` is named twice: name it once; what was done twice is two entries")
        found.append(current)
    return tuple(found)


@click.command()
@click.argument("words", metavar="METER=READING...", nargs=-1, required=True)
@click.option("--added", multiple=True, metavar="WHAT=AMOUNT", help="Filled up, such as oil='1 qt'; may be repeated.")
@click.option("--permit", default="", metavar="WORDS", help="The special flight permit it was flown under.")
@shared("by", "at", "paper", "text", "yes")
@click.pass_obj
def hours(
    desk: Desk,
    words: tuple[str, ...],
    added: tuple[str, ...],
    permit: str,
    by: str,
    at: str,
    paper: str,
    text: str,
    sure: bool,
) -> int:
    """Write meter readings down.

    \b
    hours tach=412.6
    hours tach=412.6 --added "oil=1 qt"
    """
    on = desk.entry_day()

    def make(logbook: Logbook, name: str, after: tuple[str, ...], *, sure: bool) -> Record:
        meters = said_readings(words, logbook.aircraft)
        filled = pairs([*map(_as_filled, added)], 'WHAT=AMOUNT, such as "oil=1 qt"')
        for what, amount in filled.items():
            if decimal(amount) is not None:
                raise Misused(f"--added: {amount} of what measure? Such as --added \"{what}={amount} qt\"")
        sure_of(logbook, on, meters, sure, _much_oil(logbook, filled))
        return Hours(
            name=name,
            date=on,
            entered=desk.today,
            meters=meters,
            added=filled,
            permit=permit,
            text=text,
            by=person(logbook, by),
            at=at,
            paper=paper,
            after=after,
            place=store.record_place(name),
        )

    return enter_asked(desk, "hours", "hours", make, sure)


def _much_oil(logbook: Logbook, filled: Mapping[str, str]) -> Iterator[str]:
    """What speaks for a slip in the oil that was filled up: more than the engine holds."""
    most = most_oil(logbook.checks.values())
    for what, told in filled.items():
        if is_oil(what) and (quarts(told) or 0) > most:
            yield f"{told} of {what} is more than the engine holds, {most:f} qt by its checklist."


def find_record(
    logbook: Logbook,
    name: str,
    kind: type[Record] = Record,
    meant: Callable[[Record], bool] = lambda record: False,
) -> Record:
    """A record by its path, its file name, or a part of it that only one has; left out, the latest of the kind.

    Of several that have it, the only one that can be `meant`.
    """
    if not name:
        latest = logbook.of_kind(kind)
        if not latest:
            told = "no inspection is on record" if kind is Inspection else "no such record has been written"
            raise Misused(f"{told} yet: name a record, such as `inspect-kit find oil` finds them")
        return latest[-1]
    stem = Path(name).name.removesuffix(".yaml").removesuffix(".md")
    record = logbook.record(stem)
    # Words of a name are typed with blanks between them, the name has them with hyphens.
    stem = stem if record else "-".join(stem.split())
    if record is None and len(found := [each for each in logbook.records if is_part(stem.casefold(), each.name)]) == 1:
        return found[0]
    if record is None:
        if len(likely := [each for each in found if meant(each)]) == 1:
            return likely[0]
        if found:
            told = "".join(f"\n  {each.name}  {says(each)}" for each in reversed(found[-SHOWN:]))
            more = f"\n  and {len(found) - SHOWN} older ones" if len(found) > SHOWN else ""
            raise Misused(
                f"`{stem}` may be one of {len(found)} records; name one, its last part is enough:{told}{more}"
            )
        if (gone := next((each for each in logbook.withdrawn if each.record.name == stem), None)) is not None:
            raise Misused(
                f"`{stem}` was {gone} ({gone.place.file}): it counts for nothing. If it was right after all, write it "
                "down anew"
            )
        hint = did_you_mean(stem, [each.name for each in logbook.records])
        raise Misused(f"no record is called `{stem}`{hint or '; `inspect-kit find WORDS` looks for one'}")
    return record


def says(record: Record) -> str:
    """What a record says, shortened, by which it is known among others of nearly its name."""
    reads = (f"{meter} {number:f}" for meter, number in record.meters.items())
    words = (*reads, ", ".join(checks_done(record)), record_words(record))
    return shorten("; ".join(word for word in words if word), SAYS, placeholder=" ...")


def words_of_name(name: str) -> str:
    """The words of a record's name, without its day and its code."""
    return name[DATE_LENGTH + 1 :].rpartition("-")[0] or name


def is_part(words: str, name: str) -> bool:
    """Whether a name is meant by a part of it: its words without date and code, its beginning, its code.

    A year or a day alone names nothing, though only one record may have it: `records/2026` is a folder.
    """
    if words == name.rpartition("-")[2]:
        return True
    return (len(words) >= LEAST and not words.replace("-", "").isdecimal() and f"-{words}-" in f"-{name}-") or (
        len(words) >= DATE_LENGTH and name.startswith(words)
    )


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
        place = Question(name="ink", words="Where it is signed in ink: logbook and page", read=parse_logbook_page)
        ink = answers({}, [replace(place, required=True)])["ink"]
    if ink and ssh_key:
        raise Misused("a signature is in ink (--ink) or by an SSH key (--ssh-key): one of the two")
    desk.entry_day()
    written = record_signature(desk, name, ink=ink, key=Path(ssh_key) if ssh_key else None, signer=signer)
    click.echo(written)
    signed = desk.logbook().record(Path(written).stem)
    if isinstance(signed, Signature):
        say(f"It signs {signed.of}.", err=True)
    return desk.code(0)


def unsigned(logbook: Logbook) -> Iterator[Record]:
    """What waits for a signature, the newest first: inspections, amendments of what is sealed, work that puts a finding
    off.
    """
    for record in reversed(logbook.records):
        # An amendment of what no seal protects counts without one.
        of = logbook.record(record.of) if isinstance(record, Amendment) else None
        waits = isinstance(record, Inspection) or (of is not None and of.seal is not None)
        waits = waits or (record.seal is not None and logbook.puts_off_unsigned(record))
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
        raise Refused(
            f"{record.place.file} {logbook.broken[record.name]}: nothing of it is signed; see `inspect-kit verify`"
        )
    records = {each.name: logbook.as_written(each) for each in logbook.records}
    # Kind and number are those that were sealed, or else those of aircraft.yaml.
    signer = full_name(logbook, signer)
    known = logbook.aircraft.person(signer) if signer else None
    named = Person(name=known.name if known else signer) if signer else None
    who, fault = store.signer_of(named, record, records, logbook.aircraft)
    if fault is not None:
        near = nearest_person(logbook, signer) if signer and logbook.aircraft.person(signer) is None else None
        raise Refused(f"not signed: {fault}; {f'did you mean `{near}`?' if near else 'say who signed with --as NAME'}")
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


def ssh_signature(data: bytes, key: Path, known: Sequence[str], who: str, aircraft: Aircraft) -> str:
    """The signature of a record's bytes with a key; Refused unless it can be checked by the keys of the signer."""
    if not known:
        raise Refused(
            "the signer has no public key in aircraft.yaml: write it under `ssh` there, or sign in ink (--ink)"
        )
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
