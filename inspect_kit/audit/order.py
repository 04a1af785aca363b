"""What a checklist asks for and nobody could ever do in that order, and keys that count for nothing."""

from collections.abc import Iterable, Iterator, Mapping

from inspect_kit.audit.cycles import cycles
from inspect_kit.audit.known import Known
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import BEFORE, CLOSED, OPEN, PLACE_FILE, SETUP, Check
from inspect_kit.model.interval import CALENDAR_MONTHS, AtInspection, Limit
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import Cause, Deeds, at_once, causes, deeds

PHASES = (BEFORE, OPEN, CLOSED)


def circles(names: Known) -> Iterator[Problem]:
    """Panels behind each other in a circle, checks that wait for each other, positions on each other."""
    panels = {panel.id: panel.behind for panel in names.logbook.panels.values() if panel.retired is None}
    for circle in cycles(panels):
        panel = names.logbook.panels[circle[0]]
        yield Problem(place_of(panel, "behind", circle[1]), f"behind: goes round in a circle: {' -> '.join(circle)}")
    edges = _waiting(names)
    for circle in cycles({name: tuple(keys) for name, keys in edges.items()}):
        check = names.logbook.checks[circle[0]]
        key = edges[circle[0]][circle[1]]
        yield Problem(place_of(check, key), f"{key}: goes round in a circle: {' -> '.join(circle)}")
    positions = names.aircraft.positions
    for circle in cycles({name: (each.on,) if each.on else () for name, each in positions.items()}):
        yield Problem(place_of(positions[circle[0]], "on"), f"on: goes round in a circle: {' -> '.join(circle)}")


def _waiting(names: Known) -> dict[str, dict[str, str]]:
    """The checks that come before each check in use, each with the key that says so.

    A `closed except` check waits for every open one that does not come after it.
    """
    edges = {check.id: _waits_for(names, check) for check in names.logbook.checks.values() if check.retired is None}
    following: dict[str, list[str]] = {}
    for name, before in edges.items():
        for other in before:
            following.setdefault(other, []).append(name)
    checks = names.logbook.checks
    open_ = [name for name in edges if checks[name].when == OPEN and not checks[name].closed_except]
    waiting: dict[str, dict[str, str]] = {}
    for name, before in edges.items():
        more: Iterable[str] = ()
        if checks[name].closed_except:
            later = _led_to(following, name)
            more = (other for other in open_ if other not in later)
        waiting[name] = dict.fromkeys(more, "when") | before
    return waiting


def _led_to(following: Mapping[str, Iterable[str]], start: str) -> set[str]:
    seen: set[str] = set()
    work = [start]
    while work:
        for name in following.get(work.pop(), ()):
            if name not in seen:
                seen.add(name)
                work.append(name)
    return seen


def _waits_for(names: Known, check: Check) -> dict[str, str]:
    """The checks that come before this one by its own keys, each with the key."""
    found = {lag.check: key for key, lag in (("wait", check.wait), ("within", check.within)) if lag}
    owed = [why.by for why in _owed_after(names, check) if why.by in names.logbook.checks]
    return dict.fromkeys(owed, "owed-after") | found | dict.fromkeys(check.after, "after")


def _owed_after(names: Known, check: Check) -> tuple[Cause, ...]:
    """All checks and panels in use that can make a check owed at once."""
    if not at_once(check) or not check.owed_after:
        return ()
    return causes(check, names.logbook.once("all deeds", lambda: _all_deeds(names.logbook)))


def _all_deeds(logbook: Logbook) -> Deeds:
    """What all checks and panels in use bring about."""
    did = [each.id for each in logbook.checks.values() if each.retired is None]
    closed = [each.id for each in logbook.panels.values() if each.retired is None and each.kind != PLACE_FILE]
    return deeds(logbook.checks, logbook.panels, did=did, closed=closed)


def phases(names: Known) -> Iterator[Problem]:
    """Checks whose phase contradicts what must be off or standing for them, or the checks they come after."""
    panels = names.logbook.panels
    for check in names.logbook.checks.values():
        home = panels.get(check.panel)
        if check.retired is not None or home is None:
            continue
        needed = _off(names.logbook, (check.panel, *check.with_))
        if check.when in (BEFORE, CLOSED) and home.kind != PLACE_FILE:
            told = f"when: `{check.when}` belongs in a file where nothing comes off, and `{home.id}` comes off"
            yield Problem(place_of(check, "when"), told)
        elif check.when in (BEFORE, CLOSED) and needed:
            told = f"when: `{check.when}` is when nothing is off, and this wants {_listed(needed)} off or standing"
            yield Problem(place_of(check, "when"), told)
        elif check.closed_except and (shut := set(needed) - set(_off(names.logbook, check.closed_except))):
            told = f"when: `closed except` leaves out {_listed(sorted(shut))}, which this wants off or standing"
            yield Problem(place_of(check, "when"), told)
        # That something else is no setup is told by itself.
        standing = {name for name in (*needed, *_off(names.logbook, check.closed_except)) if panels[name].kind == SETUP}
        for setup in sorted({*map(names.logbook.id_now, check.not_while)} & standing):
            yield Problem(place_of(check, "not-while"), f"not-while: this check cannot be done without `{setup}`")
        for other, key in _waits_for(names, check).items():
            first = names.logbook.checks.get(other)
            if first is None:
                continue
            if PHASES.index(first.when) > PHASES.index(check.when):
                late, early = _phase_name(first), _phase_name(check)
                told = f"{key}: `{other}` is done in a later phase (`{late}`) than this check (`{early}`)"
                yield Problem(place_of(check, key), told)
            elif first.closed_except and (shut := set(needed) - set(_off(names.logbook, first.closed_except))):
                told = f"{key}: when `{other}` is done {_listed(sorted(shut))} is closed, and this wants it open"
                if check.when == OPEN:
                    yield Problem(place_of(check, key), told)
        yield from _owed_too_early(names, check, {*needed, *_off(names.logbook, check.closed_except)})


def _owed_too_early(names: Known, check: Check, needed: set[str]) -> Iterator[Problem]:
    """A check owed after a panel is back on that has to be done with it off, or before anything comes off."""
    for why in _owed_after(names, check):
        if why.by in names.logbook.panels and (why.by in needed or check.when == BEFORE):
            when = f"with `{why.by}` off or standing" if why.by in needed else "before anything comes off"
            told = f"owed-after: `{why.trigger}` happens when `{why.by}` is put back, and this is done {when}"
            yield Problem(place_of(check, "owed-after"), told)


def in_the_way(names: Known) -> Iterator[Problem]:
    """Panels that could never be moved: not while a setup stands, and behind that very setup, or that setup itself."""
    panels = names.logbook.panels
    for panel in panels.values():
        if panel.retired is None:
            for setup in sorted({*map(names.logbook.id_now, panel.not_while)} & set(_off(names.logbook, (panel.id,)))):
                told = f"not-while: this panel cannot be moved without `{setup}`"
                yield Problem(place_of(panel, "not-while", setup), told)


def _phase_name(check: Check) -> str:
    return "closed except" if check.closed_except else check.when


def _off(logbook: Logbook, ids: Iterable[str]) -> tuple[str, ...]:
    """These panels and all they are behind, as far as they come off or are made, sorted, by their ids of today.

    That one is named by its former id is told once, and what that would leave out is no fault besides.
    """
    panels = logbook.panels
    seen: set[str] = set()
    work = list(ids)
    while work:
        panel = panels.get(logbook.id_now(work.pop()))
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
            yield from _idle(names, check)


def _idle(names: Known, check: Check) -> Iterator[Problem]:
    counted = bool(check.every or check.once or check.once_date or check.life)
    for grace in check.grace:
        if told := idle_grace(names, check, grace):
            yield Problem(place_of(check, "grace"), f"grace: {told}")
        elif told := _too_long(names, check, grace):
            yield Problem(place_of(check, "grace"), f"grace: {told}", note=True)
    if check.life and check.counts_on is None:
        told = "life: ends with a new part: name the position it is fitted in, `counts-on: POSITION`"
        yield Problem(place_of(check, "life"), told)
    if check.counts_on is not None and not counted and not check.owed_after:
        yield Problem(place_of(check, "counts-on"), "counts-on: this check has no limit that could count on it")
    if check.first and not counted and not check.owed_after:
        yield Problem(place_of(check, "first"), "first: this check has neither `every` nor `owed-after` to begin")
    if check.bars is not None and not check.is_item:
        yield Problem(place_of(check, "bars"), "bars: this check is never due by itself, so that nothing is barred")


def idle_grace(names: Known, check: Check, grace: Limit) -> str:
    """Why grace counts for nothing at a check, or may not stand there; "" where it goes past one of its intervals."""
    if any(isinstance(term, AtInspection) for term in check.every):
        return "an inspection has none"
    every = [term for term in check.every if isinstance(term, Limit)]
    if not every and (check.once or check.once_date or check.life):
        return f"{grace} counts for nothing, as {'a life' if check.life else 'what is done once'} has none"
    own = [limit for limit in every if names.aircraft.counts_with(grace, limit)]
    if not own:
        cure = "give it by the calendar, or on the meter of its limit"
        return f"{grace} belongs to no limit of this check: {cure}"
    if all(limit.unit == CALENDAR_MONTHS for limit in own):
        return f"{grace} counts for nothing, as a limit in calendar months has none"
    return f"{grace} is no less than the interval itself" if grace.outlasts(own) else ""


def _too_long(names: Known, check: Check, grace: Limit) -> str:
    """Why grace cannot be what a source allows: makers give a tenth, hardly ever more (common practice, no source)."""
    for limit in check.every:
        alike = isinstance(limit, Limit) and limit.unit == grace.unit and names.aircraft.counts_with(grace, limit)
        if alike and isinstance(limit, Limit) and 2 * grace.number > limit.number:
            return f"{grace} is more than half of {limit}: has a digit slipped?"
    return ""


def never_asked(names: Known) -> Iterator[Problem]:
    """Checks that no interval, no inspection and no directive asks for: they are due never, and on no page.

    That may be meant, and then `replace: on condition` says so; else a key that makes it due was lost.
    """
    told = {each.check for each in names.logbook.of_kind(Directive) if each.check}
    asked = {names.logbook.id_now(name) for name in told}
    for check in names.logbook.checks.values():
        home = names.logbook.panels.get(check.panel)
        in_use = check.retired is None and (home is None or home.retired is None)
        by_itself = check.is_item or check.every or check.covers or check.replace
        if in_use and not by_itself and check.id not in asked:
            yield Problem(
                check.place,
                f"`{check.id}` is asked for by no interval and no inspection, so that it is never due: write `every`, "
                "or `replace: on condition` if that is meant",
            )
