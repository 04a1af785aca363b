"""Chains that may not come apart: maximum lags, and setups that may not stand over a break.

A schedule that breaks one is generated anew with a later release for its first activity (after Franck, Neumann &
Schwindt 2001, OR Spektrum 23:297-324), again and again until all hold.
"""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence

from inspect_kit.scheduling.network import FOREVER, Network
from inspect_kit.scheduling.problem import Schedule

MENDS = 60
URGENT = 1 << 30


class Broken(Exception):
    """A tight chain came apart: `first` must not start before `release`."""

    def __init__(self, first: int, release: int) -> None:
        super().__init__(first, release)
        self.first, self.release = first, release


def mended(network: Network, begin: int, scheme: Callable[[Sequence[int]], Schedule | None]) -> Schedule | None:
    """What the scheme makes of the releases, moved until no chain is broken; None when that leads nowhere."""
    release: Sequence[int] = network.release
    if begin:
        release = [max(begin, moment) for moment in release]
    for _ in range(MENDS):
        try:
            return scheme(release)
        except Broken as broken:
            if broken.release >= FOREVER:
                return None
            release = [*release]
            release[broken.first] = broken.release
    return None


def hurry(urgent: int, rank: list[float], queues: Iterable[list[tuple[float, int]]]) -> None:
    """Put the followers of a tight chain before everything else."""
    for index in range(len(rank)):
        if urgent >> index & 1 and rank[index] > -URGENT / 2:
            rank[index] -= URGENT
    for queue in queues:
        queue[:] = sorted((rank[index], index) for _, index in queue)


def keep_tight(network: Network, index: int, start: int, end: int, starts: Sequence[int]) -> None:
    """Raise Broken when starting now would break a maximum lag or leave something standing over a break."""
    for first, most in network.latest[index]:
        latest = starts[first] + network.minutes[first] + most
        if start > latest:
            raise Broken(first, start - most - network.minutes[first])
    shifts = network.problem.shifts
    if shifts is not None:
        for span in network.closes[index]:
            first = network.problem.spans[span].first
            if not network.problem.spans[span].overnight:
                place = bisect_right(shifts, (start, FOREVER)) - 1
                opened = shifts[place][0] if place >= 0 else start
                if starts[first] < opened:
                    raise Broken(first, opened)
