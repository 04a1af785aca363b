"""The signed-off report of one inspection, and the report of one piece of work."""

from collections.abc import Iterable, Iterator

from inspect_kit.due.trends import Series
from inspect_kit.model.finding import DONE
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.inspection import Inspection, is_not_passed
from inspect_kit.model.record import Record
from inspect_kit.report import blocks
from inspect_kit.report.asked import ReportFacts
from inspect_kit.report.blocks import (
    STOP,
    STRONG,
    Block,
    Caution,
    Column,
    Heading,
    Listing,
    Paragraph,
    Quote,
    Row,
    table,
)
from inspect_kit.report.cells import recheck_words
from inspect_kit.report.naming import (
    box_title,
    check_of,
    check_title,
    flight_check_words,
    identity_words,
    panel_name,
    person_words,
)
from inspect_kit.report.pages.checks import check_blocks, to_look_again
from inspect_kit.report.pages.entry import entry_text
from inspect_kit.report.pages.findings import findings_table, own_findings, standing_table, up_to
from inspect_kit.report.pages.identity import identity_table
from inspect_kit.report.pages.next_due import next_due_table
from inspect_kit.report.pages.readings import readings_table
from inspect_kit.report.pages.trend import series_table
from inspect_kit.report.words import sentence, summed
from inspect_kit.rules.cautions import DEFERRAL, PILOT_DECIDES, UsualCaution, met

CAUTIONED = "Cautions"


def inspection_page(facts: ReportFacts) -> blocks.Page:
    """The report of a sealed inspection, or of work done from a worksheet or without one."""
    record = facts.page
    made = [
        *broken_seal(facts),
        identity_table(facts),
        *_outcome(facts),
        *_amendments(facts),
        *_findings(facts),
        Heading(text="Entry for the paper logbook", new_sheet=True),
        Quote(text=entry_text(facts)),
        *_readings(facts),
        *check_blocks(facts),
        *_recurring(facts),
        *_rest(facts),
        *_cautions(facts),
        *closing(),
    ]
    identity = record.identity if isinstance(record, Inspection) else facts.logbook.aircraft.identity
    foot = f"{identity_words(identity)}: {record.name}"
    return blocks.Page(title=_title(record, identity.registration), blocks=tuple(made), foot=foot_of(facts, foot))


def broken_seal(facts: ReportFacts) -> Iterator[Block]:
    """The first thing to be said of a record that is not what was sealed."""
    for problem in facts.seal_faults:
        text = f"THE SEAL DOES NOT HOLD: {problem.place} {problem.message}. What follows may not be what was signed."
        yield Paragraph(text=text, tone=STOP)


def foot_of(facts: ReportFacts, told: str) -> str:
    """What stands at the foot of every sheet: one sheet alone says too that the seal does not hold."""
    return f"{told}, THE SEAL DOES NOT HOLD" if facts.seal_faults else told


def _cautions(facts: ReportFacts) -> Iterator[Block]:
    """The usual cautions of an inspection: those that what was done on this aircraft meets with."""
    record, logbook = facts.page, facts.logbook
    if not isinstance(record, Inspection):
        return
    done = [check_of(logbook, result.check) for result in record.results if result.answer == DONE]
    texts = [text for check in done if check for text in (check.text, *check.cautions)]
    yield from caution_blocks(met([*texts, *(panel_name(logbook, panel) for panel in record.opened)]))


def caution_blocks(cautions: Iterable[UsualCaution]) -> Iterator[Block]:
    """The hazard of each, then what is customarily done about it."""
    yield Heading(text=CAUTIONED)
    yield from (Caution(text=f"{caution.hazard.capitalize()}: {caution.text}") for caution in cautions)


def closing() -> Iterator[Block]:
    """To whom the program defers."""
    yield Paragraph(text=f"{DEFERRAL} {PILOT_DECIDES}")


def _title(record: Record, registration: str) -> str:
    if not isinstance(record, Inspection):
        return f"Work done, {registration}, {record.date}"
    title = f"{record.inspection.capitalize()} inspection, {registration}, {record.date}"
    return title if record.passed else f"{title}: not passed, list of discrepancies"


def _outcome(facts: ReportFacts) -> Iterator[Block]:
    record = facts.page
    if isinstance(record, Inspection) and record.passed:
        yield Heading(text="Statement")
        yield Quote(text=record.statement)
    elif isinstance(record, Inspection):
        yield Heading(text="Not passed")
        text = (
            f"The inspection was not passed. The discrepancies listed below were found on {record.date}; no statement "
            "is made. This list is kept until they are corrected."
        )
        yield Paragraph(text=text, tone=STOP)
    if isinstance(record, Inspection) or facts.signatures:
        yield _signature(facts)
    if record.text:
        yield Paragraph(text=record.text)
    if record.did and not record.results:
        yield Heading(text="Done")
        yield Listing(items=tuple(f"{check_title(facts.logbook, name)} ({name})" for name in record.did))


def _signature(facts: ReportFacts) -> Block:
    by = facts.record.by
    return blocks.SignatureLine(
        name=by.name if by else "NOT RECORDED",
        kind=(by.kind if by else "") or "kind NOT RECORDED",
        certificate=(by.certificate if by else "") or "NOT RECORDED",
        date=str(facts.record.date),
        state=facts.signature_words,
        signed=facts.signed,
        void=bool(facts.seal_faults),
    )


def _amendments(facts: ReportFacts) -> Iterator[Block]:
    names = {facts.record.name}
    rows: list[Row] = []
    changes: dict[str, list[str]] = {}
    amended = facts.logbook.amended.get(facts.record.name)
    for change in amended.changes if amended else ():
        changes.setdefault(change.amendment.name, []).append(str(change))
    # An amendment may itself be amended; records are in order of their dates.
    for each in facts.logbook.of_kind(Amendment):
        if each.of in names:
            names.add(each.name)
            rows.append(
                Row(
                    cells=(
                        str(each.entered or each.date),
                        each.text,
                        "; ".join(changes.get(each.name, ())),
                        person_words(facts.logbook.aircraft, each.by),
                        _amendment_signed(facts, each),
                        each.name,
                    )
                )
            )
    if not rows:
        return
    yield Heading(text="Amendments")
    text = "Everything else on this report stands as it was sealed. What follows was written later and corrects it."
    yield Paragraph(text=text, tone=STRONG)
    columns = (
        Column(name="entered"),
        Column(name="why", wide=True),
        Column(name="corrected", wide=True),
        Column(name="by", wide=True),
        Column(name="signature", wide=True),
        Column(name="record", wide=True, rank=1),
    )
    yield table(columns, tuple(rows))


def _amendment_signed(facts: ReportFacts, amendment: Amendment) -> str:
    """How an amendment of a sealed record is signed; one of a record without a seal wants no signature."""
    signatures = facts.logbook.signatures(amendment.name)
    if signatures:
        return "; ".join(facts.logbook.verdict(each).words for each in signatures)
    wanted = facts.record.seal is not None and (amendment.instead or amendment.not_done)
    return "not signed yet: it does not count fully" if wanted else ""


def _findings(facts: ReportFacts) -> Iterator[Block]:
    record, logbook = facts.page, facts.then
    then = up_to(logbook, record)
    own = own_findings(record)
    is_inspection = isinstance(record, Inspection)
    listed = is_not_passed(record)
    if own or is_inspection:
        yield Heading(text=f"Discrepancies, {record.date}" if listed else "Findings")
    if own:
        yield findings_table(logbook, own, of=record.name)
    elif is_inspection:
        yield Paragraph(text="No findings are recorded.")
    known = then.findings()
    earlier = {name: known[name] for name in record.clears if name in known and name not in own}
    again = {name for name in earlier if name in record.cleared and record.cleared[name].put_off}
    if corrected := {name: finding for name, finding in earlier.items() if name not in again}:
        yield Heading(text="Earlier findings corrected on this occasion", level=3)
        yield findings_table(then, corrected)
    if again:
        yield Heading(text="Earlier findings put off again on this occasion", level=3)
        yield findings_table(then, {name: earlier[name] for name in earlier if name in again})
    standing = {name: finding for name, finding in then.standing().items() if name not in own}
    if standing and is_inspection:
        yield Heading(text="Earlier findings still open at the end of it", level=3)
        yield standing_table(logbook, standing)


def _readings(facts: ReportFacts) -> Iterator[Block]:
    if facts.page.readings:
        yield Heading(text="Readings")
        yield readings_table(facts.then, facts.page)
    told = [] if facts.due is None else [each for each in facts.due.trends if _leads(each, facts.record)]
    if told:
        yield Heading(text="Trends that these readings go on with", level=3)
        yield series_table(told, facts.logbook)


def _leads(series: Series, record: Record) -> bool:
    """Whether a series has a value of this record and is clear of noise."""
    clear = series.slope is not None and series.slope.clear
    return clear and any(each.record == record.name for each in series.taken)


def _recurring(facts: ReportFacts) -> Iterator[Block]:
    record, due = facts.page, facts.due
    if due is None:
        return
    names = [record.inspection] if isinstance(record, Inspection) and record.passed else []
    names += [result.check for result in record.results if result.answer == DONE]
    items = next_due_table([*names, *record.did], due)
    if items is not None:
        yield Heading(text="Recurring items done, and when each is due next")
        text = f"Due points by the records up to {due.on}; expected dates are a forecast from past use."
        yield Paragraph(text=text)
        yield items


def _rest(facts: ReportFacts) -> Iterator[Block]:
    record, logbook = facts.page, facts.logbook
    opened = [panel_name(logbook, panel) for panel in dict.fromkeys(record.opened)]
    if opened:
        yield Heading(text="Panels opened and setups made")
        # Some have a comma in their names.
        yield Paragraph(text=f"{'; '.join(opened)}.")
    if record.disturbed:
        yield Heading(text="Disturbed")
        yield Listing(items=tuple(each.replace("-", " ") for each in record.disturbed))
    if flight := flight_check_words(logbook.aircraft, record.flight_check):
        yield Heading(text="Flight check: 14 CFR 91.407")
        yield Paragraph(text=sentence(flight), tone=STRONG)
    if record.parts:
        yield Heading(text="Parts and consumables used")
        yield Listing(items=summed(record.parts))
    told = (*record.results, *record.boxes)
    notes = [
        f"{box_title(logbook, each.check)}: {note}"
        for each in told
        for note in (*each.notes, *([f"look again in {recheck_words(each)}"] if each.recheck else []))
    ]
    if notes:
        yield Heading(text="Notes")
        yield Listing(items=tuple(notes))
    if again := to_look_again(logbook, record):
        yield Heading(text="To be looked at again")
        yield Listing(items=again)
    yield from file_blocks(record)


def file_blocks(record: Record) -> Iterator[Block]:
    """The photographs and papers beside a record, each with its digest."""
    if record.files:
        yield Heading(text="Photographs and papers")
        columns = (Column(name="file", wide=True), Column(name="SHA-256", wide=True))
        yield table(columns, tuple(Row(cells=(each.name, each.sha256)) for each in record.files))
