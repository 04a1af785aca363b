"""Each item where it is cheapest given all others."""

from inspect_kit.visits.core.board import Board

SMALL = 1e-7


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
                kept = board.shared.chains[item].waste(before) + sum([prices[slot] for slot in before])
                if cost < kept - SMALL:
                    board.change(item, chain)
                    again = True
            board.settled[item] = True
