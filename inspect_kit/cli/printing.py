"""`sheet`: a page, or an inspection as it would be, for pen and gloves."""

from pathlib import Path

import click

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import shared, written_as
from inspect_kit.cli.planning import page_steps, planned
from inspect_kit.cli.said import say
from inspect_kit.cli.sheets import find_page
from inspect_kit.cli.shown import to_outside
from inspect_kit.errors import ProgramFault
from inspect_kit.inspection import edit
from inspect_kit.inspection.ordered import code_of, sheet_lines
from inspect_kit.inspection.start import new_page
from inspect_kit.inspection.wanted import last_times
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.report.sheet import PAPERS, SheetFacts, render_sheet


@click.command()
@click.argument("name", default="", metavar="[PAGE|INSPECTION]")
@click.option("--size", type=click.Choice(PAPERS, case_sensitive=False), help="That of the printer if left out.")
@shared("to", "force", to=written_as(".html", required=True))
@click.pass_obj
def sheet(desk: Desk, name: str, target: Path, force: bool, size: str | None) -> int:
    """The open page as a sheet for a pen.

    Before `start`, an inspection as a specimen without numbers.

    \b
    sheet --to ../sheet.html
    sheet condition --to ../specimen.html
    """
    loaded, logbook = desk.loaded()
    page, is_open = _page(desk, loaded, logbook, name)
    lines = sheet_lines(logbook, page)
    code = code_of(lines) if is_open else ""
    facts = SheetFacts(logbook=logbook, page=page, last=last_times(logbook, page), code=code, paper=size or "")
    to_outside(render_sheet(facts), target, logbook, force=force)
    if is_open:
        store.keep_sheet(desk.root, code, lines, desk.waiting)
        say(f"Its boxes have the code {code}: type it in with `{desk.typed(f'walk --from-paper {code}')}`.")
    else:
        say("A specimen: numbers and a code come with `inspect-kit start`.")
    return desk.code(0)


def _page(desk: Desk, loaded: store.Loaded, logbook: Logbook, name: str) -> tuple[Worksheet, bool]:
    """The page that is meant, and whether it is open: by its name, by its inspection, or the only one."""
    inspections = logbook.aircraft.inspections
    of_job = [page for page in logbook.pages if page.job == name]
    if name in inspections and not of_job:
        return specimen(desk, logbook, name), False
    if not name and not logbook.pages and len(inspections) == 1:
        return specimen(desk, logbook, next(iter(inspections))), False
    return find_page(loaded, logbook, of_job[0].name if of_job else name)[0].page, True


def specimen(desk: Desk, logbook: Logbook, inspection: str) -> Worksheet:
    """The page that `start` would write today; nothing is written."""
    plan = planned(logbook, [inspection], on=desk.on)
    text = new_page(logbook, job=inspection, steps=page_steps(logbook, plan), begun=desk.on, meters={})
    made = edit.opened(text, "specimen.md")
    if made is None:
        raise ProgramFault("a page that would be begun does not read back")
    return made.page
