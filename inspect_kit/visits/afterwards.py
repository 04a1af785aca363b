"""What a visit leaves owed some use or days later, such as the torque 1 h after new bolts: planned as well."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from inspect_kit.due import Chronicle
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import access_labour
from inspect_kit.replenishment.problem import TODAY
from inspect_kit.visits.outlook import free
from inspect_kit.visits.question import BOTH_USES, Question, Rule
from inspect_kit.visits.renewal import Points, points_from
from inspect_kit.visits.subjects import Subject, hosts

Doings = Mapping[str, tuple[int, ...]]
Trigger = tuple[int, str]
# What is owed may itself leave something owed.
ROUNDS = 6


@dataclass(frozen=True, kw_only=True, slots=True)
class Afterwards:
    """All doings, those that are owed included. `owed` has the words for each such doing, by item and slot.

    `wanted` are days on which something is owed and there is no slot; `unplanned` words by slot for what is owed and
    not there, as it is owed sooner than the next day or those days are not there yet.
    """

    doings: dict[str, tuple[int, ...]]
    owed: dict[tuple[str, int], str] = field(default_factory=dict)
    wanted: set[dt.date] = field(default_factory=set)
    unplanned: dict[int, set[str]] = field(default_factory=dict)


def begun(asked: Question, doings: Doings, logbook: Logbook) -> frozenset[str]:
    """The items whose sequence of first limits begins anew within the outlook: no fixed interval tells when."""
    return frozenset(
        subject.name
        for subject in asked.subjects
        if subject.first and any(doings[leader.name] for leader in _leaders(asked, subject, logbook))
    )


def afterwards(
    asked: Question, doings: Doings, book: Chronicle, anew: frozenset[str], *, when_due: bool = False
) -> Afterwards:
    """The doings with all those of the items that begin `anew`, each on the visit that costs least for it.

    Of such visits the latest; with `when_due` the last possible one, whatever it costs.
    """
    plain = {subject.name: doings.get(subject.name, ()) for subject in asked.subjects}
    made = Afterwards(doings=plain | dict.fromkeys(anew, ()))
    for _ in range(ROUNDS):
        before = dict(made.doings)
        for subject in asked.subjects:
            if subject.name in anew:
                _Sequence(asked, subject, made, book, when_due).plan()
        if made.doings == before:
            break
    return made


def moved(doings: Doings, asked: Question, again: Question) -> dict[str, tuple[int, ...]]:
    """The same doings in the slots of a question that has more days."""
    slots = {day: slot for slot, day in enumerate(again.days)}
    return {name: tuple(slots[asked.days[slot]] for slot in chain) for name, chain in doings.items()}


def _leaders(asked: Question, subject: Subject, logbook: Logbook) -> list[Subject]:
    around = set(hosts(logbook, logbook.checks[subject.name]))
    return [each for each in asked.subjects if around.intersection(each.checks)]


class _Sequence:
    """One item whose first limits begin anew: what it owes after each trigger, one doing after the other."""

    def __init__(self, asked: Question, subject: Subject, made: Afterwards, book: Chronicle, when_due: bool) -> None:
        self.asked, self.subject, self.made, self.book, self.when_due = asked, subject, made, book, when_due
        self.rule = asked.rules[subject.name]
        self.slots = len(asked.days)

    def plan(self) -> None:
        name = self.subject.name
        for key in [key for key in self.made.owed if key[0] == name]:
            del self.made.owed[key]
        for told in self.made.unplanned.values():
            told.difference_update([words for words in told if words.startswith(f"{name} ")])
        self.made.doings[name] = ()
        stops = {slot for leader in self.subject.follows for slot in self.made.doings[leader]}
        for slot in sorted(stops):
            _add(self.asked, self.made, name, slot)
        leaders = _leaders(self.asked, self.subject, self.book.logbook)
        begins: dict[int, str] = {slot: each.name for each in leaders for slot in self.made.doings[each.name]}
        triggers: list[Trigger] = [(TODAY, ""), *sorted(begins.items())]
        last = TODAY
        for trigger, (end, _) in pairwise([*triggers, (self.slots, "")]):
            last = self._until(trigger, end, last, stops)

    def _until(self, trigger: Trigger, end: int, last: int, stops: set[int]) -> int:
        """The doings from one trigger to the next one; the last of them."""
        start, leader = trigger
        answered = 0
        while True:
            latest, words, points = self._limit(start, leader, answered, last)
            if latest >= end:
                # What is done on the day of the trigger itself comes too early for it.
                return max([last, *(slot for slot in stops if last < slot <= min(end, self.slots - 1))])
            since = max(last, start)
            stopped = min((slot for slot in stops if since < slot <= latest), default=None)
            if latest <= since:
                if not words:
                    return last
                self.made.unplanned.setdefault(start, set()).add(f"{self.subject.name} {words} after {leader}")
                if self._day_wanted(since, points):
                    return last
                # Even the next day is too late for it: said, and taken as done on the day itself.
                last, answered = since, answered + 1
                continue
            slot = self._cheapest(range(since + 1, latest + 1)) if stopped is None else stopped
            if words and stopped is None:
                self.made.owed[self.subject.name, slot] = f"{words} after {leader}"
            _add(self.asked, self.made, self.subject.name, slot)
            last, answered = slot, answered + 1

    def _limit(self, start: int, leader: str, answered: int, last: int) -> tuple[int, str, Mapping[bool, Points]]:
        """The last slot for the next doing, and the words of the first limit that sets it."""
        latest, words = self.slots, ""
        if start == TODAY or answered:
            latest = self.rule.item.latest[last + 1]
        points: dict[bool, Points] = {}
        if start != TODAY and answered < len(self.subject.first):
            limit = self.subject.first[answered]
            aircraft = self.book.logbook.aircraft
            points = {heavy: points_from((limit,), self.rule.moments[heavy][start], aircraft) for heavy in BOTH_USES}
            reach = min(self.rule.within(points[heavy], heavy) for heavy in BOTH_USES)
            if reach <= latest:
                latest, words = reach, f"within {limit}"
        return latest, words, points

    def _day_wanted(self, since: int, points: Mapping[bool, Points]) -> bool:
        """Whether there is a day for what has no slot, which is then wanted."""
        day = _day(self.rule, points, self.asked.days[since], self.book)
        if day is not None:
            self.made.wanted.add(day)
        return day is not None

    def _cheapest(self, slots: range) -> int:
        """The slot at which this item costs least, the latest of such."""
        if self.when_due:
            return slots[-1]
        opened = dict(_opened(self.asked, self.made))
        panels = self.book.logbook.panels

        def cost(slot: int) -> float:
            shut = [name for name in self.subject.panels if name not in opened.get(slot, ())]
            return (0.0 if slot in opened else self.asked.problem.visit[slot]) + access_labour(panels, shut)

        return min(slots, key=lambda slot: (cost(slot), -slot))


def _opened(asked: Question, made: Afterwards) -> Iterator[tuple[int, set[str]]]:
    slots = {slot for chain in made.doings.values() for slot in chain}
    for slot in sorted(slots):
        yield slot, {name for each in asked.subjects if slot in made.doings[each.name] for name in each.panels}


def _add(asked: Question, made: Afterwards, name: str, slot: int) -> None:
    """One more doing, and with it those that follow it."""
    if slot in made.doings[name]:
        return
    made.doings[name] = tuple(sorted({*made.doings[name], slot}))
    for other in asked.subjects:
        if name in other.follows:
            _add(asked, made, other.name, slot)


def _day(rule: Rule, points: Mapping[bool, Points], since: dt.date, book: Chronicle) -> dt.date | None:
    """The latest day after another within due points, a free one if there is one; None if even the next day is not."""
    found: list[dt.date] = []
    day = since + dt.timedelta(days=1)
    while day < rule.days[-1] and all(rule.keeps(points[heavy], day, heavy) for heavy in BOTH_USES):
        found.append(day)
        day += dt.timedelta(days=1)
    willing = [day for day in found if free(day, book.logbook.aircraft.visits)]
    return max(willing or found, default=None)
