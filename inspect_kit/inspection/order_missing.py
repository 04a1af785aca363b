"""Panels that are not back on, that stayed on, and boxes that stand where they cannot have been done."""

from collections import Counter
from collections.abc import Iterator, Mapping

from inspect_kit.inspection.signing import Request
from inspect_kit.model.checklist import CLOSED, PLACE_FILE, SETUP, Check, on_the_way
from inspect_kit.model.finding import NOT_DONE
from inspect_kit.model.owed import deeds, owed_by
from inspect_kit.model.reason import says_off, says_unseen
from inspect_kit.model.worksheet import CLOSING, NOT_TICKED, OPENING, Entry, Missing

STANDS_ABOVE = "is ticked above the box in which"
CURE_ORDER = "and a page is read from top to bottom: put the boxes in the order in which it was done"


def panels_missing(request: Request) -> Iterator[Missing]:
    """Each panel that is not back on, and each setup that still stands."""
    for panel in request.page.panels_unrefitted():
        noun = request.logbook.panels.get(request.logbook.id_now(panel))
        place = next(entry.place for entry in reversed(request.page.entries) if entry.id == panel)
        told = "the setup still stands" if noun and noun.kind == "setup" else "is not back on"
        waits = any(e.id == panel and e.verb in CLOSING and not e.answered for e in request.page.entries)
        yield Missing(panel, told, place, NOT_TICKED if waits else "", request.logbook.id_now(panel))


def left_on_missing(request: Request, entry: Entry) -> Iterator[Missing]:
    """Why a panel has no tick: it was off, and is it on; or it stayed on, and how was seen what is behind it."""
    now, boxes = request.logbook.id_now, request.page.entries
    name = now(entry.id)
    back = any(each.ticked for each in boxes if each.verb in CLOSING and now(each.id) == name)
    if says_off(entry.reason) and not back:
        told = f"is called {entry.answer}, and `{entry.reason[:40]}` says that it is off"
        yield Missing(entry.id, f"{told}: tick the box in which it goes back on", entry.place)
    elif entry.verb in OPENING and not back and says_unseen(entry.reason):
        behind = [each.id for each in request.page.checks if each.ticked and _stands_behind(request, each, name)]
        if behind:
            told = f"is called {entry.answer}, and `{entry.reason[:40]}` does not say how `{behind[0]}` was seen"
            yield Missing(entry.id, f"{told}, which is ticked behind it: say how, or take that tick away", entry.place)


def _stands_behind(request: Request, entry: Entry, panel: str) -> bool:
    """Whether the check of a box is at a panel, or at one that it hides."""
    check = request.check(entry)
    hide = on_the_way(request.logbook.panels, [check.panel] if check is not None else [])
    return any(each.id == panel for each in hide)


def order_missing(request: Request) -> Iterator[Missing]:
    """Boxes that stand where they cannot have been done: a panel back on before it came off, a check behind a shut one.

    A page is read from top to bottom. What is off from an earlier page has no box here in which it comes off.
    """
    book, now, page = request.logbook, request.logbook.id_now, request.page
    closing = {now(each.id) for each in page.entries if each.verb in CLOSING}
    opening = [each for each in page.entries if each.verb in OPENING and each.answer != NOT_DONE]
    opened, left = {now(each.id): each for each in opening}, [now(each.id) for each in opening]
    off: dict[str, int] = {}
    came_off: set[str] = set()
    # What does not go back on further down may have come off after what is ticked there, as for a late finding.
    below = Counter(now(each.id) for each in page.entries if each.verb in CLOSING and each.ticked)
    closed: set[str] = set()
    seen: set[str] = set()
    for entry in page.entries:
        name = now(entry.id)
        if entry.is_panel and entry.verb in OPENING and entry.answer != NOT_DONE:
            off[name] = off.get(name, 0) + 1
            left.remove(name)
            if entry.ticked:
                came_off.add(name)
        elif entry.is_panel and entry.verb in CLOSING and entry.ticked:
            if not off.get(name) and name in left:
                yield Missing(name, f"{entry.verb} {STANDS_ABOVE} it is told to come off, {CURE_ORDER}", entry.place)
            off[name] = max(0, off.get(name, 0) - 1)
            below[name] -= 1
            closed.add(name)
            if not off[name]:
                came_off.discard(name)
        elif entry.is_check and entry.ticked and (check := request.check(entry)) is not None:
            # What is owed after a panel is back on stands below it, and what was done once is done again anywhere.
            there = {each: count for each, count in off.items() if below[each] or each not in closed}
            if check.when == CLOSED and (open_one := _open_there(request, check, there)):
                told = f"is done with `{open_one}` closed, and stands where it is off"
                yield Missing(entry.id, f"{told}, {CURE_ORDER}", entry.place)
            elif check.when == CLOSED and (others := [each for each in came_off if below[each]]):
                other = min(others)
                state = "stands" if other in book.panels and book.panels[other].kind == SETUP else "is off"
                told = f"is done when all is closed, and stands where `{other}` {state}"
                yield Missing(entry.id, f"{told}, {CURE_ORDER}", entry.place)
            first, panel = name not in seen and not check.owed_after, check.panel
            seen.add(name)
            if first and panel in opened and panel in closing and not off.get(panel):
                told = f"stands where `{panel}` is not off (it comes off in line {opened[panel].place.line})"
                yield Missing(entry.id, f"{told}, {CURE_ORDER}", entry.place)
            elif first and (shut := _never_off(request, panel)):
                told = f"stands behind `{shut}`, which has no box on this page"
                verbs = request.logbook.panels[shut].verbs
                how = f"write boxes `{verbs[0]} `{shut}`` and `{verbs[1]} `{shut}`` around it; of what stayed on, "
                yield Missing(entry.id, f"{told}: {how}`- not done: how it was seen` below the first", entry.place)


def _open_there(request: Request, check: Check, off: Mapping[str, int]) -> str:
    """The panel of a check, or one of the zone of its place, that is off where its box stands; "" if none is."""
    panels = request.logbook.panels
    own = panels.get(check.panel)
    if off.get(check.panel) or own is None or own.kind != PLACE_FILE:
        return check.panel if off.get(check.panel) else ""
    return next((name for name, count in off.items() if count and name in panels and panels[name].zone == own.zone), "")


def _never_off(request: Request, panel: str) -> str:
    """The panel, or one that hides it, that comes off, has no box here and is off on no other page; "" if none is.

    What it disturbs, and what is owed once it is back on, would be asked by nobody; on other work one after which
    nothing is owed may be left out.
    """
    book, now = request.logbook, request.logbook.id_now
    boxes = {now(entry.id) for entry in request.page.entries if entry.is_panel}
    boxes |= {now(name) for page in book.pages if page.name != request.page.name for name in page.panels_off()}
    for noun in on_the_way(book.panels, [panel]):
        closed = deeds(book.checks, book.panels, closed=[noun.id])
        matters = request.is_inspection or noun.disturbs or owed_by(book.checks, closed)
        if noun.kind != PLACE_FILE and noun.id not in boxes and matters:
            return noun.id
    return ""
