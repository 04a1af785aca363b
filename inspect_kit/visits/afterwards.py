"""What a visit leaves owed some use or days later, such as the torque 1 h after new bolts: planned as well."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from inspect_kit.due import Chronicle
from inspect_kit.plan import access_labour
from inspect_kit.visits.outlook import free
from inspect_kit.visits.question import BOTH_USES, Question, Rule
from inspect_kit.visits.renewal import Points, points_from
from inspect_kit.visits.subjects import Subject, hosts

Doings = Mapping[str, tuple[int, ...]]
ROUNDS = 6


@dataclass(frozen=True, kw_only=True, slots=True)
class Afterwards:
    """All doings, those that are owed included. `owed` has the words for each such doing, by item and slot.

    `wanted` are days on which something is owed and there is no slot; `unplanned` words by slot for what is owed sooner
    than the next day.
    """

    doings: dict[str, tuple[int, ...]]
    owed: dict[tuple[str, int], str] = field(default_factory=dict)
    wanted: set[dt.date] = field(default_factory=set)
    unplanned: dict[int, list[str]] = field(default_factory=dict)


def afterwards(asked: Question, doings: Doings, book: Chronicle) -> Afterwards:
    """The doings with all that they leave owed later, each on the visit that costs least for it, the latest of such."""
    made = Afterwards(doings=dict(doings))
    for _ in range(ROUNDS):
        before = dict(made.doings)
        for subject in asked.subjects:
            if subject.first:
                _sequences(asked, subject, made, book)
        if made.doings == before:
            break
    return made


def moved(doings: Doings, asked: Question, again: Question) -> dict[str, tuple[int, ...]]:
    """The same doings in the slots of a question that has more days."""
    slots = {day: slot for slot, day in enumerate(again.days)}
    return {name: tuple(slots[asked.days[slot]] for slot in chain) for name, chain in doings.items()}


def _sequences(asked: Question, subject: Subject, made: Afterwards, book: Chronicle) -> None:
    around = set(hosts(book.logbook, book.logbook.checks[subject.name]))
    leaders = [each for each in asked.subjects if around.intersection(each.checks)]
    triggers = sorted({(slot, leader.name) for leader in leaders for slot in made.doings[leader.name]})
    for place, (slot, leader) in enumerate(triggers):
        stop = next((later for later, _ in triggers[place + 1 :] if later > slot), len(asked.days))
        _sequence(asked, subject, made, book, (slot, leader, stop))
    _carry_on(asked, subject, made, book)


def _sequence(
    asked: Question, subject: Subject, made: Afterwards, book: Chronicle, trigger: tuple[int, str, int]
) -> None:
    """What one trigger asks for until the next one: each limit answered by a doing after the one before it."""
    start, leader, stop = trigger
    rule = asked.rules[subject.name]
    aircraft = book.logbook.aircraft
    last = start
    for limit in subject.first:
        points = {heavy: points_from((limit,), rule.moments[heavy][start], aircraft) for heavy in BOTH_USES}
        latest = min(rule.within(points[heavy], heavy) for heavy in BOTH_USES)
        if latest >= stop:
            return
        planned = [slot for slot in made.doings[subject.name] if last < slot <= latest]
        if planned:
            last = planned[0]
            continue
        words = f"within {limit} after {leader}"
        if latest <= last:
            day = _day(asked, rule, points, asked.days[last], book)
            if day is None:
                told = made.unplanned.setdefault(start, [])
                told += [f"{subject.name} {words}"] * (f"{subject.name} {words}" not in told)
            else:
                made.wanted.add(day)
            return
        last = _cheapest(asked, subject, made, book, range(last + 1, latest + 1))
        made.owed[subject.name, last] = words
        _add(asked, made, subject.name, last)


def _carry_on(asked: Question, subject: Subject, made: Afterwards, book: Chronicle) -> None:
    """What comes round again once it has been begun, until nothing more falls due."""
    item = asked.rules[subject.name].item
    while made.doings[subject.name]:
        last = made.doings[subject.name][-1]
        latest = item.latest[last + 1]
        if latest >= len(asked.days) or latest <= last:
            return
        _add(asked, made, subject.name, _cheapest(asked, subject, made, book, range(last + 1, latest + 1)))


def _cheapest(asked: Question, subject: Subject, made: Afterwards, book: Chronicle, slots: range) -> int:
    """The slot at which one more item costs least, the latest of such."""
    opened = {slot: set(panels) for slot, panels in _opened(asked, made)}

    def cost(slot: int) -> float:
        shut = [name for name in subject.panels if name not in opened.get(slot, ())]
        return (0.0 if slot in opened else asked.problem.visit[slot]) + access_labour(book.logbook.panels, shut)

    return min(slots, key=lambda slot: (cost(slot), -slot))


def _opened(asked: Question, made: Afterwards) -> Iterator[tuple[int, list[str]]]:
    slots = sorted({slot for chain in made.doings.values() for slot in chain})
    for slot in slots:
        yield slot, [name for each in asked.subjects if slot in made.doings[each.name] for name in each.panels]


def _add(asked: Question, made: Afterwards, name: str, slot: int) -> None:
    """One more doing, and with it those that follow it."""
    if slot in made.doings[name]:
        return
    made.doings[name] = tuple(sorted({*made.doings[name], slot}))
    for other in asked.subjects:
        if name in other.follows:
            _add(asked, made, other.name, slot)


def _day(asked: Question, rule: Rule, points: Mapping[bool, Points], since: dt.date, book: Chronicle) -> dt.date | None:
    """The latest day after another within due points, a free one if there is one; None if even the next day is not."""
    found: list[dt.date] = []
    day = since + dt.timedelta(days=1)
    while day < rule.days[-1] and all(rule.keeps(points[heavy], day, heavy) for heavy in BOTH_USES):
        found.append(day)
        day += dt.timedelta(days=1)
    willing = [day for day in found if free(day, book.logbook.aircraft.visits)]
    return max(willing or found, default=None)
