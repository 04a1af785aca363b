"""Search for a short schedule: priority rules, forward-backward improvement, then crossed and shaken elites.

Rules: latest start and finish, work that follows, people needed (Kolisch & Hartmann 2006, EJOR 174:23-37).
Forward-backward improvement: Tormos & Lova 2001, Annals of Operations Research 102:65-81. The genetic part follows
Valls, Ballestin & Quintanilla 2008, EJOR 185:495-508. The effort is counted in schedules generated.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import chain
from random import Random

from inspect_kit.scheduling.generation import (
    MaxLagViolated,
    complete,
    parallel_schedule,
    partial_schedule,
    serial_schedule,
)
from inspect_kit.scheduling.graphs import members
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Project, Schedule
from inspect_kit.scheduling.reduction import reversed_in_time, reversed_schedule
from inspect_kit.scheduling.tail_search import TwoEndedSearch, low
from inspect_kit.scheduling.windows import WindowSearch

LAST_STEPS = 80
# How often a step is pulled ahead, and to a moment of slack; how long before that at most; how often lags are mended.
PULLED, NEARBY, REPAIRS = 0.8, 20, 3
# Up to which draw the modes stay as they are, and all are free; else so many activities, drawn anew, are.
KEPT, FREE, FEW_FREED = 0.5, 0.7, 20
# Walks backwards that may break maximum lags before no more are tried.
PATIENCE = 2


def wander(
    network: ProjectNetwork, schedule: Schedule, first_mode_only: int, random: Random, trials: int, goal: int
) -> tuple[Schedule, float]:
    """The schedule after so many changes that made it no longer, and the effort in whole schedules.

    It ends early when the finish reaches `goal`. Equal finishes are taken as well: they lead away from dead ends.
    """
    spent = 0.0
    bottleneck = _bottleneck(network)
    slack = _slack(network, schedule, bottleneck)
    for trial in range(trials):
        if schedule.makespan <= goal:
            break
        if not trial % 8:
            rank, since = _shuffled(network, schedule, random)
        elif random.random() < PULLED:
            rank, since = _pulled(network, schedule, slack, random)
        else:
            rank, since = _moved(network, schedule, random)
        made, effort = _walked_on(network, schedule, rank, since, _freed(first_mode_only, network.size, random))
        spent += effort
        if made is not None and made.makespan <= schedule.makespan:
            schedule, slack = made, _slack(network, made, bottleneck)
    return schedule, spent


def _freed(first_mode_only: int, size: int, random: Random) -> int:
    """Now and then some, or all, of these activities may use any mode."""
    draw = random.random()
    if draw < KEPT:
        return first_mode_only
    if draw < FREE:
        return 0
    for _ in range(FEW_FREED):
        first_mode_only &= ~(1 << int(random.random() * size))
    return first_mode_only


def _walked_on(
    network: ProjectNetwork, schedule: Schedule, rank: Sequence[float], since: int, first_mode_only: int
) -> tuple[Schedule | None, float]:
    """The schedule with everything from a moment on placed anew, None where a maximum lag breaks; and the effort."""
    spent = 0.0
    moment = partial_schedule(network, schedule, since)
    for _ in range(REPAIRS):
        spent += 0.2 + moment.left / network.size
        try:
            return complete(moment.copy(), rank, first_mode_only), spent
        except MaxLagViolated as broken:
            if moment.starts[broken.first] >= 0 or broken.release >= FOREVER:
                break
            moment.release(broken.first, broken.release)
    return None, spent


def _bottleneck(network: ProjectNetwork) -> tuple[int, list[int]]:
    """The capacity of the scarcest resource by its work, and what of it every activity takes at least."""
    problem = network.problem
    scarcest: tuple[float, int, list[int]] = (0.0, 0, [0] * network.size)
    for resource, capacity in enumerate(problem.capacities):
        amounts = [
            min([mode[resource] for mode in activity.modes]) if activity.duration else 0
            for activity in problem.activities
        ]
        work = sum(map(int.__mul__, amounts, network.durations))
        if capacity and work / capacity > scarcest[0]:
            scarcest = (work / capacity, capacity, amounts)
    return scarcest[1:]


def _slack(network: ProjectNetwork, schedule: Schedule, bottleneck: tuple[int, list[int]]) -> list[int]:
    """The moments from which on some of the scarcest resource has nothing to do that needs it."""
    capacity, amounts = bottleneck
    changes = []
    for start, length, amount in zip(schedule.starts, network.durations, amounts, strict=True):
        if amount:
            changes += [(start, amount), (start + length, -amount)]
    moments, used, last = [], 0, network.problem.begin
    for at, amount in sorted(changes):
        if at > last and used < capacity:
            moments.append(last)
        used, last = used + amount, at
    return moments


def _pulled(
    network: ProjectNetwork, schedule: Schedule, slack: Sequence[int], random: Random
) -> tuple[list[float], int]:
    """Some later step, with all that it waits for, sent before a moment of slack: the ranks, and that moment."""
    draw, starts = random.random, schedule.starts
    begin = network.problem.begin
    at = slack[int(draw() * len(slack))] if slack and draw() < PULLED else int(draw() * schedule.makespan)
    since = max(begin, at - int(NEARBY * low(random)))
    rank = [float(start) for start in starts]
    later = sorted([(start, i) for i, start in enumerate(starts) if start >= since and network.durations[i]])
    if later:
        chosen = later[int(low(random) * len(later))][1]
        group = [(starts[i], i) for i in members(network.predecessors[chosen]) if starts[i] >= since]
        for place, (_, index) in enumerate([*sorted(group), (starts[chosen], chosen)]):
            rank[index] = since - 1 + place / network.size
    return rank, since


def _moved(network: ProjectNetwork, schedule: Schedule, random: Random) -> tuple[list[float], int]:
    """One to three steps swapped or sent elsewhere: the ranks, and the moment of the first change."""
    draw, size = random.random, network.size
    begin = network.problem.begin
    rank = [float(start) for start in schedule.starts]
    since = schedule.makespan
    for _ in range(1 + int(draw() * 3)):
        index = int(draw() * size)
        if draw() < 0.5:
            other = int(draw() * size)
            rank[index], rank[other] = rank[other], rank[index]
            since = min(since, schedule.starts[other])
        else:
            rank[index] += (draw() - 0.3) * (schedule.makespan - begin) * draw()
        since = int(min(since, schedule.starts[index], rank[index]))
    return rank, max(since, begin)


def _shuffled(network: ProjectNetwork, schedule: Schedule, random: Random) -> tuple[list[float], int]:
    """All steps after some moment near the end, each a little later or much later than it was."""
    draw, size = random.random, network.size
    steps = min(size, 4 + int(draw() * draw() * min(size, LAST_STEPS)))
    since = sorted(schedule.starts)[-steps]
    width = draw() * draw() * 2 * (schedule.makespan - since)
    return [start + draw() * width if start >= since else 0.0 for start in schedule.starts], since


# In each round, in small and in large problems: changes, crossings, and ends laid anew. In large ones it is the changes
# that help: a step pulled ahead with all that it waits for.
LARGE, TRIALS, CROSSINGS = 40, (80, 100), (6, 1)
RELAYS, AIMS = (24, 6), 3
# A rule that leads nowhere has tried so many releases on its way, and while none leads anywhere each is worth so many.
DEAD_END = 12
Scheme = Callable[[ProjectNetwork, Sequence[float], int], Schedule | None]


class ScheduleSearch:
    """One search: the best schedule so far, how many were made, and a few good ones to build on."""

    def __init__(self, problem: Project, network: ProjectNetwork, bound: int, budget: int) -> None:
        self.problem, self.network = problem, network
        self.bound = bound
        self.random = Random(1)
        self.hours = WindowSearch(network, self.random) if any(problem.windows) else None
        # In sessions there is more to find.
        self.budget = budget * 5 // 3 if self.hours else budget
        self.horizon = max([0, *(windows[-1][1] for windows in problem.windows if windows)])
        self.reversed = ProjectNetwork(reversed_in_time(problem, self.horizon))
        self.best: Schedule | None = None
        self.current: Schedule | None = None
        self.large = network.size > LARGE
        self.led: list[Schedule] = []
        self.filled: set[tuple[int, ...]] = set()
        self.ends: TwoEndedSearch | None = None
        self.tried, self.spent = 0, 0.0
        # A walk backwards that breaks maximum lags costs many schedules: after so many it is given up.
        self.patience = PATIENCE
        self.elites: list[tuple[int, int, Schedule, int]] = []
        self.limit = 10 + budget // 100

    @property
    def over(self) -> bool:
        return self.tried + self.spent >= self.budget or (self.best is not None and self.best.makespan <= self.bound)

    def begin(self) -> None:
        """A first schedule by every rule, or fewer once the bound is reached."""
        hours = self.hours
        for rank in chain(rules(self.network), hours.rules(self.bound) if hours else ()):
            for scheme in (parallel_schedule, serial_schedule):
                for first_mode_only in self._leans():
                    if self.over:
                        return
                    self._try(scheme, rank, first_mode_only)
        for rank in hours.led_up_to(self.bound) if hours and not self.over else ():
            for scheme in (parallel_schedule, serial_schedule):
                made = None if self.over else self._make(scheme, rank, 0)
                if made is not None:
                    self.led.append(made)

    def run(self) -> Schedule | None:
        """Spend the budget, or stop as soon as the bound is reached."""
        while not self.over and self.elites:
            if self.hours:
                self._fill(self.hours)
            else:
                self._relay(RELAYS[self.large])
            self._wander(TRIALS[self.large])
            if not self.over and not self.hours and not self.large:
                self._wander_back(TRIALS[0])
            for _ in range(CROSSINGS[self.large]):
                if not self.over:
                    self._cross()
        return self.best

    def take(self, schedule: Schedule | None) -> None:
        """A schedule that was found elsewhere, if it is better."""
        if schedule is not None and (self.best is None or schedule.makespan < self.best.makespan):
            self.best = self.current = schedule
            # Where no rule led to a schedule this is the only one to build on.
            self._keep(schedule, 0)

    def _fill(self, hours: WindowSearch) -> None:
        """Fill the sessions of the best schedules that were not filled yet, from the first one on and from the last."""
        assert self.best is not None
        for schedule in [self.best, *self.led, self.current, *(elite[2] for elite in self.elites[:3])]:
            if schedule is None or schedule.starts in self.filled or self.over:
                continue
            self.filled.add(schedule.starts)
            self._filled_by(hours, hours.filled(schedule, self.bound, self.best.makespan))
            aim = self.bound
            for _ in range(AIMS):
                if self.over or aim >= self.best.makespan:
                    break
                made, ranks, aim = hours.filled_back(schedule, aim, self.best.makespan)
                self._filled_by(hours, made)
                if made is None:
                    self._make(parallel_schedule, ranks, 0)

    def _filled_by(self, hours: WindowSearch, schedule: Schedule | None) -> None:
        assert self.best is not None
        self.spent += hours.spent
        hours.spent = 0.0
        if schedule is not None and schedule.makespan < self.best.makespan:
            self.best = schedule

    def _relay(self, turns: int) -> None:
        """Lay the last steps of good schedules anew, or the first ones, or build one on from its end."""
        if self.ends is None:
            self.ends = TwoEndedSearch(self.network, self.reversed, self.random)
        for turn in range(turns):
            if self.over:
                return
            assert self.best is not None
            schedule = self.best
            if turn % 3 and self.current is not None and self.current.makespan == self.best.makespan:
                schedule = self.current
            elif turn % 3 == 2 and self.elites:
                schedule = self._pick()[2]
            aim = self.bound + int(self.random.random() * (self.best.makespan - self.bound))
            if self.large and turn % 8:
                made, spent = self.ends.rebuilt(schedule, aim, turn % 2 == 1)
            else:
                made, spent = self.ends.relaid(schedule, aim, turn % 16 == 8 if self.large else turn % 2 == 1)
            self.spent += spent
            if made is not None and made.makespan < self.best.makespan:
                self.best = self.current = made

    def _lean(self) -> int:
        """The first-mode-only activities of the best schedule."""
        assert self.best is not None
        demands, modes = self.network.demands, self.best.modes
        return sum(1 << index for index in range(self.network.size) if len(demands[index]) > 1 and not modes[index])

    def _wander(self, trials: int) -> None:
        assert self.best is not None
        start = self.current if self.current is not None and self.current.makespan <= self.best.makespan else self.best
        self.current, spent = wander(self.network, start, self._lean(), self.random, trials, self.bound)
        self.spent += spent
        if self.current.makespan < self.best.makespan:
            self.best = self.current

    def _wander_back(self, trials: int) -> None:
        """The same with time running backwards: changes near the beginning cost little, and the end is laid first."""
        assert self.current is not None
        assert self.best is not None
        begin = self.problem.begin
        back = reversed_schedule(self.current, self.reversed.problem, begin)
        back, spent = wander(self.reversed, back, self._lean(), self.random, trials, self.bound - begin)
        self.spent += spent
        forth = reversed_schedule(back, self.network.problem, 0)
        if any(start < release for start, release in zip(forth.starts, self.network.releases, strict=True)):
            self._make(parallel_schedule, forth.starts, 0)
        else:
            self.current = forth
            if forth.makespan < self.best.makespan:
                self.best = forth

    def _leans(self) -> tuple[int, ...]:
        """Which activities may only use their first mode: none of them, or all that can."""
        several = sum(1 << index for index, modes in enumerate(self.network.demands) if len(modes) > 1)
        return (0, several) if several else (0,)

    def _try(self, scheme: Scheme, rank: Sequence[float], first_mode_only: int) -> None:
        schedule = self._polished(self._make(scheme, rank, first_mode_only), first_mode_only)
        if schedule is not None and all(elite[2].starts != schedule.starts for elite in self.elites):
            self._keep(schedule, first_mode_only)

    def _keep(self, schedule: Schedule, first_mode_only: int) -> None:
        self.elites.append((schedule.makespan, self.tried, schedule, first_mode_only))
        self.elites.sort(key=lambda elite: elite[:2])
        del self.elites[self.limit :]

    def _make(self, scheme: Scheme, rank: Sequence[float], first_mode_only: int) -> Schedule | None:
        schedule = scheme(self.network, rank, first_mode_only)
        self.tried += 1 if schedule is not None or self.best is not None else DEAD_END
        if schedule is not None and (self.best is None or schedule.makespan < self.best.makespan):
            self.best = schedule
        return schedule

    def _polished(self, schedule: Schedule | None, first_mode_only: int) -> Schedule | None:
        """The schedule after moving everything late, then early, as long as that makes it shorter."""
        while schedule is not None and not self.over:
            late = self._late(schedule, first_mode_only)
            early = self._make(serial_schedule, late, first_mode_only) if late is not None else None
            if early is None or early.makespan > schedule.makespan:
                return schedule
            if early.makespan == schedule.makespan:
                return early
            schedule = early
        return schedule

    def _late(self, schedule: Schedule, first_mode_only: int) -> Sequence[int] | None:
        """The starts when everything is moved as late as it goes, latest end first; None where lags break by it."""
        if not self.patience:
            return None
        self.tried += 1
        durations = self.network.durations
        ranks = [-start - length for start, length in zip(schedule.starts, durations, strict=True)]
        late = serial_schedule(
            self.reversed, ranks, first_mode_only, self.horizon - schedule.makespan if self.horizon else 0
        )
        if late is None:
            self.patience -= 1
            return None
        return [-start - length for start, length in zip(late.starts, durations, strict=True)]

    def _cross(self) -> None:
        """A child of two elites: the order of one, with a stretch of the other in its middle, slightly shaken."""
        draw = self.random.random
        one, other = self._pick(), self._pick()
        size = self.network.size
        father, mother = _places(one[2]), _places(other[2])
        cuts = sorted((int(draw() * size), int(draw() * size)))
        rank = [
            float(
                place if place < cuts[0] or place >= cuts[1] else cuts[0] + mother[index] / size * (cuts[1] - cuts[0])
            )
            for index, place in enumerate(father)
        ]
        reach = 1 + size * (0.02 if draw() < 0.5 else 0.15)
        for index in range(size):
            if draw() < 0.1:
                rank[index] += (draw() - 0.5) * reach
        first_mode_only = self._mixed(one[3], other[3])
        self._try(parallel_schedule if draw() < 0.3 else serial_schedule, rank, first_mode_only)

    def _pick(self) -> tuple[int, int, Schedule, int]:
        draws = (int(self.random.random() * len(self.elites)), int(self.random.random() * len(self.elites)))
        return self.elites[min(draws)]

    def _mixed(self, one: int, other: int) -> int:
        """Of the first-mode-only activities of two elites some of each, now and then one changed."""
        several = self._leans()[-1]
        if not several:
            return 0
        mask = int(self.random.random() * (1 << 52)) if self.network.size <= 52 else self._bits()
        child = (one & mask) | (other & ~mask)
        flip = 1 << int(self.random.random() * self.network.size)
        return (child ^ (flip & several)) & several

    def _bits(self) -> int:
        bits = 0
        for _ in range(0, self.network.size, 52):
            bits = bits << 52 | int(self.random.random() * (1 << 52))
        return bits


def _places(schedule: Schedule) -> list[int]:
    """The place of every activity in the order of starts."""
    order = sorted(range(len(schedule.starts)), key=lambda index: (schedule.starts[index], index))
    places = [0] * len(order)
    for place, index in enumerate(order):
        places[index] = place
    return places


def rules(network: ProjectNetwork) -> Iterator[list[float]]:
    """Rankings by priority rule, lowest first."""
    size, durations = network.size, network.durations
    tails = [0] * size
    for index in reversed(network.order):
        for after, least in network.after[index]:
            tails[index] = max(tails[index], least + durations[after] + tails[after])
    crowd = [
        max(sum(mode[: network.problem.interchangeable or None]) for mode in a.modes)
        for a in network.problem.activities
    ]
    labour = [length * people for length, people in zip(durations, crowd, strict=True)]
    follow = [sum(labour[other] for other in members(network.successors[index])) for index in range(size)]
    yield [-tails[index] - durations[index] for index in range(size)]
    yield [-follow[index] - labour[index] for index in range(size)]
    yield [-crowd[index] * 10000.0 - follow[index] - labour[index] for index in range(size)]
    yield [-tails[index] for index in range(size)]
    yield [-network.successors[index].bit_count() * 1000.0 - labour[index] for index in range(size)]
    yield [-labour[index] for index in range(size)]
