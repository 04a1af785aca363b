"""Names on a page: who did a box, who is known, who may do the inspector's; `missing` refuses by the same rules."""

from collections.abc import Iterable

from inspect_kit.model.aircraft import Aircraft, Person, plain_name
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.reason import names_nobody
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.rules import signer_refusal


def is_somebody(name: str) -> bool:
    """Whether a name can be that of a person: two letters at least, and not `same`, `none` or the like."""
    return not names_nobody(plain_name(name))


def known_names(aircraft: Aircraft, page: Worksheet, without: Iterable[str] = ()) -> tuple[str, ...]:
    """The page's inspector and helpers and the people of aircraft.yaml who are not retired, each once.

    The helpers come last where the page has no inspector yet: then one of the people is meant. Those in `without` are
    left out.
    """
    same = aircraft.same_person
    people = tuple(person.name for person in aircraft.people if person.retired is None)
    left = [*without]
    found: list[str] = []
    others = (*page.helpers, *people) if is_somebody(page.inspector) else (*people, *page.helpers)
    for name in (page.inspector, *others):
        if is_somebody(name) and not any(same(name, other) for other in (*found, *left)):
            found.append(name)
    return tuple(found)


def on_record(logbook: Logbook) -> tuple[Person, ...]:
    """Whoever did something that was written down with kind of certificate and is none of the people of aircraft.yaml.

    The newest comes first, each once: a mechanic who worked on it away from home, a pilot who flew it.
    """
    found: dict[tuple[str, ...], Person] = {}
    for record in reversed(logbook.records):
        who = record.by
        if who is not None and who.kind and logbook.aircraft.person(who.name) is None:
            plain = Person(name=who.name, kind=who.kind, certificate=who.certificate)
            found.setdefault(tuple(map(plain_name, (who.name, who.kind, who.certificate))), plain)
    return tuple(found.values())


def only_inspector(aircraft: Aircraft, job: str) -> str:
    """The one person of aircraft.yaml who may do and sign this job; "" where there are several, or none."""
    people = [person for person in aircraft.people if person.retired is None]
    rule = aircraft.inspections.get(job)
    may = [each.name for each in people if rule is None or signer_refusal(aircraft, rule, each) is None]
    return may[0] if len(may) == 1 else ""


def last_doer(aircraft: Aircraft, page: Worksheet) -> str:
    """Who did the last boxes that are answered with a name, by the order of the page; "" where none is.

    Of those whom the page knows: a name that is on no list is not offered again.
    """
    by = next((entry.by for entry in reversed(page.entries) if entry.answered and entry.by), "")
    return next((name for name in known_names(aircraft, page) if aircraft.same_person(name, by)), "")


def doer_of(page: Worksheet, entry: Entry) -> str:
    """Who did what a box asks: as written under it, else the page's inspector. (`signing` adds: else the signer.)"""
    return entry.by or page.inspector


def no_inspector(aircraft: Aircraft, page: Worksheet, name: str) -> str | None:
    """Why a check that is the inspector's may not be done by this person; None if it may.

    On an inspection the operating limitations say by whom; on other work it is anybody.
    """
    rule = aircraft.inspections.get(page.job)
    if rule is None:
        return None
    person = aircraft.person(name)
    if person is None:
        return f"{name} is a helper, without a certificate in {aircraft.place.file}"
    return signer_refusal(aircraft, rule, person, page.begun)


def nobody(name: str) -> str:
    """What is said of a name that belongs to no person and no helper."""
    told = f"`{name}` is neither among the people of aircraft.yaml nor among the `helpers` of this page"
    return f'{told}: put the name right there, or add it, with `inspect-kit helper "{name}"` to the page'
