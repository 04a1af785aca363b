"""What panels, checks and findings are called on pages, for ids of today and of long ago."""

import re
from collections import Counter
from collections.abc import Collection, Iterable

from inspect_kit.due.answer import CHECK, INSPECTION, Item
from inspect_kit.model.aircraft import Aircraft, Identity, Person
from inspect_kit.model.checklist import Check, Panel, named, title
from inspect_kit.model.finding import Finding, Result
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import box_of, by_others
from inspect_kit.model.record import FLOWN, REQUIRED, FlightCheck

__all__ = [
    "box_title",
    "check_of",
    "check_title",
    "finding_number",
    "fix",
    "flight_check_words",
    "identity_words",
    "in_words",
    "item_title",
    "listed",
    "name_words",
    "names_of",
    "panel_name",
    "panel_of",
    "panel_of_check",
    "person_words",
    "title",
    "twin_titles",
    "where",
    "with_id",
]


_ID = re.compile(r"`([^`\n]+)`")


def check_of(logbook: Logbook, name: str) -> Check | None:
    """The check that an id names or once named."""
    return logbook.checks.get(logbook.id_now(name))


def panel_of(logbook: Logbook, name: str) -> Panel | None:
    return logbook.panels.get(logbook.id_now(name))


def check_title(logbook: Logbook, name: str) -> str:
    """The subject of a check by its id; the id itself where nobody knows it."""
    check = check_of(logbook, name)
    return check.title if check else name


def box_title(logbook: Logbook, name: str) -> str:
    """What a box is called, by the name that a record gives it: `refit Lower cowling`, a check, a finding from before.

    Source: `model.page_record.box_name`.
    """
    verb, box = box_of(name)
    if "#" in box:
        finding = logbook.findings().get(box)
        return f"{finding.text} ({box})" if finding is not None else box
    return f"{verb} {panel_name(logbook, box)}" if verb else check_title(logbook, box)


def twin_titles(logbook: Logbook) -> frozenset[str]:
    """What several have, so that only ids tell them apart: subjects of checks in use, numbers of open findings."""
    count = Counter(check.title for check in logbook.checks.values() if check.retired is None)
    count.update(reference.rpartition("#")[2] for reference in logbook.standing())
    return frozenset(each for each, many in count.items() if many > 1)


def finding_number(reference: str, twins: Collection[str]) -> str:
    """`F1`; where another open finding has that number too, with the part of its record's name that no other has:
    `ewt5#F1`, by which `finding` knows it.
    """
    record, _, number = reference.rpartition("#")
    return f"{record.rpartition('-')[2]}#{number}" if number in twins else number


def with_id(logbook: Logbook, name: str) -> str:
    """A check or a panel by its words with its id behind them; the id alone where nobody knows it."""
    check, panel = check_of(logbook, name), panel_of(logbook, name)
    return check.named if check else named(panel.name, name) if panel else name


def listed(titles: Iterable[str]) -> str:
    """Titles in one line, parted by semicolons, of which none is left within a title."""
    return "; ".join(each.replace(";", ",") for each in titles)


def item_title(item: Item) -> str:
    """What an item of the due list is called where its id stands apart, or where there is no room for both."""
    if item.kind == INSPECTION:
        return f"{item.check} inspection"
    return (title(item.name) if item.kind == CHECK else item.name) or item.check


def names_of(logbook: Logbook, names: Iterable[str]) -> str:
    """Checks in one line by their words, with the id behind those that another check has too."""
    twins = twin_titles(logbook)
    told = ((check_title(logbook, name), name) for name in names)
    return listed(with_id(logbook, name) if words in twins else words for words, name in told)


def identity_words(identity: Identity) -> str:
    """`N0TS, Turnstone TS-2, serial 001`"""
    return f"{identity.registration}, {identity.make} {identity.model}, serial {identity.serial}"


def panel_name(logbook: Logbook, name: str) -> str:
    panel = panel_of(logbook, name)
    return panel.name if panel else name


def in_words(logbook: Logbook, text: str) -> str:
    """Text of a checklist for paper: what it names by its id is named by its words, for paper knows no ids."""

    def words(found: re.Match[str]) -> str:
        check = check_of(logbook, found[1])
        return check.title if check else panel_name(logbook, found[1])

    return _ID.sub(words, text)


def panel_of_check(logbook: Logbook, name: str) -> str:
    """The panel id of a check, "" where the check is unknown."""
    check = check_of(logbook, name)
    return check.panel if check else ""


def fix(logbook: Logbook, finding: Finding) -> str:
    """Until when a finding may wait; hours as the meter reads and as total."""
    return logbook.fix_words(finding.fix)


def person_words(aircraft: Aircraft, person: Person | None) -> str:
    """Who it was, with kind and number of the certificate: as the record has them, else as aircraft.yaml knows them."""
    if person is None:
        return ""
    known = aircraft.person(person.name)
    kind = aircraft.kind_of(person)
    certificate = person.certificate or (known.certificate if known else "")
    return ", ".join(word for word in (person.name, kind, f"number {certificate}" if certificate else "") if word)


def name_words(logbook: Logbook, name: str) -> str:
    """Whoever a page has by name, with kind and number as aircraft.yaml knows them; "" where it has no name."""
    return person_words(logbook.aircraft, Person(name=name)) if name else ""


def others_words(logbook: Logbook, result: Result) -> str:
    """Who did what is for others, as its checklist calls them, where a record has their paper and no name; else ""."""
    return by_others(check_of(logbook, result.check), result)


def flight_check_words(aircraft: Aircraft, check: FlightCheck | None) -> str:
    """Whether a flight check is required, why it is not needed, or who flew it and with which words; "" for None."""
    if check is None:
        return ""
    if check.word == REQUIRED:
        return "required before passengers are carried"
    told = check.words
    if check.word != FLOWN:
        told = f"{check.word}: {told}"
    else:
        told = f"flown {check.date} by {person_words(aircraft, check.pilot)}: {told}"
    return f"{told.removesuffix('.')}; for {', '.join(check.of)}" if check.of else told


def where(logbook: Logbook, finding: Finding) -> str:
    """Where a finding stands: the panel by name, and the subject of the check; a pilot may not know it."""
    if finding.panel is not None:
        return panel_name(logbook, finding.panel)
    if finding.check is None:
        return "place not known yet"
    panel = panel_of_check(logbook, finding.check)
    subject = check_title(logbook, finding.check)
    return f"{panel_name(logbook, panel)}: {subject}" if panel else subject
