"""What stops the aircraft, whatever the due list says."""

from collections.abc import Iterator

from inspect_kit.due.answer import (
    STOP_FINDING,
    STOP_OWED,
    STOP_PAGE,
    STOP_PANEL,
    STOP_SETUP,
    STOP_SIGNATURE,
    Item,
    Stop,
)
from inspect_kit.due.chronicle import Chronicle
from inspect_kit.model.checklist import SETUP
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet


def stops(chronicle: Chronicle, items: tuple[Item, ...]) -> tuple[Stop, ...]:
    """Findings to fix before flight, panels off, setups standing, open pages, things owed, signatures missing."""
    logbook = chronicle.logbook
    found = list(_findings(logbook))
    for page in logbook.pages:
        found += _page(logbook, page)
    for item in items:
        if item.owed:
            found.append(Stop(kind=STOP_OWED, text=f"owed before flight: {item.check}, {item.name}", place=item.place))
    found += _signatures(chronicle)
    return tuple(found)


def _findings(logbook: Logbook) -> Iterator[Stop]:
    for reference, finding in logbook.standing().items():
        if finding.before_flight:
            text = f"to fix before flight: {finding.text} ({reference})"
            yield Stop(kind=STOP_FINDING, text=text, place=finding.place)


def _page(logbook: Logbook, page: Worksheet) -> Iterator[Stop]:
    yield Stop(kind=STOP_PAGE, text=f"open worksheet: {page.name}, begun {page.begun}", place=page.place)
    for entry in page.entries:
        for finding in entry.findings:
            if finding.before_flight:
                text = f"to fix before flight: {finding.text} ({finding.id} on the open worksheet)"
                yield Stop(kind=STOP_FINDING, text=text, place=finding.place)
    for name in page.panels_off():
        panel = logbook.panels.get(logbook.id_now(name))
        place = next(entry.place for entry in page.entries if entry.id == name)
        standing = panel is not None and panel.kind == SETUP
        words = "setup standing" if standing else "panel off"
        text = f"{words}: {panel.name if panel else name}"
        yield Stop(kind=STOP_SETUP if standing else STOP_PANEL, text=text, place=place)


def _signatures(chronicle: Chronicle) -> Iterator[Stop]:
    for name, records in chronicle.unsigned.items():
        signed = chronicle.inspections.get(name, ())
        for record in records:
            if not any(moment.order > chronicle.moments[record.name].order for moment in signed):
                text = f"{name} inspection of {record.date}: sealed, signature not recorded"
                yield Stop(kind=STOP_SIGNATURE, text=text, place=record.place)
