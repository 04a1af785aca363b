"""A page that is still being worked on, as it stands: what is off, what was found and read, what is left."""

import datetime as dt
from collections.abc import Iterator

from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.report.blocks import QUIET, STOP, Block, Column, Heading, Page, Paragraph, Row, facts, table
from inspect_kit.report.naming import check_title, identity_words, panel_name
from inspect_kit.report.pages.findings import findings_table
from inspect_kit.report.words import counted, number
from inspect_kit.rules.cautions import DEFERRAL, PILOT_DECIDES

BEFORE = "findings from before"
READINGS = (Column(name="check", wide=True), Column(name="reading"), Column(name="read"), Column(name="limit", rank=1))


def in_progress_page(logbook: Logbook, page: Worksheet, on: dt.date) -> Page:
    """An open worksheet as it stands on a day. Nothing of it is signed, and it says so first."""
    identity = logbook.aircraft.identity
    done = sum(entry.answered for entry in page.entries)
    job = page.job_name.capitalize()
    meters = ", ".join(f"{name} {number(reads)}" for name, reads in page.meters.items())
    made: list[Block] = [
        Paragraph(text="IN PROGRESS, NOT SIGNED: nothing here counts as done, and no statement is made.", tone=STOP),
        facts(
            ("Aircraft", identity_words(identity)),
            ("Begun", f"{page.begun}{f', {meters}' if meters else ''}"),
            ("Inspector", page.inspector),
            ("Helpers", ", ".join(page.helpers)),
            ("Settled", f"{done} of {counted(len(page.entries), 'box', 'boxes')}"),
            ("Off or standing", ", ".join(panel_name(logbook, panel) for panel in page.panels_off()) or "nothing"),
            ("Page", page.place.file),
        ),
        *_findings(logbook, page),
        *_readings(logbook, page),
        *_left(logbook, page),
        Paragraph(text=f"{DEFERRAL} {PILOT_DECIDES}", tone=QUIET),
    ]
    title = f"{job} in progress, {identity.registration}, {on}"
    return Page(title=title, blocks=tuple(made), foot=f"{identity.registration}: {page.name}, in progress on {on}")


def _findings(logbook: Logbook, page: Worksheet) -> Iterator[Block]:
    own = {f"{page.name}#{found.id}": found for entry in page.entries for found in entry.findings}
    if own:
        yield Heading(text=f"Findings {len(own)}")
        yield findings_table(logbook, own, of=page.name)


def _readings(logbook: Logbook, page: Worksheet) -> Iterator[Block]:
    rows = [
        Row(cells=(check_title(logbook, entry.id), each.label, each.value, str(each.bound or "")))
        for entry in page.entries
        for each in entry.readings
        if each.value
    ]
    if rows:
        yield Heading(text="Readings")
        yield table(READINGS, rows)


def _left(logbook: Logbook, page: Worksheet) -> Iterator[Block]:
    """The boxes that are open, counted by panel in the order of the page."""
    by_panel: dict[str, list[Entry]] = {}
    for entry in page.entries:
        if not entry.answered:
            check = logbook.checks.get(logbook.id_now(entry.id)) if entry.is_check else None
            panel = check.panel if check is not None else "" if entry.is_standing else logbook.id_now(entry.id)
            by_panel.setdefault(panel, []).append(entry)
    if by_panel:
        yield Heading(text="Still open")
        rows = [
            Row(cells=(panel_name(logbook, panel) if panel else BEFORE, counted(len(left), "box", "boxes")))
            for panel, left in by_panel.items()
        ]
        yield table((Column(name="at", wide=True), Column(name="left")), rows)
