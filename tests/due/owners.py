"""Simulated owners: flights day by day for ten years, and the readings that such an owner writes down.

Eleven kinds of use, told from below by their docstrings, and three ways of writing. Days are counted from START.
"""

import math
import random
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from decimal import Decimal

START = date(2010, 3, 1)
YEARS = 8
DAYS = 20 * 365
Flights = Iterator[tuple[int, float]]


def _flight(chance: random.Random, mean: float = 1.1) -> float:
    return max(0.2, round(chance.gammavariate(2.5, mean / 2.5), 1))


def _season(day: int, depth: float, peak: int = 190) -> float:
    of_year = (START + timedelta(days=day)).timetuple().tm_yday
    return 1 + depth * math.cos(2 * math.pi * (of_year - peak) / 365.25)


def _flown(chance: random.Random, yearly: Callable[[int], float], mean: float = 1.1) -> Flights:
    """Days with a flight by chance, so that a year has so many hours."""
    for day in range(DAYS):
        if chance.random() < yearly(day) / 365 / mean:
            yield day, _flight(chance, mean)


def steady(chance: random.Random) -> Flights:
    """40 to 160 h a year, no season."""
    hours = chance.uniform(40, 160)
    yield from _flown(chance, lambda day: hours)


def growing(chance: random.Random) -> Flights:
    """From little to three to eight times as much, over two to seven years."""
    low, times = chance.uniform(12, 35), chance.uniform(3, 8)
    start, length = chance.uniform(0, 2) * 365, chance.uniform(2, 7) * 365
    yield from _flown(chance, lambda day: low * (1 + (times - 1) * min(1, max(0, (day - start) / length))))


def shrinking(chance: random.Random) -> Flights:
    """From much to a third to a tenth of it."""
    high, share = chance.uniform(90, 180), chance.uniform(0.1, 0.35)
    start, length = chance.uniform(0, 2) * 365, chance.uniform(2, 7) * 365
    yield from _flown(chance, lambda day: high * (1 - (1 - share) * min(1, max(0, (day - start) / length))))


def changed(chance: random.Random) -> Flights:
    """A habit that changes from one day to the next, every one to five years, by a half or to double and more."""
    levels, day, level = [], 0, chance.uniform(30, 130)
    while day < DAYS:
        levels.append((day, level))
        day += int(chance.uniform(1, 5) * 365)
        level = min(220, max(12, level * math.exp(chance.choice((-1, 1)) * chance.uniform(0.5, 1.3))))
    yield from _flown(chance, lambda at: [each for since, each in levels if since <= at][-1])


def gaps(chance: random.Random) -> Flights:
    """Steady, but for months on the ground every year or two."""
    hours, idle, day = chance.uniform(50, 140), set(), 0.0
    while day < DAYS:
        day += chance.expovariate(1 / chance.uniform(300, 600))
        length = min(500, max(45, chance.lognormvariate(math.log(130), 0.5)))
        idle |= set(range(int(day), int(day + length)))
        day += length
    yield from _flown(chance, lambda at: 0 if at in idle else hours)


def seasonal(chance: random.Random) -> Flights:
    """Much in summer, next to nothing in winter; the other way round for one in five."""
    hours, depth, peak = chance.uniform(40, 120), chance.uniform(0.8, 1.0), 190 if chance.random() < 0.8 else 10
    yield from _flown(chance, lambda day: hours * _season(day, depth, peak))


def school(chance: random.Random) -> Flights:
    """A school: three to seven hours on most working days, quieter in winter, closed for some weeks."""
    daily, depth, weeks = chance.uniform(0.35, 0.75), chance.uniform(0.1, 0.5), chance.sample(range(52), 5)
    for day in range(DAYS):
        today = START + timedelta(days=day)
        closed = (today.timetuple().tm_yday - 1) // 7 in weeks
        if not closed and today.weekday() < 6 and chance.random() < daily * _season(day, depth):
            yield day, round(chance.uniform(1.0, 4.5), 1)


def weekends(chance: random.Random) -> Flights:
    """Weekends only, with a mild season and weather."""
    hours, depth = chance.uniform(30, 110), chance.uniform(0.2, 0.6)
    for day in range(DAYS):
        weekend = (START + timedelta(days=day)).weekday() > 4
        if weekend and chance.random() < hours / 104 / 1.3 * _season(day, depth):
            yield day, _flight(chance, 1.3)


def trip(chance: random.Random) -> Flights:
    """Little at home, and one long journey of two to five weeks a year, in most years."""
    hours, days = chance.uniform(20, 60), set()
    for year in range(20):
        if chance.random() < 0.8:
            start = year * 365 + int(chance.uniform(60, 250))
            days |= set(range(start, start + chance.randint(14, 35)))
    for day in range(DAYS):
        if day in days:
            if chance.random() < 0.5:
                yield day, _flight(chance, 2.8)
        elif chance.random() < hours / 365 / 1.1:
            yield day, _flight(chance)


def partners(chance: random.Random) -> Flights:
    """Several owners who come and go: a level that wanders from month to month."""
    level, levels = chance.uniform(60, 150), []
    base = level
    for _ in range(DAYS // 30 + 1):
        levels.append(level)
        level = math.exp(0.95 * math.log(level) + 0.05 * math.log(base) + chance.gauss(0, 0.22))
    yield from _flown(chance, lambda day: levels[day // 30])


def finishing(chance: random.Random) -> Flights:
    """A builder: forty hours in the first months, a winter of changes, then an owner's use with a season."""
    hours, depth, test = chance.uniform(35, 110), chance.uniform(0, 0.7), int(chance.uniform(60, 200))
    pause = test + int(chance.uniform(30, 200))
    yield from _flown(
        chance, lambda day: 40 * 365 / test if day < test else 0 if day < pause else hours * _season(day, depth)
    )


KINDS: dict[str, Callable[[random.Random], Flights]] = {
    "steady": steady,
    "growing": growing,
    "shrinking": shrinking,
    "habit changed": changed,
    "gaps of months": gaps,
    "seasonal": seasonal,
    "school": school,
    "weekends": weekends,
    "one long trip": trip,
    "partners": partners,
    "flight test, then own use": finishing,
}
EVERY_FLIGHT, MONTHLY, AT_WORK = "every flight", "monthly", "only at work"
WAYS = (EVERY_FLIGHT, MONTHLY, AT_WORK)


def life(kind: str, seed: int, way: str = EVERY_FLIGHT) -> tuple[list[tuple[int, int]], list[tuple[date, Decimal]]]:
    """Flights as (day, total in tenths) and readings as (date, total) written that way."""
    chance = random.Random(f"{kind} {way} {seed}")
    flights, total = [(0, 0)], 0
    for day, hours in KINDS[kind](chance):
        total += round(hours * 10)
        flights.append((day, total))
    written = sorted({0, *_written(chance, way, flights)})
    readings, at = [], 0
    for day in written:
        while at + 1 < len(flights) and flights[at + 1][0] <= day:
            at += 1
        readings.append((START + timedelta(days=day), Decimal(flights[at][1]) / 10))
    return flights, readings


def _written(chance: random.Random, way: str, flights: list[tuple[int, int]]) -> Iterator[int]:
    """The days on which a reading is written down."""
    if way == EVERY_FLIGHT:
        yield from (day for day, _ in flights)
    elif way == MONTHLY:
        for month in range(1, DAYS // 30):
            if chance.random() < 0.9:
                yield month * 30 + chance.randint(0, 5)
    else:
        # Oil every 25 to 50 h or so, the yearly inspection, and now and then something else.
        every, last = chance.uniform(220, 480), 0
        yearly = chance.randint(30, 335)
        for year in range(20):
            yield year * 365 + yearly + chance.randint(-20, 20)
        for day, total in flights:
            if total - last >= every * chance.uniform(0.8, 1.1):
                last = total
                yield day
        for _ in range(20):
            yield chance.randrange(DAYS)
