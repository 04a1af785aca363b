"""Schedule generation: one schedule from a ranking of the activities, by the parallel or by the serial scheme.

Kolisch (1996), EJOR 90:320-333. The parallel scheme walks forward in time and starts what fits; the serial scheme takes
one activity after another and puts it as early as it fits. A maximum lag that would be broken, or a setup that would
stand over a break, is mended by moving the release of its first activity and generating anew.
"""

from bisect import bisect_right, insort
from collections.abc import Callable, Sequence
from heapq import heapify, heappop, heappush

from inspect_kit.plan.core.network import FOREVER, Network
from inspect_kit.plan.core.problem import Schedule, Window

_Scheme = Callable[[Network, list[float], int, Sequence[int]], Schedule | None]
MENDS = 60
URGENT = 1 << 30


class Broken(Exception):
    """A tight chain came apart: `first` must not start before `release`."""

    def __init__(self, first: int, release: int) -> None:
        super().__init__(first, release)
        self.first, self.release = first, release


def parallel(network: Network, rank: Sequence[float], lean: int = 0, begin: int = 0) -> Schedule | None:
    """The schedule by the parallel scheme, lowest rank first, from `begin` on.

    The activities in the bit set `lean` use their first mode only. None when no schedule comes out.
    """
    return _mended(_parallel, network, rank, lean, begin)


def serial(network: Network, rank: Sequence[float], lean: int = 0, begin: int = 0) -> Schedule | None:
    """The schedule by the serial scheme; otherwise as `parallel`."""
    return _mended(_serial, network, rank, lean, begin)


def _mended(
    scheme: _Scheme, network: Network, rank: Sequence[float], lean: int, begin: int
) -> Schedule | None:
    release: Sequence[int] = network.release
    if begin:
        release = [max(begin, moment) for moment in release]
    for _ in range(MENDS):
        try:
            return scheme(network, list(rank), lean, release)
        except Broken as broken:
            if broken.release >= FOREVER:
                return None
            release = [*release]
            release[broken.first] = broken.release
    return None


def _parallel(network: Network, rank: list[float], lean: int, release: Sequence[int]) -> Schedule | None:
    minutes, needs, slots, after = network.minutes, network.needs, network.slots, network.after
    guard, idle, plain, holds = network.guard, network.idle, network.plain, network.holds
    opens, closes, keeps, rivals = network.opens, network.closes, network.keeps, network.rivals
    starts, modes = [-1] * network.size, [0] * network.size
    waiting, ready = network.waiting[:], list(release)
    coming = [(ready[index], index) for index in range(network.size) if not waiting[index]]
    heapify(coming)
    eligible: list[tuple[float, int]] = []
    ending: list[tuple[int, int]] = []
    standing, running = [-1] * len(holds), [-1] * network.size
    free, now, left, finish = network.free, coming[0][0] if coming else 0, network.size, network.problem.begin
    calendars, openings = network.calendars, network.openings
    upcoming = bisect_right(openings, now)
    until = [_until(calendar, now) for calendar in calendars]
    while True:
        while ending and ending[0][0] <= now:
            free += heappop(ending)[1]
        while coming and coming[0][0] <= now:
            index = heappop(coming)[1]
            insort(eligible, (rank[index], index))
        place = 0
        while place < len(eligible):
            if not free & idle and minutes[eligible[place][1]]:
                # Everybody is busy: only what takes no time at all can still happen now.
                if all(minutes[index] for _, index in eligible[place:]):
                    break
            index = eligible[place][1]
            length = minutes[index]
            for mode, need in enumerate(needs[index][:1] if lean >> index & 1 else needs[index]):
                slot = slots[index][mode]
                if length and (free - need & guard != guard or (slot >= 0 and now + length > until[slot])):
                    continue
                if plain:
                    break
                hold = sum([holds[span] for span in opens[index]])
                if hold and free - (need if length else 0) - hold & guard != guard:
                    continue
                if any(standing[span] > now for span in keeps[index]):
                    continue
                if any(running[rival] > now for span in opens[index] for rival in rivals[span]):
                    continue
                break
            else:
                place += 1
                continue
            del eligible[place]
            end = now + length
            starts[index], modes[index] = now, mode
            left -= 1
            if end > finish:
                finish = end
            if length:
                free -= need
            if not plain:
                _keep_tight(network, index, now, end, starts)
                for span in opens[index]:
                    standing[span] = FOREVER
                    free -= holds[span]
                for span in closes[index]:
                    standing[span] = end
                    need = (need if length else 0) + holds[span]
                if closes[index] and not length:
                    free += need
                running[index] = end
                if network.urgent[index]:
                    _hurry(network.urgent[index], rank, eligible)
                    place = 0
            if length:
                heappush(ending, (end, need))
            for follower, least in after[index]:
                waiting[follower] -= 1
                at = end + least
                if at > ready[follower]:
                    ready[follower] = at
                if not waiting[follower]:
                    if ready[follower] <= now:
                        insort(eligible, (rank[follower], follower))
                        place = 0
                    else:
                        heappush(coming, (ready[follower], follower))
        if not left:
            return Schedule(starts=tuple(starts), modes=tuple(modes), finish=finish)
        later = FOREVER
        if ending:
            later = ending[0][0]
        if coming and coming[0][0] < later:
            later = coming[0][0]
        while upcoming < len(openings) and openings[upcoming] <= now:
            upcoming += 1
        if upcoming < len(openings) and openings[upcoming] < later:
            later = openings[upcoming]
        if later == FOREVER:
            return None
        now = later
        if calendars:
            until = [_until(calendar, now) for calendar in calendars]


def _until(calendar: Sequence[Window], now: int) -> int:
    """The end of the window that is open now, or -1."""
    place = bisect_right(calendar, (now, FOREVER)) - 1
    return calendar[place][1] if place >= 0 and calendar[place][1] > now else -1


def _hurry(urgent: int, rank: list[float], eligible: list[tuple[float, int]]) -> None:
    """Put the followers of a tight chain before everything else."""
    for index in range(len(rank)):
        if urgent >> index & 1 and rank[index] > -URGENT / 2:
            rank[index] -= URGENT
    eligible[:] = sorted((rank[index], index) for _, index in eligible)


def _keep_tight(network: Network, index: int, start: int, end: int, starts: Sequence[int]) -> None:
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
            _keep_tight(network, index, best, end, starts)
            for span in network.opens[index]:
                line.open(span, best)
            for span in network.closes[index]:
                line.close(span, end)
            if network.urgent[index]:
                _hurry(network.urgent[index], rank, heap)
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
