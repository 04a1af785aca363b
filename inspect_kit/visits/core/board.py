"""The plan on the table: who is done when, which set-ups are thereby open, what one more opening would cost."""

import math
from collections.abc import Iterable, Sequence
from operator import add

from inspect_kit.visits.core.shares import Shares

Chains = Sequence[Sequence[int]]


class Board:
    """A plan that changes item by item; the cost of every shared set-up at every slot follows along.

    `asked[group][slot]` is what one more user would pay there: nothing where it is open already.
    """

    def __init__(self, shared: Shares) -> None:
        self.shared = shared
        self.chains: list[list[int]] = [[] for _ in shared.chains]
        self.away: set[int] = set(range(len(shared.chains)))
        self.counts = [[0] * len(group.costs) for group in shared.groups]
        self.asked = [list(group.costs) for group in shared.groups]
        self.costs: list[list[float]] = [list(group.costs) for group in shared.groups]
        # After a shake that led nowhere most items are asked the same question again.
        self.known: dict[tuple[int, tuple[float, ...], tuple[int, ...]], tuple[float, list[int]]] = {}

    def take_off(self, item: int) -> None:
        """Take one item out of the plan."""
        for number, _ in self.shared.member[item]:
            counts, asked, costs = self.counts[number], self.asked[number], self.costs[number]
            for slot in self.chains[item]:
                counts[slot] -= 1
                if not counts[slot]:
                    asked[slot] = costs[slot]
        self.chains[item] = []
        self.away.add(item)

    def put_on(self, item: int, chain: Iterable[int]) -> None:
        """Put an item that is out of the plan in at these slots."""
        self.chains[item] = list(chain)
        self.away.discard(item)
        for number, _ in self.shared.member[item]:
            counts, asked = self.counts[number], self.asked[number]
            for slot in self.chains[item]:
                counts[slot] += 1
                asked[slot] = 0.0

    def reprice(self, costs: Sequence[Sequence[float]]) -> None:
        """Let other costs stand for the set-ups from now on, such as discounted ones."""
        for number, row in enumerate(costs):
            self.costs[number] = list(row)
            self.asked[number] = [
                0.0 if count else cost for count, cost in zip(self.counts[number], row, strict=True)
            ]

    def prices(self, item: int) -> list[float]:
        """What each slot would cost an item that is out of the plan."""
        prices = list(self.shared.alone[item])
        for number, _ in self.shared.member[item]:
            prices = list(map(add, prices, self.asked[number]))
        return prices

    def best(self, item: int, prices: list[float]) -> tuple[float, list[int]]:
        """The cheapest chain of an item that keeps to the others: with its leaders, and only where followers are."""
        for follower in self.shared.followers[item]:
            if follower in self.away:
                continue
            there = set(self.chains[follower])
            prices = [price if slot in there else math.inf for slot, price in enumerate(prices)]
        stops = sorted({slot for leader in self.shared.leaders[item] for slot in self.chains[leader]})
        question = (item, tuple(prices), tuple(stops))
        answer = self.known.get(question)
        if answer is None:
            answer = self.known[question] = self.shared.chains[item].cheapest_through(prices, stops)
        return answer

    def total(self) -> float:
        """The whole cost of the plan, at the problem's own costs."""
        total = 0.0
        for item, chain in enumerate(self.chains):
            alone = self.shared.alone[item]
            total += self.shared.chains[item].waste(chain) + sum(alone[slot] for slot in chain)
        for group, counts in zip(self.shared.groups, self.counts, strict=True):
            total += sum(cost for cost, count in zip(group.costs, counts, strict=True) if count)
        return total

    def load(self, chains: Chains) -> None:
        """Lay a whole plan on the table; items that stay where they are cost nothing to lay."""
        for item, chain in enumerate(chains):
            if self.chains[item] != chain:
                self.take_off(item)
                self.put_on(item, chain)
