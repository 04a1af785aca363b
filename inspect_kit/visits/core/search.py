"""Good plans: built where the relaxation leans, improved item by item, shaken and improved again."""

import math
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inspect_kit.visits.core.board import Board
from inspect_kit.visits.core.bound import Round, relax
from inspect_kit.visits.core.problem import Problem, Schedule
from inspect_kit.visits.core.shake import SHAKES
from inspect_kit.visits.core.shares import Shares, shares

SMALL = 1e-7


@dataclass(frozen=True, kw_only=True, slots=True)
class Effort:
    """How much to search, in rounds of the relaxation, and in shakes of the plan: never in seconds."""

    rounds: int = 150
    shakes: int = 120
    seed: int = 1


EFFORT = Effort()


def descend(board: Board, items: Iterable[int]) -> None:
    """Put each item in turn where it is cheapest given all others, until none can do better.

    `items` come first; then all the others, for as long as something has moved.
    """
    everyone = range(len(board.chains))
    queue = list(items) or list(everyone)
    settled: set[int] = set()
    while queue:
        for item in queue:
            before = board.chains[item]
            board.take_off(item)
            prices = board.prices(item)
            cost, chain = board.best(item, prices)
            kept = board.shared.chains[item].waste(before) + sum(prices[slot] for slot in before)
            if before and kept <= cost + SMALL:
                chain = before
            board.put_on(item, chain)
            if chain != before:
                settled.clear()
            settled.add(item)
        queue = [item for item in everyone if item not in settled]


def build(board: Board, order: Sequence[int], costs: Sequence[Sequence[float]], leads: Sequence[Sequence[int]]) -> None:
    """A plan from nothing: leaders that follow nobody as given, then each item at these (discounted) costs.

    Other leaders come next, so that nobody is placed before those that he follows.
    """
    for item in range(len(board.chains)):
        board.take_off(item)
    board.reprice(costs)
    followers = board.shared.followers
    for item in [*sorted(each for each in order if followers[each]), *(each for each in order if not followers[each])]:
        free = followers[item] and not board.shared.leaders[item]
        board.put_on(item, leads[item] if free else board.best(item, board.prices(item))[1])
    board.reprice([group.costs for group in board.shared.groups])


def discounted(shared: Shares, now: Round, share: float) -> list[list[float]]:
    """The set-up costs, less where the relaxation leans on them."""
    return [
        [
            cost * (1 - share * min(1.0, lean))
            for cost, lean in zip(group.costs, map(max, *(now.lean[user] for user in group.users)), strict=True)
        ]
        for group in shared.groups
    ]


def improve(board: Board, dice: random.Random, shakes: int) -> float:
    """Shake the plan on the board, descend, keep what is better; leaves the best plan there and returns its cost."""
    kept = [list(chain) for chain in board.chains]
    least = board.total()
    kinds = SHAKES if any(board.shared.followers) else SHAKES[:-1]
    for turn in range(shakes):
        touched = kinds[turn % len(kinds)](board, dice)
        if not touched:
            continue
        descend(board, touched)
        total = board.total()
        if total < least - SMALL:
            least, kept = total, [list(chain) for chain in board.chains]
        else:
            board.load(kept)
    return least


def solve(problem: Problem, effort: Effort = EFFORT) -> Schedule:
    """A good plan and a valid lower bound. Deterministic: the same problem and effort give the same plan.

    Errors: ValueError naming the items that no choice of slots can keep within their limits.
    """
    shared = shares(problem)
    stuck = [
        item.name
        for item, chain in zip(problem.items, shared.chains, strict=True)
        if chain.cheapest([0.0] * problem.slots)[0] == math.inf
    ]
    if stuck:
        raise ValueError(f"no slot in time for: {', '.join(stuck)}")
    dice = random.Random(effort.seed)
    board = Board(shared)
    order = sorted(range(len(shared.chains)), key=lambda item: -len(problem.items[item].needs))
    plans: list[tuple[float, list[list[int]]]] = []
    bound = 0.0
    for turn, now in enumerate(relax(shared, effort.rounds), 1):
        bound = now.bound
        if turn > effort.rounds // 3 and turn % 10 == 0:
            build(board, order, discounted(shared, now, 1.0), now.chains)
            descend(board, ())
            plans.append((board.total(), [list(chain) for chain in board.chains]))
    plans.sort()
    board.load(plans[0][1])
    improve(board, dice, effort.shakes)
    return schedule(board, bound)


def schedule(board: Board, bound: float) -> Schedule:
    """The plan on the board with its cost in three parts."""
    problem = board.shared.problem
    doings = {item.name: tuple(chain) for item, chain in zip(problem.items, board.chains, strict=True)}
    visits = {slot for chain in board.chains for slot in chain}
    opened = {(name, slot) for item in problem.items for slot in doings[item.name] for name in item.needs}
    return Schedule(
        doings=doings,
        visits=sum(problem.visit[slot] for slot in sorted(visits)),
        setups=sum(problem.setups[name] for name, _ in sorted(opened)),
        waste=sum(chain.waste(done) for chain, done in zip(board.shared.chains, board.chains, strict=True)),
        bound=bound,
    )
