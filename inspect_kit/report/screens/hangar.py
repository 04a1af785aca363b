"""What presses in a hangar of several aircraft: no passengers, inspections, reasons, past due, what comes next.

However many there are, no reason and nothing past due is cut; of what comes soon, each aircraft has its first two.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from inspect_kit.due.answer import IN_GRACE, INSPECTION, LATER, PAST_DUE, SOON, UNKNOWN, DueAnswer, Item
from inspect_kit.due.listing import order
from inspect_kit.report.blocks import Column, Heading, Page, Paragraph, Row, table
from inspect_kit.report.naming import twin_titles
from inspect_kit.report.pages.due import TONES, reached
from inspect_kit.report.pages.hangar import (
    Told,
    barred_rows,
    hangar_status_page,
    inspections_table,
    on_words,
    reason_rows,
    reasons_table,
    unread_blocks,
)
from inspect_kit.report.screens.due import COLUMNS, belongs, item_line
from inspect_kit.report.screens.fit import DEFERS, ROOM, more, one_screen
from inspect_kit.report.words import counted
from inspect_kit.rules.cautions import NO_PERMISSION

Owned = tuple[str, Item]
# Of what comes soon, so many of each aircraft, where they fit.
SOON_EACH = 2


def hangar_due_screen(told: Sequence[Told], room: int = ROOM) -> Page:
    """One list of all aircraft, what is worst first whosever it is; `due --all` has every item with its columns."""
    return one_screen(lambda each: _due(told, each, room), SOON_EACH, room)


def _due(told: Sequence[Told], soon_each: int, room: int) -> Page:
    found = [(name, answer) for name, answer, _ in told if answer is not None]
    made = [*unread_blocks(told), *reasons_table(barred_rows(found))]
    made.append(inspections_table(found))
    made += reasons_table(reason_rows(found))
    twins = {name: twin_titles(answer.seen) for name, answer in found}
    columns = (Column(), *COLUMNS)
    if rows := [*_pressing(found, twins), *_coming(found, soon_each, twins, room)]:
        made.append(table(columns, rows))
    made.append(more("due --all", "--store ONE due"))
    made.append(Paragraph(text=f"{NO_PERMISSION} {DEFERS}", tone="quiet"))
    return Page(title=f"Due list of {counted(len(told), 'store')}{on_words(found)}", blocks=tuple(made), dense=True)


def hangar_status_screen(told: Sequence[Told]) -> Page:
    """The same lines as on the page, with one line of caution; reasons and what is past due are never cut."""
    page = hangar_status_page(told)
    last = (more("status --all", "--store ONE status"), Paragraph(text=f"{NO_PERMISSION} {DEFERS}", tone="quiet"))
    # The rows of the reasons bear their aircraft: no heading takes the screen two lines.
    blocks = [each for each in page.blocks[:-1] if not isinstance(each, Heading)]
    return replace(page, blocks=(*blocks, *last), foot="", dense=True)


def _of(found: Iterable[tuple[str, DueAnswer]], *states: str) -> list[Owned]:
    """The items of all aircraft in one of these states, the worst first; an inspection has its line above."""
    items = [
        (name, item)
        for name, answer in found
        for item in answer.items
        if item.state in states and item.kind != INSPECTION
    ]
    return sorted(items, key=lambda each: order(each[1]))


def _row(owned: Owned, twins: Mapping[str, Collection[str]], room: int = ROOM, *, whole: bool = False) -> Row:
    name, item = owned
    row = item_line(item, whole=whole, room=room, twins=twins[name])
    return replace(row, cells=(name, *row.cells))


def _pressing(found: Sequence[tuple[str, DueAnswer]], twins: Mapping[str, Collection[str]]) -> Iterator[Row]:
    for state, word in ((PAST_DUE, "Past due"), (IN_GRACE, "Past due, in grace")):
        if items := _of(found, state):
            yield Row(band=f"{word} {len(items)}", tone=TONES[state])
            yield from (_row(each, twins, whole=True) for each in items)


def _coming(
    found: Sequence[tuple[str, DueAnswer]], soon_each: int, twins: Mapping[str, Collection[str]], room: int
) -> Iterator[Row]:
    if unknown := _of(found, UNKNOWN):
        each = ", ".join(f"{name} {len(own)}" for name, answer in found if (own := _of([(name, answer)], UNKNOWN)))
        yield Row(band=f"Unknown {len(unknown)}: {each}")
    if soon := _of(found, SOON):
        answers = dict(found)
        alone = [each for each in soon if not belongs(answers[each[0]], each[1])]
        firsts = {name: _firsts([each for each in alone if each[0] == name], soon_each) for name, _ in found}
        shown = [each for each in alone if each in firsts[each[0]]]
        with_it = len(soon) - len(alone)
        told = f": {with_it} with an inspection, {len(alone)} by themselves" if with_it else ""
        told += f", the first {len(shown)}" if 0 < len(shown) < len(alone) else ""
        yield Row(band=f"Soon {len(soon)}{told}")
        yield from (_row(each, twins, room) for each in shown)
    if later := _of(found, LATER):
        yield Row(band=f"Later {len(later)}")


def _firsts(owned: Sequence[Owned], most: int) -> list[Owned]:
    """The first of one aircraft; what use has probably used up is past due to whoever flies, and is never left out."""
    likely = [each for each in owned if reached(each[1])]
    return [*likely, *(each for each in owned if each not in likely)][: max(most, len(likely))]
