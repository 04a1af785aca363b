"""A lower bound by Lagrangian relaxation: every shared cost split over the items that share it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from operator import add, sub

from inspect_kit.visits.core.shares import Shares

FIRST_STEP = 0.8
LAST_STEP = 0.01
MEMORY = 0.7
"""How much of the last direction is kept (heavy ball): the chains of one round alone zigzag."""
FORGOTTEN = 0.002
LEAN = 0.9


@dataclass(frozen=True, kw_only=True, slots=True)
class Round:
    """After one round: the best bound so far, each item's chain at the present prices, where items stand on average.

    `lean[item][slot]` is near 1 where the relaxation does the item round after round.
    """

    bound: float
    chains: tuple[list[int], ...]
    lean: list[list[float]]


def relax(shared: Shares, rounds: int) -> Iterator[Round]:
    """Split shared costs better and better; the sum of the items' cheapest chains is a valid bound in every round.

    Each (group, slot) has a share for every user, at least 0, adding up to the cost. An item that uses the slot takes
    on more of it, the others less: a subgradient of the sum of shortest paths. The step is a part of the cost that
    falls in a geometric series, so that no target value is needed. That an item follows a leader is priced as well:
    the leader pays each follower at each slot.
    Source: Held, Wolfe & Crowder 1974; Camerini, Fratta & Maffioli 1975 (the direction keeps a memory).
    """
    slots = shared.problem.slots
    groups = shared.groups
    split = [[[cost / len(group.users)] * len(group.users) for cost in group.costs] for group in groups]
    drift: list[list[list[float] | None]] = [[None] * slots for _ in groups]
    scale = [sum(group.costs) / max(1, slots) / len(group.users) ** 0.5 for group in groups]
    pairs = [(leader, item) for item, leads in enumerate(shared.leaders) for leader in leads]
    paid = [[0.0] * slots for _ in pairs]
    pull = [[0.0] * slots for _ in pairs]
    lean = [[0.0] * slots for _ in shared.chains]
    mean = sum(sum(group.costs) for group in groups) / max(1, slots * len(shared.chains))
    best = 0.0
    step = FIRST_STEP
    for _ in range(rounds):
        prices = _prices(shared, split, pairs, paid)
        bound = 0.0
        chains = []
        for chain, price in zip(shared.chains, prices, strict=True):
            cost, done = chain.cheapest(price)
            bound += cost
            chains.append(done)
        for row, done in zip(lean, chains, strict=True):
            row[:] = [LEAN * share for share in row]
            for slot in done:
                row[slot] += 1 - LEAN
        best = max(best, bound)
        used = _used(shared, chains)
        for number, group in enumerate(groups):
            _shift(group.costs, split[number], drift[number], used[number], step * scale[number])
        for number, (leader, item) in enumerate(pairs):
            towards = [MEMORY * old for old in pull[number]]
            for slot in chains[leader]:
                towards[slot] += 1
            for slot in chains[item]:
                towards[slot] -= 1
            pull[number] = towards
            paid[number] = [max(0.0, pay + step * mean * way) for pay, way in zip(paid[number], towards, strict=True)]
        yield Round(bound=best, chains=tuple(chains), lean=lean)
        step *= (LAST_STEP / FIRST_STEP) ** (1 / rounds)


def _prices(
    shared: Shares,
    split: Sequence[Sequence[Sequence[float]]],
    pairs: Sequence[tuple[int, int]],
    paid: Sequence[Sequence[float]],
) -> list[list[float]]:
    """What each item pays at each slot: its own costs, its shares, and what leaders pay to their followers."""
    prices = [list(alone) for alone in shared.alone]
    for group, rows in zip(shared.groups, split, strict=True):
        for user, column in zip(group.users, zip(*rows, strict=True), strict=True):
            prices[user] = list(map(add, prices[user], column))
    for (leader, item), pay in zip(pairs, paid, strict=True):
        prices[leader] = list(map(add, prices[leader], pay))
        prices[item] = list(map(sub, prices[item], pay))
    return prices


def _used(shared: Shares, chains: Sequence[Sequence[int]]) -> list[dict[int, list[int]]]:
    """Of each group: the slots that are used, and the places of the users there."""
    used: list[dict[int, list[int]]] = [{} for _ in shared.groups]
    for member, done in zip(shared.member, chains, strict=True):
        for number, place in member:
            for slot in done:
                used[number].setdefault(slot, []).append(place)
    return used


def _shift(
    costs: Sequence[float],
    split: list[list[float]],
    drift: list[list[float] | None],
    used: dict[int, list[int]],
    step: float,
) -> None:
    """Move the shares of one group towards its present users, slot by slot, in place."""
    for slot, old in enumerate(drift):
        users = used.get(slot)
        if users is None:
            if old is None:
                continue
            way = [MEMORY * each for each in old]
            if max(way) < FORGOTTEN:
                drift[slot] = None
                continue
        else:
            # The direction sums to nothing, so that the shares go on adding up to the cost.
            size = len(split[slot])
            part = len(users) / size
            way = [MEMORY * each - part for each in old] if old else [-part] * size
            for place in users:
                way[place] += 1.0
        drift[slot] = way
        moved = [share + step * each for share, each in zip(split[slot], way, strict=True)]
        if min(moved) < 0:
            moved = _onto_simplex(moved, costs[slot])
        split[slot] = moved


def _onto_simplex(values: list[float], total: float) -> list[float]:
    """The nearest shares that are at least 0 and add up to the total. Source: Held, Wolfe & Crowder 1974."""
    cut = run = 0.0
    for count, value in enumerate(sorted(values, reverse=True), 1):
        run += value
        if value <= (run - total) / count:
            break
        cut = (run - total) / count
    return [value - cut if value > cut else 0.0 for value in values]
