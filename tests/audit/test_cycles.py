"""Circles against networkx: found where it finds one, each real, one for each knot."""

from itertools import pairwise

import networkx
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.audit.cycles import cycles

names = st.sampled_from("abcdefgh")
graphs = st.dictionaries(names, st.lists(names, max_size=4), max_size=8)


@given(graphs)
def test_one_real_circle_for_each_knot(graph: dict[str, list[str]]) -> None:
    directed = networkx.DiGraph([(name, other) for name, others in graph.items() for other in others if other in graph])
    knots = [knot for knot in networkx.strongly_connected_components(directed) if len(knot) > 1]
    knots += [{name} for name in directed if directed.has_edge(name, name) and not any(name in knot for knot in knots)]
    found = list(cycles(graph))
    assert sorted(sorted(set(circle) & knot) for circle in found for knot in knots if circle[0] in knot) == sorted(
        sorted(set(circle)) for circle in found
    )
    assert len(found) == len(knots)
    for circle in found:
        assert circle[0] == circle[-1]
        assert len(set(circle)) == len(circle) - 1
        assert all(following in graph[name] for name, following in pairwise(circle))


@given(graphs)
def test_the_circle_is_a_shortest_one_through_its_first_name(graph: dict[str, list[str]]) -> None:
    directed = networkx.DiGraph([(name, other) for name, others in graph.items() for other in others if other in graph])
    for circle in cycles(graph):
        ways = [
            networkx.shortest_path_length(directed, following, circle[0])
            for following in directed.successors(circle[0])
            if networkx.has_path(directed, following, circle[0])
        ]
        assert len(circle) - 2 == min(ways)


def test_the_order_of_the_keys_decides_where_it_begins() -> None:
    assert list(cycles({"b": ["a"], "a": ["b"]})) == [("b", "a", "b")]
    assert list(cycles({"a": ["b"], "b": ["a"]})) == [("a", "b", "a")]


def test_a_long_chain_does_not_end_the_program() -> None:
    chain = {str(number): [str(number + 1)] for number in range(20_000)}
    assert list(cycles(chain)) == []
    (circle,) = cycles(chain | {"19999": ["0"]})
    assert len(circle) == 20_001
