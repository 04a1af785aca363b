"""Critical path and PERT against two worked examples of the textbooks.

Reliable Construction: Hillier & Lieberman, Introduction to Operations Research, the chapter on project management with
PERT/CPM. Its predecessors are from memory (M). Durations, three-point estimates, slacks and results come from notes of
the example that mark nothing but the predecessors as remembered; they were not read again here. That they fit together
(every mean is the duration, the path adds up) is asserted below and is evidence of its own.

Ten activities: an exercise on PERT, all values read in a text (T) whose title was not noted.
"""

from collections.abc import Collection, Mapping
from statistics import NormalDist

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.plan.estimates import ThreePoint
from inspect_kit.scheduling.bounds import heads_and_tails, pools_of
from inspect_kit.scheduling.network import ProjectNetwork
from inspect_kit.scheduling.problem import Activity, Precedence, Project
from inspect_kit.scheduling.solve import solve

# Predecessors (M), durations in weeks, estimates (optimistic, most likely, pessimistic) in weeks.
HOUSE_BEFORE = {
    "A": "",
    "B": "A",
    "C": "B",
    "D": "C",
    "E": "C",
    "F": "E",
    "G": "D",
    "H": "EG",
    "I": "C",
    "J": "FI",
    "K": "J",
    "L": "J",
    "M": "H",
    "N": "KL",
}
HOUSE_WEEKS = dict(zip("ABCDEFGHIJKLMN", (2, 4, 10, 6, 4, 5, 7, 9, 7, 8, 4, 5, 2, 6), strict=True))
HOUSE_ESTIMATES = {
    "A": (1, 2, 3),
    "B": (2, 3.5, 8),
    "C": (6, 9, 18),
    "D": (4, 5.5, 10),
    "E": (1, 4.5, 5),
    "F": (4, 4, 10),
    "G": (5, 6.5, 11),
    "H": (5, 8, 17),
    "I": (3, 7.5, 9),
    "J": (3, 9, 9),
    "K": (4, 4, 4),
    "L": (1, 5.5, 7),
    "M": (1, 2, 3),
    "N": (5, 5.5, 9),
}
# Ten activities (T).
TEN_BEFORE = {
    "A": "",
    "B": "",
    "C": "",
    "D": "A",
    "E": "B",
    "F": "C",
    "G": "C",
    "H": "EF",
    "I": "D",
    "J": "GH",
}
TEN_ESTIMATES = {
    "A": (5, 6, 7),
    "B": (1, 3, 5),
    "C": (1, 4, 7),
    "D": (1, 2, 3),
    "E": (1, 2, 9),
    "F": (1, 5, 9),
    "G": (2, 2, 8),
    "H": (4, 4, 10),
    "I": (2, 5, 8),
    "J": (2, 2, 8),
}


def network_of(lengths: Mapping[str, int], before: Mapping[str, Collection[str]]) -> Project:
    """Activities with somebody for each: only the network holds them back."""
    names = list(lengths)
    return Project(
        activities=tuple(Activity(name=name, duration=lengths[name], modes=((1,),)) for name in names),
        capacities=(len(names),),
        precedences=tuple(
            Precedence(before=names.index(first), after=names.index(after))
            for after in names
            for first in before[after]
        ),
        interchangeable=1,
    )


def slacks_of(lengths: Mapping[str, int], before: Mapping[str, Collection[str]]) -> tuple[int, dict[str, int]]:
    """The finish, and how much later than its earliest start every activity may begin (total float)."""
    problem = network_of(lengths, before)
    answer = solve(problem)
    assert answer.schedule is not None
    assert answer.proved
    heads, tails = heads_and_tails(ProjectNetwork(problem), pools_of(problem))
    finish = answer.schedule.makespan
    return finish, {name: finish - heads[i] - lengths[name] - tails[i] for i, name in enumerate(lengths)}


def three(estimates: dict[str, tuple[float, float, float]]) -> dict[str, ThreePoint]:
    return {name: ThreePoint(optimistic=o, likely=m, pessimistic=p) for name, (o, m, p) in estimates.items()}


def critical(slacks: Mapping[str, int]) -> str:
    return "".join(sorted(name for name, slack in slacks.items() if not slack))


def test_reliable_construction_takes_44_weeks() -> None:
    finish, slacks = slacks_of(HOUSE_WEEKS, HOUSE_BEFORE)
    assert finish == 44
    assert critical(slacks) == "ABCEFJLN"
    assert {name: slack for name, slack in slacks.items() if slack} == {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}


def test_reliable_construction_by_three_point_estimates() -> None:
    estimates = three(HOUSE_ESTIMATES)
    assert {name: estimate.mean for name, estimate in estimates.items()} == HOUSE_WEEKS
    variance = sum(estimates[name].variance for name in "ABCEFJLN")
    assert variance == 9
    # The deadline of 47 weeks is one standard deviation away.
    assert round(NormalDist(44, float(variance) ** 0.5).cdf(47), 4) == 0.8413


def test_ten_activities_take_17_weeks() -> None:
    estimates = three(TEN_ESTIMATES)
    weeks = {name: int(estimate.mean) for name, estimate in estimates.items()}
    assert weeks == {name: estimate.mean for name, estimate in estimates.items()}
    finish, slacks = slacks_of(weeks, TEN_BEFORE)
    assert (finish, critical(slacks)) == (17, "CFHJ")
    assert round(float(sum(estimates[name].variance for name in "CFHJ")), 4) == 4.7778


NETWORKS = st.integers(1, 9).flatmap(
    lambda size: st.tuples(
        st.lists(st.integers(0, 9), min_size=size, max_size=size),
        st.lists(st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)), max_size=2 * size),
    )
)


@given(NETWORKS)
def test_longest_path_slack_and_criticality(drawn: tuple[list[int], list[tuple[int, int]]]) -> None:
    """Against the longest path of networkx; slack is what a delay costs nothing, and one unit more costs one unit."""
    minutes, pairs = drawn
    lengths = {f"a{index}": length for index, length in enumerate(minutes)}
    before: dict[str, set[str]] = {name: set() for name in lengths}
    for one, other in pairs:
        if one != other:
            before[f"a{max(one, other)}"].add(f"a{min(one, other)}")
    finish, slacks = slacks_of(lengths, before)
    graph = networkx.DiGraph()
    for name, length in lengths.items():
        graph.add_edge((name, "start"), (name, "end"), weight=length)
        graph.add_edges_from((((first, "end"), (name, "start"), {"weight": 0})) for first in before[name])
    assert finish == networkx.dag_longest_path_length(graph)
    for name, slack in slacks.items():
        for delay, cost in ((slack, 0), (slack + 1, 1)):
            assert slacks_of({**lengths, name: lengths[name] + delay}, before)[0] == finish + cost


def test_nonsense_is_refused() -> None:
    with pytest.raises(ValueError, match="circle"):
        ProjectNetwork(network_of({"a": 1, "b": 1}, {"a": "b", "b": "a"}))
    with pytest.raises(ValueError, match="optimistic"):
        ThreePoint(optimistic=3, likely=2, pessimistic=4)
