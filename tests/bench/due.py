"""The forecast put to a rolling back-test: the share of true dates inside the interval, and the pinball loss.

    python -m tests.bench due [--seeds N] [--first N] [--every DAYS]

Five kinds of simulated owner, ten years each. Naive forecasts beside it: the mean rate of the last year, and that of
the last 90 days. Loss is the pinball loss of the 10, 50 and 90 % dates (a naive forecast gives one date for all).
"""

import argparse
import bisect
import time
from collections import defaultdict
from datetime import date, timedelta
from decimal import Decimal

from inspect_kit.due import Forecast
from tests.due.owners import KINDS, START, YEARS, life

HORIZONS = (10, 25, 50, 100)
FARTHEST = 3650.0


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench due")
    parser.add_argument("--seeds", type=int, default=10)
    parser.add_argument("--first", type=int, default=3000)
    parser.add_argument("--every", type=int, default=91, help="days between one forecast and the next")
    options = parser.parse_args(argv)
    rows: dict[tuple[str, int], list[tuple[bool, float, float, float]]] = defaultdict(list)
    start, asked = time.perf_counter(), 0
    for kind in KINDS:
        for seed in range(options.first, options.first + options.seeds):
            for horizon, row in _life(kind, seed, options.every):
                rows[kind, horizon].append(row)
                asked += 1
    spent = time.perf_counter() - start
    heads = " ".join(f"{hours:4} h" for hours in HORIZONS)
    print(f"{'owner':24} inside at {heads}   loss against last year, 90 days")
    for kind in KINDS:
        shares = [_mean(rows[kind, horizon], 0) for horizon in HORIZONS]
        all_rows = [row for horizon in HORIZONS for row in rows[kind, horizon]]
        told = " ".join(f"{100 * share:5.1f}%" for share in shares)
        own = _mean(all_rows, 1)
        print(f"{kind:24}           {told}   {own / _mean(all_rows, 2):.2f}, {own / _mean(all_rows, 3):.2f}")
    every = [row for found in rows.values() for row in found]
    own = _mean(every, 1)
    inside = 100 * _mean(every, 0)
    print(f"overall inside {inside:.1f} %, loss {own / _mean(every, 2):.2f}, {own / _mean(every, 3):.2f}")
    print(f"{asked} forecasts, {1000 * spent / asked:.2f} ms each with its history")
    return 0


def _life(kind: str, seed: int, every: int):  # type: ignore[no-untyped-def]
    flights, readings = life(kind, seed)
    totals, dates = [total for _, total in flights], [day for day, _ in readings]
    for origin in range(75, YEARS * 365, every):
        today = START + timedelta(days=origin)
        known = readings[: bisect.bisect_right(dates, today)]
        forecast = Forecast(known, today)
        for horizon in HORIZONS:
            goal = known[-1][1] + horizon
            reached = bisect.bisect_left(totals, int(goal * 10))
            if reached >= len(totals):
                continue
            true = min(FARTHEST, max(0, flights[reached][0] - origin))
            early, likely, late = ((day - today).days for day in forecast.when(goal))
            loss = _pinball(0.1, true, early) + _pinball(0.5, true, likely) + _pinball(0.9, true, late)
            naive = [_naive(known, today, horizon, days) for days in (365, 90)]
            losses = [sum(_pinball(share, true, day) for share in (0.1, 0.5, 0.9)) for day in naive]
            yield horizon, (early <= true <= late, loss, *losses)


def _pinball(share: float, true: float, said: float) -> float:
    return share * (true - said) if true >= said else (1 - share) * (said - true)


def _naive(readings: list[tuple[date, Decimal]], today: date, hours: int, days: int) -> float:
    """Days to so many hours at the mean rate of the last `days`; over longer if nothing was flown in them."""
    cut = today - timedelta(days=days)
    at = max(0, bisect.bisect_right([day for day, _ in readings], cut) - 1)
    since, begun = readings[at]
    if since < cut and at + 1 < len(readings):
        after, total = readings[at + 1]
        begun += (total - begun) * (cut - since).days / max(1, (after - since).days)
        since = cut
    rate = float(readings[-1][1] - begun) / max(1, (today - since).days)
    if rate <= 0:
        return _naive(readings, today, hours, days * 4) if days < FARTHEST else FARTHEST
    return min(FARTHEST, hours / rate)


def _mean(rows: list[tuple[bool, float, float, float]], place: int) -> float:
    return sum(row[place] for row in rows) / len(rows)
