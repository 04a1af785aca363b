"""The plan on the table: who is done when, which set-ups are thereby open, what one more opening would cost."""

import math
from collections.abc import Iterable, Sequence
from operator import add

from inspect_kit.visits.core.shares import Shares

Chains = Sequence[Sequence[int]]
State = tuple[list[list[int]], list[int], list[int], int, float]


class Board:
    """A plan that changes item by item; the cost of every shared set-up at every slot follows along.

    `asked[group][slot]` is what one more user would pay there: nothing where it is open already. `cost` is the whole
    cost of the plan. An item is settled while nothing has changed of what it was asked when it last chose.
    """

    def __init__(self, shared: Shares) -> None:
        self.shared = shared
        slots = shared.problem.slots
        self.chains: list[list[int]] = [[] for _ in shared.chains]
        self.away: set[int] = set(range(len(shared.chains)))
        self.counts = [[0] * slots for _ in shared.groups]
        self.asked = [list(group.costs) for group in shared.groups]
        self.costs: list[list[float]] = [list(group.costs) for group in shared.groups]
        self.present = [0] * slots
        self.cost = 0.0
        self.groups = [[number for number, _ in member] for member in shared.member]
        self.linked = [(*lead, *follow) for lead, follow in zip(shared.leaders, shared.followers, strict=True)]
        # After a shake that led nowhere most items are asked the same question again.
        self.known: dict[tuple[int, tuple[int, ...], tuple[float, ...], tuple[int, ...]], tuple[float, list[int]]] = {}
        self.clock = 0
        self.moved = [0] * len(shared.groups)
        self.asked_at = [-1] * len(shared.chains)

    def take_off(self, item: int) -> None:
        """Take one item out of the plan."""
        chain = self.chains[item]
        self.clock += 1
        for number in self.groups[item]:
            counts = self.counts[number]
            for slot in chain:
                left = counts[slot] = counts[slot] - 1
                if left <= 1:
                    self.moved[number] = self.clock
                    if not left:
                        self.asked[number][slot] = self.costs[number][slot]
                        self.cost -= self.costs[number][slot]
        self._weigh(item, chain, -1)
        self.chains[item] = []
        self.away.add(item)

    def put_on(self, item: int, chain: Iterable[int]) -> None:
        """Put an item that is out of the plan in at these slots."""
        chain = self.chains[item] = list(chain)
        self.away.discard(item)
        self.clock += 1
        for number in self.groups[item]:
            counts = self.counts[number]
            for slot in chain:
                users = counts[slot] = counts[slot] + 1
                if users <= 2:
                    self.moved[number] = self.clock
                    if users == 1:
                        self.asked[number][slot] = 0.0
                        self.cost += self.costs[number][slot]
        self._weigh(item, chain, 1)

    def _weigh(self, item: int, chain: Sequence[int], sign: int) -> None:
        """What an item costs by itself comes or goes; those it is tied to must choose again."""
        alone = self.shared.alone[item]
        own = sum([alone[slot] for slot in chain])
        for slot in chain:
            self.present[slot] += sign
        if item not in self.away or sign > 0:
            self.cost += sign * (own + self.shared.chains[item].waste(chain))
        for other in self.linked[item]:
            self.asked_at[other] = -1

    def change(self, item: int, chain: Iterable[int]) -> None:
        """Let an item be done at these slots instead."""
        self.take_off(item)
        self.put_on(item, chain)

    def settled(self, item: int) -> bool:
        """Whether the item would choose as it chose last."""
        since = self.asked_at[item]
        return since >= 0 and all(self.moved[number] <= since for number in self.groups[item])

    def visits(self) -> list[int]:
        """The slots at which anything is done, rising."""
        return [slot for slot, users in enumerate(self.present) if users]

    def reprice(self, costs: Sequence[Sequence[float]]) -> None:
        """Let other costs stand for the set-ups from now on, such as discounted ones."""
        for number, row in enumerate(costs):
            self.costs[number] = list(row)
            self.asked[number] = [0.0 if count else cost for count, cost in zip(self.counts[number], row, strict=True)]
        self.asked_at = [-1] * len(self.chains)
        self.cost = self.total()

    def prices(self, item: int) -> list[float]:
        """What each slot would cost an item if it were out of the plan."""
        prices = list(self.shared.alone[item])
        for number in self.groups[item]:
            prices = list(map(add, prices, self.asked[number]))
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
        stops = sorted({slot for leader in self.shared.leaders[item] for slot in self.chains[leader]})
        chain = self.shared.chains[item]
        if among is None:
            return chain.cheapest_through(prices, stops)
        if not set(stops).issubset(among):
            return math.inf, []
        question = (item, tuple(among), tuple([prices[slot] for slot in among]), tuple(stops))
        answer = self.known.get(question)
        if answer is None:
            answer = self.known[question] = chain.cheapest_among(among, question[2], stops)
        return answer

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
        """All that is needed to come back to this plan."""
        return list(self.chains), list(self.moved), list(self.asked_at), self.clock, self.cost

    def restore(self, state: State) -> None:
        """Come back to a plan; items that stayed where they are cost nothing to lay."""
        chains, moved, asked_at, self.clock, cost = state
        for item, chain in enumerate(chains):
            if self.chains[item] is not chain:
                self.take_off(item)
        for item, chain in enumerate(chains):
            if self.chains[item] is not chain:
                self.put_on(item, chain)
                self.chains[item] = chain
        self.moved, self.asked_at, self.clock, self.cost = list(moved), list(asked_at), state[3], cost

    def load(self, chains: Chains) -> None:
        """Lay a whole plan on the table."""
        for item, chain in enumerate(chains):
            if self.chains[item] != chain or item in self.away:
                self.change(item, chain)
        self.asked_at = [-1] * len(self.chains)
        self.cost = self.total()
