"""The clock of the walk: how long each box took, and each panel; it proposes, and only a key writes it down."""

from inspect_kit.cli.walk_names import BACK
from inspect_kit.cli.walk_state import Walk
from inspect_kit.cli.walk_talk import Choice
from inspect_kit.inspection import edit
from inspect_kit.inspection.boxes import Box
from inspect_kit.inspection.walk import check_of_box
from inspect_kit.model.worksheet import OPENING, Entry
from inspect_kit.report.words import counted
from inspect_kit.text.grammar import Unreadable, parse_minutes

MINUTE = 60


def tell_time(walk: Walk, box: Box) -> None:
    """When no box of a panel is open any more, say how long the clock ran at its boxes and what is listed for them."""
    at = walk.place(box)
    panel = walk.logbook.panel_in(walk.entries[at]) if at is not None else None
    if panel is None or any(not entry.answered and _at(walk, place, panel.id) for place, entry in _numbered(walk)):
        return
    timed = _timed(walk, panel.id)
    seconds = sum(walk.times[walk.box(place)] for place in timed)
    if seconds < MINUTE:
        return
    walk.finished = panel.id
    listed = sum(_listed(walk, place) for place in timed)
    told = f"{panel.name}: {_minutes(seconds)} min by the clock, {counted(len(timed), 'box', 'boxes')}, {listed} listed"
    walk.talk.say(f"{told}; t writes it down.", indent="  ")


def ask_took(walk: Walk, at: int) -> None:
    """How long a box took, or every box of a panel as the clock has it."""
    here = _minutes(walk.now() - walk.since)
    panels = {panel.id: panel for panel in (walk.logbook.panel_in(walk.entries[at]),) if panel is not None}
    panels |= {walk.finished: walk.logbook.panels[walk.finished]} if walk.finished in walk.logbook.panels else {}
    offered = [Choice(key="y", word=f"{here} min", does="this box, by the clock")]
    offers: dict[str, tuple[int, ...]] = {}
    for panel in panels.values():
        timed = tuple(place for place in _timed(walk, panel.id) if walk.entries[place].took is None)
        if timed:
            key = str(len(offers) + 1)
            offers[key] = timed
            minutes = _minutes(sum(walk.times[walk.box(place)] for place in timed))
            told = f"{panel.name}, {counted(len(timed), 'box', 'boxes')}, {minutes} min in all"
            offered.append(Choice(key=key, word=told, does="each box as the clock had it"))
    offered += [Choice(key="x", word="other", does="type the minutes of this box"), Choice(key=BACK, word="back")]

    def draw() -> None:
        walk.talk.say(f"It took, by the clock ({_listed(walk, at)} min listed):", indent="  ")

    draw()
    key = walk.talk.choose(offered, draw)
    if key in offers:
        _write(walk, {place: _minutes(walk.times[walk.box(place)]) for place in offers[key]})
    elif key == "y":
        _write(walk, {at: here})
    elif key == "x":
        _typed(walk, at)


def _typed(walk: Walk, at: int) -> None:
    value = walk.talk.line("Minutes:")
    if not value:
        return
    words = f"{value} min" if value.isascii() and value.isdigit() else value
    try:
        _write(walk, {at: parse_minutes(words)})
    except Unreadable as fault:
        walk.talk.say(f"{fault.message}.", indent="  ")


def _write(walk: Walk, minutes: dict[int, int]) -> None:
    def written(sheet: edit.OpenPage) -> edit.OpenPage:
        for place, value in minutes.items():
            sheet = edit.write(sheet, place, "took", f"{value} min")
        return sheet

    walk.change(written)


def _timed(walk: Walk, panel: str) -> tuple[int, ...]:
    """The boxes of a panel at which the clock ran, and which are still answered."""
    return tuple(
        at for at, entry in _numbered(walk) if entry.answered and walk.box(at) in walk.times and _at(walk, at, panel)
    )


def _numbered(walk: Walk) -> enumerate[Entry]:
    return enumerate(walk.entries)


def _at(walk: Walk, at: int, panel: str) -> bool:
    noun = walk.logbook.panel_in(walk.entries[at])
    return noun is not None and noun.id == panel


def _listed(walk: Walk, at: int) -> int:
    """The minutes that the checklist gives a box."""
    entry = walk.entries[at]
    check, panel = check_of_box(walk.logbook, entry), walk.logbook.panel_in(entry)
    if check is not None:
        return check.minutes
    if panel is None or not entry.is_panel:
        return 0
    return (panel.remove if entry.verb in OPENING else panel.refit) or 0


def _minutes(seconds: float) -> int:
    return max(1, round(seconds / MINUTE))
