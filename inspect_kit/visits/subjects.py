"""What comes round on this aircraft: which items, behind which panels, worth how much, done with which others."""

from dataclasses import dataclass

from inspect_kit.due import CHECK, FINDING, INSPECTION, Chronicle, DueAnswer, all_fittings
from inspect_kit.due.answer import Item
from inspect_kit.due.limits import Point
from inspect_kit.model.checklist import DID, INSTALLED, OTHERS, Check
from inspect_kit.model.interval import Limit
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import behind, panels_for
from inspect_kit.visits.renewal import Renewal, of_check, of_inspection

# Minutes that stand for money where an interval is given away: chosen here, not measured. A part with a life and work
# by others cost more than the labour of fitting; oil and filters cost something.
PART_MINUTES = 240
OTHERS_MINUTES = 240
SUPPLIES_MINUTES = 30


@dataclass(frozen=True, kw_only=True, slots=True)
class Subject:
    """One thing that comes round. `checks` are all that is done with it, itself and those that ride along.

    `value` is what one whole interval is worth in minutes, for what is given away by doing it early. It is done at
    each doing of those in `follows`. `first` are the limits that begin anew when what it is owed after is done.
    """

    name: str
    kind: str
    words: str
    panel: str | None
    checks: tuple[str, ...]
    panels: tuple[str, ...]
    value: int
    renewal: Renewal
    follows: tuple[str, ...] = ()
    first: tuple[Limit, ...] = ()


def on_page(logbook: Logbook, inspection: str) -> tuple[str, ...]:
    """The checks on the page of an inspection: those that its name brings, and all that cover a scope code."""
    return tuple(
        check.id
        for check in logbook.checks.values()
        if check.retired is None and (check.at_inspection(inspection) or check.covers)
    )


def labour(check: Check) -> int:
    """Minutes x people; nothing where others do it."""
    return 0 if check.who == OTHERS else check.minutes * check.people


def worth(check: Check) -> int:
    """What one interval of a check is worth, in minutes."""
    part = PART_MINUTES if check.life or check.marked else 0
    return (
        labour(check) + part + (OTHERS_MINUTES if check.who == OTHERS else 0) + (SUPPLIES_MINUTES if check.uses else 0)
    )


def subjects(book: Chronicle, answer: DueAnswer) -> tuple[Subject, ...]:
    """Every item of the due list with how it comes round: inspections, checks and findings, leaders first."""
    logbook = book.logbook
    inspections = [item for item in answer.items if item.kind == INSPECTION]
    checks = {item.check: item for item in answer.items if item.kind == CHECK}
    fittings = all_fittings(book)
    renewals = {name: of_check(logbook.checks[name], book, fittings) for name in checks}
    riders = {name for name in checks if _rides(logbook.checks[name]) and not renewals[name].at_once}
    own = {name for name in set(checks) - riders if _ticked(logbook.checks[name])}
    made = [_inspection(item, logbook, own) for item in inspections]
    for name in sorted(set(checks) - riders, key=lambda name: _depth(logbook, name, checks)):
        check = logbook.checks[name]
        known = {subject.name for subject in made}
        with_it = (name, *_riding(logbook, riders, name))
        leaders = [each.check for each in inspections if name in on_page(logbook, each.check) and _ticked(check)]
        leaders += [what for what in hosts(logbook, check) if not check.first]
        made.append(
            Subject(
                name=name,
                kind=CHECK,
                words=check.text,
                panel=check.panel,
                checks=with_it,
                panels=panels_for(logbook.panels, [logbook.checks[each] for each in with_it]),
                value=sum(worth(logbook.checks[each]) for each in with_it),
                renewal=renewals[name],
                follows=tuple(leader for leader in leaders if leader in known),
                first=check.first if check.owed_after else (),
            )
        )
    findings = (item for item in answer.items if item.kind == FINDING)
    return (*made, *(_finding(item, logbook) for item in findings))


def hosts(logbook: Logbook, check: Check) -> list[str]:
    """The checks after each of which this one is owed: those it names, and lives whose new part it waits for."""
    found = []
    for verb, what in ((trigger.verb, logbook.id_now(trigger.what)) for trigger in check.owed_after):
        if verb == DID:
            found.append(what)
        elif verb == INSTALLED:
            found += [other.id for other in logbook.checks.values() if other.life and _position(logbook, other) == what]
    return found


def _position(logbook: Logbook, check: Check) -> str | None:
    return None if check.counts_on is None else logbook.id_now(check.counts_on)


def _rides(check: Check) -> bool:
    """Whether a check has no due point of its own and comes at once with another."""
    own = any(isinstance(term, Limit) for term in check.every) or check.marked
    return bool(check.owed_after) and not (own or check.once or check.once_date or check.life or check.first)


def _ticked(check: Check) -> bool:
    """Whether doing it renews it: a life or a marked date ends with a new part, and is only looked at in between."""
    return not (check.life or check.marked or check.once or check.once_date)


def _riding(logbook: Logbook, riders: set[str], name: str) -> tuple[str, ...]:
    """What rides along with a check, riders of riders included."""
    found: list[str] = []
    work = [name]
    while work:
        host = work.pop()
        for rider in sorted(riders):
            if rider not in found and host in hosts(logbook, logbook.checks[rider]):
                found.append(rider)
                work.append(rider)
    return tuple(found)


def _depth(logbook: Logbook, name: str, checks: dict[str, Item]) -> tuple[int, str]:
    """How many others must stand before it, so that leaders come first; a circle ends where it begins."""
    seen = {name}
    level = 0
    around = [name]
    while around := [what for each in around for what in hosts(logbook, logbook.checks[each]) if what not in seen]:
        around = [what for what in around if what in checks]
        seen.update(around)
        level += bool(around)
    return level, name


def _inspection(item: Item, logbook: Logbook, own: set[str]) -> Subject:
    """An inspection with the checks that come with it alone; those with an interval of their own follow it."""
    rule = logbook.aircraft.inspections[item.check]
    page = on_page(logbook, rule.name)
    alone = tuple(name for name in page if name not in own)
    return Subject(
        name=rule.name,
        kind=INSPECTION,
        words=item.name,
        panel=None,
        checks=alone,
        panels=panels_for(logbook.panels, [logbook.checks[name] for name in page]),
        value=sum(worth(logbook.checks[name]) for name in alone),
        renewal=of_inspection(rule, _points(item), logbook.aircraft),
    )


def _finding(item: Item, logbook: Logbook) -> Subject:
    finding = logbook.standing()[item.check]
    leader = (finding.fix.at_inspection,) if finding.fix.at_inspection in logbook.aircraft.inspections else ()
    return Subject(
        name=item.check,
        kind=FINDING,
        words=item.name,
        panel=item.panel,
        checks=(),
        panels=behind(logbook.panels, [item.panel] if item.panel else []),
        value=0,
        renewal=Renewal(
            now=_points(item),
            after=lambda moment, first: (),
            unplanned="" if _points(item) else "no date given",
            once=True,
        ),
        follows=tuple(name for name in leader if name is not None),
    )


def _points(item: Item) -> tuple[Point, ...]:
    """The due points that an item of the due list shows."""
    dated = [Point(date=item.due.date)] if item.due.date else []
    metered = [Point(meter=item.due.meter, total=item.due.total)] if item.due.meter else []
    return (*dated, *metered)
