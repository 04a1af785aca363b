"""Readings, terms, amounts and weights so far from everything that a digit, a point or a unit must have slipped; limits
are judged elsewhere.
"""

import datetime as dt
from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction

from inspect_kit.audit.known import LONGEST_WAIT, MOST_YEARS, Known
from inspect_kit.errors import Place, Problem
from inspect_kit.model.checklist import decimal, part_key
from inspect_kit.model.interval import CALENDAR_UNITS, HOURS, UNITS, Limit
from inspect_kit.model.kinds.equipment import OUT, Equipment
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.kinds.weighing import Weighing
from inspect_kit.model.lines import place_of
from inspect_kit.model.measured import NEVER, SIX_DIGITS, is_never
from inspect_kit.model.page_record import PageRecord

RECHECK = "recheck"


def terms(names: Known) -> Iterator[Problem]:
    """A `recheck` that nobody who wrote it will see: in decades, or after more use than any aircraft has."""
    for record in names.logbook.records:
        if isinstance(record, FindingRecord):
            yield from _terms(record.finding.recheck, place_of(record, RECHECK))
        elif isinstance(record, PageRecord):
            for finding in record.findings:
                yield from _terms(finding.recheck, finding.place)
            for result in record.results:
                yield from _terms(result.recheck, result.place)
    for page in names.logbook.pages:
        for entry in page.entries:
            yield from _terms(entry.recheck, entry.place)
            for finding in entry.findings:
                yield from _terms(finding.recheck, finding.place)


def _terms(limits: Iterable[Limit], place: Place) -> Iterator[Problem]:
    for limit in limits:
        if limit.unit in CALENDAR_UNITS:
            day = dt.date(2000, 1, 1)
            if limit.due_date(day).year - day.year > MOST_YEARS:
                yield Problem(place, f"{RECHECK}: {limit} is more than {MOST_YEARS} years: is the number right?")
        elif limit.number > UNITS[limit.unit].most_ever:
            told = "is more than any aircraft of this kind has flown"
            yield Problem(place, f"{RECHECK}: {limit} {told}: is the number right?")
        elif limit.unit == HOURS and limit.number > LONGEST_WAIT:
            yield Problem(place, f"{RECHECK}: {limit} is more than an engine lasts: is the number right?")


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


def weighings(names: Known) -> Iterator[Problem]:
    """A weighing that the one before it, the equipment since and the limits of the aircraft make a slip.

    A digit lost on one scale, or one that was read in another unit, moves the whole by a twentieth or one wheel by a
    third; what changed an aircraft by so much is on record as `equipment`, or the weighing says it in `because`. The
    shares are a judgement: common practice, no source.
    """
    before: Weighing | None = None
    for weighing in names.logbook.of_kind(Weighing):
        # Two of one day that differ are told as such.
        earlier = None if before is None or before.date == weighing.date else before
        for told in () if weighing.because else (*_pairs(weighing), *_against(names, weighing, earlier)):
            yield Problem(place_of(weighing, "points"), f"points: {told}: {ASK}")
        before = weighing


ASK = "has a digit slipped, or is one of them in another unit? If it is right, say why under `because`"
WHOLE, WHEEL = Fraction(1, 20), Fraction(1, 3)
# Nothing of this kind weighs less empty than a third of what it may weigh; in kg for lb it would be less.
LIGHTEST = Fraction(1, 3)


def _pairs(weighing: Weighing) -> Iterator[str]:
    """Two wheels at one arm, which stand left and right of one another, of which one carries far more."""
    for place, one in enumerate(weighing.points):
        for other in weighing.points[place + 1 :]:
            low, high = sorted((one.net("lb"), other.net("lb")))
            if one.arm.to("in") == other.arm.to("in") and high - low > WHEEL * high:
                yield f"{one.at} {one.scale} and {other.at} {other.scale} stand at one arm"


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
            if " ".join(old.at.casefold().split()) != " ".join(point.at.casefold().split()):
                continue
            now, then = point.net("lb"), old.net("lb")
            if abs(now - then) > WHEEL * max(now, then) + moved:
                yield f"{point.at} carries {_told(now)} lb, and {_told(then)} lb by {before.name}"


def _told(pounds: Fraction) -> str:
    return f"{float(pounds):.1f}"
