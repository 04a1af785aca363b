"""What presses, none of it cut: passengers barred, inspections, reasons not to fly, past due; then what comes next."""

from collections.abc import Collection, Iterator, Sequence

from inspect_kit.due.answer import (
    CHECK,
    FINDING,
    IN_GRACE,
    INSPECTION,
    LATER,
    PAST_DUE,
    RECHECK,
    SOON,
    UNKNOWN,
    DueAnswer,
    Item,
)
from inspect_kit.due.stops import PASSENGER_SEATS
from inspect_kit.model.checklist import named
from inspect_kit.model.meters import Point
from inspect_kit.report.blocks import STOP, STRONG, WARN, Block, Column, Page, Paragraph, Row, Table, table
from inspect_kit.report.naming import finding_number, title, twin_titles
from inspect_kit.report.pages.due import (
    MARKS,
    TONES,
    asked_about,
    either_block,
    left_words,
    reached,
    reading_words,
    taken_after_others,
    tone_of,
    uncounted,
)
from inspect_kit.report.pages.phases import passenger_lines
from inspect_kit.report.pages.reasons import NO_REASON, NO_REASON_READ, inspection_words, unknown_lives, until_words
from inspect_kit.report.pages.unknown import unknown_words, without_an_editor
from inspect_kit.report.screens.fit import DEFERS, ROOM, cut, more, one_screen, problems_first, so_many_at
from inspect_kit.report.words import ago, counted, number

COLUMNS = (
    Column(),
    Column(wide=True),
    Column(wide=True),
    Column(),
)
# Of what is not due yet: so many rows at most, however much would fit.
SOON_ROWS, UNKNOWN_ROWS, LATER_ROWS = 8, 4, 3
# What is past due is never cut; of a finding that may wait so many characters.
WORDS_OF_A_FINDING = 40


def due_screen(answer: DueAnswer, room: int = ROOM) -> Page:
    """The due list on one screen of `room` cells; `due --all` has every item, its source and its arithmetic."""
    soon, unknown, later = _next(answer)
    most = min(len(soon), SOON_ROWS) + min(len(unknown), UNKNOWN_ROWS) + min(len(later), LATER_ROWS)
    return one_screen(lambda rows: _page(answer, rows, room), most, room)


def first_lines(answer: DueAnswer) -> Page:
    """The ten lines that the bare command gives, more only where reasons and what is past due are more."""
    soon, later = _of(answer, SOON), _of(answer, LATER)
    with_it = [item for item in soon if belongs(answer, item)]
    told = f"Soon {len(soon)}" + (f", {len(with_it)} of them with the inspection" if with_it else "")
    unknown = _of(answer, UNKNOWN)
    told += f"; unknown {len(unknown)}" if unknown else ""
    made = [
        *_head(answer),
        *_table(_pressing(answer, twin_titles(answer.seen))),
        Paragraph(text=f"{told}; later {len(later)}."),
        more("inspect-kit due", "inspect-kit status", "inspect-kit --help"),
    ]
    return Page(title=_title(answer), blocks=tuple(made), dense=True)


def _title(answer: DueAnswer) -> str:
    return f"Due list, {answer.seen.aircraft.identity.registration}, {answer.on}"


def _page(answer: DueAnswer, rows: int, room: int) -> Page:
    """The page with so many rows of what is not due yet."""
    soon, unknown, later = _next(answer)
    twins = twin_titles(answer.seen)
    # The first of each group before the second of any: what is unknown, what comes soon, what comes later.
    shares = _shares(rows, (len(unknown[:UNKNOWN_ROWS]), len(soon[:SOON_ROWS]), len(later[:LATER_ROWS])))
    # What use has probably used up is past due to whoever flies: it is never left out.
    shares[1] = max(shares[1], len([item for item in soon if reached(item)]))
    inspections = [item.check for item in answer.items if item.kind == INSPECTION]
    # Nothing else on the screen says how one that is unknown is written down.
    unsaid = [item.check for item in answer.items if item.kind == INSPECTION and item.state == UNKNOWN]
    item = f"due {unsaid[0] if unsaid else 'ITEM'}"
    made = [
        *_head(answer),
        *_table(
            [
                *_pressing(answer, twins),
                *_group(UNKNOWN, unknown, shares[0], unknown_words(answer) or f"Unknown {len(unknown)}", room, twins),
                *_group(SOON, soon, shares[1], _soon_words(answer, len(soon)), room, twins),
                *_group(LATER, later, shares[2], f"Later {len(later)}", room, twins),
            ]
        ),
        *without_an_editor(answer),
        more("due --all", item, "due --until DATE", *(f"plan {name}" for name in inspections[:1])),
        Paragraph(text=DEFERS, tone="quiet"),
    ]
    return Page(title=_title(answer), blocks=tuple(made), dense=True)


def _shares(rows: int, wanted: Sequence[int]) -> list[int]:
    """So many rows shared out, one to each group in turn."""
    given = [0] * len(wanted)
    while rows > 0 and any(have < want for have, want in zip(given, wanted, strict=True)):
        for place, want in enumerate(wanted):
            if given[place] < want and rows > 0:
                given[place] += 1
                rows -= 1
    return given


def _head(answer: DueAnswer) -> Iterator[Block]:
    """All that stands before the items, none of it ever cut."""
    yield from problems_first(answer.problems)
    yield from passenger_lines(answer)
    if answer.no_passengers.unflown:
        yield Paragraph(text='Once it is flown: inspect-kit work --flight-check done --text "..."', tone="quiet")
    yield from asked_about(answer)
    yield Paragraph(text=meter_words(answer))
    yield from reached_lines(answer)
    yield from reason_lines(answer)


def reached_lines(answer: DueAnswer) -> Iterator[Block]:
    """How many limits use has probably used up that nobody wrote down, and what to do about it."""
    if likely := [item for item in answer.items if item.state == SOON and reached(item)]:
        told = f"{counted(len(likely), 'limit has', 'limits have')} probably been reached since the meters were read"
        yield Paragraph(text=f"{told}: write the meter down (inspect-kit hours).", tone=STOP)


def reason_lines(answer: DueAnswer) -> Iterator[Block]:
    """The inspections with what is left, reasons on record not to fly, and what may not be used."""
    for item in answer.items:
        if item.kind == INSPECTION:
            yield Paragraph(text=inspection_words(item), tone=STOP if item.state in (PAST_DUE, UNKNOWN) else STRONG)
    if answer.stops:
        yield Paragraph(text=f"{counted(len(answer.stops), 'reason')} on record not to fly:", tone=STRONG)
        rows = [Row(cells=("!!", stop.text, str(stop.place)), tone=STOP) for stop in answer.stops]
        yield table((Column(), Column(wide=True), Column(wide=True, rank=1, aside=True)), rows)
    else:
        yield Paragraph(text=NO_REASON_READ if answer.problems else NO_REASON)
    yield from unknown_lives(answer)
    yield from uncounted(answer)
    yield from either_block(answer)
    yield from taken_after_others(answer)
    for each in answer.not_to_be_used:
        # That passengers are barred stands in lines of its own, before everything else.
        if each.what != PASSENGER_SEATS:
            told = f"! Not to be used: {each.what}, until {until_words(answer, each)}: {each.why}."
            yield Paragraph(text=told, tone=WARN)


def meter_words(answer: DueAnswer) -> str:
    """`tach 250.4 (total 607.0), read today; hobbs 782.1, landings 1776, read 12 days ago`"""
    by_age: dict[str, list[str]] = {}
    unread = [name for name, point in answer.meters.items() if point is None]
    for name, point in answer.meters.items():
        if point is not None:
            by_age.setdefault(ago(point.date, answer.on), []).append(_meter(name, point))
    told = [f"{', '.join(readings)}, read {age}" for age, readings in by_age.items()]
    told += [f"no reading of {', '.join(unread)}{'' if by_age else ' (inspect-kit hours)'}"] if unread else []
    for point in answer.meters.values():
        told += [f"amended: {each}" for each in answer.seen.of_meters(point.record)] if point else []
    told += _on_pages(answer)
    return f"{'; '.join(dict.fromkeys(told))}." if told else "No meter has a reading yet."


def _on_pages(answer: DueAnswer) -> list[str]:
    """What meters read on an open page, where that is newer than what is on record: it counts once it is sealed."""
    return [
        f"{name} {number(reads)} on the open page of {page.begun}, which counts when that is sealed"
        for page in answer.seen.pages
        for name, reads in page.meters.items()
        if page.begun <= answer.on and (point := answer.meters.get(name)) is not None and reads > point.reads
    ]


def _meter(name: str, point: Point) -> str:
    total = f" (total {number(point.total)})" if point.total != point.reads else ""
    return f"{name} {number(point.reads)}{total}"


def _of(answer: DueAnswer, *states: str) -> list[Item]:
    """The items in one of these states; the inspection has its line above."""
    return [item for item in answer.items if item.state in states and item.kind != INSPECTION]


def _next(answer: DueAnswer) -> tuple[list[Item], list[Item], list[Item]]:
    """What comes soon by itself, what is unknown, and what comes later."""
    soon = [item for item in _of(answer, SOON) if not belongs(answer, item)]
    soon.sort(key=lambda item: not reached(item))
    return soon, _of(answer, UNKNOWN), _of(answer, LATER)


def belongs(answer: DueAnswer, item: Item) -> bool:
    """Whether an item comes with an inspection that is itself due soon, or past due."""
    if reached(item):
        return False
    pressing = [each.check for each in answer.items if each.kind == INSPECTION and each.state not in (UNKNOWN, LATER)]
    if item.kind == CHECK and item.check in answer.seen.checks:
        return any(answer.seen.checks[item.check].at_inspection(name) for name in pressing)
    if item.kind == RECHECK:
        check = answer.seen.checks[item.check.partition("/")[0]]
        return any(check.at_inspection(name) for name in pressing)
    if item.kind == FINDING:
        finding = answer.seen.findings().get(item.check)
        return finding is not None and finding.fix.at_inspection in pressing
    return False


def _soon_words(answer: DueAnswer, others: int) -> str:
    soon = len(_of(answer, SOON))
    with_it = soon - others
    return f"Soon {soon}" + (f": {with_it} with the inspection, {others} by themselves" if with_it else "")


def _pressing(answer: DueAnswer, twins: Collection[str]) -> Iterator[Row]:
    """What is past due, whole: within its grace too."""
    for state, word in ((PAST_DUE, "Past due"), (IN_GRACE, "Past due, in grace")):
        found = _of(answer, state)
        if found:
            yield Row(band=f"{word} {len(found)}", tone=TONES[state])
            yield from (item_line(item, whole=True, twins=twins) for item in found)


def _group(state: str, items: Sequence[Item], rows: int, told: str, room: int, twins: Collection[str]) -> Iterator[Row]:
    """A head that counts them all, and so many of them."""
    if items or state == SOON:
        yield Row(band=told)
        yield from (item_line(item, room=room, twins=twins) for item in items[:rows])
        if len(items) > rows > 0:
            yield Row(cells=("", f"and {len(items) - rows} more", "", ""), tone="quiet")


def item_line(item: Item, *, whole: bool = False, room: int = ROOM, twins: Collection[str] = ()) -> Row:
    """One item by its name: `>  Oil change   27.2 h or 5 days   2026-11-30 or tach 277.6`"""
    return Row(
        cells=(
            MARKS[item.state],
            item_name(item, whole=whole, room=room, twins=twins),
            left_words(item, brief=True),
            " or ".join(filter(None, (str(item.due.date or ""), reading_words(item)))),
        ),
        tone=tone_of(item),
    )


def item_name(item: Item, *, whole: bool = False, room: int = ROOM, twins: Collection[str] = ()) -> str:
    """A check by its subject, a finding by its words, the first of them if not `whole`, and its number.

    A subject that is one of `twins` has its id beside it.
    """
    most = so_many_at(WORDS_OF_A_FINDING, room)
    words = item.name if whole else cut(item.name, most)
    if item.kind == FINDING:
        number = finding_number(item.check, twins)
        # The longer its number, the fewer of its words: the column is no wider for it.
        words = words if whole else cut(item.name, most - len(number) + len("F1"))
        return f"{words} ({number})"
    if item.kind == RECHECK:
        return words
    subject = title(item.name) or item.check
    return named(subject, item.check) if item.kind == CHECK and subject in twins else subject


def _table(rows: Sequence[Row] | Iterator[Row]) -> Iterator[Table]:
    made = list(rows)
    if made:
        yield table(COLUMNS, made)
