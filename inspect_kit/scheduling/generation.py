"""Schedule generation: the serial and the parallel scheme, and how either keeps maximum lags.

Serial: one activity after another, each as early as it fits. Parallel: walk forward in time and start what fits, the
lowest rank first; a walk can also be taken up in the middle of a schedule that is there already. Kolisch (1996), EJOR
90:320-333. A schedule that breaks a maximum lag, or leaves over a break what must not stand there, is generated anew
with a later release for the first activity of that chain (after Franck, Neumann & Schwindt 2001, OR Spektrum
23:297-324), again and again until all hold.
"""

from bisect import bisect_right, insort
from collections.abc import Callable, Iterable, Sequence
from heapq import heapify, heappop, heappush

from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Schedule, Window

MENDS = 60
URGENT = 1 << 30


class MaxLagViolated(Exception):
    """A tight chain came apart: `first` must not start before `release`."""

    def __init__(self, first: int, release: int) -> None:
        super().__init__(first, release)
        self.first, self.release = first, release


def repaired(
    network: ProjectNetwork, begin: int, scheme: Callable[[Sequence[int]], Schedule | None]
) -> Schedule | None:
    """What the scheme makes of the releases, moved until no chain is broken; None when that leads nowhere."""
    release: Sequence[int] = network.releases
    if begin:
        release = [max(begin, moment) for moment in release]
    for _ in range(MENDS):
        try:
            return scheme(release)
        except MaxLagViolated as broken:
            if broken.release >= FOREVER:
                return None
            release = [*release]
            release[broken.first] = broken.release
    return None


def expedite(urgent: int, rank: list[float], queues: Iterable[list[tuple[float, int]]]) -> None:
    """Put the followers of a tight chain before everything else."""
    for index in range(len(rank)):
        if urgent >> index & 1 and rank[index] > -URGENT / 2:
            rank[index] -= URGENT
    for queue in queues:
        queue[:] = sorted((rank[index], index) for _, index in queue)


def check_max_lags(network: ProjectNetwork, index: int, start: int, end: int, starts: Sequence[int]) -> None:
    """Raise Broken when starting now would break a maximum lag or leave something standing over a break."""
    for first, most in network.max_lags[index]:
        latest = starts[first] + network.durations[first] + most
        if start > latest:
            raise MaxLagViolated(first, start - most - network.durations[first])
    shifts = network.problem.shifts
    if shifts is not None:
        for span in network.holds_ended[index]:
            first = network.problem.holds[span].first
            if not network.problem.holds[span].over_breaks:
                place = bisect_right(shifts, (start, FOREVER)) - 1
                opened = shifts[place][0] if place >= 0 else start
                if starts[first] < opened:
                    raise MaxLagViolated(first, opened)


def serial_schedule(
    network: ProjectNetwork, rank: Sequence[float], first_mode_only: int = 0, begin: int = 0
) -> Schedule | None:
    """The schedule by the serial scheme, lowest rank first, from `begin` on.

    The activities in the bit set `first_mode_only` use their first mode only. None when no schedule comes out.
    """
    allowed = [
        demands[:1] if first_mode_only >> index & 1 else demands for index, demands in enumerate(network.demands)
    ]
    choices = [range(len(demands)) for demands in allowed]
    return repaired(network, begin, lambda release: _serial(network, list(rank), choices, release))


def listed_schedule(
    network: ProjectNetwork, order: Sequence[int], modes: Sequence[int | None], begin: int = 0
) -> Schedule | None:
    """The serial scheme with the activities in just this order, each in its mode, None: whichever starts first.

    What follows a maximum lag is not put before the rest. So whatever is shortest comes out of some list, which cannot
    be said of the other schemes; and the list that a schedule was read from gives one that is no longer.
    """
    rank = [0.0] * network.size
    for place, index in enumerate(order):
        rank[index] = place
    choices = [
        range(len(demands)) if mode is None else (mode,) for demands, mode in zip(network.demands, modes, strict=True)
    ]
    return repaired(network, begin, lambda release: _serial(network, rank, choices, release, in_order=True))


def _serial(
    network: ProjectNetwork,
    rank: list[float],
    choices: Sequence[Sequence[int]],
    release: Sequence[int],
    *,
    in_order: bool = False,
) -> Schedule | None:
    durations, demands, slots, after = network.durations, network.demands, network.mode_calendars, network.after
    plain, holds, calendars = network.simple, network.hold_amounts, network.calendars
    starts, modes = [-1] * network.size, [0] * network.size
    waiting, ready = network.predecessor_counts[:], list(release)
    heap = [(rank[index], index) for index in range(network.size) if not waiting[index]]
    heapify(heap)
    line = _Line(network, min(release, default=0))
    blocked: list[int] = []
    finish = network.problem.begin
    left = network.size
    while heap:
        index = heappop(heap)[1]
        length, from_, hold, closed = durations[index], ready[index], 0, False
        if not plain:
            hold = sum([holds[span] for span in network.holds_begun[index]])
            if any(line.stands(span) for span in network.excluded_holds[index]) or (hold and not line.takes(hold)):
                blocked.append(index)
                continue
            for span in network.holds_begun[index]:
                for rival in network.excluded_activities[span]:
                    if starts[rival] >= 0:
                        from_ = max(from_, starts[rival] + durations[rival])
            closed = bool(network.holds_ended[index])
        best, chosen = FOREVER, 0
        for mode in choices[index]:
            need, slot = demands[index][mode], slots[index][mode]
            calendar = calendars[slot] if slot >= 0 else None
            at = line.earliest(from_, length, need, calendar, hold, network.excluded_holds[index])
            if at < best:
                best, chosen = at, mode
        if best == FOREVER:
            return None
        starts[index], modes[index] = best, chosen
        end = best + length
        left -= 1
        finish = max(finish, end)
        if length:
            line.occupy(best, end, demands[index][chosen])
        if not plain:
            check_max_lags(network, index, best, end, starts)
            for span in network.holds_begun[index]:
                line.open(span, best)
            for span in network.holds_ended[index]:
                line.close(span, end)
            if network.chain_rest[index] and not in_order:
                expedite(network.chain_rest[index], rank, [heap])
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
    return None if left else Schedule(starts=tuple(starts), modes=tuple(modes), makespan=finish)


class _Line:
    """What is free over time: `moments` ascending from the beginning, `frees` from each of them until the next."""

    def __init__(self, network: ProjectNetwork, begin: int) -> None:
        self.guard, self.holds = network.guard, network.hold_amounts
        self.moments, self.frees = [begin], [network.free]
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
        times, frees, guard = self.moments, self.frees, self.guard
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
                del self.moments[place], frees[place]

    def _split(self, at: int) -> int:
        place = bisect_right(self.moments, at) - 1
        if place < 0:
            self.moments.insert(0, at)
            self.frees.insert(0, self.frees[0])
            return 0
        if self.moments[place] == at:
            return place
        self.moments.insert(place + 1, at)
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


def parallel_schedule(
    network: ProjectNetwork, rank: Sequence[float], first_mode_only: int = 0, begin: int = 0
) -> Schedule | None:
    """The schedule by the parallel scheme from `begin` on.

    The activities in the bit set `first_mode_only` use their first mode only. None when no schedule comes out.
    """
    return repaired(network, begin, lambda release: complete(PartialSchedule(network, release), rank, first_mode_only))


class PartialSchedule:
    """A schedule as far as the parallel scheme has come: what has started and what it occupies, what is to come."""

    __slots__ = (
        "coming", "ending", "finish", "free", "left", "modes", "network", "now", "ready", "running", "standing",
        "starts", "waiting",
    )  # fmt: skip

    def __init__(self, network: ProjectNetwork, release: Sequence[int]) -> None:
        self.network = network
        self.starts, self.modes = [-1] * network.size, [0] * network.size
        self.waiting, self.ready = network.predecessor_counts[:], list(release)
        self.coming = [(self.ready[index], index) for index in range(network.size) if not self.waiting[index]]
        heapify(self.coming)
        self.ending: list[tuple[int, int]] = []
        self.standing, self.running = [-1] * len(network.hold_amounts), [-1] * network.size
        self.free, self.left, self.finish = network.free, network.size, network.problem.begin
        self.now = self.coming[0][0] if self.coming else 0

    def copy(self) -> "PartialSchedule":
        """The same moment, to walk on from it once more."""
        twin = object.__new__(PartialSchedule)
        twin.network, twin.free, twin.left = self.network, self.free, self.left
        twin.finish, twin.now = self.finish, self.now
        twin.starts, twin.modes = self.starts[:], self.modes[:]
        twin.waiting, twin.ready, twin.coming = self.waiting[:], self.ready[:], self.coming[:]
        twin.ending, twin.standing, twin.running = self.ending[:], self.standing[:], self.running[:]
        return twin

    def release(self, index: int, at: int) -> None:
        """Let an activity that has not started start no earlier than this."""
        self.ready[index] = max(self.ready[index], at)
        self.coming = [(self.ready[waits], waits) for _, waits in self.coming]
        heapify(self.coming)


def partial_schedule(network: ProjectNetwork, schedule: Schedule, since: int) -> PartialSchedule:
    """The moment `since` of a schedule, all that starts earlier being placed and nothing else."""
    moment = PartialSchedule(network, network.releases)
    moment.now, moment.coming, moment.finish = since, [], 0
    for index, start in enumerate(schedule.starts):
        if start >= since:
            if not moment.waiting[index]:
                moment.coming.append((moment.ready[index], index))
            continue
        end = start + network.durations[index]
        moment.starts[index], moment.modes[index] = start, schedule.modes[index]
        # In a schedule from elsewhere something may have passed a gate: what opens it later must not start it again.
        moment.waiting[index] = -1
        moment.left -= 1
        moment.finish = max(moment.finish, end)
        need = network.demands[index][schedule.modes[index]] if network.durations[index] else 0
        for span in network.holds_begun[index]:
            moment.standing[span] = FOREVER
            moment.free -= network.hold_amounts[span]
        need_after = need + sum([network.hold_amounts[span] for span in network.holds_ended[index]])
        if end > since:
            moment.free -= need
            moment.ending.append((end, need_after))
        else:
            moment.free += need_after - need
        moment.running[index] = end
    for index, start in enumerate(schedule.starts):
        if 0 <= start < since:
            end = start + network.durations[index]
            for span in network.holds_ended[index]:
                moment.standing[span] = end
            for follower, least in network.after[index]:
                if schedule.starts[follower] >= since:
                    moment.waiting[follower] -= 1
                    moment.ready[follower] = max(moment.ready[follower], end + least)
                    if not moment.waiting[follower]:
                        moment.coming.append((moment.ready[follower], follower))
    heapify(moment.ending)
    heapify(moment.coming)
    return moment


def complete(
    moment: PartialSchedule, ranks: Sequence[float], first_mode_only: int = 0, stop: int = FOREVER
) -> Schedule | None:
    """Walk on from a moment until everything has been started, or to `stop`. The moment is used up.

    What was not started before `stop` starts FOREVER.

    What is ready stands in one queue for each kind of need: where the first of a queue finds nobody free, neither does
    the rest of it.
    """
    network, rank = moment.network, list(ranks)
    durations, demands, slots, after, kinds = (
        network.durations,
        network.demands,
        network.mode_calendars,
        network.after,
        network.demand_kinds,
    )
    guard, idle, holds, special = network.guard, network.essential, network.hold_amounts, network.special
    starts, modes, waiting, ready = moment.starts, moment.modes, moment.waiting, moment.ready
    coming, ending = moment.coming, moment.ending
    free, now, left, finish = moment.free, moment.now, moment.left, moment.finish
    calendars, openings, instants = network.calendars, network.openings, network.instant_kinds
    queues: list[list[tuple[float, int]]] = [[] for _ in range(2 * network.kind_count)]
    upcoming = bisect_right(openings, now)
    until = [open_until(calendar, now) for calendar in calendars]
    while True:
        while ending and ending[0][0] <= now:
            free += heappop(ending)[1]
        while coming and coming[0][0] <= now:
            index = heappop(coming)[1]
            insort(queues[2 * kinds[index] + (first_mode_only >> index & 1)], (rank[index], index))
        heads = sorted([(queue[0][0], number) for number, queue in enumerate(queues) if queue])
        place = 0
        while place < len(heads):
            # Everybody is busy: only what takes no time at all can still happen now.
            if not free & idle and not any(queues[number] for number in instants):
                break
            number = heads[place][1]
            queue = queues[number]
            index = queue[0][1]
            at = 0
            if durations[index]:
                for mode, need in enumerate(demands[index][:1] if number & 1 else demands[index]):
                    if free - need & guard != guard:
                        continue
                    slot = slots[index][mode]
                    if slot >= 0:
                        room = until[slot] - now
                        at = next((at for at, (_, other) in enumerate(queue) if durations[other] <= room), -1)
                        if at < 0:
                            continue
                    break
                else:
                    place += 1
                    continue
                index = queue[at][1]
            else:
                mode, need = 0, 0
            if at and place + 1 < len(heads) and (queue[at][0], number) > heads[place + 1]:
                # A shorter one of this queue would fit, but others come before it.
                del heads[place]
                insort(heads, (queue[at][0], number), place)
                continue
            if special[index] and not may_begin(network, moment.standing, moment.running, index, free - need, now):
                place += 1
                continue
            del queue[at], heads[place]
            length = durations[index]
            end = now + length
            starts[index], modes[index] = now, mode
            left -= 1
            if end > finish:
                finish = end
            free -= need
            again = False
            if special[index]:
                check_max_lags(network, index, now, end, starts)
                for span in network.holds_begun[index]:
                    moment.standing[span] = FOREVER
                    free -= holds[span]
                for span in network.holds_ended[index]:
                    moment.standing[span] = end
                    need += holds[span]
                moment.running[index] = end
                if network.chain_rest[index]:
                    expedite(network.chain_rest[index], rank, queues)
                    again = True
            if length:
                heappush(ending, (end, need))
            else:
                free += need
            for follower, least in after[index]:
                waiting[follower] -= 1
                soonest = end + least
                if soonest > ready[follower]:
                    ready[follower] = soonest
                if not waiting[follower]:
                    if ready[follower] <= now:
                        insort(
                            queues[2 * kinds[follower] + (first_mode_only >> follower & 1)], (rank[follower], follower)
                        )
                        again = True
                    else:
                        heappush(coming, (ready[follower], follower))
            if again:
                heads = sorted([(queue[0][0], number) for number, queue in enumerate(queues) if queue])
                place = 0
            elif queue:
                insort(heads, (queue[0][0], number), place)
        if not left:
            return Schedule(starts=tuple(starts), modes=tuple(modes), makespan=finish)
        later = FOREVER
        if ending:
            later = ending[0][0]
        if coming and coming[0][0] < later:
            later = coming[0][0]
        while upcoming < len(openings) and openings[upcoming] <= now:
            upcoming += 1
        if upcoming < len(openings) and openings[upcoming] < later:
            later = openings[upcoming]
        if later >= stop:
            starts = [start if start >= 0 else FOREVER for start in starts]
            return Schedule(starts=tuple(starts), modes=tuple(modes), makespan=finish) if stop < FOREVER else None
        now = later
        if calendars:
            until = [open_until(calendar, now) for calendar in calendars]


def may_begin(
    network: ProjectNetwork, standing: Sequence[int], running: Sequence[int], index: int, free: int, now: int
) -> bool:
    """Whether the gear of its spans is free, and nothing that is kept apart goes on."""
    hold = sum([network.hold_amounts[span] for span in network.holds_begun[index]])
    if hold and free - hold & network.guard != network.guard:
        return False
    if any(standing[span] > now for span in network.excluded_holds[index]):
        return False
    return not any(
        running[rival] > now for span in network.holds_begun[index] for rival in network.excluded_activities[span]
    )


def open_until(calendar: Sequence[Window], now: int) -> int:
    """The end of the window that is open now, or -1."""
    place = bisect_right(calendar, (now, FOREVER)) - 1
    return calendar[place][1] if place >= 0 and calendar[place][1] > now else -1
