"""What is at hand of a resource and who needs it; where it is not always there, capacity x minutes added up."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_kit.scheduling.network import FOREVER

Supply = tuple[tuple[int, int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """A resource, or several groups of people together: what each activity occupies at least, and the capacity.

    `supply` are (from, until, amount) where it is at hand; None for all hours.
    """

    demand: tuple[int, ...]
    capacity: int
    supply: Supply | None = None


class Stock:
    """Capacity x minutes at hand from the beginning up to any moment, and the moment at which so much was at hand."""

    def __init__(self, supply: Sequence[tuple[int, int, int]]) -> None:
        self.supply = supply
        self.starts = [start for start, _, _ in supply]
        self.sums = [0]
        for start, end, amount in supply:
            self.sums.append(self.sums[-1] + (end - start) * amount)

    def until(self, at: int) -> int:
        place = bisect_right(self.starts, at) - 1
        if place < 0:
            return 0
        start, end, amount = self.supply[place]
        return self.sums[place] + (min(at, end) - start) * amount

    def when(self, work: int) -> int:
        place = max(0, bisect_left(self.sums, work) - 1)
        if place == len(self.supply):
            return FOREVER
        start, _, amount = self.supply[place]
        return start - (-(work - self.sums[place]) // amount)
