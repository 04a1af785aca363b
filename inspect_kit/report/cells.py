"""Tables for spreadsheets (CSV, RFC 4180), in which no cell acts as a formula."""

import csv
import io
from collections.abc import Iterable, Sequence

from inspect_kit.model.finding import DONE, Result
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import NOT_NEEDED, REQUIRED, FlightCheck, Record
from inspect_kit.report.inert import inert
from inspect_kit.text.cells import guarded


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """Rows as CSV, every cell guarded; lines end in CR LF."""
    written = io.StringIO()
    csv.writer(written).writerows([guarded(cell) for cell in row] for row in rows)
    return written.getvalue()


COLUMNS = ("date", "record", "kind", "what", "checks", "by", "certificate", "at", "paper", "signed", "seal")


def record_rows(logbook: Logbook) -> list[list[str]]:
    """A heading and one row for each record: when, what, by whom, where it is signed, what the meters read, as amended,
    and what was amended.

    Nothing in a cell acts on the terminal of whoever looks at the table; line feeds stay.
    """
    meters = tuple(logbook.aircraft.meters)
    signed: dict[str, list[str]] = {}
    for signature in logbook.of_kind(Signature):
        signed.setdefault(signature.of, []).append(signature.ink or "SSH signature")
    # Behind the meters, so that no column moves for whoever reads them by their place.
    rows = [[*COLUMNS, *meters, "follows", "precedes", "amended"]]
    for record in logbook.records:
        read, words = record.meters, record_words(record)
        if isinstance(record, BroughtForward):
            read, words = {name: each.reads for name, each in record.reads.items()}, brought_words(record)
        rows.append(
            [
                record.date.isoformat(),
                record.name,
                kind_words(record),
                words,
                ", ".join(checks_done(record)),
                record.by.name if record.by else "",
                record.by.certificate if record.by else "",
                record.at,
                record.paper,
                "; ".join(signed.get(record.name, ())),
                record.seal.sha256 if record.seal else "",
                *(format(read[meter], "f") if meter in read else "" for meter in meters),
                ", ".join(record.follows),
                ", ".join(record.precedes),
                "; ".join(logbook.amendments(record.name)),
            ]
        )
    return [[inert(cell, lines=True) for cell in row] for row in rows]


def kind_words(record: Record) -> str:
    """What kind of record it is, in a word or two."""
    title = kind_of(record).title
    return f"{record.inspection} {title}" if isinstance(record, Inspection) else title


def record_words(record: Record) -> str:
    """What a record says, in one line."""
    summary = kind_of(record).summary(record)
    # Some kinds say it in their summary already.
    text = record.text if record.text not in summary else ""
    check = _flight_check(record.flight_check) if record.flight_check is not None else ""
    again = [f"look again at {each.check} in {recheck_words(each)}" for each in rechecked(record)]
    return "; ".join(words for words in (summary, text, *again, check) if words)


def _flight_check(check: FlightCheck) -> str:
    """The answer to the flight check of 14 CFR 91.407(b), (c): who flew it when and in which words, or why nobody."""
    if check.word == REQUIRED:
        return "flight check required before passengers are carried"
    if check.word == NOT_NEEDED:
        return f"flight check not needed: {check.words}"
    pilot = check.pilot
    who = ", ".join(filter(None, (pilot.name, pilot.kind, pilot.certificate))) if pilot is not None else ""
    return f"flight check flown{f' {check.date}' if check.date else ''}{f' by {who}' if who else ''}: {check.words}"


def rechecked(record: Record) -> list[Result]:
    """The results of a record after which a check is to be looked at again."""
    return [each for each in record.results if each.recheck] if isinstance(record, PageRecord) else []


def recheck_words(result: Result) -> str:
    """`50 h or 3 months`"""
    return " or ".join(map(str, result.recheck))



def brought_words(record: BroughtForward) -> str:
    """What was brought forward, item by item: when it was last done, and what was fitted."""
    told = []
    for name, last in record.last.items():
        at = [f"{meter} {total:f}" for meter, total in last.totals.items()]
        good = f"good until {last.good_until}" if last.good_until else ""
        told.append(f"{name}: {', '.join(word for word in (str(last.date or ''), *at, good, last.paper) if word)}")
    for part in record.fitted:
        told.append(f"{part.position}: {' '.join(filter(None, (part.part, part.serial)))} fitted")
    return "; ".join(filter(None, (*told, record.text)))


def checks_done(record: Record) -> tuple[str, ...]:
    """The ids of the checks that a record says were done, as they were called then."""
    if not isinstance(record, PageRecord):
        return ()
    done = [result.check for result in record.results if result.answer == DONE]
    return tuple(dict.fromkeys((*record.did, *done)))
