"""What panels, checks and findings are called on pages, for ids of today and of long ago."""

from inspect_kit.model.aircraft import Person
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.model.finding import Finding
from inspect_kit.model.logbook import Logbook


def title(text: str) -> str:
    """The subject of a check: its text up to the first colon."""
    return text.partition(":")[0].strip()


def check_of(logbook: Logbook, name: str) -> Check | None:
    """The check that an id names or once named."""
    return logbook.checks.get(logbook.id_now(name))


def panel_of(logbook: Logbook, name: str) -> Panel | None:
    return logbook.panels.get(logbook.id_now(name))


def check_title(logbook: Logbook, name: str) -> str:
    """The subject of a check by its id; the id itself where nobody knows it."""
    check = check_of(logbook, name)
    return title(check.text) if check else name


def panel_name(logbook: Logbook, name: str) -> str:
    panel = panel_of(logbook, name)
    return panel.name if panel else name


def panel_of_check(logbook: Logbook, name: str) -> str:
    """The panel id of a check, "" where the check is unknown."""
    check = check_of(logbook, name)
    return check.panel if check else ""


def fix(logbook: Logbook, finding: Finding) -> str:
    """Until when a finding may wait; hours as the meter reads and as total."""
    return logbook.fix_words(finding.fix)


def person_words(logbook: Logbook, person: Person | None) -> str:
    """Who it was, with kind and number of the certificate: as the record has them, else as aircraft.yaml knows them."""
    if person is None:
        return ""
    known = logbook.aircraft.person(person.name)
    kind = person.kind or (known.kind if known else "")
    certificate = person.certificate or (known.certificate if known else "")
    return ", ".join(word for word in (person.name, kind, f"number {certificate}" if certificate else "") if word)


def name_words(logbook: Logbook, name: str) -> str:
    """The same for somebody of whom a page has only the name; "" where it has none."""
    return person_words(logbook, Person(name=name)) if name else ""


def where(logbook: Logbook, finding: Finding) -> str:
    """Where a finding stands: the panel by name, and the subject of the check; a pilot may not know it."""
    if finding.panel is not None:
        return panel_name(logbook, finding.panel)
    if finding.check is None:
        return "place not known yet"
    panel = panel_of_check(logbook, finding.check)
    subject = check_title(logbook, finding.check)
    return f"{panel_name(logbook, panel)}: {subject}" if panel else subject
