"""What is shown before a signature: what is still missing, or what would be signed."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from inspect_kit.model.finding import DONE, put_off_as
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.worksheet import NOT_COVERED, NOT_READ, NOT_TICKED, NOT_WRITTEN, Missing
from inspect_kit.report import blocks
from inspect_kit.report.blocks import (
    QUIET,
    STOP,
    STRONG,
    Block,
    Column,
    Listing,
    Paragraph,
    Quote,
    Row,
    Table,
    facts,
    table,
)
from inspect_kit.report.naming import box_title, fix
from inspect_kit.report.words import counted, number
from inspect_kit.rules.cautions import DEFERRAL

# By these words a gap is told to be a finding that is open, and what there is to do about it.
FINDING = "is to be fixed"
CORRECTED = "Corrected is written down with `finding F1 --cleared HOW`. "
LEFT_OPEN = "If the inspection ends with it open, `sign --not-passed` seals what was found."
LEFT_AT_WORK = "If the work ends with it open, `sign --closed` keeps what was found."
EMPTY = (NOT_TICKED, NOT_READ, NOT_WRITTEN)
# So few that are still empty are told by themselves, not counted.
FEW = 2


def missing_page(
    file: str, gaps: Sequence[Missing], panels: Mapping[str, str], *, everything: bool = False, work: bool = False
) -> blocks.Page:
    """What stands between a page and a signature: first what wants a decision, each with file and line.

    The rest, boxes and lines that are merely still empty, is counted by panel (`panels` are their names by id);
    with `everything`, and where it is little, it is listed as well. `work` says that it is no page of an inspection.
    """
    decisions = [gap for gap in gaps if gap.wants_decision]
    rest = [gap for gap in gaps if not gap.wants_decision]
    made: list[Block] = []
    if decisions:
        count = counted(len(decisions), "thing wants a decision", "things want a decision")
        made += [Paragraph(text=f"{count}:", tone=STOP), _lines(decisions)]
        if any(FINDING in gap.text for gap in decisions):
            made.append(Paragraph(text=CORRECTED + (LEFT_AT_WORK if work else LEFT_OPEN), tone=QUIET))
    if rest:
        also = "The rest is" if decisions else "Nothing wants a decision; what is"
        empty = sum(gap.rest != NOT_COVERED for gap in rest)
        text = f"{also} still empty: {counted(empty, 'box or line', 'boxes and lines')}."
        listed = _lines(rest) if len(rest) <= FEW else _by_line(rest, file) if everything else _counts(rest, panels)
        made += [Paragraph(text=text, tone=STRONG), listed]
    if len(rest) > FEW and not everything:
        text = "`walk` asks for each of them; `sign --all` lists them with their lines."
        made.append(Paragraph(text=text, tone=QUIET))
    made.append(Paragraph(text=f"{file} was left as it is."))
    return blocks.Page(title="May not be signed yet", blocks=tuple(made))


def _lines(gaps: Sequence[Missing]) -> Listing:
    return Listing(items=tuple(map(str, gaps)))


def _by_line(rest: Sequence[Missing], file: str) -> Table:
    """Each with its line; the file, which is that of the page, stands above them once."""
    rows = [
        Row(
            cells=(
                str(gap.place.line) if gap.place.file == file else str(gap.place),
                f"{gap.about}: {gap.text}" if gap.about else gap.text,
            )
        )
        for gap in rest
    ]
    return table((Column(name="line", wide=True), Column(name=f"of {file}", wide=True)), rows)


def _counts(rest: Sequence[Missing], panels: Mapping[str, str]) -> Table:
    """How much is still empty at each panel, setup or place, in the order of the page."""
    by_panel: dict[str, list[str]] = {}
    for gap in (gap for gap in rest if gap.rest != NOT_COVERED):
        by_panel.setdefault(gap.panel, []).append(gap.rest)
    rows = [
        Row(cells=(panels.get(panel, panel) or "elsewhere", *(str(kinds.count(kind) or "") for kind in EMPTY)))
        for panel, kinds in by_panel.items()
    ]
    return table((Column(name="at", wide=True), *(Column(name=kind, right=True) for kind in EMPTY)), rows)


def _found(record: PageRecord, before: int) -> str:
    """`none`; `2 on this page, 3 from before stay open, 1 of them put off again`: a finding of the record too."""
    again = sum(how.put_off for how in record.cleared.values())
    own = len(record.findings) - again
    if not before:
        return str(own or "none")
    told = f"{own or 'none'} on this page, {before} from before {'stays' if before == 1 else 'stay'} open"
    return f"{told}, {again} of them put off again" if again else told


def _left(logbook: Logbook, record: PageRecord) -> Iterator[str]:
    """In the words of the page: why something was not looked at, how what was found was corrected or until when and
    why it may wait, and what was noted.
    """
    why: dict[str, list[str]] = {}
    for each in (*record.results, *record.boxes):
        if each.answer != DONE and each.reason:
            why.setdefault(f"{each.answer}: {each.reason}", []).append(each.check)
    yield from (f"{', '.join(names)}: {reason}" for reason, names in why.items())
    before = {put_off_as(each.id, record.date, "").text: each.id for each in record.findings}
    again = {before.get(how.text): name for name, how in record.cleared.items() if how.put_off}
    for finding in record.findings:
        if finding.stands and finding.may_wait:
            # What is put off again goes by the name that the page has, the one under which it is found.
            name = again.get(finding.id, finding.id)
            until = fix(logbook, finding)
            yield f"{name}: {finding.text}; fix: {until}; may wait because: {finding.may_wait}"
        elif finding.cleared is not None:
            yield f"{finding.id}: {finding.text}; corrected: {finding.cleared.text}"
    # A finding from before is named by what was found: its reference alone says nobody what was put right.
    fixed = ((name, how) for name, how in record.cleared.items() if not how.put_off)
    yield from (f"{box_title(logbook, name)}; corrected: {how.text}" for name, how in fixed)
    for each in (*record.results, *record.boxes):
        yield from (f"{each.check}, noted: {note}" for note in each.notes)


def _total(logbook: Logbook, name: str, total: Decimal) -> str:
    """`tach 607.0 h`; of a meter that is called as its unit `landings 1776`."""
    meter = logbook.aircraft.meters.get(name)
    return f"{name} {number(total)}{f' {meter.unit}' if meter and meter.unit != name else ''}"


def _begun(record: PageRecord) -> str:
    days = (record.date - record.begun).days if record.begun else 0
    return f"{record.begun}, {counted(days, 'day', 'days')} before" if days else ""


def statement_page(
    logbook: Logbook, record: PageRecord, reminder: str = "", *, open_before: int = 0, flight: str = ""
) -> blocks.Page:
    """What would be sealed: the statement in full, who signs it, with what totals.

    `open_before` is how many findings of earlier records stay open with it; `flight` what is said of a flight check.
    """
    by = record.by
    statement = record.statement if isinstance(record, Inspection) else ""
    made: list[Block] = [
        facts(
            ("Date", str(record.date)),
            ("Begun", _begun(record)),
            ("Totals", ", ".join(_total(logbook, name, total) for name, total in record.totals.items())),
            ("Signer", by.name if by else ""),
            ("Certificate", ", ".join(word for word in ((by.kind, by.certificate) if by else ()) if word)),
            ("Checks done", str(sum(result.answer == DONE for result in record.results))),
            ("Findings", _found(record, open_before)),
            ("Parts used", "; ".join(record.parts)),
            ("Flight check", flight),
            ("Photographs and papers", str(len(record.files)) if record.files else ""),
        )
    ]
    if statement:
        made.append(Quote(text=statement))
    elif isinstance(record, Inspection):
        text = (
            f"Not passed: {counted(len(record.findings), 'discrepancy', 'discrepancies')} listed, no statement is made."
        )
        made.append(Paragraph(text=text, tone=STOP))
    else:
        made += [Paragraph(text="The work on this page, as it is written there.", tone=STRONG)]
        made += [Paragraph(text=record.text)] if record.text else []
    if left := tuple(_left(logbook, record)):
        # What no list of words can judge: whoever signs reads it before the name is typed.
        made += [Paragraph(text="Signed with it, in the words of the page:", tone=STRONG), Listing(items=left)]
    if reminder:
        made.append(Paragraph(text=reminder))
    made.append(Paragraph(text=DEFERRAL))
    return blocks.Page(title="To be signed", blocks=tuple(made))
