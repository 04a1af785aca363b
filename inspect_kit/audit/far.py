"""Readings, terms, amounts and weights so far from everything that a digit, a point or a unit must have slipped; limits
are judged elsewhere.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from statistics import median_low

from inspect_kit.audit.known import LONGEST_WAIT, LONGEST_WAIT_YEARS, Known, limit_fault
from inspect_kit.errors import Place, Problem
from inspect_kit.model.checklist import decimal, part_key
from inspect_kit.model.interval import CALENDAR_UNITS, HOURS, UNITS, Limit
from inspect_kit.model.kinds.equipment import OUT, Equipment, item_key
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.hours import Hours, is_oil, most_oil, quarts
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.kinds.weighing import Weighing
from inspect_kit.model.lines import place_of
from inspect_kit.model.loads import Loads
from inspect_kit.model.measured import NEVER, SIX_DIGITS, is_never
from inspect_kit.model.owed import slip_of
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.part_names import ByName, item_doubt, wanted_items

RECHECK = "recheck"
# Common practice, no source.
LATEST_LOOK = 1000


def terms(names: Known) -> Iterator[Problem]:
    """A `recheck` that nobody who wrote it will see: in decades, after more use than any aircraft has, or by what no
    meter counts.
    """
    for record in names.logbook.records:
        if isinstance(record, FindingRecord):
            yield from _terms(names, record.finding.recheck, place_of(record, RECHECK))
        elif isinstance(record, PageRecord):
            for finding in record.findings:
                yield from _terms(names, finding.recheck, finding.place)
            for result in record.results:
                yield from _terms(names, result.recheck, result.place)
    for page in names.logbook.pages:
        for entry in page.entries:
            yield from _terms(names, entry.recheck, entry.place)
            for finding in entry.findings:
                yield from _terms(names, finding.recheck, finding.place)


def _terms(names: Known, limits: Iterable[Limit], place: Place) -> Iterator[Problem]:
    for limit in limits:
        if limit.unit in CALENDAR_UNITS:
            day = dt.date(2000, 1, 1)
            if limit.due_date(day).year - day.year > LONGEST_WAIT_YEARS:
                told = f"{limit} is more than {LONGEST_WAIT_YEARS} years: is the number right?"
                yield Problem(place, f"{RECHECK}: {told}")
        elif limit.number > UNITS[limit.unit].most_ever:
            told = "is more than any aircraft of this kind has flown"
            yield Problem(place, f"{RECHECK}: {limit} {told}: is the number right?")
        elif fault := limit_fault(names, limit):
            yield Problem(place, f"{RECHECK}: {fault}")
        elif limit.unit == HOURS and limit.number > LATEST_LOOK:
            told = f"{limit} is hardly a second look any more: is the number right?"
            yield Problem(place, f"{RECHECK}: {told}", note=limit.number <= LONGEST_WAIT)


def far_readings(names: Known) -> Iterator[Problem]:
    """A number a thousand times its limit and more: within an open limit such as `at least 60` nothing else tells."""
    book = names.logbook
    written = [(reading, reading.check) for record in book.of_kind(PageRecord) for reading in record.readings]
    written += [(reading, entry.id) for page in book.pages for entry in page.checks for reading in entry.readings]
    asked = {name: check.asked for name, check in book.checks.items()}
    for reading, of in written:
        number, reads = reading.number, asked.get(book.id_now(of), {}).get(reading.label)
        if number is not None and is_never(number, reads.bound if reads else None):
            told = f"{reading.label} of `{of}` is {reading.last[:40]}: has a digit or a point slipped?"
            yield Problem(reading.place, f"readings: {told}")


def far_amounts(names: Known) -> Iterator[Problem]:
    """So much on the shelf that nothing would ever be ordered: a thousand times what any work uses of it at once, or
    six digits and more.
    """
    used: dict[tuple[str, str], Decimal] = {}
    for part in (part for check in names.logbook.checks.values() for part in check.uses):
        number, _, measure = part.amount.partition(" ")
        key = part_key(part.name), measure
        used[key] = max(used.get(key, Decimal(0)), (decimal(number) if part.amount else None) or Decimal(1))
    for stock in names.logbook.of_kind(Stock):
        most = used.get((part_key(stock.item), stock.measure))
        if stock.number >= SIX_DIGITS or (most is not None and stock.number >= NEVER * most):
            told = f"{stock.amount} of {stock.item}: has a digit or a point slipped?"
            yield Problem(place_of(stock, "amount"), f"amount: {told}")


def odd_items(names: Known) -> Iterator[Problem]:
    """What lies on the shelf under a name of its own that is nearly another's: nothing is taken off it."""
    wanted, before = ByName(wanted_items(names.logbook)), ByName[str]({})
    for stock in names.logbook.of_kind(Stock):
        key, told = part_key(stock.item), ""
        if key not in wanted and key not in before:
            told = item_doubt(wanted.near(stock.item), stock.item, before.near(stock.item))
        before[key] = stock.item
        if told and stock.number:
            yield Problem(place_of(stock, "item"), f"item: {told}")


def far_added(names: Known) -> Iterator[Problem]:
    """More than twice the oil at once that an engine holds: 15 qt for 1.5 qt."""
    most = most_oil(names.logbook.checks.values())
    for record in names.logbook.of_kind(Hours):
        for what, told in record.added.items():
            if is_oil(what) and (quarts(told) or 0) > TWICE * most:
                words = f"{told} of {what}, where the engine holds {most:f} qt: has a digit or a point slipped?"
                yield Problem(place_of(record, "added"), f"added: {words}")


TWICE = 2


def weighings(names: Known) -> Iterator[Problem]:
    """A weighing that the one before it, the equipment since and the limits of the aircraft make a slip.

    A digit lost on one scale, or one that was read in another unit, moves the whole by a twentieth or one wheel by a
    third; what changed an aircraft by so much is on record as `equipment`, or the weighing says it in `because`. The
    shares are a judgement: common practice, no source.
    """
    before: Weighing | None = None
    for weighing in names.logbook.of_kind(Weighing):
        # Two of one day that differ are told as such.
        earlier = None if before is None or before.date == weighing.date or _told_since(before, weighing) else before
        found = *_pairs(weighing, earlier), *_against(names, weighing, earlier), *_arms(names, weighing, earlier)
        told_of = [("points", told) for told in found]
        told_of += [*_in_two_units(weighing), *_items_far(names, weighing)]
        for key, told in () if weighing.because else told_of:
            yield _unless(place_of(weighing, key), f"{key}: {told}: {ASK}", SURE)
        yield from _items_twice(weighing)
        before = weighing


ASK = "has a digit slipped, or is one of them in another unit?"
SURE, OTHER = " If it is right, say why under `because`", " If it is another one, say so under `because`"


def _unless(place: Place, told: str, unless: str) -> Problem:
    return Problem(place, f"{told}{unless}", unless=unless)


def _told_since(before: Weighing | Equipment, after: Weighing | Equipment) -> bool:
    """Whether the earlier of two was written down no sooner than the later, and says why the two differ."""
    return bool(before.because) and (before.entered or before.date) >= (after.entered or after.date)


WHOLE, WHEEL, TARES = Fraction(1, 20), Fraction(1, 3), 4
# Nothing of this kind weighs less empty than a third of what it may weigh; in kg for lb it would be less.
LIGHTEST = Fraction(1, 3)


def _pairs(weighing: Weighing, before: Weighing | None) -> Iterator[str]:
    """Two wheels left and right of one another, by their arm or their names, of which one carries far more or stands
    elsewhere.
    """
    arms = [point.arm.to("in") for point in weighing.points]
    base = max(arms) - min(arms)
    for place, one in enumerate(weighing.points):
        for other in weighing.points[place + 1 :]:
            low, high = sorted((one.net("lb"), other.net("lb")))
            at_one = one.arm.to("in") == other.arm.to("in")
            if not at_one and _words(one.at) != _other_side(other.at):
                continue
            is_uneven = high - low > WHEEL * high
            if is_uneven:
                where = "stand at one arm" if at_one else "stand left and right of one another"
                yield f"{one.at} {one.scale} and {other.at} {other.scale} {where}"
            tares = sorted((each.tare.to("lb") if each.tare else Fraction()) for each in (one, other))
            if tares[1] > TARES * tares[0] > 0:
                yield f"the tare of {one.at} is {one.tare}, and that of {other.at} {other.tare}"
            # What stood otherwise before is told by that; of two scales alone nothing says how far wheels stand apart.
            is_first = before is None and not is_uneven and len(arms) > 2
            if is_first and abs(arms[place] - other.arm.to("in")) > WHEELBASE * base:
                yield f"{one.at} stands at {one.arm} and {other.at} at {other.arm}"


SIDES = {"left": "right", "right": "left"}


def _other_side(name: str) -> str:
    return " ".join(SIDES.get(word, word) for word in _words(name).split())


def _in_two_units(weighing: Weighing) -> Iterator[tuple[str, str]]:
    """A weight, or an arm, in another unit than most of one weighing."""
    items = [(key, each) for key in ITEMS for each in getattr(weighing, key)]
    weights = [("points", point.scale) for point in weighing.points]
    weights += [("points", point.tare) for point in weighing.points if point.tare is not None]
    weights += [(key, each.weight) for key, each in items]
    arms = [("points", point.arm) for point in weighing.points] + [(key, each.arm) for key, each in items]
    for told in (weights, arms):
        units = [each.unit for _, each in told]
        usual = max(dict.fromkeys(units), key=units.count)
        yield from ((key, f"{each}, where the others say `{usual}`") for key, each in told if each.unit != usual)


ITEMS = ("aboard", "missing")


def _items_far(names: Known, weighing: Weighing) -> Iterator[tuple[str, str]]:
    """What was aboard, or missing, and lies far from all else or weighs half an aircraft."""
    loads = names.aircraft.loads
    arms = [point.arm.to("in") for point in weighing.points] + ([] if loads is None else _known_arms(loads))
    for key in ITEMS:
        for each in getattr(weighing, key):
            if not _lies_near(each.arm.to("in"), arms, times=FAR_OUT):
                yield key, f"{each.item} at {each.arm} lies far from everything else"
            if each.weight.to("lb") > HEAVIEST * weighing.net("lb"):
                yield key, f"{each.item}, {each.weight}, is more than half of what the aircraft weighs"


def _items_twice(weighing: Weighing) -> Iterator[Problem]:
    """An item that would count twice, or be taken off and added."""
    seen: dict[str, str] = {}
    for key in ITEMS:
        for each in getattr(weighing, key):
            first = seen.setdefault(_words(each.item), "")
            if first:
                where = "twice" if first == key else f"under `{first}` as well"
                told = f"{each.item} stands {where}: write it once, or tell two things apart in `item`"
                yield Problem(place_of(weighing, key), f"{key}: {told}")
            seen[_words(each.item)] = key


def _against(names: Known, weighing: Weighing, before: Weighing | None) -> Iterator[str]:
    loads = names.aircraft.loads
    net = weighing.net("lb")
    if loads is not None and not LIGHTEST * loads.heaviest.to("lb") < net < loads.heaviest.to("lb"):
        yield f"an empty weight of {_told(net)} lb where the aircraft weighs {loads.heaviest} at most"
    if before is None:
        return
    since = [
        each.weight.to("lb") * (-1 if each.change == OUT else 1)
        for each in names.logbook.of_kind(Equipment)
        if each.weight is not None and before.date < each.date <= weighing.date
    ]
    was = before.net("lb") + sum(since, Fraction())
    if abs(net - was) > WHOLE * was:
        yield f"an empty weight of {_told(net)} lb where {before.name} and the equipment since make it {_told(was)} lb"
        return
    # A wheel takes at most some of what was moved, and twice of it where that hangs far out.
    moved = 2 * sum(map(abs, since), Fraction())
    for point in weighing.points:
        for old in before.points:
            if _words(old.at) != _words(point.at):
                continue
            now, then = point.net("lb"), old.net("lb")
            if abs(now - then) > WHEEL * max(now, then) + moved:
                yield f"{point.at} carries {_told(now)} lb, and {_told(then)} lb by {before.name}"


def _arms(names: Known, weighing: Weighing, before: Weighing | None) -> Iterator[str]:
    """A wheel that stands elsewhere than it did, or a centre of gravity far from all that has an arm."""
    loads = names.aircraft.loads
    arms = [] if loads is None else _known_arms(loads)
    moment = sum((point.net("lb") * point.arm.to("in") for point in weighing.points), Fraction())
    centre = moment / (sum((point.net("lb") for point in weighing.points), Fraction()) or 1)
    if arms and not _lies_near(centre, arms, times=1):
        yield f"a centre of gravity at {_told(centre)} in, where everything else lies"
        return
    if before is None:
        return
    was = {_words(point.at): point.arm.to("in") for point in before.points}
    base = max(was.values()) - min(was.values())
    moved = {point: point.arm.to("in") - was[_words(point.at)] for point in weighing.points if _words(point.at) in was}
    # From another datum all arms are longer or shorter by the same.
    shift = Fraction() if _words(weighing.datum) == _words(before.datum) or not moved else median_low(moved.values())
    for point, by in moved.items():
        if abs(by - shift) > WHEELBASE * base:
            yield f"{point.at} stands at {point.arm}, and at {_told(was[_words(point.at)])} in by {before.name}"


def _words(text: str) -> str:
    return " ".join(text.casefold().split())


def _known_arms(loads: Loads) -> list[Fraction]:
    """The arms, in inches, of all that `balance` of aircraft.yaml gives one."""
    arms = [each.arm for each in loads.seats] + [each.arm for each in loads.lockers]
    arms += [each.arm for each in loads.tanks]
    arms += [each.arm for each in loads.always] + [each.arm for each in loads.envelope]
    return [arm.to("in") for arm in (*arms, loads.forward, loads.aft) if arm is not None]


def _lies_near(arm: Fraction, arms: Sequence[Fraction], *, times: int) -> bool:
    """Whether an arm lies no further out than so many times what the others lie apart; True of too few others."""
    low, high = min(arms), max(arms)
    return low == high or low - times * (high - low) <= arm <= high + times * (high - low)


def equipment(names: Known) -> Iterator[Problem]:
    """An item that weighs a tenth of an aircraft, lies far behind its tail, or goes out otherwise than it came in.

    The shares are a judgement, as those of a weighing: common practice, no source.
    """
    loads, arms = names.aircraft.loads, [] if names.aircraft.loads is None else _known_arms(names.aircraft.loads)
    empty = None if loads is None else loads.heaviest.to("lb")
    last: dict[str, Equipment] = {}
    weighing: Weighing | None = None
    for record in sorted(names.logbook.records, key=lambda each: (each.date, getattr(each, "change", "") != OUT)):
        if isinstance(record, Weighing):
            empty, weighing = record.net("lb"), record
            arms = arms + [point.arm.to("in") for point in record.points]
            # What had gone out may have been back on the scales.
            last = {item: each for item, each in last.items() if each.change != OUT}
        if not isinstance(record, Equipment) or record.weight is None or record.arm is None:
            continue
        before, last[item_key(record.item)] = last.get(item_key(record.item)), record
        if record.because or (before is not None and _told_since(before, record)):
            continue
        if record.change == OUT and before is None:
            yield from _never_came(record, last, weighing)
        if empty is not None and record.weight.to("lb") > HEAVY * empty and not _exchanged(names, record, empty):
            yield _asked(record, "weight", f"{record.weight} is more than a tenth of what the aircraft weighs")
        if len(arms) > 1 and not _lies_near(record.arm.to("in"), arms, times=FAR_OUT):
            yield _asked(record, "arm", f"{record.arm} lies far from everything else")
        if record.change == OUT and before is not None:
            yield from _went_out(record, before)
        elif before is not None and before.change != OUT:
            yield from _came_in(names, record, before)


def _exchanged(names: Known, record: Equipment, empty: Fraction) -> bool:
    """Whether another item of about its weight went the other way on its day, as with an engine."""
    return any(
        abs(record.weight.to("lb") - each.weight.to("lb")) <= WHOLE * empty
        for each in names.logbook.of_kind(Equipment)
        if record.weight is not None and each.weight is not None
        if each.date == record.date and each.change != record.change and each.weight.to("lb") > HEAVY * empty
    )


def _came_in(names: Known, record: Equipment, before: Equipment) -> Iterator[Problem]:
    """What comes in as it came in before; on one day that is told elsewhere, and it may have gone out the same day."""
    same = (record.weight, record.arm) == (before.weight, before.arm)
    out = any(
        each.change == OUT and each.date == before.date and item_key(each.item) == item_key(record.item)
        for each in names.logbook.of_kind(Equipment)
    )
    if same and not out and record.date != before.date:
        told = f"{record.item} came in on {before.date} already ({before.place}), and both count"
        cure = ", or say under `because` that it is another one"
        yield _unless(place_of(record, "item"), f"item: {told}: withdraw one", cure)


def _went_out(record: Equipment, before: Equipment) -> Iterator[Problem]:
    """What goes out against what is on record of that item last."""
    if record.weight is None or record.arm is None or before.weight is None or before.arm is None:
        return
    if before.change == OUT:
        if (record.date, record.weight, record.arm) != (before.date, before.weight, before.arm):
            told = f"{record.item} went out on {before.date} already ({before.place}): has it come in since?"
            yield _unless(place_of(record, "item"), f"item: {told}", OTHER)
        return
    weighed = before.weight.to("lb")
    if abs(record.weight.to("lb") - weighed) > WHOLE * weighed:
        yield _asked(record, "weight", f"{record.weight} goes out, {before.weight} came in ({before.place})")
    if abs(record.arm.to("in") - before.arm.to("in")) > NEAR:
        yield _asked(record, "arm", f"it goes out at {record.arm} and came in at {before.arm} ({before.place})")


def _never_came(record: Equipment, last: Mapping[str, Equipment], weighing: Weighing | None) -> Iterator[Problem]:
    """What goes out and is on no record of having come in: it was on the scales, or it came in by another name."""
    item, place = item_key(record.item), place_of(record, "item")
    came = {name: each for name, each in last.items() if each.change != OUT and not _told_since(each, record)}
    near = slip_of(item, came)
    same = [each for each in came.values() if (each.weight, each.arm) == (record.weight, record.arm)]
    if weighing is not None and _told_since(weighing, record):
        return
    if weighing is not None and item in (item_key(each.item) for each in weighing.aboard):
        told = f"{record.item} was taken off what {weighing.name} found, so that the empty weight is without it already"
        yield _unless(place, f"item: {told}.", " If this is another one, say so under `because`")
    elif near:
        told = f"no record says that {record.item} came in; did you mean `{came[near].item}` ({came[near].place})?"
        yield _unless(place, f"item: {told}", OTHER)
    elif weighing is not None and same:
        named = f"{same[0].item}, of the same weight and arm, did ({same[0].place})"
        scales = f"it is taken for what was weighed on {weighing.date}"
        yield Problem(place, f"item: no record says that {record.item} came in; {named}: {scales}", note=True)


def _asked(record: Equipment, key: str, told: str) -> Problem:
    return _unless(place_of(record, key), f"{key}: {told}: {ASK}", SURE)


# Of the empty weight; of what all else lies apart; inches; of what the wheels stand apart.
HEAVIEST, HEAVY, FAR_OUT, NEAR, WHEELBASE = Fraction(1, 2), Fraction(1, 10), 3, 2, Fraction(1, 25)


def _told(pounds: Fraction) -> str:
    return f"{float(pounds):.1f}"
