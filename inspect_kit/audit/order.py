"""What a checklist asks for and nobody could ever do in that order, and keys that count for nothing."""

from collections.abc import Iterable, Iterator, Mapping

from inspect_kit.audit.cycles import cycles
from inspect_kit.audit.known import Known
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import BEFORE, CLOSED, PLACE_FILE, Check, Panel
from inspect_kit.model.interval import AtInspection, Limit
from inspect_kit.model.lines import place_of


def circles(names: Known) -> Iterator[Problem]:
    """Panels behind each other in a circle, checks that wait for each other, positions on each other."""
    panels = {panel.id: panel.behind for panel in names.logbook.panels.values() if panel.retired is None}
    for circle in cycles(panels):
        panel = names.logbook.panels[circle[0]]
        yield Problem(place_of(panel, "behind", circle[1]), f"behind: goes round in a circle: {' -> '.join(circle)}")
    edges = {check.id: _waits_for(check) for check in names.logbook.checks.values() if check.retired is None}
    for circle in cycles({name: tuple(keys) for name, keys in edges.items()}):
        check = names.logbook.checks[circle[0]]
        key = edges[circle[0]][circle[1]]
        yield Problem(place_of(check, key), f"{key}: goes round in a circle: {' -> '.join(circle)}")
    positions = names.aircraft.positions
    for circle in cycles({name: (each.on,) if each.on else () for name, each in positions.items()}):
        yield Problem(positions[circle[0]].place, f"on: goes round in a circle: {' -> '.join(circle)}")


def _waits_for(check: Check) -> dict[str, str]:
    """The checks that come before this one, each with the key that says so."""
    found = {lag.check: key for key, lag in (("wait", check.wait), ("within", check.within)) if lag}
    return found | dict.fromkeys(check.after, "after")


def phases(names: Known) -> Iterator[Problem]:
    """Checks whose phase contradicts what must be off or standing for them, or the checks they come after."""
    panels = names.logbook.panels
    for check in names.logbook.checks.values():
        home = panels.get(check.panel)
        if check.retired is not None or home is None:
            continue
        needed = _off(panels, (check.panel, *check.with_))
        if check.when in (BEFORE, CLOSED) and home.kind != PLACE_FILE:
            told = f"when: `{check.when}` belongs in a file where nothing comes off, and `{home.id}` comes off"
            yield Problem(place_of(check, "when"), told)
        elif check.when in (BEFORE, CLOSED) and needed:
            told = f"when: `{check.when}` is when nothing is off, and this wants {_listed(needed)} off or standing"
            yield Problem(place_of(check, "when"), told)
        elif check.closed_except and (shut := set(needed) - set(_off(panels, check.closed_except))):
            told = f"when: `closed except` leaves out {_listed(sorted(shut))}, which this wants off or standing"
            yield Problem(place_of(check, "when"), told)
        for setup in sorted(set(check.not_while) & {*needed, *_off(panels, check.closed_except)}):
            yield Problem(place_of(check, "not-while"), f"not-while: this check cannot be done without `{setup}`")
        for other, key in _waits_for(check).items():
            first = names.logbook.checks.get(other)
            if first is not None and _phase(first) > _phase(check):
                late, early = _phase_name(first), _phase_name(check)
                told = f"{key}: `{other}` is done in a later phase (`{late}`) than this check (`{early}`)"
                yield Problem(place_of(check, key), told)


def in_the_way(names: Known) -> Iterator[Problem]:
    """Panels that could never be moved: not while a setup stands, and behind that very setup, or that setup itself."""
    panels = names.logbook.panels
    for panel in panels.values():
        if panel.retired is None:
            for setup in sorted(set(panel.not_while) & set(_off(panels, (panel.id,)))):
                told = f"not-while: this panel cannot be moved without `{setup}`"
                yield Problem(place_of(panel, "not-while", setup), told)


def _phase(check: Check) -> tuple[int, bool]:
    return (0 if check.when == BEFORE else 2 if check.when == CLOSED else 1), bool(check.closed_except)


def _phase_name(check: Check) -> str:
    return "closed except" if check.closed_except else check.when


def _off(panels: Mapping[str, Panel], ids: Iterable[str]) -> tuple[str, ...]:
    """These panels and all they are behind, as far as they come off or are made, sorted."""
    seen: set[str] = set()
    work = list(ids)
    while work:
        panel = panels.get(work.pop())
        if panel is not None and panel.id not in seen:
            seen.add(panel.id)
            work.extend(panel.behind)
    return tuple(sorted(name for name in seen if panels[name].kind != PLACE_FILE))


def _listed(ids: Iterable[str]) -> str:
    return ", ".join(f"`{name}`" for name in ids)


def idle_keys(names: Known) -> Iterator[Problem]:
    """Limits that could never count: grace on an inspection, a life that nothing ends, a key without its fellow."""
    for check in names.logbook.checks.values():
        if check.retired is None and not check.unread:
            yield from _idle(check)


def _idle(check: Check) -> Iterator[Problem]:
    counted = bool(check.every or check.once or check.once_date or check.life)
    if check.grace and any(isinstance(term, AtInspection) for term in check.every):
        yield Problem(place_of(check, "grace"), "grace: an inspection has none")
    elif check.grace:
        limits = [term for term in (*check.every, *check.once, *check.life) if isinstance(term, Limit)]
        for grace in check.grace:
            if not any(_alike(grace, limit) for limit in limits) and not (check.once_date and grace.is_calendar):
                yield Problem(place_of(check, "grace"), f"grace: {grace} go past no limit of this check")
    if check.life and check.counts_on is None:
        told = "life: ends with a new part: name the position it is fitted in, `counts-on: POSITION`"
        yield Problem(place_of(check, "life"), told)
    if check.counts_on is not None and not counted and not check.owed_after:
        yield Problem(place_of(check, "counts-on"), "counts-on: this check has no limit that could count on it")
    if check.first and not counted and not check.owed_after:
        yield Problem(place_of(check, "first"), "first: this check has neither `every` nor `owed-after` to begin")
    if check.bars is not None and not check.is_item:
        yield Problem(place_of(check, "bars"), "bars: this check is never due by itself, so that nothing is barred")


def _alike(one: Limit, other: Limit) -> bool:
    """Whether one limit can go past the other: both by the calendar, or both on one meter."""
    if one.is_calendar or other.is_calendar:
        return one.is_calendar and other.is_calendar
    return one.unit == other.unit and one.meter == other.meter
