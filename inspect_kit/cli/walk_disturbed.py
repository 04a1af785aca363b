"""What else was opened or parted, in the walk: written under a check, where it makes owed what waits for it."""

from inspect_kit.cli.walk_state import Walk
from inspect_kit.inspection import edit
from inspect_kit.model.checklist import DISTURBED
from inspect_kit.past import said_names
from inspect_kit.text.page_values import is_blank

WORD = "disturbed:"


def speaks_of_it(walk: Walk, at: int) -> bool:
    """Whether the notes of the panel of a box say that something may be disturbed there, by the word of the page."""
    panel = walk.logbook.panel_in(walk.entries[at])
    return panel is not None and any(WORD in note for note in panel.notes)


def ask_disturbed(walk: Walk, at: int) -> None:
    """Ask what was disturbed, with the names for which a check or a flight check waits."""
    waits = {
        trigger.what for check in walk.logbook.checks.values() for trigger in check.owed_after
        if trigger.verb == DISTURBED
    }
    known = ", ".join(sorted({*waits, *walk.logbook.aircraft.flight_check_after}))
    typed = walk.talk.line(f"What was disturbed: {known}:")
    if typed and not is_blank(typed):
        write_disturbed(walk, at, typed)


def write_disturbed(walk: Walk, at: int, words: str) -> None:
    """Write it under the check of a box; of a panel under the first of its checks on the page."""
    box = at if walk.entries[at].is_check else _check_of_panel(walk, at)
    if box is None:
        told = "No check of this panel is on the page: go to a check that it was done for, and press x."
        walk.talk.say(told, indent="  ")
        return
    there = [*walk.entries[box].disturbed]
    named = ", ".join(dict.fromkeys([*there, *said_names(words)]))
    if walk.change(lambda sheet: edit.write(sheet, box, "disturbed", named)):
        told = f"disturbed: {named}, under `{walk.entries[box].id}`. What that makes owed is asked."
        walk.talk.say(told, indent="  ")


def _check_of_panel(walk: Walk, at: int) -> int | None:
    panel = walk.logbook.panel_in(walk.entries[at])
    boxes = (place for place, entry in enumerate(walk.entries) if entry.is_check)
    return next((place for place in boxes if walk.logbook.panel_in(walk.entries[place]) == panel), None)
