"""Sidney's decomposition and the closures under it, against networkx and against what defines them."""

from itertools import combinations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.scheduling.graphs import MaximumClosure
from inspect_kit.scheduling.single_machine import decomposed, ordered

Case = tuple[list[int], list[int], list[tuple[int, int]]]


@st.composite
def cases(draw: st.DrawFn, most: int = 9, lowest: int = 1) -> Case:
    size = draw(st.integers(1, most))
    minutes = draw(st.lists(st.integers(lowest, 9), min_size=size, max_size=size))
    weights = draw(st.lists(st.integers(-3, 9), min_size=size, max_size=size))
    couples = [(job, other) for job in range(size) for other in range(job + 1, size)]
    pairs = draw(st.lists(st.sampled_from(couples), unique=True, max_size=2 * size)) if couples else []
    return minutes, weights, pairs


def initial_sets(jobs: tuple[int, ...], pairs: list[tuple[int, int]]) -> list[set[int]]:
    """All sets of these jobs that hold with a job all that come before it, the empty one left out."""
    found = []
    for size in range(1, len(jobs) + 1):
        for chosen in combinations(jobs, size):
            kept = set(chosen)
            if all(first in kept for first, last in pairs if last in kept and first in jobs):
                found.append(kept)
    return found


@given(cases(most=7))
def test_every_block_has_the_highest_ratio_of_what_is_left(case: Case) -> None:
    """The definition: no initial set of what is left has more weight for its minutes than the next block."""
    minutes, weights, pairs = case
    left = set(range(len(minutes)))
    for block in decomposed(minutes, weights, pairs):
        assert all(first in block or first not in left for first, last in pairs if last in block)
        length, weight = sum(minutes[job] for job in block), sum(weights[job] for job in block)
        for other in initial_sets(tuple(sorted(left)), pairs):
            assert sum(weights[job] for job in other) * length <= weight * sum(minutes[job] for job in other)
        left -= set(block)
    assert not left


@given(cases(most=14))
def test_the_best_closure_is_networkx_minimum_cut(case: Case) -> None:
    gains, _, pairs = case
    gains = [gain * (1 if job % 2 else -1) for job, gain in enumerate(gains)]
    graph = nx.DiGraph()
    graph.add_nodes_from(("source", "sink"))
    for job, gain in enumerate(gains):
        graph.add_edge(*(("source", job) if gain > 0 else (job, "sink")), capacity=abs(gain))
    for before, after in pairs:
        graph.add_edge(after, before)  # No capacity: without limit.
    cut = nx.minimum_cut_value(graph, "source", "sink")
    closure = MaximumClosure(gains, pairs)
    assert closure.best == sum(gain for gain in gains if gain > 0) - cut
    chosen = closure.chosen()
    assert sum(gains[job] for job in chosen) == closure.best
    assert all(first in chosen for first, last in pairs if last in chosen)


@given(cases(most=12, lowest=0), st.integers(1, 50))
def test_more_weight_for_each_minute_changes_no_order(case: Case, more: int) -> None:
    """The sum of minutes x completion is the same in any order, so that it may be added without harm."""
    minutes, weights, pairs = case
    heavier = [weight + more * length for weight, length in zip(weights, minutes, strict=True)]
    constant = sum(a * b for a, b in combinations(minutes, 2)) + sum(length * length for length in minutes)
    plain, other = ordered(minutes, weights, pairs), ordered(minutes, heavier, pairs)
    if all(block.exact for block in plain.blocks + other.blocks):
        assert other.total == plain.total + more * constant


@given(cases(most=12, lowest=0))
def test_more_sets_never_make_it_worse(case: Case) -> None:
    minutes, weights, pairs = case
    rough, fine = ordered(minutes, weights, pairs, sets=0), ordered(minutes, weights, pairs)
    assert rough.bound <= fine.bound <= fine.total <= rough.total


def test_nothing_to_order() -> None:
    assert ordered([], [], []).order == ()


def test_a_circle_has_no_order() -> None:
    with pytest.raises(ValueError, match="circle"):
        ordered([1, 1], [1, 1], [(0, 1), (1, 0)])
