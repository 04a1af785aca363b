"""What a search does where there are windows: rules that know the hours, and sessions filled to their last minute.

The steps before each break are drawn anew until no time is lost there, from the first session on and, with time
running backwards, from the last.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from random import Random

from inspect_kit.scheduling.bounds import heads_and_tails, heads_reversed, pools_of
from inspect_kit.scheduling.generation import MaxLagViolated, complete, parallel_schedule, partial_schedule
from inspect_kit.scheduling.network import FOREVER, ProjectNetwork
from inspect_kit.scheduling.problem import Project, Schedule
from inspect_kit.scheduling.reduction import reversed_in_time
from inspect_kit.scheduling.tail_search import TailSteps

LONG, HOUR = 200, 60
BACK, TRIES, LIMIT, ENDS = 40, 18, 250, 16


class SessionPacker:
    """Draws the last steps before each break, keeping those after which the work left can still end the earliest."""

    def __init__(self, network: ProjectNetwork, random: Random, tails: Sequence[int]) -> None:
        self.network, self.random = network, random
        windows = {window for calendar in network.calendars for window in calendar}
        moments = {moment for window in windows for moment in window}
        for start, end in windows:
            if LONG < end - start < FOREVER // 2:
                # In a long session it shows every hour whether time was lost.
                moments.update(range(start + HOUR, end - HOUR // 3, HOUR))
        self.moments = sorted(moment for moment in moments if moment > network.problem.begin)
        self.last = TailSteps(network, pools_of(network.problem), tails)
        self.spent = 0.0
        # The earliest finish that the sessions filled last still allow.
        self.reached = 0

    def filled(self, schedule: Schedule, aim: int, below: int) -> Schedule:
        """The schedule, or a shorter one.

        Session by session, in order, as many random orders are tried as it takes to lose no time. It gives up where so
        much is lost that no finish before `below` is left.
        """
        best, self.reached = schedule, aim
        for moment in self.moments:
            if schedule.makespan <= aim or moment >= schedule.makespan:
                break
            now = self._outlook(schedule.starts, moment)
            if now > aim:
                schedule = self._drawn(schedule, moment, now, aim)
                aim = max(aim, self._outlook(schedule.starts, moment))
                if schedule.makespan < best.makespan:
                    best = schedule
            self.reached = aim
            if aim >= min(below, best.makespan):
                return best
        for _ in range(ENDS):
            if best.makespan <= aim:
                break
            made, spent = self.last.relaid(schedule, aim, self.random)
            self.spent += spent
            if made is not None:
                best = made
        return best

    def _drawn(self, schedule: Schedule, moment: int, outlook: int, aim: int) -> Schedule:
        """The schedule with other steps before that moment, if they leave a better outlook."""
        draw = self.random.random
        chosen: Schedule | None = None
        earlier = sorted(start for start in schedule.starts if start < moment)
        for number in range(TRIES):
            if outlook <= aim or not earlier:
                break
            back = 3 + int((number + draw()) / TRIES * BACK)
            since = earlier[max(0, len(earlier) - back)]
            goal = aim if number % 3 else outlook - 1
            partial, spent = self.last.filled(schedule, since, moment, goal, LIMIT, self.random)
            self.spent += spent
            if partial is not None:
                chosen, outlook = partial, self._outlook(partial.starts, moment)
        if chosen is None:
            return schedule
        self.spent += 1
        try:
            ranks = [float(start) for start in schedule.starts]
            made = complete(partial_schedule(self.network, chosen, moment), ranks)
        except MaxLagViolated:
            return schedule
        return made or schedule

    def _outlook(self, starts: Sequence[int], moment: int) -> int:
        """The earliest finish that the hours after a moment allow for the work that is left then."""
        last, durations = self.last, self.network.durations
        waiting = {index for index, start in enumerate(starts) if start >= moment}
        going = [
            (index, start + durations[index] - moment)
            for index, start in enumerate(starts)
            if start < moment < start + durations[index]
        ]
        best = moment
        for (demand, _, stock), work, by_tail in zip(last.pools, last.work, last.by_tail, strict=True):
            if stock is None:
                continue
            amount = stock.until(moment) + sum([demand[index] * rest for index, rest in going])
            # What has a longer tail must end sooner; what goes on is taken for the first to end.
            for index in reversed(by_tail):
                if index in waiting:
                    tail = last.tails[index]
                    amount += work[index]
                    if stock.until(best - tail) < amount:
                        best = stock.when(amount) + tail
        return best


# So many minutes after the bound a plan in sessions is prepared to end.
SOMEWHAT_LATER = (0, 30, 90)
URGENT = 1 << 20


class WindowSearch:
    """The hours of one problem, seen forwards, and backwards from any finish; `spent` is the effort in schedules."""

    def __init__(self, network: ProjectNetwork, random: Random) -> None:
        self.problem, self.network, self.random = network.problem, network, random
        self.fillers: dict[tuple[int, bool], SessionPacker] = {}
        self.backwards: dict[int, list[int]] = {}
        self.spent = 0.0

    def rules(self, bound: int) -> Iterator[list[float]]:
        """Rankings by the latest start by which the bound, or a little more, can still be kept."""
        for later in SOMEWHAT_LATER:
            yield self._latest(bound + later)

    def led_up_to(self, bound: int) -> Iterator[list[float]]:
        """Rankings with all that comes before a late step for which most people are needed, before everything else.

        Where hours with few people come in between, such a step may be early or late, but not there.
        """
        latest = self._latest(bound)
        above, people, most = self.network.predecessors, self.problem.interchangeable, self.problem.capacities
        for index, activity in enumerate(self.problem.activities):
            need = activity.modes[0]
            whole = any(2 * amount > most[r] > 1 for r, amount in enumerate(need)) or sum(need[:people]) > 1
            if whole and activity.duration and 3 * above[index].bit_count() > self.network.size:
                early = above[index] | 1 << index
                yield [rank - URGENT * (early >> other & 1) for other, rank in enumerate(latest)]

    def filled(self, schedule: Schedule, aim: int, below: int) -> Schedule:
        """The schedule, or a shorter one, with its sessions filled from the first one on, for a finish by `aim`.

        It gives up where no finish before `below` is left.
        """
        if (aim, False) not in self.fillers:
            self.fillers[aim, False] = SessionPacker(self.network, self.random, self._heads_back(aim))
        return self._by(self.fillers[aim, False], schedule, aim, below)

    def filled_back(self, schedule: Schedule, aim: int, below: int) -> tuple[Schedule | None, Sequence[int], int]:
        """The same from the last session on: the schedule, if there is one that ends by `aim`.

        Besides it the starts that it comes to, which may be before the beginning, and the next finish to aim at.
        """
        begin, lengths = self.problem.begin, self.network.durations
        if (aim, True) not in self.fillers:
            back = ProjectNetwork(_open_end(reversed_in_time(self.problem, aim), aim))
            self.fillers[aim, True] = SessionPacker(back, self.random, [head - begin for head in self._heads])
        filler = self.fillers[aim, True]
        self.spent += 1
        made = parallel_schedule(
            filler.network, [-s - length for s, length in zip(schedule.starts, lengths, strict=True)]
        )
        if made is None:
            return None, schedule.starts, FOREVER
        made = self._by(filler, made, aim - begin, below - begin)
        starts = tuple(aim - start - length for start, length in zip(made.starts, lengths, strict=True))
        if made.makespan <= aim - begin and all(map(int.__ge__, starts, self.network.releases)):
            finish = max(map(int.__add__, starts, lengths))
            return Schedule(starts=starts, modes=made.modes, makespan=finish), starts, FOREVER
        return None, starts, aim + max(1, filler.reached - aim + begin)

    def _by(self, filler: SessionPacker, schedule: Schedule, aim: int, below: int) -> Schedule:
        made = filler.filled(schedule, aim, below)
        self.spent += filler.spent
        filler.spent = 0.0
        return made

    @cached_property
    def _heads(self) -> list[int]:
        return heads_and_tails(self.network, pools_of(self.problem))[0]

    def _heads_back(self, finish: int) -> list[int]:
        if finish not in self.backwards:
            self.backwards[finish] = heads_reversed(self.problem, finish)
        return self.backwards[finish]

    def _latest(self, finish: int) -> list[float]:
        """The latest start of every activity by which a finish can still be kept, counted from that finish."""
        heads = self._heads_back(finish)
        return [-float(head + length) for head, length in zip(heads, self.network.durations, strict=True)]


def _open_end(problem: Project, after: int) -> Project:
    """The same problem with everything at hand after its last window, so that a schedule that is too long has room."""
    later = ((after + 1, FOREVER),)
    windows = tuple(each if each is None else each + later for each in problem.windows)
    return replace(problem, windows=windows, shifts=problem.shifts and problem.shifts + later)
