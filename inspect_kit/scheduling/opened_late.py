"""What only opens something is done in the session of its first use, where that makes the schedule no longer.

Everything is moved as late as it goes with the same makespan (Tormos & Lova 2001, as in the search); what opens
something is then kept in the session to which that brought it, and the rest is moved early again. What still stands
open over a break is looked at one by one: opened later, or used sooner. Schedules are made by the serial scheme, which
never lets an activity start later than its order and its release ask for.
"""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate
from random import Random

from inspect_kit.noun import dataclass
from inspect_kit.scheduling.generation import serial_schedule
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Project, Schedule, Window
from inspect_kit.scheduling.reduction import reversed_in_time, with_implied_precedence

# The effort in schedules; small problems are quick and get more.
LEAST, EFFORT = 300, 20_000
# Changes in one shake, and how many minutes an activity may wander in it.
SHAKES, WIDTHS = 20, (60, 240, 1000, 4000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """An activity that only makes others possible, its users: one of them at least."""

    first: int
    users: tuple[int, ...]

    def used(self, starts: Sequence[int]) -> int:
        """When it is first used."""
        return min([starts[user] for user in self.users])


class Breaks:
    """The hours in which anything is done, and the minutes in between."""

    def __init__(self, shifts: Sequence[Window]) -> None:
        self.shifts = shifts
        self.ends = [end for _, end in shifts]
        starts = [start for start, _ in shifts]
        gaps = [start - end for start, end in zip(starts, [0, *self.ends], strict=False)]
        self.passed = [0, *accumulate(gaps)]

    def until(self, minute: int) -> int:
        """The minutes of breaks before a minute."""
        place = bisect_right(self.shifts, (minute, FOREVER))
        after = minute - self.ends[place - 1] if place else minute
        return self.passed[place] + max(0, after)

    def opened(self, minute: int) -> int:
        """When the hours began that a minute lies in."""
        return self.shifts[max(0, bisect_right(self.shifts, (minute, FOREVER)) - 1)][0]


def open_over_breaks(
    openings: Sequence[Opening], breaks: Breaks, starts: Sequence[int], durations: Sequence[int]
) -> list[int]:
    """For each opening the minutes of breaks between its end and its first use."""
    return [
        max(0, breaks.until(each.used(starts)) - breaks.until(starts[each.first] + durations[each.first]))
        for each in openings
    ]


def opened_late(problem: Project, schedule: Schedule, openings: Sequence[Opening]) -> Schedule:
    """The schedule, or one that is no longer, in which less stands open over breaks before it is used."""
    tied = with_implied_precedence(problem)
    if not problem.shifts or not openings or tied is None:
        return schedule
    return _Opener(tied, schedule, openings).run()


class _Opener:
    def __init__(self, problem: Project, schedule: Schedule, openings: Sequence[Opening]) -> None:
        assert problem.shifts is not None
        self.problem, self.openings = problem, openings
        self.breaks = Breaks(problem.shifts)
        self.network = ProjectNetwork(problem, gates=False)
        self.plain = self.network.releases
        self.best = schedule
        self.releases: Sequence[int] = self.plain
        self.open = self._open(schedule)
        self.random = Random(1)
        self.tried, self.most = 0, max(LEAST, EFFORT // self.network.size)

    def run(self) -> Schedule:
        if any(self.open):
            self._all_late()
        while any(self.open) and self.tried < self.most:
            if not any(self._one(place) for place in self._worst_first() if self.open[place]):
                self._shake()
        return self.best

    def _open(self, schedule: Schedule) -> list[int]:
        return open_over_breaks(self.openings, self.breaks, schedule.starts, self.network.durations)

    def _worst_first(self) -> list[int]:
        return sorted(range(len(self.open)), key=lambda place: (-self.open[place], place))

    def _try(
        self,
        rank: Sequence[float],
        releases: Sequence[int],
        kept: Sequence[int] | None = None,
        worth: int = 1,
    ) -> bool:
        """Take what the serial scheme makes of these, if it is no longer and less stands open, by `worth` minutes.

        `kept` are the releases from then on, if they are others.
        """
        self.tried += 1
        self.network.releases = list(releases)
        made = serial_schedule(self.network, rank)
        self.network.releases = self.plain
        if made is None or made.makespan > self.best.makespan:
            return False
        now = self._open(made)
        if sum(now) + worth > sum(self.open):
            return False
        self.best, self.releases, self.open = made, kept or releases, now
        return True

    def _all_late(self) -> None:
        """Begin from the schedule in which everything is as late as it goes."""
        durations = self.network.durations
        horizon = max(windows[-1][1] for windows in self.problem.windows if windows)
        back = ProjectNetwork(reversed_in_time(self.problem, horizon), gates=False)
        ranks = [-start - length for start, length in zip(self.best.starts, durations, strict=True)]
        turned = serial_schedule(back, ranks, 0, horizon - self.best.makespan)
        if turned is None:
            return
        late = [horizon - start - length for start, length in zip(turned.starts, durations, strict=True)]
        releases = list(self.plain)
        for each in self.openings:
            releases[each.first] = max(releases[each.first], self.breaks.opened(late[each.first]))
        self._try(late, releases)

    def _one(self, place: int) -> bool:
        """Open one later, at first with all the rest where it is; or use it sooner."""
        first, users = self.openings[place].first, self.openings[place].users
        starts = self.best.starts
        user = min(users, key=lambda user: (starts[user], user))
        rank = [float(start) for start in starts]
        later = list(rank)
        later[first] = starts[user] - 0.5
        for session in self._sessions(first, starts[user]):
            alone, released = list(starts), list(self.releases)
            alone[first] = released[first] = session
            if self._try(later, alone, released) or self._try(later, released):
                return True
        return self._try(self._sooner(first, user, rank), self.releases)

    def _sessions(self, first: int, used: int) -> list[int]:
        """When later hours begin in which it can be opened, the hours of its first use first."""
        begun, last = self.breaks.opened(self.best.starts[first]), self.breaks.opened(used)
        later = [start for start, _ in self.breaks.shifts if begun < start <= last]
        return [max(self.plain[first], start) for start in reversed(later)] or [max(self.plain[first], last)]

    def _shake(self) -> None:
        """Orders near this one, and now and then one that is as good: they lead away from dead ends."""
        draw = self.random.random
        for _ in range(SHAKES):
            rank = [float(start) for start in self.best.starts]
            releases = self.releases if draw() < 0.5 else self.plain
            open_ = [place for place, minutes in enumerate(self.open) if minutes]
            width = WIDTHS[int(draw() * len(WIDTHS))]
            for index in range(len(rank)):
                if draw() < 0.25:
                    rank[index] += (draw() - 0.5) * width
            each = self.openings[open_[int(draw() * len(open_))]]
            if draw() < 0.5:
                releases = list(releases)
                releases[each.first] = self.breaks.opened(each.used(self.best.starts))
            before = sum(self.open)
            if self._try(rank, releases, worth=0) and sum(self.open) < before:
                return

    def _sooner(self, first: int, user: int, rank: list[float]) -> list[float]:
        """`rank` with `user`, and all that must precede it, right after `first`, which opens what it uses."""
        moment = self.best.starts[first]
        for index in range(self.network.size):
            needed = index == user or self.network.predecessors[user] >> index & 1
            if needed and index != first and self.best.starts[index] >= moment:
                rank[index] = moment + 0.5 + (self.best.starts[index] - moment) * 1e-6
        return rank
