"""What every schedule that ends by some moment has in common: windows of starts and modes, or that there is none.

Constraint propagation until nothing more follows (Baptiste, Le Pape & Nuijten 2001, Constraint-Based Scheduling): lags
both ways; of two activities that exclude each other the one that cannot come first comes second; compulsory parts (what
goes on whatever the start); and energetic reasoning, which compares what must be done between two moments with what is
at hand then. A makespan that leaves some activity no start is refuted: a destructive bound.
"""

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from inspect_kit.noun import dataclass
from inspect_kit.scheduling.bounds import (
    CapacityProfile,
    Pool,
    Supply,
    clique_pools,
    first_fit,
    heads_and_tails,
    heads_reversed,
    incompatible,
    least_stay,
    pools_of,
    supply_of,
)
from inspect_kit.scheduling.graphs import members
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Project, Window

Needs = list[tuple[int, ...]]
"""For each activity what it takes of a pool in each of its modes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeWindows:
    """For each activity the earliest and the latest start, and the bit set of the modes that are left to it."""

    heads: list[int]
    lasts: list[int]
    modes: list[int]


class Refuted(Exception):
    """Something is left without a start."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Share:
    """A pool and what each activity takes of it, by mode; `users` are those that may take something."""

    needs: Needs
    users: tuple[int, ...]
    capacity: int
    stock: CapacityProfile | None
    supply: Supply | None

    def seen_in(self, windows: TimeWindows) -> list[list[int]]:
        """What the windows say of its users."""
        return [[each[index] for index in self.users] for each in (windows.heads, windows.lasts, windows.modes)]


class Propagation:
    """One network, asked for one makespan after the other; `cliques` are pools of which each takes one at a time."""

    def __init__(self, network: ProjectNetwork, cliques: Sequence[Pool] = ()) -> None:
        self.network = network
        problem, durations, size = network.problem, network.durations, network.size
        self.pools = [*pools_of(problem), *clique_pools(problem), *cliques]
        self.heads, self.tails = heads_and_tails(network, self.pools)
        self.max_lags = [(first, last, most) for last in range(size) for first, most in network.max_lags[last]]
        self.gates = [
            (apart.activity, problem.holds[apart.hold].first, problem.holds[apart.hold].last)
            for apart in problem.disjunctions
        ]
        self.gates += held_against(problem, network)
        self.holds = [
            (
                span.first,
                span.last,
                least_stay(network, self.pools, span),
                None if span.over_breaks else problem.shifts,
            )
            for span in problem.holds
        ]
        self.rivals = [
            (one, other)
            for one, other in combinations(range(len(problem.holds)), 2)
            if any(
                a + b > capacity
                for a, b, capacity in zip(
                    problem.holds[one].amounts, problem.holds[other].amounts, problem.capacities, strict=True
                )
            )
        ]
        self.calendars = [
            tuple(network.calendars[slot] if slot >= 0 else None for slot in slots) for slots in network.mode_calendars
        ]
        apart = incompatible(network)
        self.pairs = [
            (one, other)
            for one in range(size)
            if durations[one]
            for other in members(apart[one] & ~network.predecessors[one] & ~network.successors[one])
            if other > one and durations[other]
        ]
        self.shares = [self._share(pool.capacity, pool.supply, _constant(network, pool)) for pool in self.pools]
        self.shares += self._of_groups()
        # The same need of the same supply is looked at once.
        alike = {(share.capacity, tuple(share.needs), share.supply): share for share in self.shares}
        self.shares = list(alike.values())
        self.effort = [
            activity.duration * min(sum(mode[: problem.interchangeable]) for mode in activity.modes)
            for activity in problem.activities
        ]
        self.quiet: list[object] = [None] * len(self.shares)
        # The users' windows of each when energetic reasoning found nothing new in them; and how much of it was done.
        self.work = 0

    def _of_groups(self) -> Iterator[_Share]:
        """Every set of groups of people, by mode: where a mode falls away the rest may take more."""
        problem = self.network.problem
        people = range(problem.interchangeable)
        for count in range(1, problem.interchangeable + 1):
            for group in combinations(people, count):
                needs = [
                    tuple(sum(mode[index] for index in group) if activity.duration else 0 for mode in activity.modes)
                    for activity in problem.activities
                ]
                if any(len(set(need)) > 1 for need in needs):
                    supply = supply_of([(problem.windows[index], problem.capacities[index]) for index in group])
                    yield self._share(sum(problem.capacities[index] for index in group), supply, needs)

    def _share(self, capacity: int, supply: tuple[tuple[int, int, int], ...] | None, needs: Needs) -> _Share:
        users = tuple(index for index, need in enumerate(needs) if any(need) and self.network.durations[index])
        return _Share(
            needs=needs,
            users=users,
            capacity=capacity,
            stock=CapacityProfile(supply) if supply else None,
            supply=supply,
        )

    def within(self, aim: int) -> TimeWindows | None:
        """The windows of every schedule that ends by `aim`; None when there is no such schedule."""
        network = self.network
        tails = self.tails
        if network.calendars:
            # Seen from that end the hours are known.
            back = heads_reversed(network.problem, aim)
            tails = list(map(max, tails, back))
        lasts = [aim - tail - length for tail, length in zip(tails, network.durations, strict=True)]
        modes = [(1 << len(demands)) - 1 for demands in network.demands]
        windows = TimeWindows(heads=self.heads[:], lasts=lasts, modes=modes)
        try:
            self.propagate(windows)
        except Refuted:
            return None
        return windows

    def propagate(self, windows: TimeWindows) -> None:
        """Narrow the windows until nothing more follows; raises Refuted."""
        heads, lasts, modes = windows.heads, windows.lasts, windows.modes
        while True:
            before = (heads[:], lasts[:], modes[:])
            self._lags(windows)
            self._pairs(windows)
            if before == (heads, lasts, modes):
                for share in self.shares:
                    self._compulsory(share, windows)
            if before == (heads, lasts, modes):
                for number, share in enumerate(self.shares):
                    # Of what has been looked at as it is now nothing new follows.
                    now = share.seen_in(windows)
                    if self.quiet[number] != now:
                        self._energy(share, windows)
                        if share.seen_in(windows) == now:
                            self.quiet[number] = now
            if any(map(int.__gt__, heads, lasts)):
                raise Refuted
            if before == (heads, lasts, modes):
                return

    def split(self, windows: TimeWindows, most: int) -> list[TimeWindows]:
        """The windows by what is done in which session: every schedule that keeps them keeps one of these.

        The activity with the most work that may come before a break or after it goes both ways, then the next; ways
        that propagation refutes fall away. After `most` of them what is left stays as it is. Empty: no schedule.
        """
        network, waiting, found = self.network, [windows], list[TimeWindows]()
        openings, durations = network.openings, network.durations
        tried = 0
        while waiting:
            mine = waiting.pop()
            choices = [
                (self.effort[index], index, opening)
                for index in range(network.size)
                if durations[index]
                for opening in openings[bisect_right(openings, mine.heads[index]) :]
                if opening <= mine.lasts[index]
            ]
            if not choices or tried >= most:
                found.append(mine)
                continue
            _, index, opening = max(choices)
            early = opening - mine.heads[index] > mine.lasts[index] - opening
            tried += 2
            # What leaves more room is looked at first, and so put last.
            for late in (early, not early):
                part = TimeWindows(heads=mine.heads[:], lasts=mine.lasts[:], modes=mine.modes[:])
                if late:
                    part.heads[index] = opening
                else:
                    part.lasts[index] = opening - 1
                try:
                    self.propagate(part)
                except Refuted:
                    continue
                waiting.append(part)
        return found

    def _lags(self, windows: TimeWindows) -> None:
        """What lags and hours say, once forwards and once backwards."""
        network, heads, lasts, modes = self.network, windows.heads, windows.lasts, windows.modes
        durations, dated = network.durations, bool(network.calendars)
        for index in network.order:
            if dated and durations[index]:
                heads[index] = self._fitted(index, heads[index], modes[index])
            end = heads[index] + durations[index]
            for after, least in network.after[index]:
                if heads[after] < end + least:
                    heads[after] = end + least
        for index in reversed(network.order):
            latest = lasts[index] + durations[index]
            for after, least in network.after[index]:
                if lasts[after] - least < latest:
                    latest = lasts[after] - least
            lasts[index] = latest - durations[index]
            if dated and durations[index]:
                lasts[index] = self._fitted_late(index, lasts[index], modes[index])
        for first, last, most in self.max_lags:
            lasts[last] = min(lasts[last], lasts[first] + durations[first] + most)
            heads[first] = max(heads[first], heads[last] - most - durations[first])
        for first, last, stay, hours in self.holds:
            lasts[first] = min(lasts[first], lasts[last] + durations[last] - stay)
            heads[last] = max(heads[last], heads[first] + stay - durations[last])
            if hours is not None:
                self._in_one_session(windows, first, last, stay, hours)
        if any(map(int.__gt__, heads, lasts)):
            raise Refuted

    def _in_one_session(self, windows: TimeWindows, first: int, last: int, stay: int, hours: Sequence[Window]) -> None:
        """What a hold that no break may part begins and ends with lies in the same hours."""
        heads, lasts, length = windows.heads, windows.lasts, self.network.durations[last]
        place = bisect_right(hours, (heads[last] + length - 1, FOREVER)) - 1
        if place >= 0:
            heads[first] = max(heads[first], hours[place][0])
        place = bisect_right(hours, (lasts[first], FOREVER)) - 1
        if place >= 0:
            lasts[last] = min(lasts[last], hours[place][1] - length)
        heads[first] = first_fit(hours, heads[first], stay)
        lasts[last] = _last_fit(hours, lasts[last] + length - stay, stay) + stay - length

    def _fitted(self, index: int, start: int, modes: int) -> int:
        return min(
            first_fit(calendar, start, self.network.durations[index]) if calendar else start
            for mode, calendar in enumerate(self.calendars[index])
            if modes >> mode & 1
        )

    def _fitted_late(self, index: int, start: int, modes: int) -> int:
        return max(
            _last_fit(calendar, start, self.network.durations[index]) if calendar else start
            for mode, calendar in enumerate(self.calendars[index])
            if modes >> mode & 1
        )

    def _pairs(self, windows: TimeWindows) -> None:
        """Of two that exclude each other, the one that cannot come first comes second."""
        heads, lasts, durations = windows.heads, windows.lasts, self.network.durations
        for one, other in self.pairs:
            if heads[one] + durations[one] > lasts[other]:
                self._put_before(windows, other, one)
            if heads[other] + durations[other] > lasts[one]:
                self._put_before(windows, one, other)
        for index, first, last in self.gates:
            if heads[index] + durations[index] > lasts[first]:
                self._put_before(windows, last, index)
            if heads[last] + durations[last] > lasts[index]:
                self._put_before(windows, index, first)
        for one, other in self.rivals:
            (first, last, stay, _), (opened, closed, other_stay, _) = self.holds[one], self.holds[other]
            if max(heads[first] + stay, heads[last] + durations[last]) > lasts[opened]:
                self._put_before(windows, closed, first)
            if max(heads[opened] + other_stay, heads[closed] + durations[closed]) > lasts[first]:
                self._put_before(windows, last, opened)

    def _put_before(self, windows: TimeWindows, one: int, other: int) -> None:
        heads, lasts, durations = windows.heads, windows.lasts, self.network.durations
        heads[other] = max(heads[other], heads[one] + durations[one])
        lasts[one] = min(lasts[one], lasts[other] - durations[one])
        if heads[other] > lasts[other] or heads[one] > lasts[one]:
            raise Refuted

    def _least(self, share: _Share, modes: Sequence[int]) -> list[int]:
        """What each user of a pool takes at least, in the modes that are left to it."""
        return [
            need[0] if len(need) == 1 else min(each for mode, each in enumerate(need) if modes[index] >> mode & 1)
            for index, need in ((index, share.needs[index]) for index in share.users)
        ]

    def _compulsory(self, share: _Share, windows: TimeWindows) -> None:
        """What goes on whatever the start, as a profile; nothing starts where that leaves it no room."""
        heads, lasts, durations = windows.heads, windows.lasts, self.network.durations
        changes: dict[int, int] = {}
        least = self._least(share, windows.modes)
        for index, amount in zip(share.users, least, strict=True):
            start, end = lasts[index], heads[index] + durations[index]
            if start < end and amount:
                changes[start] = changes.get(start, 0) + amount
                changes[end] = changes.get(end, 0) - amount
        level, since = 0, 0
        profile: list[tuple[int, int, int]] = []
        for at in sorted(changes):
            if level:
                profile.append((since, at, level))
            level, since = level + changes[at], at
            if level > share.capacity:
                raise Refuted
        if not profile:
            return
        for index, amount in zip(share.users, least, strict=True):
            length, own = durations[index], (lasts[index], heads[index] + durations[index])
            rooms = []
            for mode, need in enumerate(share.needs[index]):
                if windows.modes[index] >> mode & 1:
                    start, last = heads[index], lasts[index]
                    busy = [
                        (since, until)
                        for since, until, level in profile
                        if level - (amount if own[0] <= since and until <= own[1] else 0) + need > share.capacity
                    ]
                    for since, until in busy if need else ():
                        if since < start + length and until > start:
                            start = until
                    for since, until in reversed(busy) if need else ():
                        if since < last + length and until > last:
                            last = since - length
                    if start <= last:
                        rooms.append((start, last))
                    else:
                        windows.modes[index] &= ~(1 << mode)
            if not rooms:
                raise Refuted
            heads[index] = max(heads[index], min(start for start, _ in rooms))
            lasts[index] = min(lasts[index], max(last for _, last in rooms))

    def _energy(self, share: _Share, windows: TimeWindows) -> None:
        """Between any two moments no more can be done than is at hand; what would be too much then comes later."""
        heads, lasts, modes, durations = windows.heads, windows.lasts, windows.modes, self.network.durations
        least = self._least(share, modes)
        users = share.users
        fixed = [index for index in users if lasts[index] < heads[index] + durations[index]]
        begins = sorted({heads[index] for index in users} | {lasts[index] for index in fixed})
        ends = sorted({lasts[index] + durations[index] for index in users} | {heads[i] + durations[i] for i in fixed})
        stock, capacity = share.stock, share.capacity
        hand = [stock.until(end) if stock else capacity * end for end in ends]
        # Of what more than one amount is still possible, and how much more that may be.
        several = {
            index: max(each for mode, each in enumerate(share.needs[index]) if modes[index] >> mode & 1) - amount
            for index, amount in zip(users, least, strict=True)
            if modes[index] & modes[index] - 1
        }
        widest = max([0, *(() if stock else least), *several.values()])
        for begin in begins:
            used = stock.until(begin) if stock else capacity * begin
            # What each does after `begin` even if it starts as early as it can.
            among = []
            # Where what must be done up to `end` begins to grow with it, and ceases to.
            bends: list[tuple[int, int]] = []
            for index, amount in zip(users, least, strict=True):
                length = durations[index]
                rest = heads[index] + length - begin
                if rest > 0:
                    last = lasts[index]
                    rest = min(rest, length)
                    more = max(0 if stock else amount, several.get(index, 0)) * length
                    among.append((more, index, last, rest, amount))
                    if amount:
                        since = max(last, begin)
                        bends += ((since, amount), (since + rest, -amount))
            among.sort(reverse=True)
            most = among[0][0] if among else 0
            bends.sort()
            self.work += len(bends)
            place, slope, at, done = 0, 0, begin, 0
            for number in range(bisect_right(ends, begin), len(ends)):
                end = ends[number]
                while place < len(bends) and bends[place][0] < end:
                    bend, change = bends[place]
                    done += slope * (bend - at)
                    at, slope, place = bend, slope + change, place + 1
                done += slope * (end - at)
                at = end
                slack = hand[number] - used - done
                if slack < 0:
                    raise Refuted
                if slack < most and slack < (end - begin) * widest:
                    self._too_much(share, windows, among, several, begin, end, slack)

    def _too_much(
        self,
        share: _Share,
        windows: TimeWindows,
        among: Sequence[tuple[int, int, int, int, int]],
        several: Mapping[int, int],
        begin: int,
        end: int,
        slack: int,
    ) -> None:
        """What more than `slack` would be too much of between two moments: it starts later or earlier, or otherwise."""
        heads, lasts, modes, durations = windows.heads, windows.lasts, windows.modes, self.network.durations
        span, timeless = end - begin, share.stock is None
        for more, index, last, rest, amount in among:
            if more <= slack:
                return
            self.work += 1
            part = end - last
            if part > rest:
                part = rest
            if part > span:
                part = span
            if part > 0 and index in several and part * several[index] > slack:
                for mode, each in enumerate(share.needs[index]):
                    if modes[index] >> mode & 1 and part * (each - amount) > slack:
                        modes[index] &= ~(1 << mode)
            elif part < 0:
                part = 0
            length = durations[index]
            if timeless and ((length if length < span else span) - part) * amount > slack:
                full = part + slack // amount
                # As early as it can it would do too much of it in between; or as late as it can.
                if heads[index] < end and rest > full and length > full:
                    heads[index] = max(heads[index], end - full)
                if begin < lasts[index] + length and end - lasts[index] > full:
                    lasts[index] = min(lasts[index], begin + full - length)
                if heads[index] > lasts[index]:
                    raise Refuted


def held_against(problem: Project, network: ProjectNetwork) -> list[tuple[int, int, int]]:
    """Activities that want what a hold takes while it stands, with what it begins and ends with."""
    found = []
    for span in problem.holds:
        inside = network.successors[span.first] & network.predecessors[span.last] | 1 << span.first | 1 << span.last
        for index, activity in enumerate(problem.activities):
            if (
                activity.duration
                and not inside >> index & 1
                and all(
                    any(
                        need + held > most
                        for need, held, most in zip(mode, span.amounts, problem.capacities, strict=True)
                    )
                    for mode in activity.modes
                )
            ):
                found.append((index, span.first, span.last))
    return found


def _constant(network: ProjectNetwork, pool: Pool) -> Needs:
    return [(amount,) * len(demands) for amount, demands in zip(pool.demand, network.demands, strict=True)]


def _last_fit(calendar: Sequence[Window], start: int, length: int) -> int:
    """The last moment up to `start` from which `length` minutes lie in one window; before all time if there is none."""
    place = bisect_right(calendar, (start, FOREVER)) - 1
    while place >= 0:
        opened, closed = calendar[place]
        if min(start, closed - length) >= opened:
            return min(start, closed - length)
        place -= 1
    return -FOREVER
