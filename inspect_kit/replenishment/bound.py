"""A lower bound by Lagrangian relaxation: every shared cost split over the items that share it."""

from collections.abc import Iterator
from operator import add, itemgetter, sub

from inspect_kit.replenishment.shares import Shares

FIRST_STEP = 2.8
LAST_STEP = 0.003
MEMORY = LEAN = 0.9
"""How much of the last direction is kept (heavy ball): the chains of one round alone zigzag."""
PULL = 0.2
"""What leaders pay moves in shorter steps than the shares (measured)."""


class Relaxation:
    """Shared costs split over their users; the sum of the items' cheapest chains is a valid bound at any split.

    Each (group, slot) has a share for every user, at least 0, adding up to the cost. An item that uses the slot takes
    on more of it, the others less: a subgradient of the sum of shortest paths. That an item follows a leader is priced
    as well: the leader pays each follower at each slot. `lean[item][slot]` is near 1 where the item is done round
    after round, `chains` are those of the last round, `bound` is the best so far.
    Source: Held, Wolfe & Crowder 1974; Camerini, Fratta & Maffioli 1975 (the direction keeps a memory).
    """

    def __init__(self, shared: Shares) -> None:
        self.shared = shared
        slots = shared.problem.slots
        groups = shared.groups
        self.costs = [list(group.costs) for group in groups]
        self.alone = [list(alone) for alone in shared.alone]
        self.split = [[[cost / len(group.users)] * len(group.users) for cost in group.costs] for group in groups]
        self.picks = [itemgetter(*group.users) for group in groups]
        self.scale = [sum(group.costs) / max(1, slots) / len(group.users) ** 0.5 for group in groups]
        self.pairs = [(leader, item) for item, leads in enumerate(shared.leaders) for leader in leads]
        self.paid = [[0.0] * slots for _ in self.pairs]
        self.pull = [[0.0] * slots for _ in self.pairs]
        self.mean = sum(sum(group.costs) for group in groups) / max(1, slots * len(shared.chains))
        self.lean = [[0.0] * slots for _ in shared.chains]
        self.chains: list[list[int]] = [[] for _ in shared.chains]
        self.bound = 0.0

    def run(self, rounds: int, first: float = FIRST_STEP, last: float = LAST_STEP) -> Iterator[int]:
        """So many rounds with steps, parts of each cost, that fall in a geometric series; no target is needed."""
        for turn in range(rounds):
            self.round(first * (last / first) ** (turn / rounds))
            yield turn

    def round(self, step: float) -> None:
        """Find every item's cheapest chain at the present prices, then move the shares towards those who use them."""
        bound = 0.0
        for item, (chain, price) in enumerate(zip(self.shared.chains, self._prices(), strict=True)):
            cost, done = chain.relaxed(price)
            bound += cost
            self.chains[item] = done
            row = self.lean[item] = [LEAN * share for share in self.lean[item]]
            for slot in done:
                row[slot] += 1 - LEAN
        self.bound = max(self.bound, bound)
        leans = list(zip(*self.lean, strict=True))
        used: list[set[int]] = [set() for _ in self.costs]
        for member, done in zip(self.shared.member, self.chains, strict=True):
            for number, _ in member:
                used[number].update(done)
        for slots, pick, costs, split, scale in zip(used, self.picks, self.costs, self.split, self.scale, strict=True):
            # What is kept of the directions of all rounds adds up to how often an item was done of late.
            pace = step * scale / (1 - LEAN)
            for slot in slots:
                moved = [share + pace * lean for share, lean in zip(split[slot], pick(leans[slot]), strict=True)]
                split[slot] = _onto_simplex(moved, costs[slot])
        for number, (leader, item) in enumerate(self.pairs):
            towards = [MEMORY * old for old in self.pull[number]]
            for slot in self.chains[leader]:
                towards[slot] += 1
            for slot in self.chains[item]:
                towards[slot] -= 1
            self.pull[number] = towards
            pace, paid = PULL * step * self.mean, self.paid[number]
            self.paid[number] = [max(0.0, pay + pace * way) for pay, way in zip(paid, towards, strict=True)]

    def _prices(self) -> list[list[float]]:
        """What each item pays at each slot: its own costs, its shares, and what leaders pay to their followers."""
        prices = [list(alone) for alone in self.alone]
        for group, rows in zip(self.shared.groups, self.split, strict=True):
            for user, column in zip(group.users, zip(*rows, strict=True), strict=True):
                prices[user] = list(map(add, prices[user], column))
        for (leader, item), pay in zip(self.pairs, self.paid, strict=True):
            prices[leader] = list(map(add, prices[leader], pay))
            prices[item] = list(map(sub, prices[item], pay))
        return prices


def _onto_simplex(values: list[float], total: float) -> list[float]:
    """The nearest shares that are at least 0 and add up to the total. Source: Held, Wolfe & Crowder 1974."""
    kept = [value for value in values if value > 0]
    cut = (sum(kept) - total) / len(kept)
    while min(kept) < cut:
        kept = [value for value in kept if value > cut]
        cut = (sum(kept) - total) / len(kept)
    return [value - cut if value > cut else 0.0 for value in values]
