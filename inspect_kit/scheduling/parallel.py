"""Schedule generation by the parallel scheme: walk forward in time and start what fits, the lowest rank first.

Kolisch (1996), EJOR 90:320-333. A walk can also be taken up in the middle of a schedule that is there already.
"""

from bisect import bisect_right, insort
from collections.abc import Sequence
from heapq import heapify, heappop, heappush

from inspect_kit.scheduling.network import FOREVER, Network
from inspect_kit.scheduling.problem import Schedule, Window
from inspect_kit.scheduling.tight import hurry, keep_tight, mended


def parallel(network: Network, rank: Sequence[float], lean: int = 0, begin: int = 0) -> Schedule | None:
    """The schedule by the parallel scheme from `begin` on.

    The activities in the bit set `lean` use their first mode only. None when no schedule comes out.
    """
    return mended(network, begin, lambda release: walk(Moment(network, release), rank, lean))


class Moment:
    """Where a walk stands: what has started and what it occupies, what is to come and when."""

    __slots__ = (
        "coming", "ending", "finish", "free", "left", "modes", "network", "now", "ready", "running", "standing",
        "starts", "waiting",
    )  # fmt: skip

    def __init__(self, network: Network, release: Sequence[int]) -> None:
        self.network = network
        self.starts, self.modes = [-1] * network.size, [0] * network.size
        self.waiting, self.ready = network.waiting[:], list(release)
        self.coming = [(self.ready[index], index) for index in range(network.size) if not self.waiting[index]]
        heapify(self.coming)
        self.ending: list[tuple[int, int]] = []
        self.standing, self.running = [-1] * len(network.holds), [-1] * network.size
        self.free, self.left, self.finish = network.free, network.size, network.problem.begin
        self.now = self.coming[0][0] if self.coming else 0

    def copy(self) -> "Moment":
        """The same moment, to walk on from it once more."""
        twin = object.__new__(Moment)
        twin.network, twin.free, twin.left = self.network, self.free, self.left
        twin.finish, twin.now = self.finish, self.now
        twin.starts, twin.modes = self.starts[:], self.modes[:]
        twin.waiting, twin.ready, twin.coming = self.waiting[:], self.ready[:], self.coming[:]
        twin.ending, twin.standing, twin.running = self.ending[:], self.standing[:], self.running[:]
        return twin


def moment_of(network: Network, schedule: Schedule, since: int) -> Moment:
    """The moment `since` of a schedule, all that starts earlier being placed and nothing else."""
    moment = Moment(network, network.release)
    moment.now, moment.coming, moment.finish = since, [], 0
    for index, start in enumerate(schedule.starts):
        if start >= since:
            if not moment.waiting[index]:
                moment.coming.append((moment.ready[index], index))
            continue
        end = start + network.minutes[index]
        moment.starts[index], moment.modes[index] = start, schedule.modes[index]
        # In a schedule from elsewhere something may have passed a gate: what opens it later must not start it again.
        moment.waiting[index] = -1
        moment.left -= 1
        moment.finish = max(moment.finish, end)
        need = network.needs[index][schedule.modes[index]] if network.minutes[index] else 0
        for span in network.opens[index]:
            moment.standing[span] = FOREVER
            moment.free -= network.holds[span]
        need_after = need + sum([network.holds[span] for span in network.closes[index]])
        if end > since:
            moment.free -= need
            moment.ending.append((end, need_after))
        else:
            moment.free += need_after - need
        moment.running[index] = end
    for index, start in enumerate(schedule.starts):
        if 0 <= start < since:
            end = start + network.minutes[index]
            for span in network.closes[index]:
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


def walk(moment: Moment, ranks: Sequence[float], lean: int = 0, stop: int = FOREVER) -> Schedule | None:
    """Walk on from a moment until everything has been started, or to `stop`. The moment is used up.

    What was not started before `stop` starts FOREVER.

    What is ready stands in one queue for each kind of need: where the first of a queue finds nobody free, neither does
    the rest of it.
    """
    network, rank = moment.network, list(ranks)
    minutes, needs, slots, after, kinds = network.minutes, network.needs, network.slots, network.after, network.kinds
    guard, idle, holds, special = network.guard, network.idle, network.holds, network.special
    starts, modes, waiting, ready = moment.starts, moment.modes, moment.waiting, moment.ready
    coming, ending = moment.coming, moment.ending
    free, now, left, finish = moment.free, moment.now, moment.left, moment.finish
    calendars, openings, instants = network.calendars, network.openings, network.instants
    queues: list[list[tuple[float, int]]] = [[] for _ in range(2 * network.kind_count)]
    upcoming = bisect_right(openings, now)
    until = [open_until(calendar, now) for calendar in calendars]
    while True:
        while ending and ending[0][0] <= now:
            free += heappop(ending)[1]
        while coming and coming[0][0] <= now:
            index = heappop(coming)[1]
            insort(queues[2 * kinds[index] + (lean >> index & 1)], (rank[index], index))
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
            if minutes[index]:
                for mode, need in enumerate(needs[index][:1] if number & 1 else needs[index]):
                    if free - need & guard != guard:
                        continue
                    slot = slots[index][mode]
                    if slot >= 0:
                        room = until[slot] - now
                        at = next((at for at, (_, other) in enumerate(queue) if minutes[other] <= room), -1)
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
            length = minutes[index]
            end = now + length
            starts[index], modes[index] = now, mode
            left -= 1
            if end > finish:
                finish = end
            free -= need
            again = False
            if special[index]:
                keep_tight(network, index, now, end, starts)
                for span in network.opens[index]:
                    moment.standing[span] = FOREVER
                    free -= holds[span]
                for span in network.closes[index]:
                    moment.standing[span] = end
                    need += holds[span]
                moment.running[index] = end
                if network.urgent[index]:
                    hurry(network.urgent[index], rank, queues)
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
                        insort(queues[2 * kinds[follower] + (lean >> follower & 1)], (rank[follower], follower))
                        again = True
                    else:
                        heappush(coming, (ready[follower], follower))
            if again:
                heads = sorted([(queue[0][0], number) for number, queue in enumerate(queues) if queue])
                place = 0
            elif queue:
                insort(heads, (queue[0][0], number), place)
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
        if later >= stop:
            starts = [start if start >= 0 else FOREVER for start in starts]
            return Schedule(starts=tuple(starts), modes=tuple(modes), finish=finish) if stop < FOREVER else None
        now = later
        if calendars:
            until = [open_until(calendar, now) for calendar in calendars]


def may_begin(
    network: Network, standing: Sequence[int], running: Sequence[int], index: int, free: int, now: int
) -> bool:
    """Whether the gear of its spans is free, and nothing that is kept apart goes on."""
    hold = sum([network.holds[span] for span in network.opens[index]])
    if hold and free - hold & network.guard != network.guard:
        return False
    if any(standing[span] > now for span in network.keeps[index]):
        return False
    return not any(running[rival] > now for span in network.opens[index] for rival in network.rivals[span])


def open_until(calendar: Sequence[Window], now: int) -> int:
    """The end of the window that is open now, or -1."""
    place = bisect_right(calendar, (now, FOREVER)) - 1
    return calendar[place][1] if place >= 0 and calendar[place][1] > now else -1
