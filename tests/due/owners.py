"""Simulated owners: flights day by day for twenty years, and the readings that such an owner writes down."""

import math
import random
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from decimal import Decimal

START = date(2010, 3, 1)
YEARS = 10
DAYS = 20 * 365
Flights = Iterator[tuple[int, float]]


def _flight(chance: random.Random, mean: float = 1.1) -> float:
    return max(0.2, round(chance.gammavariate(2.5, mean / 2.5), 1))


def _season(day: int, depth: float, peak: int = 190) -> float:
    of_year = (START + timedelta(days=day)).timetuple().tm_yday
    return 1 + depth * math.cos(2 * math.pi * (of_year - peak) / 365.25)


def steady(chance: random.Random) -> Flights:
    daily = chance.uniform(40, 160) / 365 / 1.1
    for day in range(DAYS):
        if chance.random() < daily:
            yield day, _flight(chance)


def weekends(chance: random.Random) -> Flights:
    """Weekends only, with a season."""
    hours, depth = chance.uniform(30, 120), chance.uniform(0.75, 1.0)
    peak = 190 if chance.random() < 0.8 else 10
    for day in range(DAYS):
        if (START + timedelta(days=day)).weekday() < 5:
            continue
        if chance.random() < hours / 104 / 1.2 * _season(day, depth, peak) * 0.8:
            yield day, _flight(chance, 1.5)


def layups(chance: random.Random) -> Flights:
    """Long lay-ups between active times."""
    daily, active = chance.uniform(60, 150) / 365 / 1.1, chance.uniform(240, 600)
    day, left = 0, chance.expovariate(1 / active)
    while day < DAYS:
        if left <= 0:
            day += int(min(400, max(45, chance.lognormvariate(math.log(120), 0.5))))
            left = chance.expovariate(1 / active)
            continue
        if chance.random() < daily:
            yield day, _flight(chance)
        day, left = day + 1, left - 1


def building(chance: random.Random) -> Flights:
    """Building up from little to much."""
    low, high = chance.uniform(15, 40), chance.uniform(90, 200)
    middle, width = chance.uniform(2.5, 6) * 365, chance.uniform(0.5, 1.5) * 365
    depth = chance.uniform(0, 0.5)
    for day in range(DAYS):
        yearly = low + (high - low) / (1 + math.exp(-(day - middle) / width))
        if chance.random() < yearly * _season(day, depth) / 365 / 1.1:
            yield day, _flight(chance)


def irregular(chance: random.Random) -> Flights:
    """A level that jumps, and trips of a week."""
    base = chance.uniform(40, 110)
    day, rate, left, trip = 0, base, 0.0, 0
    while day < DAYS:
        if left <= 0:
            rate, left = base * math.exp(chance.gauss(0, 0.5)), chance.expovariate(1 / 500)
        if trip > 0:
            trip -= 1
            if chance.random() < 0.7:
                yield day, _flight(chance, 1.8)
        elif chance.random() < rate * 0.45 / 365 / 10:
            trip = chance.randint(4, 12)
        elif chance.random() < rate * 0.55 / 365:
            yield day, _flight(chance, 1.0)
        day, left = day + 1, left - 1


KINDS: dict[str, Callable[[random.Random], Flights]] = {
    "steady": steady,
    "weekends with a season": weekends,
    "long lay-ups": layups,
    "building up": building,
    "irregular": irregular,
}


def life(kind: str, seed: int) -> tuple[list[tuple[int, int]], list[tuple[date, Decimal]]]:
    """Flights as (day, total in tenths) and readings as (date, total), one every few flights."""
    chance = random.Random(f"{kind} {seed}")
    total, flights, readings, until = 0, [(0, 0)], [(START, Decimal(0))], 1
    for day, hours in KINDS[kind](chance):
        total += round(hours * 10)
        flights.append((day, total))
        until -= 1
        if until <= 0:
            readings.append((START + timedelta(days=day), Decimal(total) / 10))
            until = chance.choice((1, 1, 2, 2, 3, 4, 6))
    return flights, readings
