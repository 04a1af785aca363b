"""What is shown before a signature: what is still missing, or what would be signed."""

from collections.abc import Sequence

from inspect_kit.errors import Place
from inspect_kit.model.finding import DONE
from inspect_kit.model.record import Inspection, Page
from inspect_kit.report import blocks
from inspect_kit.report.blocks import STOP, STRONG, Block, Column, Paragraph, Quote, Row, Table, facts
from inspect_kit.report.words import counted, number
from inspect_kit.rules.cautions import DEFERRAL


def missing_page(file: str, gaps: Sequence[tuple[str, str, Place]]) -> blocks.Page:
    """Everything that stands between a page and a signature: about what, what is missing, where."""
    rows = tuple(Row(cells=(about, text, str(place.line) if place.line else "")) for about, text, place in gaps)
    columns = (Column(name="about", wide=True), Column(name="missing", wide=True), Column(name="line", right=True))
    made = (
        Paragraph(
            text=f"{counted(len(gaps), 'thing is', 'things are')} missing in {file}. Nothing was changed.", tone=STOP
        ),
        Table(columns=columns, rows=rows),
    )
    return blocks.Page(title="May not be signed yet", blocks=made)


def statement_page(record: Page, statement: str, reminder: str) -> blocks.Page:
    """What would be sealed: the statement in full, who signs it, with what totals."""
    by = record.by
    made: list[Block] = [
        facts(
            ("Date", str(record.date)),
            ("Totals", ", ".join(f"{name} {number(total)}" for name, total in record.totals.items())),
            ("Signer", by.name if by else ""),
            ("Certificate", ", ".join(word for word in ((by.kind, by.certificate) if by else ()) if word)),
            ("Checks done", str(sum(result.answer == DONE for result in record.results))),
            ("Findings", str(len(record.findings)) if record.findings else "none"),
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
        made.append(Paragraph(text="The work on this page, as it is written there.", tone=STRONG))
    if reminder:
        made.append(Paragraph(text=reminder))
    made.append(Paragraph(text=DEFERRAL))
    return blocks.Page(title="To be signed", blocks=tuple(made))
