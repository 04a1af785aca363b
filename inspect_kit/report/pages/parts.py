"""Parts to order, by the day on which that must be done, and what is on the shelf."""

from collections.abc import Iterable, Iterator

from inspect_kit.due.answer import DueAnswer
from inspect_kit.due.shelf import Lot, in_other_measures
from inspect_kit.model.checklist import part_called
from inspect_kit.model.logbook import Logbook
from inspect_kit.report.blocks import QUIET, STOP, WARN, Block, Column, Heading, Page, Paragraph, Row, Table, table
from inspect_kit.report.naming import names_of
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.words import counted, joined, number
from inspect_kit.rules.cautions import DEFERRAL
from inspect_kit.visits.parts import Need, PartsAnswer


def parts_page(parts: PartsAnswer, answer: DueAnswer) -> Page:
    """What to order, the most pressing first; then what the shelf covers, and the shelf itself."""
    made: list[Block] = [*incomplete(answer.problems), *_pressing(parts), *shelf_doubts(parts.shelf, answer)]
    if parts.to_order:
        made += [Heading(text=f"To order for the work up to {parts.until}"), _table(parts, parts.to_order, answer.seen)]
    else:
        made.append(Paragraph(text=f"Nothing is to be ordered for the work up to {parts.until}, by what is on record."))
    covered = [need for need in parts.needs if need not in parts.to_order]
    if covered:
        made += [Heading(text="Needed, and on the shelf"), _table(parts, covered, answer.seen)]
    if parts.shelf:
        made += [Heading(text="On the shelf"), shelf_table(parts.shelf, answer)]
    text = "Visits are a plan by likely use; `visits` shows them. Only what a check says under `uses` can be told here."
    made += [Paragraph(text=text, tone=QUIET), *problem_blocks(answer.problems), Paragraph(text=DEFERRAL, tone=QUIET)]
    title = f"Parts, {answer.seen.aircraft.identity.registration}, {answer.on}"
    return Page(title=title, blocks=tuple(made), foot=title)


def _pressing(parts: PartsAnswer) -> Iterator[Block]:
    now = [need for need in parts.to_order if need.order_by is not None and need.order_by <= parts.on]
    if now:
        names = joined(list(dict.fromkeys(part_called(need.name) for need in now)))
        yield Paragraph(text=f"TO BE ORDERED NOW: {names}.", tone=STOP)
    unknown = sorted({need.name for need in parts.to_order if need.order_by is None})
    if unknown:
        count = counted(len(unknown), "part")
        text = f"For {count} nothing says how long an order takes: `lead-times` in aircraft.yaml."
        yield Paragraph(text=text)


def shelf_doubts(shelf: Iterable[Lot], answer: DueAnswer) -> Iterator[Block]:
    """What lies on the shelf and may not be used any more."""
    for lot in shelf:
        if not lot.good_on(answer.on):
            named = f"{lot.stock.item}, lot {lot.stock.lot}" if lot.stock.lot else lot.stock.item
            yield Paragraph(text=f"! PAST ITS DATE on the shelf: {named}, good until {lot.until}.", tone=WARN)
        if lot.apart:
            told = f"{joined(list(lot.apart))} used of {lot.stock.item}, which is counted as {lot.stock.amount}"
            yield Paragraph(text=f"! NOT TAKEN OFF the shelf: {told}. Count anew what is left.", tone=WARN)
        if told := in_other_measures(lot.stock, answer.seen.checks.values()):
            yield Paragraph(text=f"! IN ANOTHER MEASURE on the shelf: {lot.stock.item}: {told}.", tone=WARN)


def _table(parts: PartsAnswer, needs: Iterable[Need], logbook: Logbook) -> Table:
    columns = (
        Column(name="order by"),
        Column(name="part", wide=True),
        Column(name="to order", right=True),
        Column(name="needed", right=True),
        Column(name="on"),
        Column(name="for", wide=True, rank=1),
    )
    return table(columns, [_row(parts, need, logbook) for need in needs])


def _row(parts: PartsAnswer, need: Need, logbook: Logbook) -> Row:
    late = need.order_by is not None and need.order_by <= parts.on and need.short != 0
    return Row(
        cells=(
            str(need.order_by) if need.order_by else "not known",
            part_called(need.name) + (" (its life ends)" if need.life else ""),
            _amount(need, need.short),
            _amount(need, need.amount),
            str(need.on),
            names_of(logbook, need.checks),
        ),
        tone=STOP if late else "",
    )


def _amount(need: Need, amount: "object") -> str:
    return "as needed" if amount is None else f"{amount} {need.measure}".strip()


def shelf_table(shelf: Iterable[Lot], answer: DueAnswer) -> Table:
    """Every lot of which something is left."""
    rows = [
        Row(
            cells=(
                part_called(lot.stock.item),
                lot.stock.lot,
                f"{number(lot.left)} {lot.stock.measure}".strip(),
                str(lot.opened or ""),
                str(lot.until or ""),
                str(lot.stock.date),
                lot.stock.at,
            ),
            tone="" if lot.good_on(answer.on) else WARN,
        )
        for lot in shelf
    ]
    columns = (
        Column(name="item", wide=True),
        Column(name="lot", wide=True),
        Column(name="left", right=True),
        Column(name="opened"),
        Column(name="good until"),
        Column(name="counted"),
        Column(name="where", wide=True, rank=1),
    )
    return table(columns, rows)
