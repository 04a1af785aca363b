"""Checks or panels under one roof by `was` that lived side by side: neither is the other's former id.

What either of them did would count for both, and what only one of them owed would be gone; so would what only one panel
disturbed. A former id that comes once more, after the new one, is another clone's, which knew of no new one yet.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import combinations, groupby

from inspect_kit.audit.known import Known
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.model.finding import DONE
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.lines import place_of
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record

Used = Mapping[str, list[Record]]


def side_by_side(names: Known) -> Iterator[Problem]:
    """A problem for every two ids of one check, or of one panel, that records have side by side."""
    checks, panels = names.logbook.checks.values(), names.logbook.panels.values()
    lost = "done as one of them, the other is not done"
    yield from _merged(names, [check for check in checks if check.was], _done, _why_checks, "checks", "an item", lost)
    lost = "what only one of them disturbs would be owed no more"
    yield from _merged(names, [panel for panel in panels if panel.was], _opened, _why_panels, "panels", "a panel", lost)


def _merged(
    names: Known,
    merged: Sequence[Check | Panel],
    used_by: Callable[[Record], Iterable[str]],
    why_two: Callable[[Used, str, str, str], str],
    nouns: str,
    own: str,
    lost: str,
) -> Iterator[Problem]:
    if not merged:
        return
    used = _used(names.logbook.records, {each for noun in merged for each in _ids(names, noun)}, used_by)
    for noun in merged:
        ids = [each for each in _ids(names, noun) if each in used]
        for one, other in combinations(ids, 2):
            if why := why_two(used, one, other, noun.id):
                was = next(each for each in (one, other) if each != noun.id)
                cure = f"keep `{was}` as {own} of its own; if it is gone, with `retired: DATE, reason`"
                told = f"`{one}` and `{other}` were two {nouns}, {why}: {lost}; {cure}"
                yield Problem(place_of(noun, "was"), f"was: {told}")


def _ids(names: Known, noun: Check | Panel) -> list[str]:
    """All ids that a check or a panel has and had, chains followed."""
    return [noun.id, *(old for old, now in names.logbook.current.items() if now == noun.id)]


def _used(
    records: Iterable[Record], wanted: set[str], used_by: Callable[[Record], Iterable[str]]
) -> dict[str, list[Record]]:
    """Where each of these ids stands as that of something done or taken off, by date."""
    found: dict[str, list[Record]] = {}
    for record in records:
        for each in wanted.intersection(used_by(record)):
            found.setdefault(each, []).append(record)
    return found


def _done(record: Record) -> Iterable[str]:
    if isinstance(record, PageRecord):
        if record.only_done is not None:
            return (*record.only_done, *record.did)
        return (*record.did, *(each.check for each in record.results if each.answer == DONE))
    if isinstance(record, BroughtForward):
        return record.last
    return record.did if isinstance(record, PaperEntry) else ()


def _opened(record: Record) -> Iterable[str]:
    return record.opened if isinstance(record, PageRecord) else ()


def _why_checks(used: Used, one: str, other: str, now: str) -> str:
    """By what two ids are those of two checks; "" where one may have followed the other."""
    # Of an entry by hand both may be meant as one, which `done_twice` asks.
    kept = {each: [r for r in used[each] if isinstance(r, BroughtForward) or r.seal] for each in (one, other)}
    return _in_one(kept, one, other) or _in_turns(used, one, other, now)


def _why_panels(used: Used, one: str, other: str, now: str) -> str:
    """By what two ids are those of two panels: nobody takes one panel off twice in one entry, under two names."""
    return _in_one(used, one, other) or _in_turns(used, one, other, now)


def _in_one(used: Used, one: str, other: str) -> str:
    both = next((each for each in used[one] if any(each is record for record in used[other])), None)
    return f"as {both.name} has both" if both else ""


def _in_turns(used: Used, one: str, other: str, now: str) -> str:
    days: list[tuple[dt.date, str]] = sorted((record.date, each) for each in (one, other) for record in used[each])
    turns = [name for name, _ in groupby(name for _, name in days)]
    # The id of today was there before the former one, and came again; or they come in turns.
    living_first = turns[0] == now and len(turns) > 2
    return "as records have them in turns" if living_first or len(turns) > 3 else ""
