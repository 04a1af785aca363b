"""The newest entries of a history on one screen, at most twenty; what one record says stands together."""

from collections.abc import Mapping
from itertools import groupby

from inspect_kit.model.logbook import Logbook
from inspect_kit.report.blocks import Column, Page, Paragraph, Row, table
from inspect_kit.report.naming import check_title, listed, panel_name, title, twin_titles, with_id
from inspect_kit.report.pages.history import CHECK, PANEL, Event, HistoryAnswer, history_total
from inspect_kit.report.screens.fit import LINES, ROOM, cut, more, one_screen, problems_first, screen_lines, so_many_at
from inspect_kit.report.words import counted

NEWEST = 20
# Characters of what one record says where all of them fit so: two lines of the screen, more or less.
OF_A_RECORD = 150
# What date and total take of a line; where there are many, each record has what is left of one.
BEFORE = 22
DONE, OPENED = "done: ", "opened"


def history_screen(answer: HistoryAnswer, logbook: Logbook, room: int = ROOM) -> Page:
    """Newest first, on one screen of `room` cells; `history ID --all` has every entry, whole."""
    said = [list(events) for _, events in groupby(reversed(answer.events), key=lambda event: event.record)]
    most = min(NEWEST, len(said))
    # Of few records more is told than a line of each.
    for words in (so_many_at(OF_A_RECORD, room), 2 * (room - BEFORE)):
        whole = _page(answer, logbook, said[:most], len(said), words)
        if screen_lines(whole, room) <= LINES:
            return whole
    return one_screen(lambda rows: _page(answer, logbook, said[:rows], len(said), room - BEFORE), most, room)


def _page(answer: HistoryAnswer, logbook: Logbook, shown: list[list[Event]], records: int, most: int) -> Page:
    name = panel_name(logbook, answer.id) if answer.kind == PANEL else title(answer.name)
    checks = logbook.checks if answer.kind != CHECK else ()
    twins = twin_titles(logbook) if checks else ()
    whole = {with_id(logbook, each): check_title(logbook, each) for each in checks}
    titles = {head: head if subject in twins else subject for head, subject in whole.items()}
    rows = [
        Row(cells=(str(events[0].date), history_total(events[0]), cut(_words(answer, titles, events[::-1]), most)))
        for events in shown
    ]
    columns = (Column(), Column(right=True), Column(wide=True))
    all_of_them = counted(records, "record")
    told = f"{all_of_them}, the newest first" if len(shown) == records else f"The newest {len(shown)} of {all_of_them}"
    # On a screen it takes no line of its own, which would be one entry less.
    told = told if records else "Nothing on record"
    told += "; ~ is an estimated total" if any(row.cells[1].startswith("~") for row in rows) else ""
    made = [
        *problems_first(logbook.problems),
        Paragraph(text=f"{answer.kind.capitalize()}: {name}. {told}."),
        *([table(columns, rows)] if rows else []),
    ]
    # Where nothing is on record there is no more of it.
    ways = [f"history {answer.id} --all"] if records else []
    ways += [f"due {answer.id}"] if answer.kind == CHECK else ["report RECORD"] if records else []
    made += [more(*ways)] if ways else []
    return Page(
        title=f"History of {answer.id}, {logbook.aircraft.identity.registration}", blocks=tuple(made), dense=True
    )


def _words(answer: HistoryAnswer, titles: Mapping[str, str], events: list[Event]) -> str:
    """What one record says: what was found first, that it was opened last; done without what the head says already.

    `titles` are those of the checks, by what a whole history calls them.
    """
    done = [event.what.removeprefix(DONE) for event in events if event.what.startswith(DONE)]
    rest = [event.what for event in events if not event.what.startswith(DONE)]
    if answer.kind == CHECK:
        done = [f"done{each.removeprefix(title(answer.name))}" for each in done]
    else:
        heads = [next((head for head in titles if each.startswith(head)), "") for each in done]
        done = [titles.get(head, "") + each.removeprefix(head) for head, each in zip(heads, done, strict=True)]
        if len(done) > 1:
            names = [titles.get(head) or each.partition(",")[0] for head, each in zip(heads, done, strict=True)]
            done = [f"{counted(len(names), 'check')} done: {listed(names)}"]
    found = [each for each in rest if each.startswith("found ")]
    opened = [each for each in rest if each.startswith(OPENED)]
    said = [*found, *(each for each in rest if each not in found and each not in opened)]
    said = [*done, *said] if answer.kind == CHECK and not found else [*said, *done]
    said += opened
    return " ".join(each if each.endswith((".", "!", "?")) else f"{each}." for each in said)
