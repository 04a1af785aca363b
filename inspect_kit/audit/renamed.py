"""Checks under one roof by `was` that lived side by side: records have both, so neither is the other's former id.

What either of them did would count for both, and what only one of them owed would be gone. A former id that comes once
more, after the new one, is another clone's, which knew of no new one yet.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations, groupby

from inspect_kit.audit.known import Known
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import Check
from inspect_kit.model.finding import DONE
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.lines import place_of
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record

Used = Mapping[str, list[Record]]


def side_by_side(names: Known) -> Iterator[Problem]:
    """A problem for every two ids of one check that records have side by side."""
    merged = [check for check in names.logbook.checks.values() if check.was]
    if not merged:
        return
    used = _used(names.logbook.records, {each for check in merged for each in _ids(names, check)})
    for check in merged:
        ids = [each for each in _ids(names, check) if each in used]
        for one, other in combinations(ids, 2):
            if why := _why(used, one, other, check):
                told = f"`{one}` and `{other}` were two checks, {why}: done as one of them, the other is not done"
                was = next(each for each in (one, other) if each != check.id)
                cure = f"keep `{was}` as an item of its own; if it is gone, with `retired: DATE, reason`"
                yield Problem(place_of(check, "was"), f"was: {told}; {cure}")


def _ids(names: Known, check: Check) -> list[str]:
    """All ids that a check has and had, chains followed."""
    return [check.id, *(old for old, now in names.logbook.current.items() if now == check.id)]


def _used(records: Iterable[Record], wanted: set[str]) -> dict[str, list[Record]]:
    """Where each of these ids stands as that of something done, by date."""
    found: dict[str, list[Record]] = {}
    for record in records:
        for each in wanted.intersection(_done(record)):
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


def _why(used: Used, one: str, other: str, check: Check) -> str:
    """By what two ids are those of two checks; "" where one may have followed the other."""
    shared = [each for each in used[one] if any(each is record for record in used[other])]
    # Of an entry by hand both may be meant as one, which `done_twice` asks.
    if both := next((each for each in shared if isinstance(each, BroughtForward) or each.seal), None):
        return f"as {both.name} has both"
    days: list[tuple[dt.date, str]] = sorted(
        (record.date, each) for each in (one, other) for record in used[each]
    )
    turns = [name for name, _ in groupby(name for _, name in days)]
    # The id of today was there before the former one, and came again; or they come in turns.
    living_first = turns[0] == check.id and len(turns) > 2
    return "as records have them in turns" if living_first or len(turns) > 3 else ""
