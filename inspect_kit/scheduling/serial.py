"""Schedule generation by the serial scheme: one activity after another, each as early as it fits.

Kolisch (1996), EJOR 90:320-333.
"""

from bisect import bisect_right
from collections.abc import Sequence
from heapq import heapify, heappop, heappush

from inspect_kit.scheduling.network import FOREVER, Network
from inspect_kit.scheduling.problem import Schedule, Window
from inspect_kit.scheduling.tight import hurry, keep_tight, mended


def serial(network: Network, rank: Sequence[float], lean: int = 0, begin: int = 0) -> Schedule | None:
    """The schedule by the serial scheme, lowest rank first, from `begin` on.

    The activities in the bit set `lean` use their first mode only. None when no schedule comes out.
    """
    return mended(network, begin, lambda release: _serial(network, list(rank), lean, release))


def _serial(network: Network, rank: list[float], lean: int, release: Sequence[int]) -> Schedule | None:
    minutes, needs, slots, after = network.minutes, network.needs, network.slots, network.after
    plain, holds, calendars = network.plain, network.holds, network.calendars
    starts, modes = [-1] * network.size, [0] * network.size
    waiting, ready = network.waiting[:], list(release)
    heap = [(rank[index], index) for index in range(network.size) if not waiting[index]]
    heapify(heap)
    line = _Line(network, min(release, default=0))
    blocked: list[int] = []
    finish = network.problem.begin
    left = network.size
    while heap:
        index = heappop(heap)[1]
        length, from_, hold, closed = minutes[index], ready[index], 0, False
        if not plain:
            hold = sum([holds[span] for span in network.opens[index]])
            if any(line.stands(span) for span in network.keeps[index]) or (hold and not line.takes(hold)):
                blocked.append(index)
                continue
            for span in network.opens[index]:
                for rival in network.rivals[span]:
                    if starts[rival] >= 0:
                        from_ = max(from_, starts[rival] + minutes[rival])
            closed = bool(network.closes[index])
        best, chosen = FOREVER, 0
        for mode, need in enumerate(needs[index][:1] if lean >> index & 1 else needs[index]):
            slot = slots[index][mode]
            calendar = calendars[slot] if slot >= 0 else None
            at = line.earliest(from_, length, need, calendar, hold, network.keeps[index])
            if at < best:
                best, chosen = at, mode
        if best == FOREVER:
            return None
        starts[index], modes[index] = best, chosen
        end = best + length
        left -= 1
        finish = max(finish, end)
        if length:
            line.occupy(best, end, needs[index][chosen])
        if not plain:
            keep_tight(network, index, best, end, starts)
            for span in network.opens[index]:
                line.open(span, best)
            for span in network.closes[index]:
                line.close(span, end)
            if network.urgent[index]:
                hurry(network.urgent[index], rank, [heap])
        for follower, least in after[index]:
            waiting[follower] -= 1
            if end + least > ready[follower]:
                ready[follower] = end + least
            if not waiting[follower]:
                heappush(heap, (rank[follower], follower))
        if closed and blocked:
            for other in blocked:
                heappush(heap, (rank[other], other))
            blocked = []
    return None if left else Schedule(starts=tuple(starts), modes=tuple(modes), finish=finish)


class _Line:
    """What is free over time: `times` ascending from the beginning, `frees` from each of them until the next."""

    def __init__(self, network: Network, begin: int) -> None:
        self.guard, self.holds = network.guard, network.holds
        self.times, self.frees = [begin], [network.free]
        self.opened: dict[int, int] = {}
        self.spanned: dict[int, Window] = {}

    def stands(self, span: int) -> bool:
        return span in self.opened

    def takes(self, hold: int) -> bool:
        """Whether the gear is still at hand when all that stands now has been undone."""
        return self.frees[-1] - hold & self.guard == self.guard

    def earliest(
        self,
        start: int,
        length: int,
        need: int,
        calendar: Sequence[Window] | None,
        hold: int,
        keeps: Sequence[int],
    ) -> int:
        """The first moment from `start` on at which it fits, FOREVER if there is none."""
        times, frees, guard = self.times, self.frees, self.guard
        size = len(times)
        while True:
            if calendar is not None and length:
                window = bisect_right(calendar, (start, FOREVER)) - 1
                if window < 0 or start + length > calendar[window][1]:
                    window += 1
                    while window < len(calendar) and calendar[window][0] + length > calendar[window][1]:
                        window += 1
                    if window == len(calendar):
                        return FOREVER
                    start = max(start, calendar[window][0])
            end = start + length
            clash = start
            for span in keeps:
                if span in self.spanned:
                    opened, closed = self.spanned[span]
                    if start < closed and opened < end:
                        clash = max(clash, closed)
            if clash > start:
                start = clash
                continue
            place = max(0, bisect_right(times, start) - 1)
            if length:
                while (frees[place] - need & guard == guard) and place + 1 < size and times[place + 1] < end:
                    place += 1
                if frees[place] - need & guard != guard:
                    if place + 1 == size:
                        return FOREVER
                    start = times[place + 1]
                    continue
            if hold:
                for later in range(size - 1, bisect_right(times, start) - 2, -1):
                    amount = hold + (need if length and times[later] < end else 0)
                    if later >= 0 and frees[later] - amount & guard != guard:
                        if later + 1 == size:
                            return FOREVER
                        clash = times[later + 1]
                        break
                if clash > start:
                    start = clash
                    continue
            return start

    def occupy(self, start: int, end: int, need: int) -> None:
        """Take `need` from `start` until `end`, joining neighbours that have become alike."""
        first, last = self._split(start), self._split(end)
        frees = self.frees
        for place in range(first, last):
            frees[place] -= need
        for place in (last, first):
            if place and frees[place - 1] == frees[place]:
                del self.times[place], frees[place]

    def _split(self, at: int) -> int:
        place = bisect_right(self.times, at) - 1
        if place < 0:
            self.times.insert(0, at)
            self.frees.insert(0, self.frees[0])
            return 0
        if self.times[place] == at:
            return place
        self.times.insert(place + 1, at)
        self.frees.insert(place + 1, self.frees[place])
        return place + 1

    def open(self, span: int, start: int) -> None:
        self.opened[span] = start
        if self.holds[span]:
            for place in range(self._split(start), len(self.frees)):
                self.frees[place] -= self.holds[span]

    def close(self, span: int, end: int) -> None:
        self.spanned[span] = (self.opened.pop(span), end)
        if self.holds[span]:
            for place in range(self._split(end), len(self.frees)):
                self.frees[place] += self.holds[span]
