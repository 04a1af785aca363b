"""Ways to disturb a plan: slide, close or open visits, close a set-up or regroup its users, move a leader.

Each disturbs the plan in place and says whether it found anything to do and a place for every item.
"""

import math
import random
from collections.abc import Iterable

from inspect_kit.replenishment.board import Board
from inspect_kit.replenishment.breed import rhythm

# A slide that costs so much more, as a part of the whole, is hardly ever made good by choosing again (measured).
HOPELESS = 0.03
FAR = (-3, -2, -1, -1, 1, 1, 2, 3)


def shake(board: Board, dice: random.Random) -> bool:
    """Disturb the plan in a way that the dice choose."""
    visits = board.visits()
    if not visits:
        return False
    way = dice.random()
    if way < 0.45:
        first = dice.randrange(len(visits))
        last = min(len(visits), first + dice.choice((1, 1, 2, 2, 3, 4, len(visits))))
        return slide(board, visits, visits[first:last], dice.choice(FAR))
    if way < 0.57:
        return open_visits(board, visits, rhythm(board.shared.problem, dice))
    if way < 0.67:
        return open_visits(board, visits, [dice.randrange(board.shared.problem.slots)])
    if way < 0.8:
        return reroute(board, visits, range(len(board.chains)), dice.choice(visits))
    if way < 0.86:
        leaders = [item for item, followers in enumerate(board.shared.followers) if followers and board.chains[item]]
        if leaders:
            return move_leader(board, dice.choice(leaders), dice)
    group = dice.randrange(len(board.shared.groups)) if board.shared.groups else -1
    if group < 0 or len(board.shared.groups[group].users) == len(board.chains):
        return False
    if way < 0.94:
        return regroup(board, visits, group)
    return reroute(board, visits, board.shared.groups[group].users, dice.choice(visits))


def _place(board: Board, item: int, prices: list[float], among: Iterable[int]) -> bool:
    """Put an item that is out of the plan where it is cheapest; not where no chain is left."""
    cost, chain = board.best(item, prices, sorted(among))
    if cost == math.inf:
        return False
    board.put_on(item, chain)
    return True


def slide(board: Board, visits: list[int], run: list[int], by: int) -> bool:
    """Move visits in a row with all that is done at them; what cannot move goes where it is cheapest."""
    slots = board.shared.problem.slots
    if run[0] + by < 0 or run[-1] + by >= slots:
        return False
    most = board.cost * (1 + HOPELESS)
    moved = {slot: slot + by for slot in run}
    among = sorted({moved.get(slot, slot) for slot in visits})
    touched = [item for item, chain in enumerate(board.chains) if not moved.keys().isdisjoint(chain)]
    old = [board.chains[item] for item in touched]
    for item in touched:
        board.take_off(item)
    homeless = []
    for item, before in zip(touched, old, strict=True):
        chain = [moved.get(slot, slot) for slot in before]
        stops = board.stops(item)
        if board.shared.chains[item].waste(chain, stops) < math.inf and stops.issubset(chain):
            board.put_on(item, chain)
        elif board.shared.followers[item]:
            return False
        else:
            homeless.append(item)
    # What is still to be laid costs something as well.
    if board.cost > most:
        return False
    return all(_place(board, item, board.prices(item), among) for item in homeless) and board.cost <= most


def reroute(board: Board, visits: list[int], items: Iterable[int], banned: int) -> bool:
    """Do these items anywhere but at one visit, where that can be."""
    touched = [item for item in items if banned in board.chains[item] and not board.shared.followers[item]]
    others = [slot for slot in visits if slot != banned]
    for item in touched:
        board.take_off(item)
    for item in touched:
        prices = board.prices(item)
        if not _place(board, item, prices, others) and not _place(board, item, prices, visits):
            return False
    return bool(touched)


def open_visits(board: Board, visits: list[int], slots: list[int]) -> bool:
    """Let all items choose again as if everything were open at some more slots, free of charge."""
    among = sorted({*visits, *slots})
    moved = False
    for item, before in enumerate(board.chains):
        if board.shared.followers[item]:
            continue
        prices = board.prices(item)
        for slot in slots:
            prices[slot] = 0.0
        cost, chain = board.best(item, prices, among)
        if chain != before and cost < math.inf:
            board.change(item, chain)
            moved = True
    return moved


def regroup(board: Board, visits: list[int], number: int) -> bool:
    """Take all users of one set-up out and let them choose anew, each at first paying its part of it only."""
    users = [item for item in board.shared.groups[number].users if not board.shared.followers[item]]
    for item in users:
        board.take_off(item)
    for item in users:
        prices = board.prices(item)
        part = 1 - 1 / len(users)
        for slot in visits:
            if not board.counts[number][slot]:
                prices[slot] -= part * board.costs[number][slot]
        if not _place(board, item, prices, visits):
            return False
    return bool(users)


def move_leader(board: Board, leader: int, dice: random.Random) -> bool:
    """Move one doing of a leader, and its followers with it."""
    shared = board.shared
    turn = dice.randrange(len(board.chains[leader]))
    slots = shared.problem.slots
    chain = list(board.chains[leader])
    visits = board.visits()
    chain[turn] = dice.choice(visits) if dice.random() < 0.5 else chain[turn] + dice.choice(FAR)
    rule = shared.problem.items[leader]
    # Where one doing comes so late that nothing more falls due, those after it are not needed any more.
    enough = (turn for turn, slot in enumerate(chain) if 0 <= slot < slots and rule.latest[slot + 1] >= slots)
    chain = chain[: next(enough, len(chain)) + 1]
    nodes = [-1, *chain]
    if any(not before < after <= rule.latest[before + 1] for before, after in zip(nodes, chain, strict=False)):
        return False
    if nodes[-1] >= slots or rule.latest[nodes[-1] + 1] < slots or chain == board.chains[leader]:
        return False
    if board.shared.chains[leader].waste(chain) == math.inf:
        return False
    if shared.leaders[leader]:
        return False
    touched = sorted([leader, *shared.followers[leader]])
    for item in touched:
        board.take_off(item)
    board.put_on(leader, chain)
    among = sorted({*visits, *chain})
    return all(_place(board, item, board.prices(item), among) for item in touched if item != leader)
