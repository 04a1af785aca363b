"""Settings of one thing, one after another: of one day each after the one that set what it was found at; and which of
them want a flight check."""

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise, permutations

from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.logbook import Logbook

# So many settings of one thing on one day are laid one after another by what they say.
MOST = 5


def settings_of(logbook: Logbook) -> dict[tuple[str, str], list[Setting]]:
    """By what is set and what it is on, today's id of that or "": the settings from old to new.

    In the order in which each was first set. A file's name says nothing of the order of a day.
    """
    found: dict[tuple[str, str], list[Setting]] = {}
    for record in logbook.of_kind(Setting):
        found.setdefault((record.setting, logbook.id_now(record.on) if record.on else ""), []).append(record)
    return {of: _in_order(settings) for of, settings in found.items()}


def _in_order(settings: Sequence[Setting]) -> list[Setting]:
    return [each for day, _ in days_of(settings) for each in day]


def days_of(settings: Sequence[Setting]) -> Iterator[tuple[Sequence[Setting], list[tuple[Setting, ...]]]]:
    """The settings of one thing day by day, each day in order, with all orders in which it may have gone."""
    before = ""
    for _, group in groupby(settings, key=lambda each: each.date):
        day: Sequence[Setting] = [*group]
        ways = day_orders(day, before)
        day = ways[0] if ways else day
        yield day, ways
        before = day[-1].to


def day_orders(day: Sequence[Setting], before: str) -> list[tuple[Setting, ...]]:
    """The orders in which each setting of a day was found at what the one before it had set; those alone that begin
    with what was set `before`, if there are such."""
    ways = permutations(day) if len(day) <= MOST else [tuple(day)]
    whole = [way for way in ways if all(later.from_ == first.to for first, later in pairwise(way))]
    return [way for way in whole if way[0].from_ == before] or whole


def flown_after(logbook: Logbook, setting: str, on: str) -> tuple[str, ...]:
    """What of `flight-check-after` a setting touched: by its name, or by what it is on, whatever it is called.

    `propeller-pitch` is every setting of the position `propeller`, and of nothing else a pitch that says of nothing
    what it is on; what a check disturbs is touched by a setting of that check.
    """
    own = logbook.id_now(on) if on else ""
    check = logbook.checks.get(own)
    names = {setting, logbook.id_now(setting), own, *map(logbook.id_now, check.disturbs if check else ())}

    def is_touched(word: str) -> bool:
        if word in names or f"-{word}-" in f"-{setting}-":
            return True
        head, _, last = word.rpartition("-")
        head = logbook.id_now(head)
        return head in logbook.aircraft.positions and (own == head if own else setting.split("-")[-1] == last)

    return tuple(word for word in logbook.flight_check_after if is_touched(word))
