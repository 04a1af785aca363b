"""A problem made ready for quick schedule generation: lists by index, amounts of all resources packed in one number.

Each resource has a field of bits with one spare bit on top. The spare bits (`guard`) stand while nothing is
overdrawn, so one subtraction and one mask tell whether everything fits at once.
"""

from collections.abc import Sequence

from inspect_kit.scheduling.graphs import ancestors, descendants, members, topological
from inspect_kit.scheduling.problem import Problem, Window
from inspect_kit.scheduling.reduction import pairs_of

FOREVER = 1 << 40


class Network:
    """The problem by index, unchanging once made.

    `needs[i]` are the packed amounts of each mode, `slots[i]` the number of each mode's windows in `calendars` (-1:
    all hours). `after[i]` are (activity, least). `latest[i]` are (activity, most): i starts at most so long after it
    ended. `opens` and `closes` are the spans that begin and end with an activity, `keeps[i]` the spans it is kept
    apart from, `rivals[s]` the activities kept apart from a span. `urgent[i]` is what follows without delay once i
    has started. With `gates`, the first activity of a tight chain waits until the rest can follow.
    """

    def __init__(self, problem: Problem, *, gates: bool = True) -> None:
        activities = problem.activities
        size = self.size = len(activities)
        self.problem = problem
        self.minutes = [activity.minutes for activity in activities]
        widths = [capacity.bit_length() + 1 for capacity in problem.capacities]
        places = [sum(widths[:index]) for index in range(len(widths))]
        self.guard = sum(1 << place + width - 1 for place, width in zip(places, widths, strict=True))
        self.free = self.guard + _packed(problem.capacities, places)
        self.needs = [tuple(_packed(mode, places) for mode in activity.modes) for activity in activities]
        self.holds = [_packed(span.holds, places) for span in problem.spans]
        self.idle = self._scarce(places, widths)
        self.calendars: list[tuple[Window, ...]] = []
        self._known: dict[tuple[int, ...], int] = {}
        self.slots = [tuple(self._calendar(mode) for mode in activity.modes) for activity in activities]
        self.pairs = pairs_of(problem)
        order = topological(size, self.pairs)
        if order is None:
            raise ValueError("activities wait for each other in a circle")
        self.order = order
        self.above, self.below = ancestors(order, self.pairs), descendants(order, self.pairs)
        self.release = [max(problem.begin, activity.release) for activity in activities]
        self._link(gates)
        self._span()
        starts = {start for calendar in self.calendars for start, _ in calendar if start > problem.begin}
        self.openings = sorted(starts)

    def _scarce(self, places: Sequence[int], widths: Sequence[int]) -> int:
        """Fields of which every activity that lasts needs some; when all of these are empty nothing can start."""
        lasting = [activity for activity in self.problem.activities if activity.minutes]
        people = range(self.problem.people)
        staffed = all(any(mode[index] for index in people) for activity in lasting for mode in activity.modes)
        chosen = people if staffed and people else range(len(places))
        return sum((1 << widths[index] - 1) - 1 << places[index] for index in chosen)

    def _calendar(self, mode: Sequence[int]) -> int:
        """The number of the windows in which all that the mode needs is at hand; -1 if that is always."""
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
        for lag in problem.lags:
            least[lag.before, lag.after] = max(lag.least, least[lag.before, lag.after])
        self.latest: list[list[tuple[int, int]]] = [[] for _ in range(self.size)]
        for lag in problem.lags:
            if lag.most is not None:
                self.latest[lag.after].append((lag.before, lag.most))
        tight = [(lag.before, lag.after) for lag in problem.lags if lag.most is not None]
        if problem.shifts is not None:
            tight += [(span.first, span.last) for span in problem.spans if not span.overnight]
        self.urgent = [0] * self.size
        for first, last in tight:
            self.urgent[first] |= self.below[first] & self.above[last] | 1 << last
        gated = dict(least)
        if gates:
            for first, last in tight:
                for other in members(self.above[last] & ~self.below[first] & ~(1 << first)):
                    gated.setdefault((other, first), 0)
            if topological(self.size, list(gated)) is None:
                gated = least
        self.after: list[list[tuple[int, int]]] = [[] for _ in range(self.size)]
        self.waiting = [0] * self.size
        for (before, after), minutes in gated.items():
            self.after[before].append((after, minutes))
            self.waiting[after] += 1

    def _span(self) -> None:
        problem = self.problem
        self.opens: list[list[int]] = [[] for _ in range(self.size)]
        self.closes: list[list[int]] = [[] for _ in range(self.size)]
        self.keeps: list[list[int]] = [[] for _ in range(self.size)]
        self.rivals: list[list[int]] = [[] for _ in problem.spans]
        for index, span in enumerate(problem.spans):
            self.opens[span.first].append(index)
            self.closes[span.last].append(index)
        for apart in problem.apart:
            self.keeps[apart.activity].append(apart.span)
            self.rivals[apart.span].append(apart.activity)
        self._sort_by_kind()
        self.plain = not (problem.spans or problem.apart or any(self.latest))

    def _sort_by_kind(self) -> None:
        """Number the kinds of need; what opens a span or is kept apart from one, or is in a chain, is its own kind."""
        firsts = {first for latest in self.latest for first, _ in latest}
        self.special = [
            bool(self.opens[i] or self.closes[i] or self.keeps[i] or self.latest[i] or self.urgent[i] or i in firsts)
            or any(i in rivals for rivals in self.rivals)
            for i in range(self.size)
        ]
        numbers: dict[object, int] = {}
        self.kinds = []
        for index in range(self.size):
            alone = bool(self.opens[index] or self.keeps[index])
            key = index if alone else (self.needs[index], self.slots[index], not self.minutes[index])
            self.kinds.append(numbers.setdefault(key, len(numbers)))
        self.kind_count = len(numbers)
        kinds = {self.kinds[index] for index in range(self.size) if not self.minutes[index]}
        self.instants = sorted(2 * kind + lean for kind in kinds for lean in (0, 1))


def _packed(amounts: Sequence[int], places: Sequence[int]) -> int:
    return sum(amount << place for amount, place in zip(amounts, places, strict=True))


def hours_of(problem: Problem, mode: Sequence[int]) -> tuple[Window, ...] | None:
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
