"""`calendar`, `export`, `handover`: what leaves the store for somebody else, file by file."""

import datetime as dt
from pathlib import Path

import click

from inspect_kit import report as reports
from inspect_kit import store
from inspect_kit.cli.ask import report_facts
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.options import shared, written_as
from inspect_kit.cli.said import say
from inspect_kit.cli.shown import to_outside
from inspect_kit.due import chronicle, seen_on
from inspect_kit.due import due as due_of
from inspect_kit.errors import NO, Misused
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.past import parse_said_date
from inspect_kit.report import ReportFacts
from inspect_kit.report.naming import names_of
from inspect_kit.text.grammar import Unreadable

LAST_INSPECTION = "last inspection"
FOLDER = {"type": click.Path(path_type=Path), "required": True, "metavar": "FOLDER", "help": "Write a new folder."}


@click.command()
@shared("to", "force", to=written_as(".ics", required=True))
@click.pass_obj
def calendar(desk: Desk, target: Path, force: bool) -> int:
    """The due list as a calendar file.

    One all-day event an item; it can be imported again.

    \b
    calendar --to ../due.ics
    """
    logbook = desk.logbook()
    answer = due_of(logbook, desk.on)
    to_outside(reports.calendar_text(answer), target, logbook, force=force)
    left = reports.without_day(answer)
    if left:
        names = names_of(logbook, (item.check for item in left))
        say(f"Not in it, because nothing says when they come: {names}.", err=True)
    return desk.code(0)


@click.command()
@click.option("--csv", "as_csv", is_flag=True, required=True, help="As a table for spreadsheets.")
@shared("to", "force", to=written_as(".csv"))
@click.pass_obj
def export(desk: Desk, as_csv: bool, target: Path | None, force: bool) -> int:
    """All records as a table, one row each.

    No cell acts as a formula.

    \b
    export --csv
    export --csv --to ../records.csv
    """
    logbook = desk.logbook()
    text = reports.csv_text(reports.record_rows(seen_on(logbook, desk.on)[0]))
    if target is None:
        click.echo(text.replace("\r\n", "\n"), nl=False)
    else:
        to_outside(text, target, logbook, force=force)
    return desk.code(0)


@click.command()
@click.option("--since", default="", metavar='"last inspection"|DATE', help="An inspector's copy: what was done since.")
@shared("to", to=FOLDER)
@click.pass_obj
def handover(desk: Desk, target: Path, since: str) -> int:
    """All that goes with the aircraft, in plain language.

    Its status, every record, the whole store; with --since an inspector's copy.

    \b
    handover --to ../handover
    handover --to ../copy --since "last inspection"
    """
    from inspect_kit.report import html, plain

    loaded, logbook = desk.loaded()
    answer = due_of(logbook, desk.on, expect=False)
    first = _since(answer.seen, since, desk) if since else None
    chosen = [record for record in answer.seen.records if first is None or record.date >= first]
    told = [report_facts(desk, loaded, logbook, record, next_due=False) for record in chosen]
    # The list of inspections goes back to the first, and says of each how it was signed.
    inspections = [record for record in answer.seen.of_kind(Inspection) if record not in chosen]
    older = [report_facts(desk, loaded, logbook, record, next_due=False) for record in inspections]
    seals = {facts.record.name: _seal_words(facts) for facts in (*told, *older)}
    files: dict[str, bytes | Path] = {}
    for name, page in (
        ("index", reports.handover_page(answer, seals, first)),
        ("records", reports.records_page(answer, told)),
    ):
        files[f"{name}.html"] = html.render(page).encode()
        files[f"{name}.txt"] = plain.render(page, 100).encode()
    if first is None:
        files |= {f"store/{name}": data for name, data in loaded.files.items()}
        # Without it git may turn the line endings of a store that a buyer commits, and no seal would hold.
        kept = loaded.root / store.ATTRIBUTES
        files |= {f"store/{kept.name}": kept} if kept.is_file() else {}
        named = _attached(loaded.root, logbook.records)
        named |= store.laid(loaded.root, (*loaded.files, *named))
        files |= {f"store/{name}": path for name, path in named.items()}
    else:
        for record in chosen:
            worksheet = store.worksheet_of(record.place.file)
            files |= {f"signed/{name}": loaded.files[name] for name in (worksheet,) if name in loaded.files}
            if record.seal is not None:
                files[f"signed/{record.place.file}"] = loaded.files[record.place.file]
        # An inspector asks for the limitations too, however long ago they were copied.
        papers = {paper.copy for paper in logbook.aircraft.papers}
        copied = [each for each in logbook.records if each.name in papers]
        files |= {f"signed/{name}": path for name, path in _attached(loaded.root, [*chosen, *copied]).items()}
    store.make_outside(target, files, "what is handed over")
    click.echo(str(target / "index.html"))
    if loaded.broken:
        say("A seal is broken, or a sealed record is gone: `inspect-kit verify` says which.", err=True)
    return desk.code(NO if loaded.broken else 0)


def _since(logbook: Logbook, words: str, desk: Desk) -> dt.date:
    """The day from which on an inspector's copy tells: that of the last inspection that counts, or a date."""
    if words == LAST_INSPECTION:
        counted = [each.date for moments in chronicle(logbook).inspections.values() for each in moments if each.date]
        if not counted:
            raise Misused("--since: no inspection that counts is on record with its date; give a date instead")
        return max(counted)
    try:
        first = parse_said_date(words, desk.today)
    except Unreadable as fault:
        raise Misused(f"--since: `{LAST_INSPECTION}` or a date: {fault.message}") from None
    if first > desk.on:
        raise Misused(f"--since: {first} is after {desk.on}, so that nothing would be handed over; give an earlier day")
    return first


def _attached(root: Path, records: "list[Record] | tuple[Record, ...]") -> dict[str, Path]:
    found: dict[str, Path] = {}
    for record in records:
        found |= store.attached(root, record.place.file, {file.name: file.sha256 for file in record.files})
    return found


def _seal_words(facts: ReportFacts) -> str:
    if facts.record.seal is None and not facts.seal_faults:
        return ""
    return f"{facts.seal_words}; {facts.signature_words}"
