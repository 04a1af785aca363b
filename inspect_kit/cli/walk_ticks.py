"""Ticks in the walk: one box, or the simple ones of a panel together; in whose name, and whether they may."""

from collections.abc import Sequence

from inspect_kit.cli.walk_names import BACK, LATER, ask_name
from inspect_kit.cli.walk_state import ANSWERED, Walk, WalkAnswer
from inspect_kit.cli.walk_time import tell_time
from inspect_kit.cli.walk_written import ask_blanks
from inspect_kit.inspection import edit
from inspect_kit.inspection.people import no_inspector
from inspect_kit.inspection.walk import check_of_box, together
from inspect_kit.model.checklist import INSPECTOR


def tick(walk: Walk, at: int) -> str:
    """Tick a box in the name of who does it, and ask what it wants written; BACK where the person goes back."""
    doer = doer_for(walk, (at,))
    box = walk.box(at)
    if doer and walk.change(lambda sheet: ticked(walk, sheet, (at,), doer)):
        walk.leave(box)
        walk.trail.append(WalkAnswer(ANSWERED, (box,)))
        if ask_blanks(walk, at) == BACK:
            return BACK
        tell_time(walk, box)
    return ""


def ticked(walk: Walk, sheet: edit.OpenPage, boxes: Sequence[int], doer: str) -> edit.OpenPage:
    """The page with boxes ticked; who did them is written where it is not the page's inspector."""
    for at in boxes:
        sheet = edit.tick_in_order(sheet, at)
        if not sheet.entries[at].by and not walk.logbook.aircraft.same_person(doer, sheet.page.inspector):
            sheet = edit.write(sheet, at, "by", doer)
    return sheet


def doer_for(walk: Walk, boxes: Sequence[int]) -> str:
    """Who did these boxes: who answers, unless one is the inspector's and that person may not; "" for nobody yet."""
    checks = [check_of_box(walk.logbook, walk.entries[at]) for at in boxes]
    inspecting = any(check is not None and check.who == INSPECTOR for check in checks)
    page = walk.sheet.page
    if not inspecting or walk.doer == page.inspector:
        # Of the page's inspector it was said at the beginning that `sign` will refuse them, if it will.
        return walk.doer
    refusal = no_inspector(walk.logbook.aircraft, page, walk.doer)
    if refusal is None:
        return walk.doer
    walk.talk.say(f"This look is the inspector's: {refusal}.", indent="  ")
    name = ask_name(walk, "Who looked?", inspecting=True)
    if name == LATER:
        walk.later |= {walk.box(at) for at in boxes}
    return "" if name in (LATER, BACK) else name


def tick_together(walk: Walk, at: int) -> None:
    """List the simple boxes of this panel and tick them when their count is given."""
    group = together(walk.logbook, walk.sheet.page, at)
    for place in group:
        walk.talk.say(f"{place + 1}  {walk.entries[place].text}", indent="    ", hang="    ")
    given = walk.talk.line("Ok for all of these. How many are they?")
    if given != str(len(group)):
        walk.talk.say("That is not their count: nothing is ticked." if given else "Nothing is ticked.", indent="  ")
        return
    doer = doer_for(walk, group)
    if not doer:
        return
    boxes = tuple(walk.box(place) for place in group)

    if walk.change(lambda sheet: ticked(walk, sheet, group, doer)):
        walk.trail.append(WalkAnswer(ANSWERED, boxes))
