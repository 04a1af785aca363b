"""The order in which named checks can be done: what closes an aircraft before an engine runs, as in every plan."""

from collections.abc import Callable, Iterable, Iterator, Mapping

from inspect_kit.model.checklist import CLOSED, OTHERS, Check, Panel
from inspect_kit.noun import dataclass
from inspect_kit.plan.access import behind, panels_for_check
from inspect_kit.plan.request import Job
from inspect_kit.plan.steps import work_of

Checks = Mapping[str, Check]
Panels = Mapping[str, Panel]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfOrder:
    """A check that wants the aircraft closed, or something not standing, named before one that comes before it.

    `off` are the panels and setups that keep it from being closed while the other is done; none where the run says
    itself that it comes after that.
    """

    run: str
    before: str
    off: tuple[str, ...] = ()


def in_order(checks: Checks, panels: Panels, names: Iterable[str]) -> tuple[str, ...]:
    """These checks in an order in which they can be done: as they stand, but each behind all that come before it."""
    waiting = list(dict.fromkeys(names))
    firsts = _firsts(checks, panels, waiting)
    found: list[str] = []
    while waiting:
        # Checks that come before each other in a circle stay as they are.
        ready = next((name for name in waiting if not firsts[name].intersection(waiting)), waiting[0])
        waiting.remove(ready)
        found.append(ready)
    return tuple(found)


def out_of_order(checks: Checks, panels: Panels, names: Iterable[str], undone: Iterable[str]) -> Iterator[OutOfOrder]:
    """Each check of these that wants all closed, or an engine run, and is named before what comes before it.

    What is done without opening anything leaves nothing open for a run. `undone` are owed and not among them: of those
    count what a check says it comes after, and what the same disturbance made owed.
    """
    named = list(dict.fromkeys(names))
    left = [name for name in undone if name not in named and checks[name].who != OTHERS]
    firsts = _firsts(checks, panels, [*named, *left])
    for at, name in enumerate(named):
        if not _is_run(checks[name]):
            continue
        for other in named[at + 1 :]:
            if other not in firsts[name] or name in firsts[other]:
                continue
            # What may be off while it runs keeps nothing from being closed.
            may = behind(panels, checks[name].closed_except)
            off = tuple(each for each in panels_for_check(panels, checks[other]) if each not in may)
            same = {*checks[other].owed_after} & {*checks[name].owed_after}
            if other in _after(checks, name) or (same and not off):
                yield OutOfOrder(run=name, before=other)
            elif off:
                yield OutOfOrder(run=name, before=other, off=off)
        for other in left:
            same = {*checks[other].owed_after} & {*checks[name].owed_after}
            tied = other in firsts[name] and name not in firsts[other]
            if tied and (same or other in _after(checks, name)):
                yield OutOfOrder(run=name, before=other)


def _is_run(check: Check) -> bool:
    """Whether it is done on an aircraft that is closed, or while a setup must not stand: as engine runs are."""
    return check.when == CLOSED or bool(check.closed_except or check.not_while)


def _firsts(checks: Checks, panels: Panels, names: list[str]) -> dict[str, set[str]]:
    """By each of these checks those among them that come before it."""
    known = [name for name in names if name in checks]
    following: dict[str, list[str]] = {}
    for tie in work_of(Job(panels=panels, checks=checks, chosen=tuple(known))).ties:
        # Within so many minutes of another says only that it comes after that too.
        following.setdefault(tie.before, []).append(tie.after)
    found: dict[str, set[str]] = {name: {*known} & _after(checks, name) - {name} for name in known}
    for name in known:
        for each in _reached(name, lambda step: following.get(step, ())) & {*known} - {name}:
            found[each].add(name)
    return found


def _after(checks: Checks, name: str) -> set[str]:
    """All that a check comes after by its own words, and what those come after."""
    return _reached(name, lambda each: checks[each].after if each in checks else ())


def _reached(begin: str, beyond: Callable[[str], Iterable[str]]) -> set[str]:
    """All that can be reached from a name, one step or more away."""
    seen: set[str] = set()
    waiting = [begin]
    while waiting:
        new = {*beyond(waiting.pop())} - seen
        seen |= new
        waiting += new
    return seen
