"""Names on a page: who is known there, who may do what is the inspector's, and what is the name of nobody."""

from collections.abc import Iterable

from inspect_kit.model.aircraft import plain_name
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.rules import signer_refusal

# What people write where a name is asked and none is meant. Common practice, no source.
NOBODY = ("same", "self", "me", "myself", "ditto", "none", "nobody", "no one", "n/a", "na", "tbd", "xx", "as above")


def is_somebody(name: str) -> bool:
    """Whether a name can be that of a person: two letters at least, and not `same`, `none` or the like."""
    return sum(character.isalpha() for character in name) >= 2 and plain_name(name.strip(" .")) not in NOBODY


def known_names(logbook: Logbook, page: Worksheet, without: Iterable[str] = ()) -> tuple[str, ...]:
    """The page's inspector and helpers and the people of aircraft.yaml who are not retired, each once.

    The helpers come last where the page has no inspector yet: then one of the people is meant. Those in `without` are
    left out.
    """
    same = logbook.aircraft.same_person
    people = tuple(person.name for person in logbook.aircraft.people if person.retired is None)
    left = [*without]
    found: list[str] = []
    others = (*page.helpers, *people) if is_somebody(page.inspector) else (*people, *page.helpers)
    for name in (page.inspector, *others):
        if is_somebody(name) and not any(same(name, other) for other in (*found, *left)):
            found.append(name)
    return tuple(found)


def only_inspector(logbook: Logbook, job: str) -> str:
    """The one person of aircraft.yaml who may do and sign this job; "" where there are several, or none."""
    people = [person for person in logbook.aircraft.people if person.retired is None]
    rule = logbook.aircraft.inspections.get(job)
    may = [each.name for each in people if rule is None or signer_refusal(logbook.aircraft, rule, each) is None]
    return may[0] if len(may) == 1 else ""


def doer_of(page: Worksheet, entry: Entry) -> str:
    """Who did what a box asks: as written under it, else the page's inspector. (`signing` adds: else the signer.)"""
    return entry.by or page.inspector


def no_inspector(logbook: Logbook, page: Worksheet, name: str) -> str | None:
    """Why a check that is the inspector's may not be done by this person; None if it may.

    On an inspection the operating limitations say by whom; on other work it is anybody.
    """
    rule = logbook.aircraft.inspections.get(page.job)
    if rule is None:
        return None
    person = logbook.aircraft.person(name)
    if person is None:
        return f"{name} is not among the people of {logbook.aircraft.place.file}"
    return signer_refusal(logbook.aircraft, rule, person)
