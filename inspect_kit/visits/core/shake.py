"""Ways to disturb a plan: close, open or move a visit, close a set-up or regroup its users, move a leader.

Each disturbs the plan in place and says which items it touched; none where it found nothing to do.
"""

import math
from collections.abc import Callable, Iterable
from functools import partial

from inspect_kit.visits.core.board import Board

Shake = Callable[[Board], list[int]]

NEAR = (-3, -2, -1, 1, 2, 3)
LEADER_NEAR = (-6, -4, -3, -2, -1, 1, 2, 3, 4, 6)


def shakes(board: Board) -> list[Shake]:
    """Every way to disturb the plan that is on the board now."""
    shared, slots = board.shared, board.shared.problem.slots
    visits = sorted({slot for chain in board.chains for slot in chain})
    found: list[Shake] = [partial(close_visit, slot=slot) for slot in visits]
    found += [partial(open_visit, slot=slot) for slot in range(slots) if slot not in visits]
    found += [partial(move_visit, slot=slot, to=slot + by) for slot in visits for by in NEAR if 0 <= slot + by < slots]
    for number, group in enumerate(shared.groups):
        if len(group.users) < len(board.chains):
            found.append(partial(regroup, number=number))
            found += [partial(close_setup, number=number, slot=slot) for slot in visits if board.counts[number][slot]]
    for leader, followers in enumerate(shared.followers):
        turns = range(len(board.chains[leader])) if followers else ()
        found += [partial(move_leader, leader=leader, turn=turn, by=by) for turn in turns for by in LEADER_NEAR]
    return found


def _reroute(board: Board, items: Iterable[int], banned: int, lure: int | None = None) -> list[int]:
    """Do these items anywhere but at the banned slot, `lure` free of charge for what was open at the banned one."""
    touched = [item for item in items if banned in board.chains[item] and not board.shared.followers[item]]
    for item in touched:
        board.take_off(item)
    for item in touched:
        prices = board.prices(item)
        if lure is not None:
            prices[lure] = 0.0
        plain = prices[banned]
        prices[banned] = math.inf
        cost, chain = board.best(item, prices)
        if cost == math.inf:
            prices[banned] = plain
            cost, chain = board.best(item, prices)
        board.put_on(item, chain)
    return touched


def close_visit(board: Board, slot: int) -> list[int]:
    """Do everything of one visit at other times."""
    return _reroute(board, range(len(board.chains)), slot)


def move_visit(board: Board, slot: int, to: int) -> list[int]:
    """Move all that can move of one visit to a slot near it."""
    return _reroute(board, range(len(board.chains)), slot, to)


def close_setup(board: Board, number: int, slot: int) -> list[int]:
    """Do what needs one set-up at one visit at other times."""
    return _reroute(board, board.shared.groups[number].users, slot)


def open_visit(board: Board, slot: int) -> list[int]:
    """Let all items choose again as if everything were open at one more slot, free of charge."""
    moved = []
    for item, before in enumerate(board.chains):
        if board.shared.followers[item]:
            continue
        board.take_off(item)
        prices = board.prices(item)
        prices[slot] = 0.0
        chain = board.best(item, prices)[1]
        board.put_on(item, chain)
        if chain != before:
            moved.append(item)
    return moved


def regroup(board: Board, number: int) -> list[int]:
    """Take all users of one set-up out and let them choose anew, each at first paying its part of it only."""
    users = [item for item in board.shared.groups[number].users if not board.shared.followers[item]]
    for item in users:
        board.take_off(item)
    for item in users:
        prices = board.prices(item)
        part = 1 - 1 / len(users)
        prices = [price - part * asked for price, asked in zip(prices, board.asked[number], strict=True)]
        board.put_on(item, board.best(item, prices)[1])
    return users


def move_leader(board: Board, leader: int, turn: int, by: int) -> list[int]:
    """Move one doing of a leader, and its followers with it; nothing happens where that is not allowed."""
    shared = board.shared
    if turn >= len(board.chains[leader]):
        return []
    chain = list(board.chains[leader])
    chain[turn] += by
    rule, slots = shared.problem.items[leader], shared.problem.slots
    # Where one doing comes so late that nothing more falls due, those after it are not needed any more.
    enough = (turn for turn, slot in enumerate(chain) if 0 <= slot < slots and rule.latest[slot + 1] >= slots)
    chain = chain[: next(enough, len(chain)) + 1]
    nodes = [-1, *chain]
    if any(not before < after <= rule.latest[before + 1] for before, after in zip(nodes, chain, strict=False)):
        return []
    if nodes[-1] >= slots or rule.latest[nodes[-1] + 1] < slots:
        return []
    touched = [leader, *shared.followers[leader]]
    for item in touched:
        board.take_off(item)
    board.put_on(leader, chain)
    for item in touched[1:]:
        board.put_on(item, board.best(item, board.prices(item))[1])
    return touched
