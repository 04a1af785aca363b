"""Names on a page: who is known there, who is the same person, and what is the name of nobody."""

from collections.abc import Iterable

from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.rules import signer_refusal

# What people write where a name is asked and none is meant. Common practice, no source.
NOBODY = ("same", "self", "me", "myself", "ditto", "none", "nobody", "no one", "n/a", "na", "tbd", "xx", "as above")


def same_person(one: str, other: str) -> bool:
    """Whether two names differ in spaces, full stops and capitals at most."""
    return _bare(one) == _bare(other)


def is_somebody(name: str) -> bool:
    """Whether a name can be that of a person: two letters at least, and not `same`, `none` or the like."""
    return sum(character.isalpha() for character in name) >= 2 and _bare(name) not in NOBODY


def known_names(logbook: Logbook, page: Worksheet, without: Iterable[str] = ()) -> tuple[str, ...]:
    """The page's inspector and helpers, then the people of aircraft.yaml who are not retired, each once.

    Those in `without` are left out.
    """
    people = (person.name for person in logbook.aircraft.people if person.retired is None)
    left = [*without]
    found: list[str] = []
    for name in (page.inspector, *page.helpers, *people):
        if is_somebody(name) and not any(same_person(name, other) for other in (*found, *left)):
            found.append(name)
    return tuple(found)


def doer_of(page: Worksheet, entry: Entry) -> str:
    """Who did what a box asks: as written under it, else the page's inspector."""
    return entry.by or page.inspector


def may_inspect(logbook: Logbook, page: Worksheet, name: str) -> bool:
    """Whether a check that is the inspector's may be done by this person.

    On an inspection these are the people whom its operating limitations permit to sign, and the page's inspector, of
    whom `sign` will judge. On other work it is anybody.
    """
    rule = logbook.aircraft.inspections.get(page.job)
    if rule is None or same_person(name, page.inspector):
        return True
    person = logbook.aircraft.person(name)
    return person is not None and signer_refusal(logbook.aircraft, rule, person) is None


def _bare(name: str) -> str:
    return " ".join(name.replace(".", " ").casefold().split())
