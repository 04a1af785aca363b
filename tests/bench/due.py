"""The forecast put to a rolling back-test on simulated owners: the share of true dates inside its interval.

    python -m tests.bench due [--owners N] [--first SEED] [--every DAYS]

Each kind of owner writes in each of three ways, eight years each. A true date may lie before the day of the question,
where nobody wrote down what was flown. `upper` is the upper end of the 95 % interval of a share, owner by owner.
Beside it the pinball loss of the 10, 50 and 90 % dates against the mean rate of the last year, and of the last 90 days.
"""

import argparse
import bisect
import math
import time
from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from inspect_kit.due.forecast import Forecast
from tests.due.owners import KINDS, START, WAYS, YEARS, life

HORIZONS = (10, 25, 50, 100)
FARTHEST = 3650.0


class Answer(NamedTuple):
    """One question: by whom, whether the truth lay inside and before, and the losses of ours and of two plain ones."""

    owner: tuple[str, str, int]
    inside: bool
    before: bool
    losses: tuple[float, float, float]


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench due")
    parser.add_argument("--owners", type=int, default=10, help="of each kind and way")
    parser.add_argument("--first", type=int, default=3000, help="the first seed")
    parser.add_argument("--every", type=int, default=91, help="days between one question and the next")
    options = parser.parse_args(argv)
    start = time.process_time()
    answers = [
        answer
        for kind in KINDS
        for way in WAYS
        for seed in range(options.first, options.first + options.owners)
        for answer in questions(kind, seed, way, options.every)
    ]
    spent = time.process_time() - start
    print("| owner | " + " | ".join(WAYS) + " | all: inside (upper), before early, loss |")
    print("|---" * (len(WAYS) + 2) + "|")
    for kind in KINDS:
        own = [each for each in answers if each.owner[0] == kind]
        cells = [share([each for each in own if each.owner[1] == way]) for way in WAYS]
        print(f"| {kind} | " + " | ".join(cells) + f" | {share(own)}, {before(own)}, {loss(own)} |")
    cells = [share([each for each in answers if each.owner[1] == way]) for way in WAYS]
    print("| all | " + " | ".join(cells) + f" | {share(answers)}, {before(answers)}, {loss(answers)} |")
    owners = len({each.owner for each in answers})
    print(f"{owners} owners, {len(answers)} questions, {1000 * spent / len(answers):.1f} ms each with its history")
    return 0


def questions(kind: str, seed: int, way: str, every: int) -> Iterator[Answer]:
    """What the forecast says of one owner, every so many days, at each horizon."""
    flights, readings = life(kind, seed, way)
    totals, dates = [total for _, total in flights], [day for day, _ in readings]
    for origin in range(75 + seed % every, YEARS * 365, every):
        today = START + timedelta(days=origin)
        known = readings[: bisect.bisect_right(dates, today)]
        forecast = Forecast(known, today)
        for horizon in HORIZONS:
            goal = known[-1][1] + horizon
            reached = bisect.bisect_left(totals, int(goal * 10))
            if reached >= len(totals):
                continue
            true = min(FARTHEST, flights[reached][0] - origin)
            early, likely, late = ((day - today).days for day in forecast.when(goal))
            plain = [_plain(known, today, horizon, days) for days in (365, 90)]
            losses = tuple(
                sum(_pinball(share, true, day) for share, day in zip((0.1, 0.5, 0.9), days, strict=True))
                for days in ((early, likely, late), [plain[0]] * 3, [plain[1]] * 3)
            )
            yield Answer((kind, way, seed), early <= true <= late, true < early, losses)  # type: ignore[arg-type]


def shares(answers: Iterable[Answer]) -> tuple[float, float]:
    """The share inside, and the upper end of its 95 % interval: owners are independent, questions of one are not."""
    own: dict[tuple[str, str, int], list[bool]] = defaultdict(list)
    for answer in answers:
        own[answer.owner].append(answer.inside)
    count = sum(map(len, own.values()))
    mean = sum(map(sum, own.values())) / count
    # The ratio estimator of a cluster sample (Cochran, Sampling Techniques, 3rd ed., 1977, section 9A.1).
    spread = sum((sum(each) - mean * len(each)) ** 2 for each in own.values())
    groups = len(own)
    error = math.sqrt(spread * groups / max(1, groups - 1)) / count
    return mean, mean + 1.96 * error


def share(answers: list[Answer]) -> str:
    mean, upper = shares(answers)
    return f"{100 * mean:.1f} ({100 * upper:.1f})"


def before(answers: list[Answer]) -> str:
    return f"{100 * sum(each.before for each in answers) / len(answers):.1f}"


def loss(answers: list[Answer]) -> str:
    sums = [sum(each.losses[place] for each in answers) for place in range(3)]
    return f"{sums[0] / sums[1]:.2f}/{sums[0] / sums[2]:.2f}"


def _pinball(share: float, true: float, said: float) -> float:
    return share * (true - said) if true >= said else (1 - share) * (said - true)


def _plain(readings: list[tuple[date, Decimal]], today: date, hours: int, days: int) -> float:
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
        return _plain(readings, today, hours, days * 4) if days < FARTHEST else FARTHEST
    return min(FARTHEST, hours / rate)
