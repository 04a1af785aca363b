"""Steps of different lines change places: stretches of the same minutes and needs, wherever they are.

Together with the changes inside the runs of each line this is all of the search for a better order.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from inspect_kit.noun import dataclass
from inspect_kit.scheduling.network import ProjectNetwork

LENGTHS = (1, 2, 3, 4, 6, 9, 13)
TRIES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Objective:
    """What an order is worth: the least sum of `values` x end of each activity, plus `price` per change of `zones`."""

    values: Sequence[int]
    zones: Sequence[str]
    price: int


class Roster:
    """The activities with a duration on a line for each person: their starts, teams (who does them) and kinds.

    A kind is (what is needed besides people, how it may be staffed). `lags` are (before, after, least). `holds` says of
    starts whether everything else that is asked is kept.
    """

    def __init__(
        self,
        durations: Sequence[int],
        starts: Sequence[int],
        teams: Mapping[int, tuple[str, ...]],
        kinds: Mapping[int, tuple[object, object]],
        lags: Sequence[tuple[int, int, int]],
        ends: Objective,
        holds: Callable[[Sequence[int]], bool],
    ) -> None:
        self.durations, self.starts, self.ends, self.holds = durations, list(starts), ends, holds
        self.teams, self.kinds = dict(teams), kinds
        self.before: list[list[tuple[int, int]]] = [[] for _ in durations]
        self.after: list[list[tuple[int, int]]] = [[] for _ in durations]
        for before, after, least in lags:
            self.before[after].append((before, least))
            self.after[before].append((after, least))
        self.runs: list[list[int]] = []
        self.run, self.place = [-1] * len(durations), [-1] * len(durations)
        self.crew: list[tuple[str, ...]] = []
        self.neighbours: list[list[tuple[int, int]]] = []
        self._cut()
        self.steps = 0

    def _cut(self) -> None:
        """Cut the day of every team into runs, and link those that follow each other on a person's line."""
        last: dict[str, int] = {}
        for index in sorted(self.teams, key=lambda index: (self.starts[index], index)):
            team = self.teams[index]
            runs = {last.get(name, -1) for name in team}
            run = runs.pop() if len(runs) == 1 else -1
            if run >= 0 and self._follows(self.runs[run][-1], index):
                self.runs[run].append(index)
            else:
                self.runs.append([index])
                self.crew.append(team)
                self.neighbours.append([])
                for name in team:
                    # A pair of runs for every person who goes from one to the other.
                    if name in last:
                        self.neighbours[last[name]].append((last[name], len(self.runs) - 1))
                        self.neighbours[-1].append((last[name], len(self.runs) - 1))
                    last[name] = len(self.runs) - 1
                run = len(self.runs) - 1
            self.run[index], self.place[index] = run, len(self.runs[run]) - 1

    def _follows(self, first: int, second: int) -> bool:
        return (
            self.starts[first] + self.durations[first] == self.starts[second]
            and sorted(self.teams[first]) == sorted(self.teams[second])
            and self.kinds[first][0] == self.kinds[second][0]
        )

    def changes(self) -> int:
        """Changes of zone on all lines."""
        return self.changes_near(self.runs)

    def changes_near(self, stretches: Iterable[Sequence[int]]) -> int:
        """Changes of zone inside these stretches and where they meet what is next to them, each counted once."""
        inner: set[tuple[int, int]] = set()
        outer: set[tuple[int, int]] = set()
        for stretch in stretches:
            run, first = self.run[stretch[0]], self.place[stretch[0]]
            last = first + len(stretch) - 1
            end = len(self.runs[run]) - 1
            inner.update((run, place) for place in range(max(0, first - 1), min(last, end - 1) + 1))
            if first == 0:
                outer.update(pair for pair in self.neighbours[run] if pair[1] == run)
            if last == end:
                outer.update(pair for pair in self.neighbours[run] if pair[0] == run)
        total = 0
        for run, place in inner:
            line = self.runs[run]
            if self._changed(line[place], line[place + 1]):
                total += len(self.crew[run])
        for left, right in outer:
            if self._changed(self.runs[left][-1], self.runs[right][0]):
                # As many people go from one run to the other as there are pairs of them.
                total += self.neighbours[left].count((left, right))
        return total

    def _changed(self, one: int, other: int) -> bool:
        return self.ends.zones[one] != self.ends.zones[other]

    def within(self, run: int, budget: int, whole: bool) -> bool:
        """Let stretches of a run change places as long as that gains; whether anything was gained.

        With `whole` only stretches of one zone move; without, shorter and longer ones too.
        """
        gained = False
        line = self.runs[run]
        for first in range(len(line)):
            for last in self._stretches(run, first, whole):
                for scan in (self._earlier, self._later):
                    if self.steps >= budget:
                        return gained
                    choices = sorted(scan(run, first, last))
                    for _, cuts in choices[:TRIES]:
                        if self._exchange(run, *cuts):
                            gained = True
                            break
        return gained

    def _stretches(self, run: int, first: int, whole: bool) -> Iterator[int]:
        """Where a stretch from `first` may end: where the zone changes, and unless `whole` after some steps."""
        line, zones = self.runs[run], self.ends.zones
        if whole and first and zones[line[first - 1]] == zones[line[first]]:
            return
        end = first
        while end + 1 < len(line) and zones[line[end + 1]] == zones[line[first]]:
            end += 1
        for last in [end] if whole else sorted({end, *(first + length - 1 for length in LENGTHS)}):
            if last < len(line):
                yield last

    def _earlier(self, run: int, first: int, last: int) -> Iterator[tuple[int, tuple[int, int, int]]]:
        """What is gained when this stretch goes before what stands ahead of it, for every place where it may go."""
        line, starts, durations, values = self.runs[run], self.starts, self.durations, self.ends.values
        moved = line[first : last + 1]
        earliest, low = 0, 0
        for other in moved:
            shift = starts[other] - starts[moved[0]]
            for before, least in self.before[other]:
                if self.run[before] != run or self.place[before] < first:
                    earliest = max(earliest, starts[before] + durations[before] + least - shift)
                    if self.run[before] == run:
                        low = max(low, self.place[before] + 1)
        length, value = sum([durations[i] for i in moved]), sum([values[i] for i in moved])
        passed = passed_value = 0
        for place in range(first - 1, low - 1, -1):
            other = line[place]
            if starts[other] < earliest or self._held(other, length, run):
                break
            self.steps += 1
            passed += durations[other]
            passed_value += values[other]
            delta = passed_value * length - value * passed + self._walked(run, place, first, last)
            if delta < 0:
                yield delta, (place, first, last)

    def _later(self, run: int, first: int, last: int) -> Iterator[tuple[int, tuple[int, int, int]]]:
        """What is gained when this stretch goes behind what follows it."""
        line, starts, durations, values = self.runs[run], self.starts, self.durations, self.ends.values
        moved = line[first : last + 1]
        slack, high = 1 << 60, len(line)
        for other in moved:
            for after, least in self.after[other]:
                if self.run[after] != run or self.place[after] > last:
                    if self.run[after] == run:
                        high = min(high, self.place[after])
                    if self.run[after] != run or least:
                        slack = min(slack, starts[after] - least - starts[other] - durations[other])
        length, value = sum([durations[i] for i in moved]), sum([values[i] for i in moved])
        passed = passed_value = 0
        for place in range(last + 1, high):
            other = line[place]
            passed += durations[other]
            if passed > slack or any(
                starts[other] - length < starts[before] + durations[before] + least
                for before, least in self.before[other]
                if self.run[before] != run or (least and self.place[before] < first)
            ):
                break
            self.steps += 1
            passed_value += values[other]
            delta = value * passed - passed_value * length + self._walked(run, first, last + 1, place)
            if delta < 0:
                yield delta, (first, last + 1, place)

    def _held(self, index: int, later: int, run: int) -> bool:
        """Whether something on another line (or a lag) keeps an activity from being so much later."""
        end = self.starts[index] + self.durations[index] + later
        for after, least in self.after[index]:
            if (self.run[after] != run or least) and end + least > self.starts[after]:
                return True
        return False

    def _walked(self, run: int, one: int, two: int, last: int) -> int:
        """The price of more changes of zone when [one, two) and [two, last] change places."""
        if not self.ends.price:
            return 0
        line, zones = self.runs[run], self.ends.zones
        front, ahead = zones[line[one]], zones[line[two - 1]]
        behind, tail = zones[line[two]], zones[line[last]]
        more = (tail != front) - (ahead != behind)
        people = len(self.crew[run])
        total = more * people
        if one:
            total += people * ((zones[line[one - 1]] != behind) - (zones[line[one - 1]] != front))
        if last + 1 < len(line):
            total += people * ((zones[line[last + 1]] != ahead) - (zones[line[last + 1]] != tail))
        if one == 0 or last + 1 == len(line):
            for left, right in self.neighbours[run]:
                if right == run and one == 0:
                    zone = zones[self.runs[left][-1]]
                    total += (zone != behind) - (zone != front)
                if left == run and last + 1 == len(line):
                    zone = zones[self.runs[right][0]]
                    total += (zone != ahead) - (zone != tail)
        return total * self.ends.price

    def _exchange(self, run: int, one: int, two: int, last: int) -> bool:
        """Let [one, two) and [two, last] change places; put back what the rest does not allow."""
        line = self.runs[run]
        old = line[one : last + 1]
        self._set(run, one, old[two - one :] + old[: two - one])
        if self.holds(self.starts):
            return True
        self._set(run, one, old)
        return False

    def _set(self, run: int, place: int, activities: Sequence[int]) -> None:
        line = self.runs[run]
        clock = self.starts[line[place]]
        line[place : place + len(activities)] = activities
        for offset, index in enumerate(activities):
            self.starts[index], self.place[index] = clock, place + offset
            clock += self.durations[index]


STEPS = 4


def improve(roster: Roster, budget: int) -> None:
    """Change places as long as that gains, and at most about `budget` changes are looked at."""
    for whole in (True, False):
        gained = True
        while gained and roster.steps < budget:
            gained = False
            for run in range(len(roster.runs)):
                if len(roster.runs[run]) > 1:
                    gained = roster.within(run, budget, whole) or gained
            gained = _across(roster, budget, 1 if whole else STEPS) or gained


def _across(roster: Roster, budget: int, most: int) -> bool:
    """Let stretches of up to `most` steps change places with others of the same minutes, kind and number of people."""
    gained = False
    alike: dict[object, list[tuple[int, ...]]] = {}
    for key, stretch in _stretches(roster, most):
        alike.setdefault(key, []).append(stretch)
    for group in alike.values():
        for place, one in enumerate(group):
            for other in group[place + 1 :]:
                if roster.steps >= budget:
                    return gained
                roster.steps += 1
                # A stretch that was taken apart by an earlier change is no stretch any more.
                if _whole(roster, one) and _whole(roster, other):
                    first, second = sorted((one, other), key=lambda stretch: roster.starts[stretch[0]])
                    gained = _swap(roster, first, second) or gained
    return gained


def _stretches(roster: Roster, most: int) -> Iterator[tuple[object, tuple[int, ...]]]:
    for run, line in enumerate(roster.runs):
        for first in range(len(line)):
            kind, length = roster.kinds[line[first]], 0
            for last in range(first, min(len(line), first + most)):
                if roster.kinds[line[last]] != kind:
                    break
                length += roster.durations[line[last]]
                yield (length, kind, len(roster.crew[run])), tuple(line[first : last + 1])


def _whole(roster: Roster, stretch: Sequence[int]) -> bool:
    run, place = roster.run[stretch[0]], roster.place[stretch[0]]
    return len(stretch) == 1 or tuple(roster.runs[run][place : place + len(stretch)]) == stretch


def _swap(roster: Roster, first: Sequence[int], second: Sequence[int]) -> bool:
    """Let two stretches change places if that gains and everything still holds."""
    starts, values, price = roster.starts, roster.ends.values, roster.ends.price
    gap = starts[second[0]] - starts[first[0]]
    if len(first) + len(second) == 2:
        delta = gap * (values[first[0]] - values[second[0]])
    elif set(first) & set(second):
        return False
    else:
        delta = gap * (sum([values[index] for index in first]) - sum([values[index] for index in second]))
    if delta > 4 * price * len(roster.teams[first[0]]) or (not delta and not price):
        return False
    length = sum([roster.durations[index] for index in first])
    if roster.run[first[0]] == roster.run[second[0]] and gap < length:
        return False
    if not _later(roster, first, gap, second) or not _earlier(roster, second, gap, first):
        return False
    old = roster.changes_near((first, second)) if price else 0
    _trade(roster, first, second)
    new = roster.changes_near((first, second)) if price else 0
    if delta + price * (new - old) < 0 and roster.holds(starts):
        return True
    _trade(roster, second, first)
    return False


def _later(roster: Roster, stretch: Sequence[int], gap: int, other: Sequence[int]) -> bool:
    """Whether all that follows a stretch lets it be so much later (what is in `other` moves as well: it must not)."""
    for index in stretch:
        end = roster.starts[index] + roster.durations[index] + gap
        for after, least in roster.after[index]:
            if after not in stretch and (after in other or end + least > roster.starts[after]):
                return False
    return True


def _earlier(roster: Roster, stretch: Sequence[int], gap: int, other: Sequence[int]) -> bool:
    for index in stretch:
        start = roster.starts[index] - gap
        for before, least in roster.before[index]:
            end = roster.starts[before] + roster.durations[before]
            if before not in stretch and (before in other or end + least > start):
                return False
    return True


def _trade(roster: Roster, one: Sequence[int], other: Sequence[int]) -> None:
    runs = roster.run[one[0]], roster.run[other[0]]
    places = roster.place[one[0]], roster.place[other[0]]
    starts = roster.starts[one[0]], roster.starts[other[0]]
    teams = roster.teams[one[0]], roster.teams[other[0]]
    jobs = sorted(((runs[0], places[0], one, 1), (runs[1], places[1], other, 0)), key=lambda job: -job[1])
    for run, place, old, new in jobs:
        roster.runs[run][place : place + len(old)] = (one, other)[new]
    for stretch, side in ((one, 1), (other, 0)):
        clock = starts[side]
        for index in stretch:
            roster.starts[index], roster.teams[index], roster.run[index] = clock, teams[side], runs[side]
            clock += roster.durations[index]
    for run, place, _, _ in jobs:
        line = roster.runs[run]
        # Between stretches of as many steps nothing else has moved.
        last = place + len(one) if len(one) == len(other) else len(line)
        for number in range(place, last):
            roster.place[line[number]] = number


def feasibility_test(network: ProjectNetwork) -> Callable[[Sequence[int]], bool]:
    """A test of starts where everybody keeps their steps; always true where nothing of the kind is asked."""
    problem, durations = network.problem, network.durations
    latest = [(lag.before, lag.after, lag.max_lag) for lag in problem.precedences if lag.max_lag is not None]
    held = [number for number in range(len(problem.capacities)) if any(span.amounts[number] for span in problem.holds)]
    users = {
        number: [
            (index, activity.modes[0][number])
            for index, activity in enumerate(problem.activities)
            if activity.duration and activity.modes[0][number]
        ]
        for number in held
    }
    tonight = [span for span in problem.holds if not span.over_breaks] if problem.shifts is not None else []
    shifts = problem.shifts or ()

    def gear(number: int, starts: Sequence[int]) -> bool:
        events = [(starts[index] + durations[index], -amount) for index, amount in users[number]]
        events += [(starts[index], amount) for index, amount in users[number]]
        for span in problem.holds:
            if span.amounts[number]:
                events.append((starts[span.first], span.amounts[number]))
                events.append((starts[span.last] + durations[span.last], -span.amounts[number]))
        level = 0
        for _, amount in sorted(events):
            level += amount
            if level > problem.capacities[number]:
                return False
        return True

    def keeps(starts: Sequence[int]) -> bool:
        for before, after, most in latest:
            if starts[after] - starts[before] - durations[before] > most:
                return False
        for apart in problem.disjunctions:
            span = problem.holds[apart.hold]
            start, opened = starts[apart.activity], starts[span.first]
            if start < starts[span.last] + durations[span.last] and opened < start + durations[apart.activity]:
                return False
        for span in tonight:
            opened, closed = starts[span.first], starts[span.last] + durations[span.last]
            if not any(start <= opened and closed <= end for start, end in shifts):
                return False
        return all(gear(number, starts) for number in held)

    return keeps
