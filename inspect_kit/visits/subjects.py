"""What comes round on this aircraft: which items, behind which panels, worth how much, done with which others."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace

from inspect_kit.due import CHECK, FINDING, INSPECTION, RECHECK, TREND, Chronicle, DueAnswer
from inspect_kit.due.answer import Item
from inspect_kit.due.limits import DuePoint
from inspect_kit.model.checklist import Check, inspection_checks
from inspect_kit.model.interval import Limit
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import deeds, owed_by
from inspect_kit.noun import dataclass
from inspect_kit.plan import behind, panels_for
from inspect_kit.visits.money import Money, is_guarded, money_of, worth
from inspect_kit.visits.renewal import Points, Renewal, of_check, of_inspection

Owed = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Subject:
    """One thing that comes round. `checks` are all that is done with it, itself and those that ride along.

    `value` is what one whole interval is worth in minutes, for what is given away by doing it early. It is `guarded`
    where nobody knows what that costs: then it is not pulled forward. It is done at each doing of those in `follows`.
    `first` are the limits that begin anew when one of the checks in `after` is done, after which it is owed.
    """

    name: str
    kind: str
    words: str
    panel: str | None
    checks: tuple[str, ...]
    panels: tuple[str, ...]
    value: float
    renewal: Renewal
    guarded: bool = False
    follows: tuple[str, ...] = ()
    first: tuple[Limit, ...] = ()
    after: frozenset[str] = frozenset()


def subjects(book: Chronicle, answer: DueAnswer, end: dt.date) -> tuple[Subject, ...]:
    """Every item of the due list with how it comes round: inspections, checks and findings, leaders first.

    Of trends those that may reach their limit by the end of the outlook.
    """
    logbook = book.logbook
    money, owed = money_of(logbook), makers(logbook)
    inspections = [item for item in answer.items if item.kind == INSPECTION]
    checks = {item.check: item for item in answer.items if item.kind == CHECK}
    renewals = {name: of_check(name, book) for name in checks}
    if logbook.pending():
        # Of the readings of the records that are left open the list has the sooner.
        renewals = {name: _no_later(renewal, checks[name], answer) for name, renewal in renewals.items()}
    # What a directive asks for now is due now, whatever its limits say, and whether it was ever done.
    for name in (each for each, item in checks.items() if item.asked):
        asks, points = f"{checks[name].asked} asks for it", _points(checks[name], answer)
        renewals[name] = replace(renewals[name], now=points, at_once=asks, unplanned="")
    riders = {name for name in checks if _rides(logbook.checks[name]) and not renewals[name].at_once}
    with_host: dict[str, list[str]] = {}
    for rider in sorted(riders):
        for host in owed.get(rider, ()):
            with_host.setdefault(host, []).append(rider)
    own = {name for name in set(checks) - riders if _ticked(logbook.checks[name])}
    made = [_inspection(item, logbook, own, money, _points(item, answer)) for item in inspections]
    on_page = {each.check: frozenset(inspection_checks(logbook.checks, each.check)) for each in inspections}
    for name in sorted(set(checks) - riders, key=lambda name: _depth(owed, name, checks)):
        check = logbook.checks[name]
        known = {subject.name for subject in made}
        with_it = (name, *_riding(with_host, name))
        pages = [inspection for inspection, page in on_page.items() if name in page]
        leaders = pages if _ticked(check) else []
        leaders += owed.get(name, ()) if not check.first else ()
        made.append(
            Subject(
                name=name,
                kind=CHECK,
                words=check.text,
                panel=check.panel,
                checks=with_it,
                panels=panels_for(logbook.panels, [logbook.checks[each] for each in with_it]),
                value=sum(worth(logbook.checks[each], money) for each in with_it),
                guarded=any(is_guarded(logbook.checks[each], money) for each in with_it),
                renewal=renewals[name],
                follows=tuple(leader for leader in leaders if leader in known),
                first=check.first if check.owed_after else (),
                after=frozenset(owed.get(name, ())),
            )
        )
    findings = (item for item in answer.items if item.kind == FINDING)
    trends = (item for item in answer.items if item.kind == TREND and _reached_by(item, end))
    again = (item for item in answer.items if item.kind == RECHECK)
    return (
        *made,
        *(_finding(item, logbook, _points(item, answer)) for item in findings),
        *(_once_more(item, logbook, made, _points(item, answer)) for item in (*trends, *again)),
    )


def makers(logbook: Logbook) -> dict[str, tuple[str, ...]]:
    """For each check the checks after each of which it is owed: by doing them, by what they or their panels disturb.

    Doing a check with a life means a new part.
    """
    found: dict[str, list[str]] = {}
    after: dict[str, dict[str, Check]] = {}
    for check in logbook.checks.values():
        for trigger in check.owed_after:
            after.setdefault(trigger.what, {})[check.id] = check
    for check in logbook.checks.values():
        closed = panels_for(logbook.panels, [check])
        done = deeds(logbook.checks, logbook.panels, did=[check.id], closed=closed, renews=True)
        # Only what names something of this may be owed by it.
        named = {
            name: each
            for what in (*done.did, *done.disturbed, *done.installed)
            for name, each in after.get(what, {}).items()
        }
        for name in owed_by(named, done):
            if name != check.id:
                found.setdefault(name, []).append(check.id)
    return {name: tuple(own) for name, own in found.items()}


def _rides(check: Check) -> bool:
    """Whether a check has no due point of its own and comes at once with another."""
    own = any(isinstance(term, Limit) for term in check.every) or check.marked
    return bool(check.owed_after) and not (own or check.once or check.once_date or check.life or check.first)


def _ticked(check: Check) -> bool:
    """Whether doing it renews it: a life or a marked date ends with a new part, and is only looked at in between."""
    return not (check.life or check.marked or check.once or check.once_date)


def _riding(with_host: Mapping[str, Sequence[str]], name: str) -> tuple[str, ...]:
    """What rides along with a check, riders of riders included."""
    found: list[str] = []
    work = [name]
    while work:
        for rider in with_host.get(work.pop(), ()):
            if rider not in found:
                found.append(rider)
                work.append(rider)
    return tuple(found)


def _depth(owed: Owed, name: str, checks: dict[str, Item]) -> tuple[int, str]:
    """How many others must stand before it, so that leaders come first; a circle ends where it begins."""
    seen = {name}
    level = 0
    around = [name]
    while around := [what for each in around for what in owed.get(each, ()) if what not in seen]:
        around = [what for what in around if what in checks]
        seen.update(around)
        level += bool(around)
    return level, name


def _inspection(item: Item, logbook: Logbook, own: set[str], money: Money, now: Points) -> Subject:
    """An inspection with the checks that come with it alone; those with an interval of their own follow it."""
    rule = logbook.aircraft.inspections[item.check]
    page = inspection_checks(logbook.checks, rule.name)
    alone = tuple(name for name in page if name not in own)
    return Subject(
        name=rule.name,
        kind=INSPECTION,
        words=item.name,
        panel=None,
        checks=alone,
        panels=panels_for(logbook.panels, [logbook.checks[name] for name in page]),
        value=sum(worth(logbook.checks[name], money) for name in alone),
        guarded=any(is_guarded(logbook.checks[name], money) for name in alone),
        renewal=of_inspection(rule, now, logbook.aircraft),
    )


def _finding(item: Item, logbook: Logbook, now: Points) -> Subject:
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
            now=now,
            after=lambda moment, first: (),
            plain=(),
            unplanned="" if now else "no date given",
            once=True,
        ),
        follows=tuple(name for name in leader if name is not None),
    )


def _reached_by(item: Item, end: dt.date) -> bool:
    return item.expected is not None and item.expected.early <= end


def _once_more(item: Item, logbook: Logbook, made: Sequence[Subject], points: Points) -> Subject:
    """A reading that goes to its limit, or something to be looked at again: its check is done once more before that, or
    earlier by its own rule."""
    check = logbook.checks[item.check.partition("/")[0]]
    trend = item.kind == TREND
    date = item.expected.early if trend and item.expected and not item.due.meter else None
    return Subject(
        name=item.check,
        kind=item.kind,
        words=f"{item.name} about {item.expected.likely}" if trend and item.expected else item.name,
        panel=item.panel,
        checks=(check.id,),
        panels=panels_for(logbook.panels, [check]),
        value=0,
        renewal=Renewal(
            now=(DuePoint(date=date),) if date else points,
            after=lambda moment, first: (),
            plain=(),
            once=True,
        ),
        follows=tuple(subject.name for subject in made if check.id in subject.checks),
    )


def _no_later(renewal: Renewal, item: Item, answer: DueAnswer) -> Renewal:
    """How a check comes round, no later than the due list has it."""
    points = _points(item, answer)
    if item.owed and not renewal.at_once:
        return replace(renewal, at_once="owed already")
    return replace(renewal, now=(*points, *renewal.now), unplanned="" if points else renewal.unplanned)


def _points(item: Item, answer: DueAnswer) -> Points:
    """The due points that an item of the due list shows; while amendments wait as much is left as in the list, whatever
    the meter has.
    """
    meter, total, left = item.due.meter, item.due.total, item.left.amount
    if meter is not None and meter in answer.totals and left is not None and answer.seen.pending():
        total = answer.totals[meter] + left
    since = item.last.date if item.kind == INSPECTION and item.last else None
    dated = [DuePoint(date=item.due.date, since=since)] if item.due.date else []
    return (*dated, *([DuePoint(meter=meter, total=total)] if meter else []))
