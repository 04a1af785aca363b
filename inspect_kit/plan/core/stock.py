"""What is at hand of a resource that is not always there: capacity x minutes, added up over time."""

from bisect import bisect_right
from collections.abc import Sequence

from inspect_kit.plan.core.network import FOREVER

Supply = tuple[tuple[int, int, int], ...]


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
        place = 0
        while place < len(self.supply) and self.sums[place + 1] < work:
            place += 1
        if place == len(self.supply):
            return FOREVER
        start, _, amount = self.supply[place]
        return start - (-(work - self.sums[place]) // amount)
