"""The plan on the table: who is done when, which set-ups are thereby open, what one more opening would cost."""

import math
from collections.abc import Iterable, Sequence
from operator import add

from inspect_kit.replenishment.shares import Shares

Chains = Sequence[Sequence[int]]
Sheet = tuple[list[list[float]], list[list[float]]]
State = tuple[list[list[int]], list[bool], list[int], list[list[float]], list[list[int]], float]


class Board:
    """A plan that changes item by item; what every slot would cost every item follows along.

    `cost` is the whole cost of the plan. An item is settled while nothing has changed that could make it choose
    otherwise than it chose last: nothing was opened beside it, and nobody left it alone with a set-up.
    """

    def __init__(self, shared: Shares) -> None:
        self.shared = shared
        slots = shared.problem.slots
        self.chains: list[list[int]] = [[] for _ in shared.chains]
        self.away: set[int] = set(range(len(shared.chains)))
        self.counts = [[0] * slots for _ in shared.groups]
        self.costs: list[list[float]] = [list(group.costs) for group in shared.groups]
        self.users = [group.users for group in shared.groups]
        self.present = [0] * slots
        self.cost = 0.0
        self.groups = [[number for number, _ in member] for member in shared.member]
        self.linked = [(*lead, *follow) for lead, follow in zip(shared.leaders, shared.followers, strict=True)]
        self.settled = [False] * len(shared.chains)
        # What each slot would cost each item: its own costs, and those of its set-ups that are not open there.
        self.asked: list[list[float]] = []
        self.usual = self.sheet(self.costs)
        self.reprice(self.usual)

    def take_off(self, item: int) -> None:
        """Take one item out of the plan."""
        chain, self.chains[item] = self.chains[item], []
        asked, settled = self.asked, self.settled
        for number in self.groups[item]:
            counts, costs = self.counts[number], self.costs[number]
            for slot in chain:
                left = counts[slot] = counts[slot] - 1
                if not left:
                    cost = costs[slot]
                    self.cost -= cost
                    for user in self.users[number]:
                        asked[user][slot] += cost
                elif left == 1:
                    for user in self.users[number]:
                        if slot in self.chains[user]:
                            settled[user] = False
        self._weigh(item, chain, -1)
        self.away.add(item)

    def put_on(self, item: int, chain: Iterable[int]) -> None:
        """Put an item that is out of the plan in at these slots."""
        chain = self.chains[item] = list(chain)
        self.away.discard(item)
        asked, settled = self.asked, self.settled
        for number in self.groups[item]:
            counts, costs = self.counts[number], self.costs[number]
            for slot in chain:
                users = counts[slot] = counts[slot] + 1
                if users == 1:
                    cost = costs[slot]
                    self.cost += cost
                    for user in self.users[number]:
                        asked[user][slot] -= cost
                        settled[user] = False
        self._weigh(item, chain, 1)

    def _weigh(self, item: int, chain: Sequence[int], sign: int) -> None:
        """What an item costs by itself comes or goes; it must choose again, and so must those it is tied to."""
        alone = self.shared.alone[item]
        own = sum([alone[slot] for slot in chain])
        for slot in chain:
            self.present[slot] += sign
        if item not in self.away or sign > 0:
            self.cost += sign * (own + self.shared.chains[item].waste(chain))
        self.settled[item] = False
        for other in self.linked[item]:
            self.settled[other] = False

    def change(self, item: int, chain: Iterable[int]) -> None:
        """Let an item be done at these slots instead."""
        self.take_off(item)
        self.put_on(item, chain)

    def clear(self, sheet: Sheet) -> None:
        """Take everything out of the plan, and let these costs stand."""
        slots = self.shared.problem.slots
        self.chains = [[] for _ in self.chains]
        self.away.update(range(len(self.chains)))
        self.counts = [[0] * slots for _ in self.counts]
        self.present = [0] * slots
        self.reprice(sheet)

    def visits(self) -> list[int]:
        """The slots at which anything is done, rising."""
        return [slot for slot, users in enumerate(self.present) if users]

    def unsettle(self) -> None:
        """Let every item choose again."""
        self.settled = [False] * len(self.chains)

    def sheet(self, costs: Sequence[Sequence[float]]) -> Sheet:
        """These set-up costs, and for each item the cost of its visits with all its set-ups paid; for `reprice`."""
        bare = [list(alone) for alone in self.shared.alone]
        for users, row in zip(self.users, costs, strict=True):
            for user in users:
                bare[user] = list(map(add, bare[user], row))
        return [list(row) for row in costs], bare

    def reprice(self, sheet: Sheet) -> None:
        """Let other costs stand for the set-ups from now on."""
        self.costs, bare = sheet
        self.asked = [row[:] for row in bare]
        for users, counts, costs in zip(self.users, self.counts, self.costs, strict=True):
            for slot, count in enumerate(counts):
                if count:
                    for user in users:
                        self.asked[user][slot] -= costs[slot]
        self.unsettle()
        self.cost = self.total()

    def prices(self, item: int) -> list[float]:
        """What each slot would cost an item if it were out of the plan."""
        prices = list(self.asked[item])
        for slot in self.chains[item]:
            for number in self.groups[item]:
                if self.counts[number][slot] == 1:
                    prices[slot] += self.costs[number][slot]
        return prices

    def best(self, item: int, prices: list[float], among: Sequence[int] | None = None) -> tuple[float, list[int]]:
        """The cheapest chain of an item that keeps to the others: with its leaders, and only where followers are.

        `among` leaves it none but these slots (rising).
        """
        for follower in self.shared.followers[item]:
            if follower in self.away:
                continue
            there = set(self.chains[follower])
            prices = [price if slot in there else math.inf for slot, price in enumerate(prices)]
        return self.shared.chains[item].cheapest(prices, sorted(self.stops(item)), among)

    def stops(self, item: int) -> set[int]:
        """The slots at which it is done with those that it follows."""
        return {slot for leader in self.shared.leaders[item] for slot in self.chains[leader]}

    def total(self) -> float:
        """The whole cost of the plan, added up anew."""
        total = 0.0
        for item, chain in enumerate(self.chains):
            if item not in self.away:
                alone = self.shared.alone[item]
                total += self.shared.chains[item].waste(chain) + sum(alone[slot] for slot in chain)
        for costs, counts in zip(self.costs, self.counts, strict=True):
            total += sum(cost for cost, count in zip(costs, counts, strict=True) if count)
        return total

    def state(self) -> State:
        """All that is needed to come back to this plan: much quicker than laying it again."""
        rows = [row[:] for row in self.asked], [row[:] for row in self.counts]
        return list(self.chains), list(self.settled), list(self.present), *rows, self.cost

    def restore(self, state: State) -> None:
        """Come back to a plan of which the prices still stand, with every item in it."""
        chains, settled, present, asked, counts, self.cost = state
        self.chains, self.settled, self.present = list(chains), list(settled), list(present)
        self.asked, self.counts = [row[:] for row in asked], [row[:] for row in counts]
        self.away.clear()

    def load(self, chains: Chains) -> None:
        """Lay a whole plan on the table, at the usual costs."""
        for item, chain in enumerate(chains):
            if self.chains[item] != chain or item in self.away:
                self.change(item, chain)
        self.reprice(self.usual)
