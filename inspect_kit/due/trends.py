"""Series of readings and of settings over the years, their slopes, and when a limit will be reached.

A reading belongs to its check, its label and the part it was taken on: a new part, an overhaul or a repair begins a new
series. The part is the one in the position called like the label (`cylinder 3` in `cylinder-3`), else in the position
that the check counts on, else in the one with whose id the check's own begins (`battery-capacity` in `battery`).
"""

import datetime as dt
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import field, replace
from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from inspect_kit.due.chronicle import Chronicle, chronicle, seen_on
from inspect_kit.due.fitting import Fitting, Fittings, all_fittings, own_position, present
from inspect_kit.due.forecast import DAYS_AHEAD, Forecast
from inspect_kit.due.moments import Moment
from inspect_kit.due.slope import Slope, has_clear_slope, theil_sen
from inspect_kit.errors import Place
from inspect_kit.model.checklist import Bound, Check, Reads, Reckons, decimal
from inspect_kit.model.finding import Reading
from inspect_kit.model.interval import HOURS, METER_UNITS, AtInspection, Limit
from inspect_kit.model.kinds.installed import NO_SERIAL, words_of_part
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.settings import settings_of
from inspect_kit.noun import dataclass

if TYPE_CHECKING:
    from inspect_kit.model.measured import Earlier, When

MONTH, MONTHS = 30.4375, "months"  # Days in a month of the mean year.
FAR = 10**9  # More of any unit than anybody flies.


class Taken(NamedTuple):
    """One value: when it was taken, at which total of the meter it is counted on (months from the first one), where."""

    date: dt.date
    at: float
    value: Decimal
    record: str
    place: Place


# The dates of a forecast, in their order.
EARLY, LIKELY, LATE = range(3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """When a limit will be reached if it goes on like this: totals of the meter (None by the calendar), and dates.

    Early by the steepest slope of the interval and the heaviest use, late by the shallowest and the lightest: each is a
    forecast of its own, made when it is asked for. A date of None is further away than any forecast goes.
    """

    limit: Decimal
    total: float | None
    likely: dt.date | None
    at: Callable[[int], dt.date | None] = field(compare=False, repr=False)

    @cached_property
    def early(self) -> dt.date | None:
        return self.at(EARLY)

    @cached_property
    def late(self) -> dt.date | None:
        return self.at(LATE)


@dataclass(frozen=True, kw_only=True)
class Series:
    """All values of one label on one part, in order of time. `unit` is that of a meter, or months.

    `slope` is None while no two values differ in that, and is found when it is asked for; `reached` is None unless the
    slope is clear of noise and leads to the limit.
    """

    check: str
    label: str
    measure: str
    bound: Bound | None
    position: str
    serial: str
    unit: str
    meter: str
    taken: tuple[Taken, ...]
    reached: Reached | None

    @cached_property
    def slope(self) -> Slope | None:
        return theil_sen(*_points(self.taken))

    @property
    def id(self) -> str:
        """What it is called in the due list."""
        return trend_id(self.check, self.label)

    @property
    def change(self) -> Decimal:
        """The last value less the one before."""
        return self.taken[-1].value - self.taken[-2].value if len(self.taken) > 1 else Decimal(0)


def series_of(
    book: Chronicle, fittings: Fittings, forecasts: Mapping[str, Forecast], on: dt.date
) -> tuple[Series, ...]:
    """Every series on record of checks that are not retired, the present parts only, in the order of the checklists."""
    made = []
    repairs = _all_repairs(book)
    by_check: dict[str, list[tuple[str, list[OneRead]]]] = {}
    for (name, label), values in collected(book, fittings).items():
        by_check.setdefault(name, []).append((label, values))
    for check in book.logbook.checks.values():
        for label, values in by_check.get(check.id, ()):
            made.append(_series(check, label, _since_repair(values, check, label, repairs), book, forecasts, on))
    return (*made, *_settings(book, fittings))


def readings_before(logbook: Logbook, on: dt.date) -> dict[tuple[str, str], "tuple[Earlier, ...]"]:
    """What was read up to a day on the parts that are there then, since their last repair, by check and label."""
    from inspect_kit.model.measured import Earlier, When

    book = chronicle(seen_on(logbook, on)[0])
    fittings = all_fittings(book)
    found = {}
    repairs = _all_repairs(book)
    for (name, label), values in collected(book, fittings).items():
        position = values[-1].position
        there = _part(present(fittings.get(position, ())))
        kept = _since_repair(values, logbook.checks[name], label, repairs)
        asked = _asked(logbook.checks[name], label)
        found[name, label] = tuple(
            Earlier(when=When(date=each.taken.date, totals=each.moment.totals), value=each.taken.value)
            for each in kept
            if _part(each.stay) == there and (asked is None or each.reading.measure == asked.measure)
        )
    return found


def once_reaching(logbook: Logbook) -> dict[str, str]:
    """Every trend that a due list of some day so far has held, by its id, with its words; of retired checks too.

    Whether one is held changes with a reading: each is asked as it stood when it was taken.
    """
    living = {name: replace(check, retired=None) if check.retired else check for name, check in logbook.checks.items()}
    book = chronicle(replace(logbook, checks=living))
    pages = logbook.of_kind(PageRecord)
    taken = dict.fromkeys((logbook.id_now(each.check), each.label) for page in pages for each in page.readings)
    found = {}
    for one in readings_in_turn(book, [key for key in taken if key[0] in living]):
        check, label = living[one.check], one.reading.label
        if (name := trend_id(check.id, label)) in found:
            continue
        _, meter = counted_by(check, book)
        ats = [_at(when, meter) or 0.0 for when in (*(each.when for each in one.earlier), one.when)]
        values = [float(value) for value in (*(each.value for each in one.earlier), one.value)]
        asked = _asked(check, label)
        bound = asked.bound if asked is not None and asked.measure == one.reading.measure else one.reading.bound
        if _leads_to(bound, ats, values) is not None:
            found[name] = f"{check.title}, {label}"
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class InTurn:
    """One reading of a record by today's id of its check, and those before it on the same part since its repair.

    `there` says whether it was taken on the part that is there now.
    """

    check: str
    reading: Reading
    record: str
    value: Decimal
    when: "When"
    there: bool
    earlier: "tuple[Earlier, ...]"


def readings_in_turn(book: Chronicle, labels: Collection[tuple[str, str]]) -> Iterator[InTurn]:
    """Every reading of these labels of checks, in order of time, each as it stood on its own day."""
    from inspect_kit.model.measured import Earlier, When

    fittings = all_fittings(book)
    values, repaired = collected(book, fittings), _all_repairs(book)
    for key in labels:
        repairs = _repairs(book.logbook.checks[key[0]], key[1], repaired)
        before: list[OneRead] = []
        for one in values.get(key, ()):
            done = [moment.order for moment in repairs if not one.moment.order < moment.order]
            since = max(done, default=None)
            yield InTurn(
                check=key[0],
                reading=one.reading,
                record=one.taken.record,
                value=one.taken.value,
                when=When(date=one.taken.date, totals=one.moment.totals),
                there=_part(one.stay) == _part(present(fittings.get(one.position, ()))),
                earlier=tuple(
                    Earlier(when=When(date=each.taken.date, totals=each.moment.totals), value=each.taken.value)
                    for each in before
                    if _part(each.stay) == _part(one.stay)
                    and each.reading.measure == one.reading.measure
                    and (since is None or not each.moment.order < since)
                ),
            )
            before.append(one)


class OneRead(NamedTuple):
    """One value with the moment it was taken at and the part that it was taken on."""

    taken: Taken
    moment: Moment
    position: str
    stay: Fitting | None
    reading: Reading


def _stood(reading: Reading, early: PageRecord) -> bool:
    """Whether a reading stood so in an earlier record already."""
    said = [(each.label, each.value, each.again) for each in early.readings if each.check == reading.check]
    return (reading.label, reading.value, reading.again) in said


def collected(book: Chronicle, fittings: Fittings) -> dict[tuple[str, str], list[OneRead]]:
    """All values by check and label, in order of time, of checks that are not retired."""
    found: dict[tuple[str, str], list[OneRead]] = {}
    counted: dict[tuple[str, str], tuple[str, str]] = {}
    asks: dict[tuple[str, str], Reads | Reckons | None] = {}
    logbook = book.logbook
    for record in logbook.of_kind(PageRecord):
        moment, early = book.moments[record.name], book.sealed_before.get(record.name)
        ats: dict[str, float | None] = {}
        stays: dict[str, Fitting | None] = {}
        for reading in record.readings:
            check = logbook.checks.get(logbook.id_now(reading.check))
            value = reading.number
            if check is None or check.retired is not None or value is None:
                continue
            key = (check.id, reading.label)
            if key not in asks:
                asks[key] = _asked(check, reading.label)
            asked = asks[key]
            if asked is not None and reading.measure != asked.measure and reading.is_in(asked.measure):
                # Who writes `76` alone leaves the measure to the checklist; a remark behind one makes no other.
                reading = replace(reading, measure=asked.measure)
            if early is not None and _stood(reading, early):
                # Its page had it so when it was sealed before, as not passed: it was read once.
                continue
            if key not in counted:
                counted[key] = counted_by(check, book)[1], _position(check, reading.label, book)
            meter, position = counted[key]
            # Of one record all is at one moment.
            if meter not in ats:
                ats[meter] = _at(moment, meter)
            if (at := ats[meter]) is None:
                continue
            if position not in stays:
                stays[position] = _stay(fittings.get(position, ()), moment, book.clock)
            stay = stays[position]
            taken = Taken(record.date, at, value, record.name, reading.place)
            one = OneRead(taken, moment, position, stay, reading)
            found.setdefault(key, []).append(one)
    for values in found.values():
        # Of one day and total the order that one of the records tells.
        values.sort(key=lambda each: (each.taken.date, each.taken.at, len(each.moment.follows)))
    return found


Repairs = Mapping[str, Sequence[tuple[Moment, frozenset[str]]]]


def _all_repairs(book: Chronicle) -> Repairs:
    """By check, each moment at which something that it measures was made good on the part, and the labels of that."""
    logbook = book.logbook
    found: dict[str, list[tuple[Moment, frozenset[str]]]] = {}
    for record in logbook.of_kind(PageRecord):
        for result in record.results if record.only_done is None else ():
            if result.repaired:
                one = (book.moments[record.name], frozenset(result.repaired))
                found.setdefault(logbook.id_now(result.check), []).append(one)
    return found


def _since_repair(values: list[OneRead], check: Check, label: str, repairs: Repairs) -> list[OneRead]:
    """The values since what they measure was last repaired; that of the same record was taken after it."""
    last = max(_repairs(check, label, repairs), key=lambda moment: moment.order, default=None)
    kept = [each for each in values if last is None or not each.moment.order < last.order]
    # Nothing was read since: what was before is all that can be shown.
    return kept or values


def _repairs(check: Check, label: str, repairs: Repairs) -> list[Moment]:
    """When what a label measures was made good on the part that stays."""
    resting = {label, *(each for reckons in check.reckons if reckons.label == label for each in reckons.labels)}
    return [moment for moment, labels in repairs.get(check.id, ()) if resting & labels]


def _settings(book: Chronicle, fittings: Fittings) -> Iterator[Series]:
    """What was set, in the measure in which it was set last, on the part that is there now: drift, without a limit."""
    clock = book.clock
    for (setting, position), records in settings_of(book.logbook).items():
        values: list[tuple[Taken, str, Fitting | None]] = []
        for record in records:
            moment = book.moments[record.name]
            match = re.match(r"(-?[0-9.]+)\s*(.*)", record.to)
            value, at = decimal(match[1]) if match else None, _at(moment, clock)
            if match is None or value is None or at is None:
                continue
            stay = _stay(fittings.get(position, ()), moment, clock)
            taken = Taken(date=record.date, at=at, value=value, record=record.name, place=record.place)
            values.append((taken, match[2], stay))
        if not values:
            continue
        values.sort(key=lambda each: (each[0].date, each[0].at))
        _, measure, stay = values[-1]
        same = tuple(each for each, other, on in values if other == measure and _part(on) == _part(stay))
        yield Series(
            check=setting,
            label=f"on {position}" if position else "as set",
            measure=measure,
            bound=None,
            position=position,
            serial=stay.serial if stay is not None else "",
            unit=HOURS,
            meter=clock,
            taken=same,
            reached=None,
        )


def counted_by(check: Check, book: Chronicle) -> tuple[str, str]:
    """What wears what is read: landings or cycles where the check comes by them, the calendar where it comes by
    nothing else, and hours for all the rest."""
    terms = [term for term in (*check.every, *check.life) if isinstance(term, Limit)]
    aircraft = book.logbook.aircraft
    for unit in METER_UNITS:
        meter = aircraft.meter_of(unit, None)
        if unit != HOURS and meter is not None and any(term.unit == unit for term in terms):
            return unit, meter
    by_inspection = any(isinstance(term, AtInspection) for term in check.every)
    if terms and not by_inspection and all(term.is_calendar for term in terms):
        return MONTHS, ""
    return HOURS, aircraft.time_in_service


def _at(moment: "Moment | When", meter: str) -> float | None:
    if not meter:
        return moment.date.toordinal() / MONTH if moment.date is not None else None
    total = moment.totals.get(meter)
    return float(total) if total is not None else None


def trend_id(check: str, label: str) -> str:
    """What a trend is called in the due list: `compression/cylinder-3`."""
    return f"{check}/{_slug(label)}"


def _slug(label: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", label.casefold()).strip("-")


def _position(check: Check, label: str, book: Chronicle) -> str:
    """The position that a reading was taken on; "" for the aircraft itself."""
    named = book.logbook.id_now(_slug(label))
    if named in book.logbook.aircraft.positions:
        return named
    return own_position(check, book.logbook)


def _stay(stays: tuple[Fitting, ...], moment: Moment, clock: str) -> Fitting | None:
    return next((stay for stay in reversed(stays) if stay.holds(moment, clock)), None)


def _part(stay: Fitting | None) -> tuple[str, str, str]:
    """What tells one part from another: its serial, its name (or the day it came where it has no serial), and its
    last overhaul."""
    if stay is None:
        return "", "", ""
    name = " ".join(words_of_part(stay.part)) if stay.serial.casefold() != NO_SERIAL else str(stay.start.order)
    return stay.serial, name, str(stay.overhauled or "")


def _series(
    check: Check,
    label: str,
    values: list[OneRead],
    book: Chronicle,
    forecasts: Mapping[str, Forecast],
    on: dt.date,
) -> Series:
    """The series of the part that is there now: that of the last value."""
    last = values[-1]
    position, stay, reading = last.position, last.stay, last.reading
    unit, meter = counted_by(check, book)
    # What was read in another measure, before the check asked for this one, is no value of this series.
    part = _part(stay)
    taken = tuple(
        each.taken
        for each in values
        if (each.stay is stay or _part(each.stay) == part) and each.reading.measure == reading.measure
    )
    first = taken[0].at if not meter else 0.0
    taken = tuple(each._replace(at=each.at - first) for each in taken) if first else taken
    asked = _asked(check, label)
    bound = asked.bound if asked is not None and asked.measure == reading.measure else reading.bound
    return Series(
        check=check.id,
        label=label,
        measure=reading.measure,
        bound=bound,
        position=position,
        serial=stay.serial if stay is not None else "",
        unit=unit,
        meter=meter,
        taken=taken,
        reached=_reached(bound, taken, forecasts.get(meter) if meter else None, meter, on),
    )


def _asked(check: Check, label: str) -> Reads | Reckons | None:
    """What asks for a label today; None where nothing does any more."""
    read = next((reads for reads in check.reads if label in reads.labels), None)
    return read or next((reckons for reckons in check.reckons if reckons.label == label), None)


def _points(taken: Sequence[Taken]) -> tuple[list[float], list[float]]:
    """Where each value is counted, and what it is."""
    return [each.at for each in taken], [float(each.value) for each in taken]


def _leads_to(bound: Bound | None, ats: list[float], values: list[float]) -> tuple[Slope, Decimal] | None:
    """The slope of values, where it is clear of noise, and the limit that it leads to."""
    if bound is None or (bound.low is None and bound.high is None) or not has_clear_slope(ats, values):
        return None
    slope = theil_sen(ats, values)
    limit = None if slope is None else bound.low if slope.slope < 0 else bound.high
    return None if slope is None or limit is None else (slope, limit)


def _reached(
    bound: Bound | None,
    taken: tuple[Taken, ...],
    forecast: Forecast | None,
    meter: str,
    on: dt.date,
) -> Reached | None:
    if bound is None or (meter and forecast is None):
        return None
    led = _leads_to(bound, *_points(taken))
    if led is None:
        return None
    slope, limit = led
    last = taken[-1].at
    # Reached now: at the limit or past it by the line, whatever was read last, or by what was read last itself.
    by_line, by_last = float(limit) - slope.at(last), float(limit - taken[-1].value)
    there = by_line * slope.slope <= 0 or by_last * slope.slope <= 0
    ways = [0.0 if there else by_line / each for each in (slope.low, slope.slope, slope.high)]
    ahead = sorted(ways)

    def at(which: int) -> dt.date | None:
        if forecast is None:
            return _later(taken[-1].date, ahead[which], on)
        return _when(forecast, last + ahead[which], which)

    total = None if forecast is None else last + ahead[LIKELY]
    return Reached(limit=limit, total=total, likely=at(LIKELY), at=at)


def _when(forecast: Forecast, total: float, which: int) -> dt.date | None:
    """The early, likely or late date of a total; None where it is as far away as the forecast can see."""
    if total >= FAR:
        return None
    date = forecast.when(Decimal(repr(round(total, 4))))[which]
    return date if date < forecast.when(Decimal(FAR))[which] else None


def _later(day: dt.date, months: float, on: dt.date) -> dt.date | None:
    ahead = months * MONTH
    if ahead > 4 * DAYS_AHEAD:
        return None
    date = max(on, day + dt.timedelta(days=round(ahead)))
    return date if (date - on).days < DAYS_AHEAD else None
