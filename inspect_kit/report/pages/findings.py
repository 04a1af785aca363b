"""Findings as tables: those of one record with what was done, and those that still stand."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from inspect_kit.model.finding import Cleared, Finding
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord, numbered
from inspect_kit.model.record import Record
from inspect_kit.report.blocks import STOP, Column, Row, Table, table
from inspect_kit.report.naming import fix, where

COLUMNS = (
    Column(name="finding", wide=True),
    Column(name="where", wide=True, rank=2),
    Column(name="found", wide=True),
    Column(name="to be fixed", wide=True, rank=1),
    Column(name="what was done", wide=True),
)


def up_to(logbook: Logbook, record: Record) -> Logbook:
    """The logbook as it stood with this record as its last one."""
    order = (record.date, record.name)
    kept = tuple(each for each in logbook.records if (each.date, each.name) <= order)
    return replace(logbook, records=kept)


def cleared_later(logbook: Logbook) -> dict[str, tuple[PageRecord, Cleared | None]]:
    """For each reference RECORD#F1 the record that put it right, with its words where it has any."""
    return {
        reference: (record, record.cleared.get(reference))
        for record in logbook.of_kind(PageRecord)
        for reference in record.clears
    }


def findings_table(logbook: Logbook, findings: Mapping[str, Finding], *, of: str = "") -> Table:
    """Findings by reference, with what was done about each, by any record that the logbook has.

    Those of the record `of` are named by their numbers; every other has an F1 too, and is named with its record.
    """
    later = cleared_later(logbook)
    named = {reference: reference.removeprefix(f"{of}#") for reference in findings}
    rows = (_row(logbook, reference, finding, later, named[reference]) for reference, finding in findings.items())
    return table(COLUMNS, tuple(rows))


def _row(
    logbook: Logbook,
    reference: str,
    finding: Finding,
    later: Mapping[str, tuple[PageRecord, Cleared | None]],
    name: str,
) -> Row:
    done = _done(reference, finding, later)
    limit = _until(logbook, finding)
    if finding.may_wait:
        limit = f"{limit}; may wait because: {finding.may_wait}"
    stops = finding.before_flight and reference not in later
    return Row(
        cells=(name, where(logbook, finding), finding.text, limit, done),
        tone=STOP if stops else "",
    )


def _until(logbook: Logbook, finding: Finding) -> str:
    """Until when it may wait, and when it is to be looked at again before that."""
    again = " or ".join(map(str, finding.recheck))
    return f"{fix(logbook, finding)}; look again in {again}" if again else fix(logbook, finding)


def _done(reference: str, finding: Finding, later: Mapping[str, tuple[PageRecord, Cleared | None]]) -> str:
    if finding.cleared is not None:
        return _words(finding.cleared)
    if reference in later:
        record, cleared = later[reference]
        return _words(cleared) if cleared else f"corrected {record.date} ({record.name})"
    return f"OPEN; waiting for {finding.waiting}" if finding.waiting else "OPEN"


def _words(cleared: Cleared) -> str:
    by = f", by {cleared.by}" if cleared.by else ""
    told = f"{cleared.date} {cleared.text}{by}"
    return told if cleared.put_off else f"corrected: {told}"


def own_findings(record: PageRecord) -> dict[str, Finding]:
    """The findings of a record by reference, in order of their numbers."""
    return {f"{record.name}#{finding.id}": finding for finding in numbered(record.findings)}


def standing_table(logbook: Logbook, standing: Mapping[str, Finding]) -> Table:
    """Findings that stand, each with its full reference."""
    rows = tuple(
        Row(
            cells=(
                reference,
                where(logbook, finding),
                finding.text,
                _until(logbook, finding),
                "; ".join(_reasons(finding)),
            ),
            tone=STOP if finding.before_flight else "",
        )
        for reference, finding in standing.items()
    )
    columns = (
        Column(name="finding", wide=True),
        Column(name="where", wide=True, rank=2),
        Column(name="found", wide=True),
        Column(name="to be fixed", wide=True),
        Column(name="why it may wait", wide=True, rank=1),
    )
    return table(columns, rows)


def _reasons(finding: Finding) -> Iterable[str]:
    if finding.may_wait:
        yield finding.may_wait
    if finding.waiting:
        yield f"waiting for {finding.waiting}"
