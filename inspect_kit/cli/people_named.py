"""Who did it: a person as typed or asked, of aircraft.yaml or of earlier records, or told with kind and certificate."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import confirmed
from inspect_kit.errors import Misused
from inspect_kit.inspection.people import on_record
from inspect_kit.model.aircraft import Person, kind_named, plain_name
from inspect_kit.model.held import not_held
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.other_eyes import no_other
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.pilots import is_pilot
from inspect_kit.text.grammar import Unreadable, nearest
from inspect_kit.text.page_values import parse_name, parse_typed_name

# Of those on no list who did something before, so many are offered: the newest.
OFFERED = 5


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
    _refuse_gone(logbook, known)
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
    who = Person(name=parse_typed_name(name), kind=_kind(logbook, name, kind, certificate), certificate=certificate)
    if taken := logbook.aircraft.taken_from(who):
        raise Unreadable(f"{taken}: name them alone, or {name} by their own")
    known = logbook.aircraft.person(name)
    _refuse_gone(logbook, known)
    # Whoever works on it may hold a pilot certificate too, which aircraft.yaml has no room for.
    flies = known is not None and is_pilot(kind) and not is_pilot(known.kind)
    if known is None or (flies and not not_held(logbook.aircraft, who)):
        return who
    if [*map(plain_name, (kind, certificate))] != [*map(plain_name, (known.kind, known.certificate))]:
        told = ", ".join(word for word in (known.kind, known.certificate) if word) or "without a certificate"
        cure = "name them alone; whoever holds another certificate since has it there"
        raise Unreadable(f"{known.name} of aircraft.yaml is {told}: {cure}")
    return Person(name=known.name, kind=known.kind, certificate=known.certificate)


def _refuse_gone(logbook: Logbook, known: Person | None) -> None:
    """Unreadable of somebody who is gone by the day for which the store was read."""
    if known is not None and known.retired is not None:
        told = f"{known.name} is retired in {logbook.aircraft.place.file} since {known.retired.date}"
        raise Unreadable(f"{told}: name who it was; whoever works on it again has no `retired` there")


def refuse_gone(logbook: Logbook, name: str) -> None:
    """Misused of somebody who is gone."""
    try:
        _refuse_gone(logbook, logbook.aircraft.person(name))
    except Unreadable as fault:
        raise Misused(fault.message) from None


def _kind(logbook: Logbook, name: str, kind: str, certificate: str) -> str:
    """A kind of certificate in words: none that is a number, or that ends in one before which a comma was forgotten."""
    if plain_name(kind) in map(plain_name, (*_kinds(logbook), *(each.kind for each in on_record(logbook)))):
        return kind
    if not re.match(r"[^\W\d]{2}|[^\W\d]\W*[^\W\d]", kind) or re.search(r"=|--", kind):
        raise Unreadable(f"`{kind}` is no kind of certificate: NAME, KIND, NUMBER, such as {name}, mechanic, 1234567")
    if not certificate and (parts := re.fullmatch(r"(.*?\D)\W*(\d[\d -]{2,})", kind)):
        told = f"{name}, {parts[1].strip()}, {parts[2]}"
        raise Unreadable(f"`{kind}` has a number in it: with a comma before that, {told}")
    return kind


def nearest_person(logbook: Logbook, name: str) -> str | None:
    """The name on the list of people that may have been meant: nearly it, or of which it is a part."""
    whole, begin = full_name(logbook, name), name.casefold()
    begun = [each for each in _names(logbook) if any(word.startswith(begin) for word in each.casefold().split())]
    if whole == name and begin and len(begun) == 1:
        return begun[0]
    if whole != name:
        return whole
    # Capitals and stops are no difference: `rpell` is near R. Pell.
    plain = {plain_name(each): each for each in _names(logbook)}
    near = nearest(plain_name(name), plain)
    return plain[near] if near else None


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


def _offered(logbook: Logbook) -> list[Person]:
    """The newest on no list, in the order in which they first did something: a number stays the same person's."""
    newest = on_record(logbook)[:OFFERED]
    first: dict[tuple[str, str, str], int] = {}
    for at, record in enumerate(logbook.records):
        if record.by is not None:
            first.setdefault(_plain(record.by), at)
    return sorted(newest, key=lambda who: first[_plain(who)])


def _plain(who: Person) -> tuple[str, str, str]:
    return plain_name(who.name), plain_name(who.kind), plain_name(who.certificate)


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
    Whoever is left out keeps the number: two questions, one after the other, number the same people alike.
    """
    listed = [each for each in logbook.aircraft.people if each.retired is None]
    before = _offered(logbook)
    names = [each.name for each in before]
    shown = [each.name for each in listed]
    shown += [each.name if names.count(each.name) == 1 else whole_name(each) for each in before]
    people = [*(each.name for each in listed), *map(whole_name, before)]
    others = [each for each in helpers if plain_name(each) not in {*map(plain_name, shown)}]
    able = [*map(may, (*listed, *before)), *(True for _ in others)]
    people, shown = [*people, *others], [*shown, *others]

    def read(typed: str) -> str:
        if helper := next((each for each in others if plain_name(each) == plain_name(typed)), ""):
            return helper
        if typed.isascii() and typed.isdigit() and 1 <= int(typed) <= len(people):
            if able[int(typed) - 1]:
                return people[int(typed) - 1]
            typed = people[int(typed) - 1]
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

    known = ", ".join(f"{at} {name}" for at, name in enumerate(shown, 1) if able[at - 1])
    return Question(name="by", words=f"{words}: {known}, or NAME, KIND, NUMBER" if known else words, read=read)


def who_looked(logbook: Logbook, words: str, doer: Person | None) -> Question:
    """The question for another pair of eyes: asked as `who_did` is, of all but the doer; whoever looked before is known
    by the name alone.
    """
    aircraft = logbook.aircraft

    def other(name: str) -> bool:
        return doer is None or not no_other(aircraft, name, doer.name)

    results = (each for record in reversed(logbook.of_kind(PageRecord)) for each in record.results)
    looked = [*dict.fromkeys(each.second_look for each in results if each.second_look)]
    helpers = [each for each in looked if other(each)][:OFFERED]
    asked = who_did(logbook, words, helpers, lambda who: other(who.name), "another pair of eyes")

    def read(typed: str) -> str:
        name = full_name(logbook, typed.partition(",")[0])
        if doer is not None and not name.isdecimal() and (none := no_other(aircraft, name, doer.name)):
            cure = "name who else looked, or leave it out; whose name is nearly the doer's is named under `people`"
            raise Misused(f"that is {none}, and another pair of eyes is asked: {cure}")
        return parse_name(asked.read(typed).partition(",")[0])

    return replace(asked, name="second-look", read=read, otherwise="nobody")


def _kinds(logbook: Logbook) -> Iterator[str]:
    """The kinds of certificate that aircraft.yaml names."""
    yield from (kind for rule in logbook.aircraft.inspections.values() for kind in rule.signers)
    yield from (each.kind for each in logbook.aircraft.people)


def say_who(logbook: Logbook, by: str) -> str:
    """Who says so: as given, or as answered."""
    return str(answers({"by": by or None}, [replace(who_did(logbook, "Who says so"), required=True)])["by"])
