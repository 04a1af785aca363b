"""The weighted order of jobs, some before others, against published results and against all orders of tiny cases."""

from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.scheduling.single_machine import ordered, weighted_sum


def test_pinedos_chains() -> None:
    """1 | chains | sum w C. Source: Pinedo, Scheduling: Theory, Algorithms, and Systems, chapter on single machines.

    The numbers and the answer are from memory of the book. The decomposition into (1 2) (5 6) (3) (7) (4), by the
    highest ratio 24/9, 25/12, 12/6, 18/10, 8/5, and the cost are checked here by all 35 orders of the chains as well.
    """
    minutes = [3, 6, 6, 5, 4, 8, 10]
    weights = [6, 18, 12, 8, 8, 17, 18]
    chains = [(0, 1), (1, 2), (2, 3), (4, 5), (5, 6)]
    answer = ordered(minutes, weights, chains)
    assert [job + 1 for job in answer.order] == [1, 2, 5, 6, 3, 7, 4]
    assert answer.total == answer.bound == 1967
    assert [[job + 1 for job in block.jobs] for block in answer.blocks] == [[1, 2], [5, 6], [3], [7], [4]]
    assert least(minutes, weights, chains) == 1967


def test_smiths_rule() -> None:
    """1 || sum w C: by weight for minutes, highest first. Source: W. E. Smith 1956 (the rule from memory)."""
    minutes, weights = [5, 2, 4, 3], [5, 6, 8, 3]
    answer = ordered(minutes, weights, [])
    assert answer.order == (1, 2, 0, 3)
    assert answer.total == answer.bound == least(minutes, weights, [])


def test_twice_the_best_at_most_in_one_block() -> None:
    """The example that reaches two in the limit (Chekuri & Motwani 1999, from memory): long work, then the weight."""
    minutes, weights = [99, 0], [0, 99]
    answer = ordered(minutes, weights, [(0, 1)], sets=0)
    assert answer.total == 99 * 99
    assert answer.total <= 2 * answer.bound


@st.composite
def cases(draw: st.DrawFn, least_weight: int = 0) -> tuple[list[int], list[int], list[tuple[int, int]]]:
    size = draw(st.integers(1, 6))
    minutes = draw(st.lists(st.integers(0, 9), min_size=size, max_size=size))
    weights = draw(st.lists(st.integers(least_weight, 9), min_size=size, max_size=size))
    couples = [(job, other) for job in range(size) for other in range(job + 1, size)]
    pairs = draw(st.lists(st.sampled_from(couples), unique=True, max_size=8)) if couples else []
    turned = draw(st.permutations(range(size)))
    return minutes, weights, [(turned[before], turned[after]) for before, after in pairs]


def least(minutes: list[int], weights: list[int], pairs: list[tuple[int, int]]) -> int:
    """The least sum of weight x completion among all orders, each tried."""
    orders = permutations(range(len(minutes)))
    kept = (order for order in orders if all(order.index(first) < order.index(last) for first, last in pairs))
    return min(weighted_sum(order, minutes, weights) for order in kept)


@given(cases(least_weight=-4))
def test_small_blocks_are_exact(case: tuple[list[int], list[int], list[tuple[int, int]]]) -> None:
    minutes, weights, pairs = case
    answer = ordered(minutes, weights, pairs)
    assert answer.total == answer.bound == least(minutes, weights, pairs)
    assert sorted(answer.order) == list(range(len(minutes)))
    assert all(answer.order.index(first) < answer.order.index(last) for first, last in pairs)


@given(cases(least_weight=-4))
def test_the_bound_holds_where_no_block_is_solved_exactly(
    case: tuple[list[int], list[int], list[tuple[int, int]]],
) -> None:
    minutes, weights, pairs = case
    answer = ordered(minutes, weights, pairs, sets=0)
    assert answer.bound <= least(minutes, weights, pairs) <= answer.total
    assert all(answer.order.index(first) < answer.order.index(last) for first, last in pairs)


@given(cases())
def test_twice_the_best_at_most(case: tuple[list[int], list[int], list[tuple[int, int]]]) -> None:
    """Any order that keeps Sidney's blocks (Chekuri & Motwani 1999; Margot, Queyranne & Wang 2003)."""
    minutes, weights, pairs = case
    assert ordered(minutes, weights, pairs, sets=0).total <= 2 * least(minutes, weights, pairs)
