"""The signed-off report of one inspection."""

from collections.abc import Iterator

from inspect_kit.due.answer import DueAnswer
from inspect_kit.model.finding import DONE, Result
from inspect_kit.model.interval import HOURS
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Amendment, Inspection
from inspect_kit.report.blocks import (
    STOP,
    STRONG,
    Block,
    Caution,
    Column,
    Heading,
    Listing,
    Page,
    Paragraph,
    Quote,
    Row,
    Table,
    facts,
)
from inspect_kit.report.naming import check_of, check_title, panel_name, panel_of_check
from inspect_kit.report.pages.findings import findings_table, own_findings, standing_table, up_to
from inspect_kit.report.pages.next_due import next_due_table
from inspect_kit.report.pages.readings import readings_table
from inspect_kit.report.pages.signing import SshCheck, signature_block
from inspect_kit.report.words import amount, duration, joined, number
from inspect_kit.rules.cautions import CAUTIONS, DEFERRAL, PILOT_DECIDES
from inspect_kit.rules.coverage import COVERED, scope_coverage
from inspect_kit.rules.scope import scope_named


def inspection_page(
    record: Inspection, logbook: Logbook, due: DueAnswer | None = None, ssh: SshCheck | None = None
) -> Page:
    """The report of a sealed inspection.

    `due` is the answer on the day of the inspection or later, for the next due points of what was done. `ssh` says of
    each signature record by SSH key why it is not good, None if it is; without it such a signature is "not checked".
    """
    name = record.inspection.capitalize()
    aircraft = record.identity
    title = f"{name} inspection, {aircraft.registration}, {record.date}"
    if not record.passed:
        title = f"{title}: not passed, list of discrepancies"
    blocks = [
        *_identity(record, logbook),
        *_outcome(record, logbook, ssh),
        *_amendments(record, logbook),
        *_findings(record, logbook),
        *_readings(record, logbook),
        *_checks(record, logbook),
        *_recurring(record, due),
        *_rest(record, logbook),
        Heading(text="Cautions"),
        *(Caution(text=caution.text) for caution in CAUTIONS),
        Paragraph(text=f"{DEFERRAL} {PILOT_DECIDES}"),
    ]
    foot = f"{aircraft.registration}, {aircraft.make} {aircraft.model}, serial {aircraft.serial}: {record.name}"
    return Page(title=title, blocks=tuple(blocks), foot=foot)


def _identity(record: Inspection, logbook: Logbook) -> Iterator[Block]:
    aircraft = record.identity
    clock = logbook.aircraft.time_in_service
    in_service = record.totals.get(clock)
    yield facts(
        ("Aircraft", f"{aircraft.registration}, {aircraft.make} {aircraft.model}, serial {aircraft.serial}"),
        ("Inspection", f"{record.inspection} inspection"),
        ("Basis", f"scope and detail of {record.basis}"),
        ("Begun", str(record.begun) if record.begun else ""),
        ("Done", str(record.date)),
        ("Entered", str(record.entered) if record.entered else ""),
        (
            "Total time in service",
            f"{amount(in_service, HOURS)} ({clock})" if in_service is not None else "NOT RECORDED",
        ),
        ("Meters", meters_words(record, logbook)),
        ("Helpers", ", ".join(record.helpers)),
        ("Place", record.at),
        ("Paper", record.paper),
        ("Record", record.name),
        ("Seal (SHA-256)", record.seal.sha256 if record.seal else "none: this record is not sealed"),
    )


def meters_words(record: Inspection, logbook: Logbook) -> str:
    """Each meter as it read, and its total where that is another figure."""
    words = []
    for name in dict.fromkeys([*record.meters, *record.totals]):
        reads, total = record.meters.get(name), record.totals.get(name)
        meter = logbook.aircraft.meters.get(name)
        unit = f" {meter.unit}" if meter else ""
        if reads is None and total is not None:
            words.append(f"{name} total {number(total)}{unit}")
        elif reads is not None:
            extra = f" (total {number(total)})" if total is not None and total != reads else ""
            words.append(f"{name} reads {number(reads)}{unit}{extra}")
    return "; ".join(words)


def _outcome(record: Inspection, logbook: Logbook, ssh: SshCheck | None) -> Iterator[Block]:
    if record.passed:
        yield Heading(text="Statement")
        yield Quote(text=record.statement)
    else:
        yield Heading(text="Not passed")
        yield Paragraph(
            text=f"The inspection was not passed. The discrepancies listed below were found on {record.date}; no "
            "statement is made. This list is kept until they are put right.",
            tone=STOP,
        )
    yield signature_block(record, logbook, ssh)
    if record.text:
        yield Paragraph(text=record.text)


def _amendments(record: Inspection, logbook: Logbook) -> Iterator[Block]:
    found = [each for each in logbook.of_kind(Amendment) if each.of == record.name]
    if not found:
        return
    yield Heading(text="Amendments")
    yield Paragraph(
        text="This report stands as it was sealed. What follows was written down later and puts it right.", tone=STRONG
    )
    rows = tuple(
        Row(cells=(str(each.entered or each.date), each.text, each.by.name if each.by else "", each.name))
        for each in found
    )
    columns = (
        Column(name="entered"),
        Column(name="puts right", wide=True),
        Column(name="by", wide=True),
        Column(name="record", wide=True, rank=1),
    )
    yield Table(columns=columns, rows=rows)


def _findings(record: Inspection, logbook: Logbook) -> Iterator[Block]:
    then = up_to(logbook, record)
    yield Heading(text="Findings" if record.passed else f"Discrepancies, {record.date}")
    own = own_findings(record)
    if own:
        yield findings_table(logbook, own)
    else:
        yield Paragraph(text="Nothing was found.")
    earlier = {
        reference: finding
        for reference, finding in then.findings().items()
        if reference in record.clears and reference not in own
    }
    if earlier:
        yield Heading(text="Earlier findings put right on this occasion", level=3)
        yield findings_table(then, earlier)
    standing = {reference: finding for reference, finding in then.standing().items() if reference not in own}
    if standing:
        yield Heading(text="Earlier findings that stood at the end of it", level=3)
        yield standing_table(logbook, standing)


def _readings(record: Inspection, logbook: Logbook) -> Iterator[Block]:
    if record.readings:
        yield Heading(text="Readings")
        yield readings_table(logbook, record)


def _checks(record: Inspection, logbook: Logbook) -> Iterator[Block]:
    done = [result for result in record.results if result.answer == DONE]
    yield Heading(text="Checks")
    by_panel: dict[str, list[str]] = {}
    for result in done:
        by_panel.setdefault(panel_of_check(logbook, result.check), []).append(result.check)
    took = sum(result.took or 0 for result in record.results)
    noted = f" Time noted on the page: {duration(took)}." if took else ""
    yield Paragraph(text=f"{len(done)} checks done, at {len(by_panel)} panels and places.{noted}")
    if by_panel:
        rows = tuple(
            Row(cells=(panel_name(logbook, panel) if panel else "other", ", ".join(ids)))
            for panel, ids in by_panel.items()
        )
        yield Table(columns=(Column(name="panel or place", wide=True), Column(name="done", wide=True)), rows=rows)
    yield from _scope(record, logbook)
    skipped = [result for result in record.results if result.answer != DONE]
    if skipped:
        yield Heading(text="Not applicable, not done", level=3)
        yield _skipped(skipped, logbook)
    others = [result for result in record.results if result.paper]
    if others:
        yield Heading(text="Work by others", level=3)
        rows = tuple(Row(cells=(check_title(logbook, each.check), each.by, each.paper)) for each in others)
        columns = (Column(name="check", wide=True), Column(name="by", wide=True), Column(name="paper", wide=True))
        yield Table(columns=columns, rows=rows)
    seconds = [result for result in record.results if result.second_look]
    if seconds:
        yield Heading(text="Second looks", level=3)
        yield Table(
            columns=(
                Column(name="check", wide=True),
                Column(name="done by", wide=True),
                Column(name="second look by", wide=True),
            ),
            rows=tuple(
                Row(cells=(check_title(logbook, each.check), each.by or _signer(record), each.second_look))
                for each in seconds
            ),
        )


def _signer(record: Inspection) -> str:
    return record.by.name if record.by else ""


def _scope(record: Inspection, logbook: Logbook) -> Iterator[Block]:
    """Which paragraphs of the scope the checks covered, by the checklists as they are today."""
    scope = scope_named(record.basis)
    if scope is None:
        return
    checks = [
        check for result in record.results if result.answer == DONE and (check := check_of(logbook, result.check))
    ]
    answer = scope_coverage(checks, logbook.aircraft, scope)
    covered = [entry.clause.code for entry in answer.clauses if entry.state == COVERED]
    yield Paragraph(text=f"{scope.title}: {len(covered)} of {len(scope.codes)} codes covered: {', '.join(covered)}.")
    if record.not_applicable:
        yield Heading(text="What the aircraft has not got", level=3)
        rows = tuple(Row(cells=(code, reason)) for code, reason in record.not_applicable.items())
        yield Table(columns=(Column(name="code"), Column(name="reason", wide=True)), rows=rows)


def _skipped(skipped: list[Result], logbook: Logbook) -> Table:
    rows = tuple(Row(cells=(check_title(logbook, each.check), each.answer, each.reason)) for each in skipped)
    return Table(
        columns=(Column(name="check", wide=True), Column(name="answer"), Column(name="reason", wide=True)), rows=rows
    )


def _recurring(record: Inspection, due: DueAnswer | None) -> Iterator[Block]:
    if due is None:
        return
    names = [record.inspection] if record.passed else []
    names += [result.check for result in record.results if result.answer == DONE]
    table = next_due_table(names, due)
    if table is not None:
        yield Heading(text="Recurring items done, and when each is due next")
        yield Paragraph(text=f"Due points as recorded on {due.on}; expected dates are a forecast from past use.")
        yield table


def _rest(record: Inspection, logbook: Logbook) -> Iterator[Block]:
    opened = [panel_name(logbook, panel) for panel in dict.fromkeys(record.opened)]
    if opened:
        yield Heading(text="Panels opened and setups made")
        yield Paragraph(text=f"{joined(opened)}.")
    if record.disturbed:
        yield Heading(text="Disturbed")
        yield Listing(items=record.disturbed)
    if record.parts:
        yield Heading(text="Parts and consumables used")
        yield Listing(items=record.parts)
    notes = [f"{check_title(logbook, each.check)}: {note}" for each in record.results for note in each.notes]
    if notes:
        yield Heading(text="Notes")
        yield Listing(items=tuple(notes))
    if record.files:
        yield Heading(text="Photographs and papers")
        columns = (Column(name="file", wide=True), Column(name="SHA-256", wide=True))
        yield Table(columns=columns, rows=tuple(Row(cells=(each.name, each.sha256)) for each in record.files))
