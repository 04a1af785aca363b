"""Sessions filled to their last minute: the steps before each break are drawn anew until no time is lost there."""

from collections.abc import Sequence
from random import Random

from inspect_kit.scheduling.bounds import pools_of
from inspect_kit.scheduling.last import Last
from inspect_kit.scheduling.network import FOREVER, Network
from inspect_kit.scheduling.parallel import moment_of, walk
from inspect_kit.scheduling.problem import Schedule
from inspect_kit.scheduling.tight import Broken

LONG, HOUR = 200, 60
BACK, TRIES, LIMIT, ENDS = 40, 18, 250, 16


class Filler:
    """Draws the last steps before each break, keeping those after which the work left can still end the earliest."""

    def __init__(self, network: Network, random: Random, tails: Sequence[int]) -> None:
        self.network, self.random = network, random
        windows = {window for calendar in network.calendars for window in calendar}
        moments = {moment for window in windows for moment in window}
        for start, end in windows:
            if LONG < end - start < FOREVER // 2:
                # In a long session it shows every hour whether time was lost.
                moments.update(range(start + HOUR, end - HOUR // 3, HOUR))
        self.moments = sorted(moment for moment in moments if moment > network.problem.begin)
        self.last = Last(network, pools_of(network.problem), tails)
        self.spent = 0.0
        # The earliest finish that the sessions filled last still allow.
        self.reached = 0

    def filled(self, schedule: Schedule, aim: int, below: int) -> Schedule:
        """The schedule, or a shorter one, with its sessions filled in turn as well as the draws allow.

        It gives up where so much time is lost that no finish before `below` is left.
        """
        best, self.reached = schedule, aim
        for moment in self.moments:
            if schedule.finish <= aim or moment >= schedule.finish:
                break
            now = self._outlook(schedule.starts, moment)
            if now > aim:
                schedule = self._drawn(schedule, moment, now, aim)
                aim = max(aim, self._outlook(schedule.starts, moment))
                if schedule.finish < best.finish:
                    best = schedule
            self.reached = aim
            if aim >= min(below, best.finish):
                return best
        for _ in range(ENDS):
            if best.finish <= aim:
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
            made = walk(moment_of(self.network, chosen, moment), ranks)
        except Broken:
            return schedule
        return made or schedule

    def _outlook(self, starts: Sequence[int], moment: int) -> int:
        """The earliest finish that the hours after a moment allow for the work that is left then."""
        last, minutes = self.last, self.network.minutes
        waiting = {index for index, start in enumerate(starts) if start >= moment}
        going = [
            (index, start + minutes[index] - moment)
            for index, start in enumerate(starts)
            if start < moment < start + minutes[index]
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
