"""Small changes to a schedule: some steps elsewhere, or other ranks for all that comes after some moment.

Only what comes after the first change is generated anew, so that a change near the end costs next to nothing.
"""

from random import Random

from inspect_kit.scheduling.network import Network
from inspect_kit.scheduling.parallel import moment_of, walk
from inspect_kit.scheduling.problem import Schedule
from inspect_kit.scheduling.tight import Broken

LAST_STEPS = 80


def wander(
    network: Network, schedule: Schedule, lean: int, random: Random, trials: int, goal: int
) -> tuple[Schedule, float]:
    """The schedule after so many changes that made it no longer, and the effort in whole schedules.

    It ends early when the finish reaches `goal`. Equal finishes are taken as well: they lead away from dead ends.
    """
    spent = 0.0
    for trial in range(trials):
        if schedule.finish <= goal:
            break
        rank, since = _moved(network, schedule, random) if trial % 4 else _shuffled(network, schedule, random)
        moment = moment_of(network, schedule, since)
        spent += 0.2 + moment.left / network.size
        try:
            made = walk(moment, rank, lean)
        except Broken:
            continue
        if made is not None and made.finish <= schedule.finish:
            schedule = made
    return schedule, spent


def _moved(network: Network, schedule: Schedule, random: Random) -> tuple[list[float], int]:
    """One to three steps swapped or sent elsewhere: the ranks, and the moment of the first change."""
    draw, size = random.random, network.size
    begin = network.problem.begin
    rank = [float(start) for start in schedule.starts]
    since = schedule.finish
    for _ in range(1 + int(draw() * 3)):
        index = int(draw() * size)
        if draw() < 0.5:
            other = int(draw() * size)
            rank[index], rank[other] = rank[other], rank[index]
            since = min(since, schedule.starts[other])
        else:
            rank[index] += (draw() - 0.3) * (schedule.finish - begin) * draw()
        since = int(min(since, schedule.starts[index], rank[index]))
    return rank, max(since, begin)


def _shuffled(network: Network, schedule: Schedule, random: Random) -> tuple[list[float], int]:
    """All steps after some moment near the end, each a little later or much later than it was."""
    draw, size = random.random, network.size
    steps = min(size, 4 + int(draw() * draw() * min(size, LAST_STEPS)))
    since = sorted(schedule.starts)[-steps]
    width = draw() * draw() * 2 * (schedule.finish - since)
    return [start + draw() * width if start >= since else 0.0 for start in schedule.starts], since


def turned(schedule: Schedule, network: Network, begin: int) -> Schedule:
    """The schedule seen from the other end of time, for the network there; it began at `begin`."""
    base = network.problem.begin
    starts = tuple(
        base + schedule.finish - start - length for start, length in zip(schedule.starts, network.minutes, strict=True)
    )
    return Schedule(starts=starts, modes=schedule.modes, finish=base + schedule.finish - begin)
