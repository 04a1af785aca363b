"""Two records of one day that say two things where only the newest would count, or one thing where each counts: nobody
knows which of them holds."""

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any

from inspect_kit.audit.known import Known
from inspect_kit.errors import Problem
from inspect_kit.model.alike import all_said, what_is_said, words_alone
from inspect_kit.model.checklist import part_key
from inspect_kit.model.followed import followed
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.equipment import IN, OUT, Equipment, item_key
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.kinds.weighing import Weighing
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.model.settings import days_of, settings_of

IdNow = Callable[[str], str]


# Of each kind of which the newest record counts: of what it is the newest, and what that is called.
NEWEST: dict[type[Record], tuple[Callable[[Any, IdNow], Hashable], Callable[[Any], str]]] = {
    Weighing: (lambda record, now: (), lambda record: "the weighing"),
    Directive: (
        lambda record, now: (words_alone(record.number), now(record.on), words_alone(record.part), record.serial),
        lambda record: f"the decision on {record.number}",
    ),
    Stock: (
        lambda record, now: (part_key(record.item), record.lot),
        lambda record: f"what is there of {record.item}{f', lot {record.lot}' if record.lot else ''}",
    ),
    Setting: (
        lambda record, now: (record.setting, now(record.on)),
        lambda record: f"the setting {record.setting}",
    ),
}


def same_day(names: Known) -> Iterator[Problem]:
    """Each record that says otherwise than another of its kind and day."""
    first: dict[Hashable, Record] = {}
    in_order = {name for settings in settings_of(names.logbook).values() for name in _ordered(settings)}
    for record in names.logbook.records:
        if type(record) not in NEWEST:
            continue
        of, called = NEWEST[type(record)]
        key = (type(record), of(record, names.logbook.id_now), record.date)
        other = first.get(key)
        first[key] = record
        if other is not None and _said(other) != _said(record) and record.name not in in_order:
            told = f"{called(record)} of {record.date} is told otherwise in {other.place}: withdraw what does not hold"
            yield Problem(record.place, told)


def twice_in(names: Known) -> Iterator[Problem]:
    """Equipment of one day that went in or out twice: one thing written down twice, or two things. In other words too
    where it came in, and did not go out that day.
    """
    seen: dict[tuple[object, ...], list[Equipment]] = {}
    moved = [record for record in names.logbook.of_kind(Equipment) if record.weight is not None]
    ways = {(record.date, item_key(record.item), record.change) for record in moved}
    for record in moved:
        of = record.date, item_key(record.item), record.change
        others = [other for other in seen.get(of, ()) if other.because == record.because]
        same = [other for other in others if _moved(other) == _moved(record)]
        seen.setdefault(of, []).append(record)
        cure = ", or say under `because` that it is another one"
        if same:
            told = f"{record.item} of {record.date} stands in {same[0].place} in the same words"
        elif record.change == IN and (record.date, item_key(record.item), OUT) not in ways:
            others = [other for other in others if not _of_two_jobs(other, record)]
            told = f"{record.item} came in on {record.date} by {others[0].place} too" if others else ""
        else:
            continue
        if told:
            yield Problem(record.place, f"{told}, and both count: withdraw one{cure}", unless=cure)


def _moved(record: Equipment) -> tuple[object, ...]:
    return record.weight, record.arm, tuple(sorted(record.came_with))


def _of_two_jobs(one: Equipment, other: Equipment) -> bool:
    """Whether each came with fittings or work of its own."""
    return bool(one.came_with and other.came_with) and not {*one.came_with} & {*other.came_with}


# What is added up, of each kind that has such: of two records that are the same in everything, one was written twice.
ADDED_UP: dict[type[Record], Callable[[Any], object]] = {
    Hours: lambda record: record.added,
    Work: lambda record: record.parts,
}


def told_twice(names: Known) -> Iterator[Problem]:
    """Each record that would be added up a second time, equal to another of its kind and day in all that it says."""
    seen: list[Record] = []
    for record in names.logbook.records:
        if record.seal or type(record) not in ADDED_UP or not ADDED_UP[type(record)](record):
            continue
        seen = [other for other in seen if other.date == record.date]
        twin = next((other for other in seen if all_said(other) == all_said(record)), None)
        if twin is None:
            seen.append(record)
        else:
            told = f"says the same as {twin.place}: withdraw one of them, or say in it what sets them apart"
            yield Problem(record.place, told)


# So many days apart one meter is hardly changed twice, and nobody reads the new one between.
LATELY = 31


def changed_twice(names: Known) -> Iterator[Problem]:
    """One change of a meter told in two records, which are both added up: of one day, or of days near each other and no
    reading of it between, where what it read last is nearer to what the other says of that than to where it began.
    """
    before = followed(names.logbook).before
    seen: dict[str, list[MeterChange]] = {}
    for record in names.logbook.of_kind(MeterChange):
        others = seen.setdefault(record.meter, [])
        for other in others:
            in_order = other.name in before.get(record.name, ()) or record.name in before.get(other.name, ())
            if not in_order and _are_one(names.logbook, other, record):
                day = "" if other.date == record.date else f" of {other.date}"
                told = f"{record.meter} is changed in {other.place}{day} too, and both are added up"
                apart = f"write down that {record.meter} read {record.old} before this one, an entry of `hours`"
                apart = "say by `follows` which came after the other" if other.date == record.date else apart
                yield Problem(record.place, f"{told}: withdraw one of them if it was one change, or {apart}")
                break
        others.append(record)


def _are_one(logbook: Logbook, first: MeterChange, last: MeterChange) -> bool:
    if (last.date - first.date).days > LATELY:
        return False
    readings = [each for each in logbook.records if last.meter in each.meters and first.date < each.date <= last.date]
    if any(each.meters[last.meter] == last.old for each in readings):
        return False
    if (first.old, first.new) == (last.old, last.new):
        return not _ran_up(readings, first.new, last)
    follow = [(first, last), (last, first)] if first.date == last.date else [(first, last)]
    near = all(abs(after.old - then.old) < abs(after.old - then.new) for then, after in follow)
    return near and all(each.date == last.date for each in readings)


def _ran_up(readings: Iterable[Record], began: Decimal, change: MeterChange) -> bool:
    """Whether a clock that was read near where it began was read near where it ended on a later day, as one that has
    gone round.
    """
    read = [(each.date, each.meters[change.meter]) for each in readings]
    low = [day for day, value in read if abs(value - began) < abs(value - change.old)]
    high = [day for day, value in read if abs(value - change.old) < abs(value - began)]
    return bool(low and high) and min(low) < max(high)


def came_after(names: Known) -> Iterator[Problem]:
    """What a record says that it came after or before, and cannot have: it counts as if nothing said so."""
    for each in followed(names.logbook).faults:
        foreign = each.name in names.by_name and not each.why
        told = f"`{each.name}`, {each.why}" if each.why else names.no_record(each.name)
        if foreign:
            told = f"`{each.name}`, which is of another aircraft"
        yield Problem(place_of(each.record, each.key, each.name), f"{each.key}: {told}")


def _said(record: Record) -> list[object]:
    return [what_is_said(getattr(record, key.attribute)) for key in kind_of(record).keys]


def _ordered(settings: Sequence[Setting]) -> Iterator[str]:
    """The settings of one thing that say by `from` in which one order they came on their day.

    Where not all of a day do, each that goes on from the one before it.
    """
    for day, ways in days_of(settings):
        if len({way[-1].to for way in ways}) == 1:
            yield from (each.name for each in day)
        elif not ways:
            yield from (later.name for first, later in pairwise(day) if later.from_ == first.to)
