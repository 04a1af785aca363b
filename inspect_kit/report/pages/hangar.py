"""Several aircraft on one page: every item with its aircraft, or one line for each aircraft."""

from collections.abc import Iterable, Sequence

from inspect_kit.due.answer import CHECK, INSPECTION, PAST_DUE, DueAnswer, Item
from inspect_kit.due.listing import order
from inspect_kit.due.stops import PASSENGER_SEATS
from inspect_kit.model.checklist import named
from inspect_kit.report.blocks import QUIET, STOP, WARN, Block, Column, Heading, Page, Paragraph, Row, Table, table
from inspect_kit.report.naming import title, twin_titles
from inspect_kit.report.pages.due import COLUMNS, MARKS, WORDS, item_row, label, left_words, reached
from inspect_kit.report.pages.reasons import inspection_words
from inspect_kit.report.words import counted, number
from inspect_kit.rules.cautions import DEFERRAL, NO_PERMISSION, PILOT_DECIDES

# A store by the name it was given, its answer, and what could not be read: no answer then, and why.
Told = tuple[str, DueAnswer | None, str]


def hangar_due_page(told: Sequence[Told]) -> Page:
    """One due list of all aircraft, what is worst first whosever it is; reasons not to fly before it."""
    found = [(name, answer) for name, answer, _ in told if answer is not None]
    made: list[Block] = [*unread_blocks(told), *reasons_table(barred_rows(found)), inspections_table(found)]
    if why := reason_rows(found):
        made += [Heading(text="Reasons on record, by aircraft"), *reasons_table(why)]
    items = sorted(((item, name) for name, answer in found for item in answer.items), key=lambda each: order(each[0]))
    rows = ((item_row(item), name) for item, name in items)
    listed = [Row(cells=(name, *row.cells), tone=row.tone) for row, name in rows]
    made += [Heading(text=f"{counted(len(listed), 'item')} of {counted(len(found), 'aircraft', 'aircraft')}")]
    made += [table((Column(name="aircraft"), *COLUMNS), listed)] if listed else []
    made.append(Paragraph(text=f"{NO_PERMISSION} {PILOT_DECIDES} {DEFERRAL}", tone=QUIET))
    title = f"Due list of {counted(len(told), 'store')}{on_words(found)}"
    return Page(title=title, blocks=tuple(made), foot=title)


def hangar_status_page(told: Sequence[Told]) -> Page:
    """One line for each aircraft: time in service, inspections, reasons, open findings, what comes next."""
    found = [(name, answer) for name, answer, _ in told if answer is not None]
    columns = (
        Column(name="aircraft"),
        Column(name="type", wide=True, rank=3),
        Column(name="total time", right=True, rank=2),
        Column(name="inspections", wide=True),
        Column(name="reasons not to fly", wide=True),
        Column(name="open findings", right=True, rank=1),
        Column(name="next due", wide=True),
    )
    made: list[Block] = [*unread_blocks(told), *reasons_table([*barred_rows(found), *reason_rows(found)])]
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


def barred_rows(found: Sequence[tuple[str, DueAnswer]]) -> list[Row]:
    """The aircraft that carry no passengers, each with what bars them."""
    return [
        Row(cells=(name, f"!! NO PASSENGERS: {'; '.join(why)}"), tone=STOP)
        for name, answer in found
        if (why := _barred(answer))
    ]


def _barred(answer: DueAnswer) -> list[str]:
    barred = answer.no_passengers
    told = [f"{phase.name} phase open since {phase.since}" for phase in barred.phases]
    told += [f"change of {change.date} not decided" for change in barred.undecided]
    return told + [f"flight check after {unflown.record.date} not recorded as flown" for unflown in barred.unflown]


def reason_rows(found: Sequence[tuple[str, DueAnswer]]) -> list[Row]:
    """Every reason on record not to fly, and what may not be used, with its aircraft."""
    rows = []
    for name, answer in found:
        rows += [Row(cells=(name, f"!! {stop.text}"), tone=STOP) for stop in answer.stops]
        # That passengers are barred has its line already.
        others = [each for each in answer.not_to_be_used if each.what != PASSENGER_SEATS]
        rows += [Row(cells=(name, f"! Not to be used: {each.what} ({each.check})"), tone=WARN) for each in others]
    return rows


def inspections_table(found: Iterable[tuple[str, DueAnswer]]) -> Table:
    """How long the inspections of each aircraft still hold."""
    rows = []
    for name, answer in found:
        inspections = [item for item in answer.items if item.kind == INSPECTION]
        words = " ".join(map(inspection_words, inspections)) or "No inspection is asked for."
        rows.append(Row(cells=(name, words), tone=STOP if any(each.state == PAST_DUE for each in inspections) else ""))
    return table((Column(), Column(wide=True)), rows)


def reasons_table(rows: list[Row]) -> list[Block]:
    return [table((Column(), Column(wide=True)), rows)] if rows else []


def _line(name: str, answer: DueAnswer) -> Row:
    identity = answer.seen.aircraft.identity
    total = answer.totals.get(answer.seen.aircraft.time_in_service)
    inspections = [item for item in answer.items if item.kind == INSPECTION]
    standing = answer.seen.standing()
    return Row(
        cells=(
            name,
            f"{identity.make} {identity.model}, serial {identity.serial}",
            f"{number(total)} h" if total is not None else "not known",
            "; ".join(f"{MARKS[item.state]} {WORDS[item.state]}, {left_words(item)}" for item in inspections),
            amount_of(len(answer.stops)),
            str(len(standing)) if standing else "none",
            _coming(answer),
        ),
        tone=_tone(answer),
    )


def _tone(answer: DueAnswer) -> str:
    """What presses, presses here too: what use has probably used up as well."""
    if answer.stops or any(item.state == PAST_DUE for item in answer.items):
        return STOP
    return WARN if any(map(reached, answer.items)) else ""


def _coming(answer: DueAnswer) -> str:
    """What comes first besides the inspections, and how much else is past due."""
    items = [item for item in answer.items if item.kind != INSPECTION]
    if not items:
        return ""
    first = items[0]
    more = len([item for item in items[1:] if item.state == PAST_DUE])
    told = f"{MARKS[first.state]} {_called(answer, first)}: {WORDS[first.state]}, {left_words(first, brief=True)}"
    return told + (f"; {more} more past due" if more else "")


def _called(answer: DueAnswer, item: Item) -> str:
    """A check by its subject, with its id where another one has the same."""
    if item.kind != CHECK:
        return label(item)
    subject = title(item.name) or item.check
    return named(subject, item.check) if subject in twin_titles(answer.seen) else subject


def amount_of(reasons: int) -> str:
    """How many reasons there are; of none only that none is on record, as that is no permission to fly."""
    return counted(reasons, "reason") if reasons else "none on record"
