"""Several aircraft on one page: every item with its aircraft, or one line for each aircraft."""

from collections.abc import Sequence

from inspect_kit.due.answer import INSPECTION, DueAnswer
from inspect_kit.due.listing import order
from inspect_kit.due.stops import PASSENGER_SEATS
from inspect_kit.report.blocks import QUIET, STOP, WARN, Block, Column, Heading, Listing, Page, Paragraph, Row, table
from inspect_kit.report.pages.due import COLUMNS, MARKS, WORDS, item_row, label, left_words
from inspect_kit.report.words import counted, number
from inspect_kit.rules.cautions import DEFERRAL, NO_PERMISSION, PILOT_DECIDES

# A store by the name it was given, its answer, and what could not be read: no answer then, and why.
Told = tuple[str, DueAnswer | None, str]


def hangar_due_page(told: Sequence[Told]) -> Page:
    """One due list of all aircraft, what is worst first whosever it is; reasons not to fly before it."""
    found = [(name, answer) for name, answer, _ in told if answer is not None]
    made: list[Block] = [*unread_blocks(told), *reason_blocks(found)]
    items = sorted(((item, name) for name, answer in found for item in answer.items), key=lambda each: order(each[0]))
    rows = ((item_row(item), name) for item, name in items)
    listed = [Row(cells=(name, *row.cells), tone=row.tone) for row, name in rows]
    made += [Heading(text=f"{counted(len(listed), 'item')} of {counted(len(found), 'aircraft', 'aircraft')}")]
    made += [table((Column(name="aircraft"), *COLUMNS), listed)] if listed else []
    made.append(Paragraph(text=f"{NO_PERMISSION} {PILOT_DECIDES} {DEFERRAL}", tone=QUIET))
    title = f"Due list of {counted(len(told), 'store')}{on_words(found)}"
    return Page(title=title, blocks=tuple(made), foot=title)


def hangar_status_page(told: Sequence[Told]) -> Page:
    """One line for each aircraft: time in service, inspections, reasons, open discrepancies, what comes next."""
    found = [(name, answer) for name, answer, _ in told if answer is not None]
    columns = (
        Column(name="aircraft"),
        Column(name="what", wide=True, rank=3),
        Column(name="total time", right=True),
        Column(name="inspections", wide=True),
        Column(name="reasons not to fly", wide=True),
        Column(name="open discrepancies", right=True, rank=1),
        Column(name="next due", wide=True, rank=2),
    )
    made: list[Block] = [*unread_blocks(told), *reason_blocks(found)]
    made.append(table(columns, [_line(name, answer) for name, answer in found]))
    made.append(Paragraph(text=f"{NO_PERMISSION} {PILOT_DECIDES} {DEFERRAL}", tone=QUIET))
    title = f"Status of {counted(len(told), 'store')}{on_words(found)}"
    return Page(title=title, blocks=tuple(made), foot=title)


def on_words(found: Sequence[tuple[str, DueAnswer]]) -> str:
    """`, 2026-11-26`: the day of the answers."""
    return f", {found[0][1].on}" if found else ""


def unread_blocks(told: Sequence[Told]) -> list[Block]:
    """Which stores are missing here, or are not whole."""
    made: list[Block] = [
        Paragraph(text=f"{name} CANNOT BE READ: {why}", tone=STOP) for name, answer, why in told if answer is None
    ]
    for name, answer, _ in told:
        if answer is not None and answer.problems:
            count = counted(len(answer.problems), "problem")
            made.append(Paragraph(text=f"{name} is INCOMPLETE: {count} in its files.", tone=WARN))
    return made


def reason_blocks(found: Sequence[tuple[str, DueAnswer]]) -> list[Block]:
    """Every reason on record with its aircraft; nothing where there is none."""
    lines = []
    for name, answer in found:
        barred = answer.no_passengers
        count = len(barred.phases) + len(barred.undecided) + len(barred.unflown)
        lines += [f"{name}: no passengers, {counted(count, 'reason')}"] if count else []
        lines += [f"{name}: {stop.text}" for stop in answer.stops]
        # That passengers are barred has its line already.
        others = [each for each in answer.not_to_be_used if each.what != PASSENGER_SEATS]
        lines += [f"{name}: not to be used: {each.what} ({each.check})" for each in others]
    if not lines:
        return []
    return [Heading(text="Reasons on record, by aircraft"), Listing(items=tuple(lines))]


def _line(name: str, answer: DueAnswer) -> Row:
    identity = answer.seen.aircraft.identity
    total = answer.totals.get(answer.seen.aircraft.time_in_service)
    inspections = [item for item in answer.items if item.kind == INSPECTION]
    coming = next((item for item in answer.items if item.kind != INSPECTION), None)
    standing = answer.seen.standing()
    return Row(
        cells=(
            name,
            f"{identity.make} {identity.model}, serial {identity.serial}",
            f"{number(total)} h" if total is not None else "not known",
            "; ".join(f"{MARKS[item.state]} {WORDS[item.state]}, {left_words(item)}" for item in inspections),
            amount_of(len(answer.stops)),
            str(len(standing)) if standing else "none",
            f"{label(coming)}: {WORDS[coming.state]}, {left_words(coming)}" if coming is not None else "",
        ),
        tone=STOP if answer.stops else "",
    )


def amount_of(reasons: int) -> str:
    """How many reasons there are; of none only that none is on record, as that is no permission to fly."""
    return counted(reasons, "reason") if reasons else "none on record"
