"""Ways to disturb a plan: close a visit, move one, open nothing of a set-up at one slot, move a leader."""

import math
import random
from collections.abc import Callable, Iterable

from inspect_kit.visits.core.board import Board

Shake = Callable[[Board, random.Random], list[int]]
"""Disturbs the plan in place and says which items it touched; an empty list where it found nothing to do."""


def _reroute(board: Board, items: Iterable[int], banned: int, lure: int | None = None) -> list[int]:
    """Do these items anywhere but at the banned slot, `lure` free of charge for what was open at the banned one."""
    touched = [item for item in items if not board.shared.followers[item]]
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


def _visit(board: Board, dice: random.Random) -> int | None:
    slots = sorted({slot for chain in board.chains for slot in chain})
    return dice.choice(slots) if slots else None


def close_visit(board: Board, dice: random.Random) -> list[int]:
    """Do everything of one visit at other times."""
    slot = _visit(board, dice)
    if slot is None:
        return []
    return _reroute(board, [item for item, chain in enumerate(board.chains) if slot in chain], slot)


def move_visit(board: Board, dice: random.Random) -> list[int]:
    """Move all that can move of one visit to a slot near it."""
    slot = _visit(board, dice)
    if slot is None:
        return []
    other = slot + dice.choice((-3, -2, -1, 1, 2, 3))
    if not 0 <= other < board.shared.problem.slots:
        return []
    return _reroute(board, [item for item, chain in enumerate(board.chains) if slot in chain], slot, other)


def close_setup(board: Board, dice: random.Random) -> list[int]:
    """Do what needs one set-up at one visit at other times."""
    open_now = [
        (number, slot)
        for number, counts in enumerate(board.counts)
        for slot, count in enumerate(counts)
        if 0 < count < len(board.chains)
    ]
    if not open_now:
        return []
    number, slot = dice.choice(open_now)
    users = board.shared.groups[number].users
    return _reroute(board, [item for item in users if slot in board.chains[item]], slot)


def move_leader(board: Board, dice: random.Random) -> list[int]:
    """Move one doing of a leader, and its followers with it."""
    shared = board.shared
    doings = [
        (item, turn)
        for item, followers in enumerate(shared.followers)
        if followers
        for turn in range(len(board.chains[item]))
    ]
    if not doings:
        return []
    leader, turn = dice.choice(doings)
    chain = list(board.chains[leader])
    chain[turn] += dice.choice((-6, -4, -3, -2, -1, 1, 2, 3, 4, 6))
    return lead(board, leader, chain)


def lead(board: Board, leader: int, chain: list[int]) -> list[int]:
    """Give a leader another chain, and its followers with it; nothing happens where that chain is not allowed."""
    shared = board.shared
    rule, slots = shared.problem.items[leader], shared.problem.slots
    nodes = [-1, *chain]
    if any(not before < after <= rule.latest[before + 1] for before, after in zip(nodes, chain, strict=False)):
        return []
    if rule.latest[nodes[-1] + 1] < slots or nodes[-1] >= slots:
        return []
    touched = [leader, *shared.followers[leader]]
    for item in touched:
        board.take_off(item)
    board.put_on(leader, chain)
    for item in touched[1:]:
        board.put_on(item, board.best(item, board.prices(item))[1])
    return touched


SHAKES: tuple[Shake, ...] = (close_visit, move_visit, close_setup, move_leader)
