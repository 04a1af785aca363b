"""A problem made ready for quick schedule generation: lists by index, amounts of all resources packed in one number.

Each resource has a field of bits with one spare bit on top. The spare bits (`guard`) stand while nothing is
overdrawn, so one subtraction and one mask tell whether everything fits at once.
"""

from collections.abc import Sequence

from inspect_kit.scheduling.graphs import ancestors, descendants, members, topological
from inspect_kit.scheduling.problem import Project, Window
from inspect_kit.scheduling.reduction import precedence_pairs

FOREVER = 1 << 40


class ProjectNetwork:
    """The problem as a project network, by index, unchanging once made.

    `durations`, `releases` by activity. `demands[i]` are the packed amounts of each mode, `mode_calendars[i]` the
    number of each mode's windows in `calendars` (-1: all hours). `order` is a topological order; `predecessors` and
    `successors` are the bit sets of all, not only of the next; `after[i]` are the next ones as (activity, minimum lag);
    `predecessor_counts[i]` how many those are that i waits for. `max_lags[i]` are (activity, most): i starts at most so
    long after it ended. `holds_begun` and `holds_ended` are the holds that begin and end with an activity, with the
    packed `hold_amounts`; `excluded_holds[i]` the holds that i must not overlap, `excluded_activities[h]` the other way
    round. `chain_rest[i]` is what follows without delay once i has started: the rest of a chain of maximum lags. With
    `gates`, the first activity of such a chain waits until the rest can follow. `demand_kinds` number activities that
    want the same; `essential` are the fields without which nothing can start, `held_fields` those that holds occupy.
    No activity has more than `most_modes` modes.
    """

    def __init__(self, problem: Project, *, gates: bool = True) -> None:
        activities = problem.activities
        size = self.size = len(activities)
        self.problem = problem
        self.durations = [activity.duration for activity in activities]
        widths = [capacity.bit_length() + 1 for capacity in problem.capacities]
        places = [sum(widths[:index]) for index in range(len(widths))]
        self.guard = sum(1 << place + width - 1 for place, width in zip(places, widths, strict=True))
        self.free = self.guard + _packed(problem.capacities, places)
        self.demands = [tuple(_packed(mode, places) for mode in activity.modes) for activity in activities]
        self.hold_amounts = [_packed(span.amounts, places) for span in problem.holds]
        self.most_modes = max((len(modes) for modes in self.demands), default=1)
        self.essential = self._scarce(places, widths)
        self.calendars: list[tuple[Window, ...]] = []
        self._known: dict[tuple[int, ...], int] = {}
        self.mode_calendars = [tuple(self._calendar(mode) for mode in activity.modes) for activity in activities]
        self.pairs = precedence_pairs(problem)
        order = topological(size, self.pairs)
        if order is None:
            raise ValueError("activities wait for each other in a circle")
        self.order = order
        self.predecessors, self.successors = ancestors(order, self.pairs), descendants(order, self.pairs)
        self.releases = [max(problem.begin, activity.release) for activity in activities]
        self._link(gates)
        self._span()
        self._claim(places, widths)
        starts = {start for calendar in self.calendars for start, _ in calendar if start > problem.begin}
        self.openings = sorted(starts)

    def _scarce(self, places: Sequence[int], widths: Sequence[int]) -> int:
        """The packed fields that no activity with a duration does without: while all are empty nothing can start."""
        lasting = [activity for activity in self.problem.activities if activity.duration]
        people = range(self.problem.interchangeable)
        staffed = all(any(mode[index] for index in people) for activity in lasting for mode in activity.modes)
        chosen = people if staffed and people else range(len(places))
        return sum((1 << widths[index] - 1) - 1 << places[index] for index in chosen)

    def _calendar(self, mode: Sequence[int]) -> int:
        """Which of `calendars` are the windows in which all that the mode needs is at hand; -1 if that is always."""
        used = tuple(index for index, amount in enumerate(mode) if amount and self.problem.windows[index] is not None)
        if used not in self._known:
            joint = hours_of(self.problem, mode)
            if joint is not None and joint not in self.calendars:
                self.calendars.append(joint)
            self._known[used] = -1 if joint is None else self.calendars.index(joint)
        return self._known[used]

    def _link(self, gates: bool) -> None:
        problem = self.problem
        least: dict[tuple[int, int], int] = dict.fromkeys(self.pairs, 0)
        for lag in problem.precedences:
            least[lag.before, lag.after] = max(lag.min_lag, least[lag.before, lag.after])
        self.max_lags: list[list[tuple[int, int]]] = [[] for _ in range(self.size)]
        for lag in problem.precedences:
            if lag.max_lag is not None:
                self.max_lags[lag.after].append((lag.before, lag.max_lag))
        tight = [(lag.before, lag.after) for lag in problem.precedences if lag.max_lag is not None]
        if problem.shifts is not None:
            tight += [(span.first, span.last) for span in problem.holds if not span.over_breaks]
        self.chain_rest = [0] * self.size
        for first, last in tight:
            self.chain_rest[first] |= self.successors[first] & self.predecessors[last] | 1 << last
        gated = dict(least)
        if gates:
            for first, last in tight:
                for other in members(self.predecessors[last] & ~self.successors[first] & ~(1 << first)):
                    gated.setdefault((other, first), 0)
            if topological(self.size, list(gated)) is None:
                gated = least
        self.after: list[list[tuple[int, int]]] = [[] for _ in range(self.size)]
        self.predecessor_counts = [0] * self.size
        for (before, after), min_lag in gated.items():
            self.after[before].append((after, min_lag))
            self.predecessor_counts[after] += 1

    def _span(self) -> None:
        problem = self.problem
        self.holds_begun: list[list[int]] = [[] for _ in range(self.size)]
        self.holds_ended: list[list[int]] = [[] for _ in range(self.size)]
        self.excluded_holds: list[list[int]] = [[] for _ in range(self.size)]
        self.excluded_activities: list[list[int]] = [[] for _ in problem.holds]
        for index, span in enumerate(problem.holds):
            self.holds_begun[span.first].append(index)
            self.holds_ended[span.last].append(index)
        for apart in problem.disjunctions:
            self.excluded_holds[apart.activity].append(apart.hold)
            self.excluded_activities[apart.hold].append(apart.activity)
        self._sort_by_kind()
        self.simple = not (problem.holds or problem.disjunctions or any(self.max_lags))

    def _claim(self, places: Sequence[int], widths: Sequence[int]) -> None:
        """What each hold still wants of the resources that holds occupy, before it can end."""
        held = {number for hold in self.problem.holds for number, amount in enumerate(hold.amounts) if amount}
        self.held_fields = sum((1 << widths[number]) - 1 << places[number] for number in held)
        self._claims: list[list[tuple[int, int, tuple[int, ...]]]] = []
        for number, hold in enumerate(self.problem.holds):
            claims = []
            for index in members((self.predecessors[hold.last] | 1 << hold.last) & ~(1 << hold.first)):
                amounts = [min(mode[r] for mode in self.problem.activities[index].modes) for r in range(len(places))]
                need = sum(amount << place for amount, place in zip(amounts, places, strict=True)) & self.held_fields
                around = tuple(
                    other
                    for other, each in enumerate(self.problem.holds)
                    if other != number
                    and self.hold_amounts[other]
                    and (self.predecessors[index] | 1 << index) >> each.first & 1
                    and (self.successors[index] | 1 << index) >> each.last & 1
                )
                if need or around:
                    claims.append((index, need, around))
            self._claims.append(claims)

    def safe(self, started: int, index: int) -> bool:
        """Whether all holds can be ended in some order when this activity begins its own; `started` is a bit set.

        The banker's algorithm (Dijkstra 1965): without it two holds can each wait for what the other one occupies.
        """
        if not any(self._claims):
            return True
        holds = self.problem.holds
        started |= 1 << index
        standing = {n for n, hold in enumerate(holds) if started >> hold.first & 1 and not started >> hold.last & 1}
        free = self.free - sum(self.hold_amounts[number] for number in standing)
        left = set(standing)
        while left:
            ending = [number for number in left if self._can_end(number, started, standing, free)]
            if not ending:
                return False
            for number in ending:
                free += self.hold_amounts[number]
                left.discard(number)
        return True

    def _can_end(self, number: int, started: int, standing: set[int], free: int) -> bool:
        """Whether everything that is left before a hold can end fits, one after the other, into what is free."""
        for index, need, around in self._claims[number]:
            if not started >> index & 1:
                more = sum([self.hold_amounts[other] for other in around if other not in standing])
                if free - need - more & self.guard != self.guard:
                    return False
        return True

    def _sort_by_kind(self) -> None:
        """Number the kinds of need, and mark as `special` what has to do with a hold or a greatest lag.

        An activity that begins a hold is a kind of its own; others are of one kind where demands, hours and the holds
        that they exclude are the same.
        """
        firsts = {first for latest in self.max_lags for first, _ in latest}
        self.special = [
            bool(
                self.holds_begun[i]
                or self.holds_ended[i]
                or self.excluded_holds[i]
                or self.max_lags[i]
                or self.chain_rest[i]
                or i in firsts
            )
            or any(i in rivals for rivals in self.excluded_activities)
            for i in range(self.size)
        ]
        numbers: dict[object, int] = {}
        self.demand_kinds = []
        for index in range(self.size):
            need = (self.demands[index], self.mode_calendars[index], not self.durations[index])
            key = index if self.holds_begun[index] else (*need, tuple(self.excluded_holds[index]))
            self.demand_kinds.append(numbers.setdefault(key, len(numbers)))
        self.kind_count = len(numbers)
        kinds = {self.demand_kinds[index] for index in range(self.size) if not self.durations[index]}
        self.instant_kinds = sorted(2 * kind + first_mode_only for kind in kinds for first_mode_only in (0, 1))


def _packed(amounts: Sequence[int], places: Sequence[int]) -> int:
    return sum(amount << place for amount, place in zip(amounts, places, strict=True))


def hours_of(problem: Project, mode: Sequence[int]) -> tuple[Window, ...] | None:
    """The windows in which all that a mode needs is at hand; None if that is always."""
    joint: tuple[Window, ...] | None = None
    for amount, windows in zip(mode, problem.windows, strict=True):
        if amount and windows is not None:
            joint = windows if joint is None else overlap(joint, windows)
    return joint


def overlap(one: Sequence[Window], other: Sequence[Window]) -> tuple[Window, ...]:
    """The hours that are in both lists of windows."""
    both: list[Window] = []
    mine = theirs = 0
    while mine < len(one) and theirs < len(other):
        start, end = max(one[mine][0], other[theirs][0]), min(one[mine][1], other[theirs][1])
        if start < end:
            both.append((start, end))
        if one[mine][1] < other[theirs][1]:
            mine += 1
        else:
            theirs += 1
    return tuple(both)
