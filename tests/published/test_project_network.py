"""Critical path and PERT against two worked examples of the textbooks.

Reliable Construction: Hillier & Lieberman, Introduction to Operations Research, the chapter on project management with
PERT/CPM. Its predecessors are from memory (M). Durations, three-point estimates, slacks and results come from notes of
the example that mark nothing but the predecessors as remembered; they were not read again here. That they fit together
(every mean is the duration, the path adds up) is asserted below and is evidence of its own.

Ten activities: an exercise on PERT, all values read in a text (T) whose title was not noted.
"""

from fractions import Fraction

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.scheduling.bounds import heads_and_tails, pools_of
from inspect_kit.scheduling.network import Network
from inspect_kit.scheduling.paths import Forecast, ThreePoint, critical_path, forecast
from inspect_kit.scheduling.problem import Activity, Lag, Problem
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


def three(estimates: dict[str, tuple[float, float, float]]) -> dict[str, ThreePoint]:
    return {name: ThreePoint(optimistic=o, likely=m, pessimistic=p) for name, (o, m, p) in estimates.items()}


def test_reliable_construction_takes_44_weeks() -> None:
    timings = critical_path(HOUSE_WEEKS, HOUSE_BEFORE)
    assert timings.finish == 44
    assert "".join(sorted(timings.critical)) == "ABCEFJLN"
    slack = {name: timing.slack for name, timing in timings.of.items() if timing.slack}
    assert slack == {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}


def test_reliable_construction_by_three_point_estimates() -> None:
    estimates = three(HOUSE_ESTIMATES)
    assert {name: estimate.mean for name, estimate in estimates.items()} == HOUSE_WEEKS
    found = forecast(estimates, HOUSE_BEFORE)
    assert "".join(found.path) == "ABCEFJLN"
    assert (found.mean, found.variance) == (44, 9)
    # The deadline of 47 weeks is one standard deviation away.
    assert round(found.chance_by(47), 4) == 0.8413
    assert round(found.time_for(0.8413), 2) == 47


def test_ten_activities_take_17_weeks() -> None:
    estimates = three(TEN_ESTIMATES)
    found = forecast(estimates, TEN_BEFORE)
    assert "".join(found.path) == "CFHJ"
    assert found.mean == 17
    assert round(float(found.variance), 4) == 4.7778
    timings = critical_path({name: estimate.mean for name, estimate in estimates.items()}, TEN_BEFORE)
    assert (timings.finish, "".join(timings.critical)) == (17, "CFHJ")


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
    timings = critical_path(lengths, before)
    graph = networkx.DiGraph()
    for name, length in lengths.items():
        graph.add_edge((name, "start"), (name, "end"), weight=length)
        graph.add_edges_from((((first, "end"), (name, "start"), {"weight": 0})) for first in before[name])
    assert timings.finish == networkx.dag_longest_path_length(graph)
    for name, timing in timings.of.items():
        for delay, cost in ((timing.slack, 0), (timing.slack + 1, 1)):
            later = critical_path({**lengths, name: lengths[name] + delay}, before)
            assert later.finish == timings.finish + cost


def test_of_two_equal_paths_the_less_certain_one_is_told() -> None:
    estimates = three({"sure": (4, 4, 4), "unsure": (1, 4, 7)})
    assert forecast(estimates, {}) == Forecast(path=("unsure",), mean=Fraction(4), variance=Fraction(1))


def test_what_is_certain_is_finished_then_and_not_before() -> None:
    found = forecast(three({"a": (4, 4, 4), "b": (2, 2, 2)}), {"b": "a"})
    assert (found.chance_by(5.9), found.chance_by(6), found.time_for(0.9)) == (0, 1, 6)


def test_nonsense_is_refused() -> None:
    with pytest.raises(ValueError, match="circle"):
        critical_path({"a": 1, "b": 1}, {"a": "b", "b": "a"})
    with pytest.raises(ValueError, match="no length is given for c"):
        critical_path({"a": 1}, {"a": "c"})
    with pytest.raises(ValueError, match="optimistic"):
        ThreePoint(optimistic=3, likely=2, pessimistic=4)
    with pytest.raises(ValueError, match="probability"):
        forecast(three({"a": (1, 2, 3)}), {}).time_for(1)


def test_the_scheduling_core_finds_the_same_weeks_and_slacks() -> None:
    """Enough people for everything at once: the plan's own heads, tails and finish are those of the critical path."""
    names = sorted(HOUSE_WEEKS)
    problem = Problem(
        activities=tuple(Activity(key=name, minutes=HOUSE_WEEKS[name], modes=((1,),)) for name in names),
        capacities=(len(names),),
        lags=tuple(
            Lag(before=names.index(before), after=names.index(after))
            for after in names
            for before in HOUSE_BEFORE[after]
        ),
        people=1,
    )
    answer = solve(problem)
    assert answer.schedule is not None
    assert (answer.schedule.finish, answer.bound, answer.proved) == (44, 44, True)
    heads, tails = heads_and_tails(Network(problem), pools_of(problem))
    slacks = {name: 44 - heads[i] - HOUSE_WEEKS[name] - tails[i] for i, name in enumerate(names)}
    assert {name: slack for name, slack in slacks.items() if slack} == {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}
