"""How short a schedule can possibly be: bounds that no schedule can beat.

Heads and tails (what must come before and after an activity) are strengthened by the work of all that comes before
or after; then for every head h and tail t, h + work of all activities between / capacity + t is a bound for each
resource (Klein & Scholl 1999, EJOR 112:322-346, destructive where there are windows).
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from itertools import combinations
from math import gcd

from inspect_kit.noun import dataclass
from inspect_kit.scheduling.graphs import members
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork, hours_of, overlap
from inspect_kit.scheduling.problem import Project, ResourceHold, Window
from inspect_kit.scheduling.reduction import reversed_in_time

Supply = tuple[tuple[int, int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """A resource, or several groups of people together: what each activity occupies at least, and the capacity.

    `supply` are (from, until, amount) where it is at hand; None for all hours.
    """

    demand: tuple[int, ...]
    capacity: int
    supply: Supply | None = None


class CapacityProfile:
    """How much a pool has given up to a moment, in capacity x minutes, and by which moment it has given so much."""

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


def hold_bound(network: ProjectNetwork, pools: Sequence[Pool], heads: Sequence[int], tails: Sequence[int]) -> int:
    """Gear that spans hold, one after the other: the least time that each of them lasts, together over the capacity."""
    problem, best = network.problem, 0
    for resource, capacity in enumerate(problem.capacities):
        spans = [span for span in problem.holds if span.amounts[resource]]
        if len(spans) > 1:
            work = sum(least_stay(network, pools, span) * span.amounts[resource] for span in spans)
            head = min(heads[span.first] for span in spans)
            best = max(best, head - (-work // capacity) + min(tails[span.last] for span in spans))
    return best


def least_stay(network: ProjectNetwork, pools: Sequence[Pool], span: ResourceHold) -> int:
    """The least time from the start of a span to its end: by what lies between, one after another and by its work."""
    durations = network.durations
    inside = network.successors[span.first] & network.predecessors[span.last]
    ready = dict.fromkeys(members(inside | 1 << span.last), 0)
    for index in network.order:
        if index == span.first or inside >> index & 1:
            end = durations[index] + (0 if index == span.first else ready[index])
            for after, least in network.after[index]:
                if after in ready:
                    ready[after] = max(ready[after], end + least)
    longest = ready.get(span.last, 0) + durations[span.last]
    between = list(members(inside))
    for pool in pools:
        work = sum([durations[index] * pool.demand[index] for index in between])
        outside = durations[span.first] + durations[span.last]
        longest = max(longest, outside - (-work // pool.capacity))
    return longest if span.first != span.last else durations[span.first]


Times = Sequence[tuple[int, int]]


def cut_by_tail(tails: Sequence[int], members: Sequence[int]) -> list[tuple[int, list[int]]]:
    """Members that come by their tails in not too many groups with the least tail of each, the longest first."""
    groups: list[tuple[int, list[int]]] = []
    for place, index in enumerate(members):
        if groups and (tails[index] == groups[-1][0] or len(groups[-1][1]) < place // 8):
            groups[-1][1].append(index)
        else:
            groups.append((tails[index], [index]))
    return groups[::-1]


def pools_of(problem: Project, times: Times | None = None) -> list[Pool]:
    """Every set of groups of people as one pool, every other resource as a pool of its own.

    `times` are the hours (from, until) to which each activity is known to be tied, if any are.
    """
    people = range(problem.interchangeable)
    groups = [group for size in range(1, problem.interchangeable + 1) for group in combinations(people, size)]
    groups += [(index,) for index in range(problem.interchangeable, len(problem.capacities))]
    least = [
        [min(mode[r] for mode in activity.modes) for r in range(len(problem.capacities))]
        for activity in problem.activities
    ]
    pools = []
    for group in groups:
        demand = [
            min(sum(mode[index] for index in group) for mode in activity.modes) if activity.duration else 0
            for activity in problem.activities
        ]
        if any(demand):
            capacity = sum(problem.capacities[index] for index in group)
            supply = supply_of([(problem.windows[index], problem.capacities[index]) for index in group])
            _block(problem, demand, least, supply or ((0, FOREVER, capacity),), times)
            pools.append(Pool(demand=tuple(demand), capacity=capacity, supply=supply))
    return pools


def _block(
    problem: Project, demand: list[int], least: Sequence[Sequence[int]], supply: Supply, times: Times | None
) -> None:
    """Let what keeps everybody of a pool from working (something done alone) count as taking all who are there then."""
    users = [index for index, amount in enumerate(demand) if amount]
    known: dict[tuple[tuple[int, ...], Window], int] = {}
    for resource, most in enumerate(problem.capacities):
        smallest = min(least[index][resource] for index in users)
        # More than half of the resource as well, so that no two of these go on at once.
        blocking = [
            index
            for index, activity in enumerate(problem.activities)
            if smallest and activity.duration and least[index][resource] > max(most - smallest, most // 2)
        ]
        there = {
            index: _fewest(problem, index, supply, times[index] if times else (0, FOREVER), known) for index in blocking
        }
        if any(demand[index] < there[index] for index in blocking):
            for index in blocking:
                demand[index] = max(demand[index], there[index])
            return


def _fewest(
    problem: Project, index: int, supply: Supply, times: Window, known: dict[tuple[tuple[int, ...], Window], int]
) -> int:
    """The least that is at hand of a pool at any time at which an activity can go on; `known` remembers."""
    fewest = FOREVER
    for mode in problem.activities[index].modes:
        used = tuple(number for number, amount in enumerate(mode) if amount and problem.windows[number] is not None)
        if (used, times) not in known:
            known[used, times] = _fewest_in(supply, overlap(hours_of(problem, mode) or ((0, FOREVER),), (times,)))
        fewest = min(fewest, known[used, times])
    return fewest


def _fewest_in(supply: Supply, windows: Iterable[Window]) -> int:
    """The least of a supply at any time of these windows."""
    fewest = FOREVER
    for start, end in windows:
        covered = start
        place = max(0, bisect_right(supply, (start, FOREVER)) - 1)
        while place < len(supply) and supply[place][0] < end:
            since, until, amount = supply[place]
            place += 1
            if until > start:
                fewest = min(fewest, amount)
                if since > covered:
                    return 0
                covered = until
        if covered < end:
            return 0
    return fewest


def supply_of(parts: Sequence[tuple[tuple[Window, ...] | None, int]]) -> Supply | None:
    """What resources (windows, capacity) give together, over time; None for all hours."""
    if all(windows is None for windows, _ in parts):
        return None
    changes: dict[int, int] = {}
    for windows, amount in parts:
        for start, end in windows if windows is not None else ((0, FOREVER),):
            changes[start] = changes.get(start, 0) + amount
            changes[end] = changes.get(end, 0) - amount
    supply, level, since = [], 0, 0
    for at in sorted(changes):
        if level and at > since:
            supply.append((since, at, level))
        level, since = level + changes[at], at
    return tuple(supply)


def clique_pools(problem: Project) -> list[Pool]:
    """Activities of which no two can be done at once (more than half of a pool, or all alone) as a pool of one."""
    pools = []
    for pool in pools_of(problem):
        demand = tuple(1 if 2 * amount > pool.capacity else 0 for amount in pool.demand)
        if pool.capacity > 1 and any(demand):
            pools.append(Pool(demand=demand, capacity=1))
    return pools


def incompatible(network: ProjectNetwork) -> list[int]:
    """For every activity the bit set of those that it never overlaps: by precedence, people, gear or holds."""
    problem, size = network.problem, network.size
    apart = [network.predecessors[index] | network.successors[index] for index in range(size)]

    def exclude(some: int, others: int) -> None:
        for index in members(some):
            apart[index] |= others
        for index in members(others):
            apart[index] |= some

    for pool in pools_of(problem):
        for one, other in combinations([index for index in range(size) if pool.demand[index]], 2):
            if pool.demand[one] + pool.demand[other] > pool.capacity:
                exclude(1 << one, 1 << other)
    inside = [
        network.successors[span.first] & network.predecessors[span.last] | 1 << span.first | 1 << span.last
        for span in problem.holds
    ]
    for gate in problem.disjunctions:
        exclude(1 << gate.activity, inside[gate.hold])
    for resource, capacity in enumerate(problem.capacities):
        spans = [number for number, span in enumerate(problem.holds) if span.amounts[resource]]
        for number in spans:
            amount = problem.holds[number].amounts[resource]
            for other in spans:
                if amount + problem.holds[other].amounts[resource] > capacity and not inside[number] & inside[other]:
                    exclude(inside[number], inside[other])
            for index, activity in enumerate(problem.activities):
                least = min(mode[resource] for mode in activity.modes)
                if activity.duration and least and least + amount > capacity and not inside[number] >> index & 1:
                    exclude(1 << index, inside[number])
    return [bits & ~(1 << index) for index, bits in enumerate(apart)]


def heaviest_clique(apart: Sequence[int], weights: Sequence[int], among: int, above: int, limit: int) -> int:
    """The members of `among` of which each excludes all others and which weigh the most, if more than `above`; else 0.

    Branch and bound with a greedy colouring (after Kumlander 2004); the best of `limit` nodes.
    """
    best, chosen, nodes = above, 0, 0

    def coloured(left: int) -> list[tuple[int, int]]:
        """Members with what they and all before them can add at most: of each colour no more than its heaviest."""
        listed, total = [], 0
        waiting = sorted(members(left), key=lambda index: -weights[index])
        while waiting:
            total += weights[waiting[0]]
            colour, rest = 0, []
            for index in waiting:
                if apart[index] & colour:
                    rest.append(index)
                else:
                    colour |= 1 << index
                    listed.append((index, total))
            waiting = rest
        return listed

    def grow(left: int, weight: int, clique: int) -> None:
        nonlocal best, chosen, nodes
        nodes += 1
        if weight > best:
            best, chosen = weight, clique
        for index, more in reversed(coloured(left)):
            if weight + more <= best or nodes >= limit:
                return
            grow(left & apart[index], weight + weights[index], clique | 1 << index)
            left &= ~(1 << index)

    grow(among, 0, 0)
    return chosen


# So many branch and bound nodes for one clique, and so many of the last ones found, besides the heaviest of all.
CLIQUE_NODES, CLIQUES = 200, 3


def heavy_cliques(network: ProjectNetwork) -> list[Pool]:
    """Activities of which each excludes all others, heavy for their heads and tails, as pools of one.

    Precedence excludes too: a chain together with all that is done alone, which adds to it wherever it comes.
    """
    durations, size = network.durations, network.size
    apart = incompatible(network)
    heads, tails = heads_and_tails(network, [*pools_of(network.problem), *clique_pools(network.problem)])
    lasting = [index for index in range(size) if durations[index]]
    found = [heaviest_clique(apart, durations, sum(1 << index for index in lasting), 0, CLIQUE_NODES)]
    best = max([heads[index] + durations[index] + tails[index] for index in lasting], default=0)
    for head in sorted({heads[index] for index in lasting}):
        for tail in sorted({tails[index] for index in lasting}):
            among = sum(1 << index for index in lasting if heads[index] >= head and tails[index] >= tail)
            clique = heaviest_clique(apart, durations, among, best - head - tail, CLIQUE_NODES) if among else 0
            if clique:
                best = head + tail + sum(durations[index] for index in members(clique))
                found.append(clique)
    return [
        Pool(demand=tuple(clique >> index & 1 for index in range(size)), capacity=1)
        for clique in dict.fromkeys((found[0], *found[-CLIQUES:]))
        if clique
    ]


def lower_bound(network: ProjectNetwork, pools: Sequence[Pool]) -> int:
    """The earliest finish that no schedule can beat."""
    heads, tails = heads_and_tails(network, pools)
    durations = network.durations
    best = max((heads[i] + durations[i] + tails[i] for i in range(network.size)), default=network.problem.begin)
    best = max(best, hold_bound(network, pools, heads, tails))
    for pool in pools:
        if pool.supply is None:
            best = max(best, _between(heads, tails, durations, pool))
        else:
            best = max(best, _supplied(heads, tails, durations, pool, best))
    return best


def rounded_up(problem: Project, bound: int) -> int:
    """The first finish from `bound` on that a shortest schedule can have.

    One exists in which every start is the beginning, a release, the edge of a window, or follows from another start by
    durations and lags: so what all of these have as a common divisor, measured from the beginning, the finish has too.
    """
    steps = [activity.duration for activity in problem.activities]
    steps += [activity.release - problem.begin for activity in problem.activities if activity.release > problem.begin]
    for lag in problem.precedences:
        steps += [lag.min_lag, lag.max_lag or 0]
    for windows in (*problem.windows, problem.shifts):
        for start, end in windows or ():
            steps += [start - problem.begin, end - problem.begin]
    step = gcd(*steps) or 1
    return problem.begin - (problem.begin - bound) // step * step


def windows_bound(network: ProjectNetwork, bound: int, upper: int) -> int:
    """A bound, at most `upper`, from asking what a schedule that ends sooner than `upper` would have to be like."""
    heads = heads_and_tails(network, pools_of(network.problem))[0]
    aim = upper - 1
    while bound < upper:
        sooner = _ending_by(network, heads, aim)
        bound = max(bound, sooner)
        if sooner <= aim:
            upper = aim
        if upper - bound <= 1:
            break
        aim = (bound + upper) // 2
    return bound


def heads_reversed(problem: Project, finish: int) -> list[int]:
    """The earliest start of every activity seen backwards from a finish, with the hours that there are before it."""
    back = ProjectNetwork(reversed_in_time(problem, finish), gates=False)
    return heads_and_tails(back, pools_of(back.problem))[0]


def _ending_by(network: ProjectNetwork, heads: Sequence[int], aim: int) -> int:
    """What no schedule that ends by `aim` can beat; `aim` + 1 if there is none.

    Each activity would be tied to some hours, in which others may be kept from working for certain.
    """
    problem = network.problem
    # Seen from that end the hours are known, so that what must follow has its place in them.
    tails = heads_reversed(problem, aim)
    by_tail = sorted(range(network.size), key=lambda index: -tails[index])
    times = [(head, aim - tail) for head, tail in zip(heads, tails, strict=True)]
    pools = pools_of(problem, times)
    for pool in pools:
        stock = CapacityProfile(pool.supply or ((0, FOREVER, pool.capacity),))
        work = stock.until(problem.begin)
        for index in by_tail:
            work += pool.demand[index] * network.durations[index]
            if pool.demand[index] and stock.until(aim - tails[index]) < work:
                return aim + 1
    return min(aim + 1, lower_bound(network, pools))


def heads_and_tails(network: ProjectNetwork, pools: Sequence[Pool]) -> tuple[list[int], list[int]]:
    """The earliest start of every activity, and the least time from its end to the finish."""
    heads = list(network.releases)
    tails = [0] * network.size
    durations = network.durations
    stocks = [CapacityProfile(pool.supply) if pool.supply else None for pool in pools]
    for index in network.order:
        for pool, stock in zip(pools, stocks, strict=True):
            heads[index] = max(
                heads[index], _before(members(network.predecessors[index]), heads, durations, pool, stock)
            )
        heads[index] = _at_hand(network, index, heads[index])
        end = heads[index] + durations[index]
        for after, least in network.after[index]:
            heads[after] = max(heads[after], end + least)
    for index in reversed(network.order):
        for after, least in network.after[index]:
            tails[index] = max(tails[index], least + durations[after] + tails[after])
        # Seen from the end nobody knows which hours are left: tails go by capacity alone.
        for pool in pools:
            tails[index] = max(tails[index], _before(members(network.successors[index]), tails, durations, pool))
    return heads, tails


def _before(
    group: Iterable[int],
    heads: Sequence[int],
    durations: Sequence[int],
    pool: Pool,
    stock: CapacityProfile | None = None,
) -> int:
    """The earliest moment at which all of a group can have ended, by its work and its heads."""
    demand, capacity = pool.demand, pool.capacity
    work, best = 0, 0
    for head, amount in sorted(
        [(heads[index], durations[index] * demand[index]) for index in group if demand[index]], reverse=True
    ):
        work += amount
        end = head - (-work // capacity)
        if end > best:
            best = end
        if stock is not None and stock.until(best) - stock.until(head) < work:
            best = stock.when(stock.until(head) + work)
    return best


def _between(heads: Sequence[int], tails: Sequence[int], durations: Sequence[int], pool: Pool) -> int:
    """Over all heads and tails: head + work of what has at least these, by capacity, + tail."""
    demand = pool.demand
    used = [index for index in range(len(durations)) if demand[index] and durations[index]]
    used.sort(key=lambda index: -heads[index])
    best = 0
    for tail in sorted({tails[index] for index in used}):
        work = 0
        for index in used:
            if tails[index] >= tail:
                work += durations[index] * demand[index]
                end = heads[index] - (-work // pool.capacity) + tail
                if end > best:
                    best = end
    return best


def _supplied(heads: Sequence[int], tails: Sequence[int], durations: Sequence[int], pool: Pool, least: int) -> int:
    """As `_between` where a pool is not always at hand: the first finish whose hours hold all the work."""
    assert pool.supply is not None
    demand = pool.demand
    used = [index for index in range(len(durations)) if demand[index] and durations[index]]
    used.sort(key=lambda index: -heads[index])
    stock = CapacityProfile(pool.supply)
    best = least
    for tail in sorted({tails[index] for index in used}):
        work = 0
        for index in used:
            if tails[index] >= tail:
                work += durations[index] * demand[index]
                if stock.until(best - tail) - stock.until(heads[index]) < work:
                    best = stock.when(stock.until(heads[index]) + work) + tail
    return best


def _at_hand(network: ProjectNetwork, index: int, start: int) -> int:
    """The first moment from `start` on at which a window holds the activity."""
    length = network.durations[index]
    if not length or not network.calendars:
        return start
    return min(
        first_fit(network.calendars[slot], start, length) if slot >= 0 else start
        for slot in network.mode_calendars[index]
    )


def first_fit(calendar: Sequence[Window], start: int, length: int) -> int:
    """The first moment from `start` on from which `length` minutes lie in one window; FOREVER if there is none."""
    place = max(0, bisect_right(calendar, (start, FOREVER)) - 1)
    while place < len(calendar):
        opened, closed = calendar[place]
        if max(opened, start) + length <= closed:
            return max(opened, start)
        place += 1
    return FOREVER
