"""A plan laid from nothing, and each item where it is cheapest given all others."""

from collections.abc import Callable, Sequence

from inspect_kit.replenishment.board import Board, Sheet

SMALL = 1e-7


def leaders_first(board: Board, weight: Callable[[int], int]) -> list[int]:
    """The items in an order in which nobody stands before those that he follows; the others by weight, heavy first."""
    followers = board.shared.followers
    items = range(len(followers))
    others = sorted((item for item in items if not followers[item]), key=lambda item: -weight(item))
    return [*(item for item in items if followers[item]), *others]


def lay(board: Board, sheet: Sheet, order: Sequence[int], choose: Callable[[int], list[int]]) -> None:
    """A plan from nothing: each item in order where it chooses at these costs; the usual ones stand afterwards."""
    board.clear(sheet)
    for item in order:
        board.put_on(item, choose(item))
    board.reprice(board.usual)


def descend(board: Board, *, wide: bool) -> None:
    """Put each item in turn where it is cheapest given all others, until none can do better.

    `wide` looks at every slot, otherwise only at those that have a visit.
    """
    if wide:
        board.unsettle()
    visits = None if wide else board.visits()
    again = True
    while again:
        again = False
        for item, before in enumerate(board.chains):
            if board.settled[item]:
                continue
            prices = board.prices(item)
            cost, chain = board.best(item, prices, visits)
            if chain != before:
                kept = board.shared.chains[item].waste(before, board.stops(item))
                kept += sum([prices[slot] for slot in before])
                if cost < kept - SMALL:
                    board.change(item, chain)
                    again = True
            board.settled[item] = True
