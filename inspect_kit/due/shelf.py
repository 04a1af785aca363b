"""What is on the shelf now: the lots as they were counted, less what work has used since."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal

from inspect_kit.errors import Problem
from inspect_kit.model.checklist import Check, Part, decimal, part_key
from inspect_kit.model.interval import Limit
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.part_names import alike
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One lot: how much is left of it. `until` is its last good day, by the date on it or from the day it was opened.

    `opened` is the day as written, in this count or one before, or of the first work that used some but not all of what
    is counted in a measure.
    `apart` is what was used of the item since it was counted in another measure, and is not taken off: `1 l on DATE`.
    """

    stock: Stock
    left: Decimal
    opened: dt.date | None
    apart: tuple[str, ...] = ()

    @property
    def until(self) -> dt.date | None:
        days = [self.stock.good_until]
        if self.opened is not None:
            days += [term.due_date(self.opened) for term in self.stock.good_for if isinstance(term, Limit)]
        return min((day for day in days if day is not None), default=None)

    def good_on(self, day: dt.date) -> bool:
        return self.until is None or day <= self.until


def shelf(records: Iterable[Record], parts_of: Mapping[str, tuple[Part, ...]]) -> tuple[Lot, ...]:
    """Every lot of which something is left, by item and then by its last good day.

    `parts_of` are the parts that each page used, by the name of its record. What is used comes from the lot that is
    open, then from the one that goes off first. What is counted anew replaces what was known of that lot, but for the
    day on which it was opened, and how long it is good then, where the count says none. What is used on the day of the
    count is taken off it, unless the count says that it came after: the less is there.
    """
    lots: dict[tuple[str, str], Lot] = {}
    for record in sorted(records, key=_turn):
        _take(lots, record, parts_of)
    return _left(lots)


def _take(lots: dict[tuple[str, str], Lot], record: Record, parts_of: Mapping[str, tuple[Part, ...]]) -> None:
    if isinstance(record, Stock):
        key = part_key(record.item), record.lot
        opened, old = record.opened_on, lots.get(key) if record.number else None
        if old is not None and opened is None:
            # Counting closes no box: only of a lot that was counted as gone this is another one.
            opened, record = old.opened, replace(record, good_for=record.good_for or old.stock.good_for)
        lots[key] = Lot(stock=record, left=record.number, opened=opened)
    elif isinstance(record, PageRecord):
        for part in parts_of.get(record.name, ()):
            _use(lots, part, record.date)


def _left(lots: Mapping[tuple[str, str], Lot]) -> tuple[Lot, ...]:
    left = (lot for lot in lots.values() if lot.left > 0)
    return tuple(sorted(left, key=lambda lot: (part_key(lot.stock.item), lot.until or dt.date.max, lot.stock.lot)))


def _turn(record: Record) -> tuple[dt.date, int]:
    if isinstance(record, Stock):
        return record.date, 2 if record.follows else 0
    return record.date, 1


def _use(lots: dict[tuple[str, str], Lot], part: Part, on: dt.date) -> None:
    number, _, measure = part.amount.partition(" ")
    wanted = decimal(number) if part.amount else Decimal(1)
    if wanted is None:
        return
    own = [key for key in lots if key[0] == part_key(part.name) and lots[key].left > 0]
    if part.amount and own and all(lots[key].stock.measure != measure for key in own):
        for key in own:
            lot = lots[key]
            # Whatever was taken, a box that is counted in a measure has been open since.
            opened = lot.opened or (on if lot.stock.measure else None)
            lots[key] = replace(lot, opened=opened, apart=(*lot.apart, f"{part.amount} on {on}"))
        return
    for key in sorted(lots, key=lambda key: (lots[key].opened is None, lots[key].until or dt.date.max, key)):
        lot = lots[key]
        if key[0] == part_key(part.name) and lot.stock.measure == measure and lot.left > 0 and wanted > 0:
            taken = min(wanted, lot.left)
            wanted -= taken
            # Pieces are whole; what is poured or cut leaves an open box.
            opened = lot.opened or (on if measure and taken < lot.left else None)
            lots[key] = replace(lot, left=lot.left - taken, opened=opened)


def on_hand(lots: Iterable[Lot], name: str, measure: str, day: dt.date) -> Decimal:
    """How much of a part in a measure is still good on a day."""
    known = (lot for lot in lots if part_key(lot.stock.item) == part_key(name) and lot.stock.measure == measure)
    return sum((lot.left for lot in known if lot.good_on(day)), Decimal(0))


def in_other_measures(stock: Stock, checks: Iterable[Check]) -> str:
    """In which measure the checks use an item that is counted in none of theirs; "" where one counts as it is."""
    own = [
        (check.id, part.amount)
        for check in checks
        if check.retired is None
        for part in check.uses
        if part.amount and part_key(part.name) == part_key(stock.item)
    ]
    if not own or not stock.number or any(amount.partition(" ")[2] == stock.measure for _, amount in own):
        return ""
    check, amount = own[0]
    told = f"`{check}` uses {amount}: nothing is taken off {stock.amount}, and it covers no need"
    return f"{told}. Count it in {amount.partition(' ')[2] or 'pieces'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class NotTaken:
    """A part that was used and came off no lot; `item` is what of the shelf it may be, `told` says so."""

    part: Part
    item: str
    told: str


def not_taken_off(
    lots: Iterable[Lot], parts: Iterable[Part], planned: Iterable[Part] = (), called: Iterable[str] = ()
) -> Iterator[NotTaken]:
    """What is used and comes off no lot, while the shelf has some of it: in another measure, under a name that is
    `alike`, or under one that nobody knows while what was `planned` and lies there is not named.

    `called` are the names under which checks use something, on the shelf or not.
    """
    there: dict[str, list[Lot]] = {}
    for lot in lots:
        there.setdefault(part_key(lot.stock.item), []).append(lot)
    used, known = [*parts], {part_key(each) for each in called}
    wanted, named = {part_key(each.name) for each in planned}, {part_key(part.name) for part in used}
    unnamed = [key for key in there if key in wanted - named]
    for part in used:
        key, measure = part_key(part.name), part.amount.partition(" ")[2]
        own = there.get(key, [])
        if part.amount and own and all(lot.stock.measure != measure for lot in own):
            told = f"{part}: on the shelf it is counted as {own[0].stock.amount}, and nothing is taken off that"
            yield NotTaken(part=part, item=key, told=told)
        elif not own and key not in known:
            # `6 quarts engine oil`, `1 qt of engine oil`: words that are no measure belong to the name.
            fits = (key for key in unnamed if not part.amount or there[key][0].stock.measure == measure)
            near = part_key(alike(part.name, (*there, *known))) or next(fits, "")
            if near not in there:
                continue
            lies = there[near][0].stock
            told = f"`{part.name[:40]}` is on no shelf; {lies.item} is, {lies.amount}, and nothing is taken off that"
            yield NotTaken(part=part, item=near, told=told)


def off_no_shelf(logbook: Logbook, parts_of: Mapping[str, tuple[Part, ...]]) -> Iterator[Problem]:
    """A note for each part in a record that came off no lot while the shelf had some of it; none once that was counted
    anew. What is in another measure stands with its lot.
    """
    called = {part.name for check in logbook.checks.values() for part in check.uses}
    lots: dict[tuple[str, str], Lot] = {}
    found: list[tuple[str, Problem]] = []
    for record in sorted(logbook.records, key=_turn):
        if isinstance(record, Stock):
            found = [each for each in found if each[0] != part_key(record.item)]
        elif isinstance(record, PageRecord) and lots and parts_of.get(record.name):
            # Of a page nobody knows any more which of its checks used what.
            did = () if record.sheet else (logbook.checks.get(logbook.id_now(name)) for name in record.did)
            planned = [part for check in did if check is not None for part in check.uses]
            for off in not_taken_off(_left(lots), parts_of[record.name], planned, called):
                if off.item != part_key(off.part.name):
                    found += [(off.item, Problem(place_of(record, "parts"), f"parts: {off.told}: {ANEW}", note=True))]
        _take(lots, record, parts_of)
    yield from (problem for _, problem in found)


ANEW = "count anew what is left, with `stock`"
