"""Which aircraft, which record, when, with what totals: the head of a report."""

from decimal import Decimal

from inspect_kit.model.interval import HOURS
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.report.asked import ReportFacts
from inspect_kit.report.blocks import Table, facts
from inspect_kit.report.naming import identity_words, name_words, person_words
from inspect_kit.report.words import amount, number


def identity_table(asked: ReportFacts) -> Table:
    """Identity, kind and basis, dates, totals and meters, people, place, seal."""
    record, logbook = asked.page, asked.logbook
    inspection = record if isinstance(record, Inspection) else None
    aircraft = inspection.identity if inspection else logbook.aircraft.identity
    return facts(
        ("Aircraft", identity_words(aircraft)),
        ("Inspection", f"{inspection.inspection} inspection" if inspection else ""),
        ("Basis", f"scope and detail of {inspection.basis}" if inspection and inspection.basis else ""),
        ("Begun", str(record.begun) if record.begun else ""),
        ("Done", str(record.date)),
        ("Entered", str(record.entered) if record.entered else ""),
        ("Total time in service", total_words(asked)),
        ("Meters", meters_words(record, asked)),
        ("By", person_words(logbook.aircraft, record.by)),
        ("Helpers", "; ".join(name_words(logbook, name) for name in record.helpers)),
        ("Came after", ", ".join(record.follows)),
        ("Came before", ", ".join(record.precedes)),
        ("Place", record.at),
        ("Paper", record.paper),
        ("Record", record.name),
        ("Amended", "; ".join(logbook.amendments(record.name))),
        ("Seal (SHA-256)", asked.seal_words),
        ("Printed", str(asked.printed) if asked.printed else ""),
    )


def total_words(asked: ReportFacts) -> str:
    """Total time in service at the record; without a reading the last one of an earlier day, and then it says so."""
    record = asked.page
    clock = asked.logbook.aircraft.time_in_service
    if clock in record.totals:
        return f"{amount(record.totals[clock], HOURS)} ({clock})"
    at = asked.then.meter_history(clock).at(record)
    if at.total is None:
        return "NOT RECORDED"
    estimated = ", the last total before that day" if at.estimated else ""
    return f"{amount(at.total, HOURS)} ({clock}{estimated})"


def meters_words(record: Record, asked: ReportFacts) -> str:
    """Each meter as it read, and its total where that is another figure; what a page holds of them was sealed."""
    totals = _totals(record, asked) | (dict(record.totals) if isinstance(record, PageRecord) else {})
    words = []
    for name in dict.fromkeys([*record.meters, *totals]):
        reads, total = record.meters.get(name), totals.get(name)
        meter = asked.logbook.aircraft.meters.get(name)
        unit = f" {meter.unit}" if meter and meter.unit != name else ""
        if reads is None and total is not None:
            words.append(f"{name} total {number(total)}{unit}")
        elif reads is not None:
            extra = f" (total {number(total)})" if total is not None and total != reads else ""
            words.append(f"{name} reads {number(reads)}{unit}{extra}")
    return "; ".join(words)


def _totals(record: Record, asked: ReportFacts) -> dict[str, Decimal]:
    """What the meters that a record reads had run by it: after a change of one its figure alone says little."""
    known = ((name, asked.then.meter_history(name).at(record)) for name in record.meters)
    return {name: at.total for name, at in known if at.total is not None and not at.estimated}
