"""The report of any record: an inspection or work in full, every other kind as what it says."""

from collections.abc import Callable, Iterator
from typing import Any

from inspect_kit.model import kind
from inspect_kit.model.amended import value_words
from inspect_kit.model.interval import written
from inspect_kit.model.kind import Key, Kind
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.brought_forward import BroughtForward, LastDone
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.report import blocks
from inspect_kit.report.asked import ReportFacts
from inspect_kit.report.blocks import Block, Paragraph, facts
from inspect_kit.report.naming import fix, flight_check_words, person_words, where
from inspect_kit.report.pages.history import fitted_words, part_words
from inspect_kit.report.pages.identity import meters_words
from inspect_kit.report.pages.inspection import closing, file_blocks, foot_of, inspection_page
from inspect_kit.report.words import amount, number


def report_page(asked: ReportFacts) -> blocks.Page:
    """The report of the record that was asked about."""
    record = asked.record
    if isinstance(record, PageRecord):
        return inspection_page(asked)
    registration = asked.logbook.aircraft.identity.registration
    table = kind_of(record)
    title = f"{table.title.capitalize()}, {registration}, {record.date}"
    made: list[Block] = [
        facts(
            ("Record", record.name),
            ("Date", str(record.date)),
            ("Entered", str(record.entered) if record.entered else ""),
            ("Meters", meters_words(record, asked)),
            *(OWN[type(record)](record, asked) if type(record) in OWN else _told(table, record)),
            ("By", person_words(asked.logbook.aircraft, record.by)),
            ("Flight check", flight_check_words(asked.logbook.aircraft, record.flight_check)),
            ("Came after", ", ".join(record.follows)),
            ("Came before", ", ".join(record.precedes)),
            ("Place", record.at),
            ("Paper", record.paper),
            ("Amended", "; ".join(asked.logbook.amendments(record.name))),
            ("Seal (SHA-256)", asked.seal_words),
        )
    ]
    if record.text:
        made.append(Paragraph(text=record.text))
    made += [*file_blocks(record), *closing()]
    return blocks.Page(title=title, blocks=tuple(made), foot=foot_of(asked, f"{registration}: {record.name}"))


def _told(table: Kind, record: Record) -> Iterator[tuple[str, str]]:
    """What a record says, under the labels of its keys."""
    for key in table.keys:
        if key.label:
            yield key.label, key_words(key, getattr(record, key.attribute))


def key_words(key: Key, value: Any) -> str:
    """What a key holds, in words; "" where it holds nothing."""
    if value is None or value == () or value == "" or value == {}:
        return ""
    match key.holds:
        case kind.ROW | kind.ROWS:
            rows = value if key.holds == kind.ROWS else (value,)
            return "; ".join(_row_words(key, row) for row in rows)
        case kind.TABLE | kind.METERS:
            return "; ".join(f"{name} {text}" for name, text in value.items())
        case kind.LIMITS:
            return written(value)
        case kind.TEXTS | kind.IDS | kind.RECORDS:
            return ", ".join(value)
    return str(value)


def _row_words(key: Key, row: Any) -> str:
    below = key.below.keys if key.below else ()
    told = [(each, key_words(each, getattr(row, each.attribute))) for each in below]
    first, *rest = [(each.label, words) for each, words in told if words]
    return ", ".join([first[1], *(f"{label} {words}" for label, words in rest)])


def _last_words(last: LastDone) -> str:
    until = f"good until {last.good_until}" if last.good_until else ""
    return " ".join(word for word in (str(last.date or ""), until, last.paper) if word)


def _finding(record: FindingRecord, asked: ReportFacts) -> Iterator[tuple[str, str]]:
    yield "Where", where(asked.logbook, record.finding)
    yield "Found", record.finding.text
    yield "To be fixed", fix(asked.logbook, record.finding)
    yield "May wait because", record.finding.may_wait


def _signature(record: Signature, asked: ReportFacts) -> Iterator[tuple[str, str]]:
    yield "Of", record.of
    yield "Signature", asked.logbook.verdict(record).words


def _fitting(record: Installed | Removed, asked: ReportFacts) -> Iterator[tuple[str, str]]:
    yield "Position", record.position
    yield "What", fitted_words(record)
    yield "Weight and balance", f"no change: {record.no_change}" if record.no_change else ""


def _meter_change(record: MeterChange, asked: ReportFacts) -> Iterator[tuple[str, str]]:
    yield "Meter", record.meter
    yield "Old one read", number(record.old)
    yield "New one read", number(record.new)
    if record.unrecorded is not None:
        known = f": {record.how_known}" if record.how_known else ""
        yield "Flown without one", f"{amount(record.unrecorded, 'h')}{known}"


def _brought_forward(record: BroughtForward, asked: ReportFacts) -> Iterator[tuple[str, str]]:
    meters = (f"{name} reads {number(each.reads)}, total {number(each.total)}" for name, each in record.reads.items())
    yield "Meters brought forward", "; ".join(meters)
    yield "Fitted", "; ".join(f"{part.position}: {part_words(part)}" for part in record.fitted)
    yield "Last done", "; ".join(f"{name} {_last_words(last)}".strip() for name, last in record.last.items())


def _amendment(record: Amendment, asked: ReportFacts) -> Iterator[tuple[str, str]]:
    yield "Amends", record.of
    told = (f"{' '.join(field)}: {value_words(value)}" for field, value in record.instead.items())
    yield "Instead", "; ".join(told)
    yield "Was not done", ", ".join(record.not_done)
    signed = asked.logbook.is_signed(record.name)
    yield "Signature", asked.signature_words if signed or asked.signatures else ""


# Kinds of which a page says something else than what stands under each key.
OWN: dict[type[Record], Callable[[Any, ReportFacts], Iterator[tuple[str, str]]]] = {
    FindingRecord: _finding,
    Signature: _signature,
    Installed: _fitting,
    Removed: _fitting,
    MeterChange: _meter_change,
    BroughtForward: _brought_forward,
    Amendment: _amendment,
}
