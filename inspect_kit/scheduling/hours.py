"""What a search does where there are windows: rules that know the hours, and sessions filled from both ends of time."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from random import Random

from inspect_kit.scheduling.bounds import heads_and_tails, heads_back, pools_of
from inspect_kit.scheduling.fill import Filler
from inspect_kit.scheduling.network import FOREVER, Network, mirrored
from inspect_kit.scheduling.parallel import parallel
from inspect_kit.scheduling.problem import Problem, Schedule

# So many minutes after the bound a plan in sessions is prepared to end.
SOMEWHAT_LATER = (0, 30, 90)
URGENT = 1 << 20


class Hours:
    """The hours of one problem, seen forwards, and backwards from any finish; `spent` is the effort in schedules."""

    def __init__(self, network: Network, random: Random) -> None:
        self.problem, self.network, self.random = network.problem, network, random
        self.fillers: dict[tuple[int, bool], Filler] = {}
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
        above, people, most = self.network.above, self.problem.people, self.problem.capacities
        for index, activity in enumerate(self.problem.activities):
            need = activity.modes[0]
            whole = any(2 * amount > most[r] > 1 for r, amount in enumerate(need)) or sum(need[:people]) > 1
            if whole and activity.minutes and 3 * above[index].bit_count() > self.network.size:
                early = above[index] | 1 << index
                yield [rank - URGENT * (early >> other & 1) for other, rank in enumerate(latest)]

    def filled(self, schedule: Schedule, aim: int, below: int) -> Schedule:
        """The schedule, or a shorter one, with its sessions filled from the first one on, for a finish by `aim`.

        It gives up where no finish before `below` is left.
        """
        if (aim, False) not in self.fillers:
            self.fillers[aim, False] = Filler(self.network, self.random, self._heads_back(aim))
        return self._by(self.fillers[aim, False], schedule, aim, below)

    def filled_back(self, schedule: Schedule, aim: int, below: int) -> tuple[Schedule | None, Sequence[int], int]:
        """The same from the last session on: the schedule, if there is one that ends by `aim`.

        Besides it the starts that it comes to, which may be before the beginning, and the next finish to aim at.
        """
        begin, lengths = self.problem.begin, self.network.minutes
        if (aim, True) not in self.fillers:
            back = Network(_open_end(mirrored(self.problem, aim), aim))
            self.fillers[aim, True] = Filler(back, self.random, [head - begin for head in self._heads])
        filler = self.fillers[aim, True]
        self.spent += 1
        made = parallel(filler.network, [-s - length for s, length in zip(schedule.starts, lengths, strict=True)])
        if made is None:
            return None, schedule.starts, FOREVER
        made = self._by(filler, made, aim - begin, below - begin)
        starts = tuple(aim - start - length for start, length in zip(made.starts, lengths, strict=True))
        if made.finish <= aim - begin and all(map(int.__ge__, starts, self.network.release)):
            finish = max(map(int.__add__, starts, lengths))
            return Schedule(starts=starts, modes=made.modes, finish=finish), starts, FOREVER
        return None, starts, aim + max(1, filler.reached - aim + begin)

    def _by(self, filler: Filler, schedule: Schedule, aim: int, below: int) -> Schedule:
        made = filler.filled(schedule, aim, below)
        self.spent += filler.spent
        filler.spent = 0.0
        return made

    @cached_property
    def _heads(self) -> list[int]:
        return heads_and_tails(self.network, pools_of(self.problem))[0]

    def _heads_back(self, finish: int) -> list[int]:
        if finish not in self.backwards:
            self.backwards[finish] = heads_back(self.problem, finish)
        return self.backwards[finish]

    def _latest(self, finish: int) -> list[float]:
        """The latest start of every activity by which a finish can still be kept, counted from that finish."""
        heads = self._heads_back(finish)
        return [-float(head + length) for head, length in zip(heads, self.network.minutes, strict=True)]


def _open_end(problem: Problem, after: int) -> Problem:
    """The same problem with everything at hand after its last window, so that a schedule that is too long has room."""
    later = ((after + 1, FOREVER),)
    windows = tuple(each if each is None else each + later for each in problem.windows)
    return replace(problem, windows=windows, shifts=problem.shifts and problem.shifts + later)
