"""What a visit leaves owed some use or days later, such as the torque 1 h after new bolts: planned as well."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import field, replace

from inspect_kit.due import Chronicle
from inspect_kit.due.sequences import reaches_entry
from inspect_kit.noun import dataclass
from inspect_kit.plan import access_labour
from inspect_kit.replenishment.problem import TODAY
from inspect_kit.visits.outlook import free
from inspect_kit.visits.question import YearQuestion
from inspect_kit.visits.renewal import Points, points_from
from inspect_kit.visits.rule import Rule
from inspect_kit.visits.slots import BOTH_USES
from inspect_kit.visits.subjects import Subject

Doings = Mapping[str, tuple[int, ...]]
# What is owed may itself leave something owed.
ROUNDS = 6


@dataclass(frozen=True, kw_only=True, slots=True)
class Afterwards:
    """All doings, those that are owed included. `owed` has the words for each such doing, by item and slot.

    `wanted` are days on which something is owed and there is no slot; `unplanned` has words, by item and the slot after
    which it is owed, for what is not there: it is owed sooner than the next day, or those days are not there yet.
    """

    doings: dict[str, tuple[int, ...]]
    owed: dict[tuple[str, int], str] = field(default_factory=dict)
    wanted: set[dt.date] = field(default_factory=set)
    unplanned: dict[tuple[str, int], set[str]] = field(default_factory=dict)


def begun(asked: YearQuestion, doings: Doings) -> frozenset[str]:
    """The items whose sequence of first limits begins anew within the outlook: no fixed interval tells when."""
    return frozenset(
        subject.name
        for subject in asked.subjects
        if subject.first and any(doings[leader.name] for leader in _leaders(asked, subject))
    )


def afterwards(
    asked: YearQuestion, doings: Doings, book: Chronicle, anew: frozenset[str], *, when_due: bool = False
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


def moved(doings: Doings, asked: YearQuestion, again: YearQuestion) -> dict[str, tuple[int, ...]]:
    """Doings by the slots of the question `asked`, put into those of `again`, which has more days."""
    slots = {day: slot for slot, day in enumerate(again.days)}
    return {name: tuple(slots[asked.days[slot]] for slot in chain) for name, chain in doings.items()}


def _leaders(asked: YearQuestion, subject: Subject) -> list[Subject]:
    return [each for each in asked.subjects if subject.after.intersection(each.checks)]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Open:
    """What one beginning still asks for: entries of `first`, by their numbers."""

    start: int
    leader: str
    entries: tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Deadline:
    """The last slot for the next doing, and the entry that sets it; none where an interval or the end does."""

    slot: int
    opened: _Open | None = None
    entry: int = 0


class _Sequence:
    """One item whose first limits begin anew: what it owes after each trigger, one doing after the other.

    A doing answers whatever it has reached under heavy use.
    """

    def __init__(
        self, asked: YearQuestion, subject: Subject, made: Afterwards, book: Chronicle, when_due: bool
    ) -> None:
        self.asked, self.subject, self.made, self.book, self.when_due = asked, subject, made, book, when_due
        self.rule = asked.rules[subject.name]
        self.slots = len(asked.days)
        self.aircraft = book.logbook.aircraft

    def plan(self) -> None:
        name = self.subject.name
        # What an earlier round said of it may no longer be so.
        for told in (self.made.owed, self.made.unplanned):
            for key in [key for key in told if key[0] == name]:
                del told[key]
        self.made.doings[name] = ()
        stops = sorted({slot for leader in self.subject.follows for slot in self.made.doings[leader]})
        for slot in stops:
            _add(self.asked, self.made, name, slot)
        leaders = _leaders(self.asked, self.subject)
        begins = {slot: each.name for each in leaders for slot in self.made.doings[each.name]}
        triggers = sorted(begins.items())
        last = TODAY
        opened: list[_Open] = []
        while True:
            deadline = self._deadline(opened, last)
            # What is done on the day of the trigger itself comes too early for it.
            since = last if deadline.opened is None else max(last, deadline.opened.start)
            stop = min((slot for slot in stops if slot > last), default=self.slots)
            if triggers and triggers[0][0] <= min(deadline.slot, stop):
                slot, leader = triggers.pop(0)
                opened.append(_Open(start=slot, leader=leader, entries=tuple(range(len(self.subject.first)))))
                continue
            if deadline.slot >= self.slots and stop >= self.slots:
                return
            if stop <= deadline.slot:
                last = stop
            elif deadline.slot <= since:
                if deadline.opened is None:
                    return
                # A day of its own is wanted, for the next round, or even the next day is too late for it: said, and
                # taken as done on the day itself.
                opened = self._without(opened, deadline, self._day_wanted(deadline, last))
                continue
            else:
                last = self._cheapest(self._slots_for(deadline, since))
                if deadline.opened is not None:
                    self.made.owed[name, last] = f"{self._words(deadline)} after {self._named(deadline.opened.leader)}"
                _add(self.asked, self.made, name, last)
            opened = [self._answered(each, last) for each in opened]

    def _named(self, name: str) -> str:
        check = self.book.logbook.checks.get(name)
        return check.named if check is not None else name

    def _words(self, deadline: _Deadline) -> str:
        return f"within {self.subject.first[deadline.entry]}"

    def _points(self, opened: _Open, entry: int, heavy: bool) -> Points:
        return points_from((self.subject.first[entry],), self.rule.moments[heavy][opened.start], self.aircraft)

    def _deadline(self, opened: list[_Open], last: int) -> _Deadline:
        found = _Deadline(slot=self.rule.item.latest[last + 1])
        for each in opened:
            for entry in each.entries:
                slot = self._last_slot(each, entry)
                if slot < found.slot or (slot == found.slot and found.opened is None):
                    found = _Deadline(slot=slot, opened=each, entry=entry)
        return found

    def _last_slot(self, opened: _Open, entry: int) -> int:
        return min(self.rule.slots.within(self._points(opened, entry, heavy), heavy) for heavy in BOTH_USES)

    def _answered(self, opened: _Open, slot: int) -> _Open:
        """What is left to ask after a doing at a slot.

        On the last slot for an entry it is done even if that is too early: it waits for the meter, as its words say.
        """
        start, done = (self.rule.moments[True][place] for place in (opened.start, slot))
        first = self.subject.first
        left = [entry for entry in opened.entries if not reaches_entry(first[entry], start, done, self.aircraft)]
        left = [entry for entry in left if self._last_slot(opened, entry) > slot]
        if left and reaches_entry(first[left[0]], start, done, self.aircraft, near=True):
            left = left[1:]
        return replace(opened, entries=tuple(left)) if slot > opened.start else opened

    def _without(self, opened: list[_Open], deadline: _Deadline, whole: bool) -> list[_Open]:
        """The beginnings without the entry that set a deadline; with `whole` without all that one of them asks."""
        found = []
        for each in opened:
            if deadline.opened is not None and each.start == deadline.opened.start:
                left = () if whole else tuple(entry for entry in each.entries if entry != deadline.entry)
                each = replace(each, entries=left)
            found.append(each)
        return found

    def _slots_for(self, deadline: _Deadline, since: int) -> range:
        """The slots after another one at which a doing answers what sets the deadline."""
        slots = range(since + 1, deadline.slot + 1)
        if deadline.opened is None:
            return slots
        able = (slot for slot in slots if deadline.entry not in self._answered(deadline.opened, slot).entries)
        return range(min(able, default=deadline.slot), deadline.slot + 1)

    def _day_wanted(self, deadline: _Deadline, last: int) -> bool:
        """Whether there is a day for what has no slot, which is then wanted; said in any case."""
        opened = deadline.opened
        assert opened is not None
        told = f"{self._named(self.subject.name)} {self._words(deadline)} after {self._named(opened.leader)}"
        self.made.unplanned.setdefault((self.subject.name, opened.start), set()).add(told)
        points = {heavy: self._points(opened, deadline.entry, heavy) for heavy in BOTH_USES}
        day = _day(self.rule, points, self.asked.days[max(last, opened.start)], self.book)
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


def _opened(asked: YearQuestion, made: Afterwards) -> Iterator[tuple[int, set[str]]]:
    slots = {slot for chain in made.doings.values() for slot in chain}
    for slot in sorted(slots):
        yield slot, {name for each in asked.subjects if slot in made.doings[each.name] for name in each.panels}


def _add(asked: YearQuestion, made: Afterwards, name: str, slot: int) -> None:
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
