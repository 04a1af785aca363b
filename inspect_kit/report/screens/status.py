"""The state of the aircraft on one screen: the inspection first, then times, lives, findings, directives, weight."""

from collections.abc import Collection, Iterator

from inspect_kit.balance import balance
from inspect_kit.due.answer import FINDING, INSPECTION, PAST_DUE, DueAnswer, Item
from inspect_kit.due.directives import directives_told
from inspect_kit.model.finding import Finding
from inspect_kit.model.logbook import Logbook
from inspect_kit.report.blocks import STOP, Block, Column, Page, Paragraph, Row, table
from inspect_kit.report.naming import finding_number, fix, identity_words, twin_titles
from inspect_kit.report.pages.balance import empty_words
from inspect_kit.report.pages.due import left_words, reading_words
from inspect_kit.report.pages.phases import passenger_lines
from inspect_kit.report.pages.status import life_items, part_times, since_words
from inspect_kit.report.pages.unknown import unknown_words
from inspect_kit.report.screens.due import item_name, meter_words, reached_lines, reason_lines
from inspect_kit.report.screens.fit import DEFERS, ROOM, cut, more, one_screen, problems_first, so_many_at
from inspect_kit.report.words import number

# Of findings and lives that do not press: how many rows may fill what is left of the screen.
ROWS = 12
WORDS_OF_A_FINDING = 40


def status_screen(answer: DueAnswer, room: int = ROOM) -> Page:
    """The status on one screen of `room` cells; `status --all` has what 14 CFR 91.417(a)(2) asks to be kept, whole."""
    return one_screen(lambda rows: _page(answer, rows, room), ROWS, room)


def _page(answer: DueAnswer, rows: int, room: int) -> Page:
    identity = answer.seen.aircraft.identity
    made = [
        *problems_first(answer.problems),
        *passenger_lines(answer),
        *reason_lines(answer),
        Paragraph(text=meter_words(answer)),
        *reached_lines(answer),
        *(
            Paragraph(text=words)
            for item in answer.items
            if item.kind == INSPECTION and (words := since_words(answer, item))
        ),
        *_since(answer),
        *_listed(answer, rows, room),
        *_directives(answer),
        *_weight(answer),
        *(Paragraph(text=f"{words}; due ITEM says how.") for words in [unknown_words(answer)] if words),
        more("status --all", "directives", "balance", "history POSITION"),
        Paragraph(text=DEFERS, tone="quiet"),
    ]
    return Page(title=f"Status of {identity_words(identity)}, {answer.on}", blocks=tuple(made), dense=True)


def _since(answer: DueAnswer) -> Iterator[Block]:
    """Hours since overhaul where a part has them; else since new, of engine, propeller and the other of such a pair."""
    told, times = [], part_times(answer)
    twins = {_twin(each.position.id) for each in times if each.fitting is not None and each.since_overhaul is not None}
    for each in times:
        if each.fitting is None:
            continue
        if each.since_overhaul is not None:
            told.append(f"{each.position.id} {number(each.since_overhaul)} h since overhaul")
        elif each.since_new is not None and (
            (each.position.on is None and each.position.id in ("engine", "propeller"))
            or _twin(each.position.id) in twins
        ):
            told.append(f"{each.position.id} {number(each.since_new)} h since new")
    if told:
        text = "; ".join(told)
        yield Paragraph(text=f"{text[0].upper()}{text[1:]}.")


def _twin(position: str) -> str:
    """What the two of a pair share: `magneto` of `magneto-left`."""
    return position.partition("-")[0]


def _listed(answer: DueAnswer, rows: int, room: int) -> Iterator[Block]:
    """Open findings and life limits: what is past its limit always, the rest in so many rows."""
    lives, twins = life_items(answer), twin_titles(answer.seen)
    # As `due` has them: what comes first may be the only one that there is room for.
    places = {item.check: at for at, item in enumerate(answer.items) if item.kind == FINDING}
    found = sorted(answer.seen.standing().items(), key=lambda each: places.get(each[0], len(places)))
    past = [item for item in lives if item.state == PAST_DUE]
    rest = [item for item in lives if item.state != PAST_DUE]
    of_findings = min(len(found), max(rows - len(rest), (rows + 1) // 2))
    of_lives = min(len(rest), rows - of_findings)
    open_now = [each for page in answer.seen.pages for entry in page.entries for each in entry.findings if each.stands]
    beside = f", {len(open_now)} more on an open page" if open_now else ""
    barring = [pair for pair in found[of_findings:] if pair[1].before_flight]
    yield table(
        (Column(), Column(wide=True), Column()),
        [
            Row(band=f"Open findings {len(found)}{beside}"),
            *(_finding(answer.seen, *named, room, twins) for named in (*found[:of_findings], *barring)),
            *_rest(len(found) - of_findings - len(barring), of_findings),
        ],
    )
    if not past and not of_lives:
        told = f"{len(lives)}, none passed" if lives else "none on record"
        yield Paragraph(text=f"Life limits: {told}.")
        return
    yield table(
        (Column(), Column(wide=True), Column(wide=True), Column()),
        [
            Row(band=f"Life limits {len(lives)}" + (f", {len(past)} passed" if past else "")),
            *(_life(item, twins) for item in (*past, *rest[:of_lives])),
            *_rest(len(rest) - of_lives, of_lives, cells=4),
        ],
    )


def _rest(count: int, shown: int, cells: int = 3) -> Iterator[Row]:
    if count > 0 and shown > 0:
        yield Row(cells=("", f"and {count} more", *[""] * (cells - 2)), tone="quiet")


def _life(item: Item, twins: Collection[str]) -> Row:
    past = item.state == PAST_DUE
    name = item_name(item, whole=True, twins=twins)
    return Row(
        cells=("!!" if past else "-", name, left_words(item), str(item.due.date or reading_words(item))),
        tone=STOP if past else "",
    )


def _finding(logbook: Logbook, reference: str, finding: Finding, room: int, twins: Collection[str]) -> Row:
    stops, number = finding.before_flight, finding_number(reference, twins)
    # The longer its number, the fewer of its words.
    most = so_many_at(WORDS_OF_A_FINDING, room) - len(number)
    text = finding.text if stops else cut(finding.text, most)
    cells = ("!!" if stops else "-", f"{text} ({number})", fix(logbook, finding))
    return Row(cells=cells, tone=STOP if stops else "")


def _directives(answer: DueAnswer) -> Iterator[Block]:
    """How many are on record, and which are not decided: those are never cut."""
    found = directives_told(answer.seen, answer.on)
    if not (found.states or found.searches):
        return
    told = f"Directives and letters: {len(found.states)} on record"
    yield Paragraph(text=f"{told}, {len(found.undecided)} not decided." if found.undecided else f"{told}.")
    for state in found.undecided:
        text = f"Not decided: {state.directive.number}, {state.directive.subject}, {state.product}."
        yield Paragraph(text=text, tone=STOP)


def _weight(answer: DueAnswer) -> Iterator[Block]:
    found = balance(answer.seen, loadings=False)
    if found.empty is not None:
        yield Paragraph(text=f"Empty weight {empty_words(found)}, weighed {found.empty.weighing.date}.")
