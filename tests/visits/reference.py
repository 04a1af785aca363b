"""The same model as a mixed-integer programme for HiGHS, sharing nothing with the search but the problem's nouns."""

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from inspect_kit.visits.core.problem import TODAY, Problem


def solve(problem: Problem, *, seconds: float = 60.0, relaxed: bool = False) -> tuple[float, float, bool]:
    """Best total, proved lower bound, and whether proved optimal; `relaxed` gives the linear relaxation."""
    costs: list[float] = []
    whole: list[int] = []

    def column(cost: float, integer: bool = False) -> int:
        costs.append(cost)
        whole.append(int(integer and not relaxed))
        return len(costs) - 1

    rows, columns, values, low, high = [], [], [], [], []

    def row(terms: list[tuple[int, float]], least: float, most: float) -> None:
        for index, value in terms:
            rows.append(len(low))
            columns.append(index)
            values.append(value)
        low.append(least)
        high.append(most)

    slots = problem.slots
    visit = [column(problem.visit[slot], True) for slot in range(slots)]
    opened = {(name, slot): column(cost, True) for name, cost in problem.setups.items() for slot in range(slots)}
    for name in problem.setups:
        for slot in range(slots):
            row([(opened[name, slot], 1), (visit[slot], -1)], -np.inf, 0)
    done: dict[tuple[str, int], list[int]] = {}
    for item in problem.items:
        out: dict[int, list[int]] = {last: [] for last in range(TODAY, slots)}
        into: dict[int, list[int]] = {slot: [] for slot in range(slots)}
        for last in range(TODAY, slots):
            limit = item.latest[last + 1]
            for again in range(last + 1, min(limit, slots - 1) + 1):
                arc = column(item.waste[last + 1][again - last - 1])
                out[last].append(arc)
                into[again].append(arc)
            if limit >= slots:
                out[last].append(column(0.0))
        row([(arc, 1) for arc in out[TODAY]], 1, 1)
        for slot in range(slots):
            row([(arc, 1) for arc in into[slot]] + [(arc, -1) for arc in out[slot]], 0, 0)
            done[item.name, slot] = into[slot]
            used = [(arc, 1) for arc in into[slot]]
            for name in item.needs:
                row([*used, (opened[name, slot], -1)], -np.inf, 0)
            if not item.needs:
                row([*used, (visit[slot], -1)], -np.inf, 0)
    for item in problem.items:
        for leader in item.follows:
            for slot in range(slots):
                row([(arc, 1) for arc in done[leader, slot]] + [(arc, -1) for arc in done[item.name, slot]],
                    -np.inf, 0)
    matrix = coo_array((values, (rows, columns)), shape=(len(low), len(costs)))
    answer = milp(np.array(costs), integrality=np.array(whole), bounds=Bounds(0, 1),
                  constraints=LinearConstraint(matrix.tocsr(), np.array(low), np.array(high)),
                  options={"time_limit": seconds, "mip_rel_gap": 1e-6})
    if answer.x is None:
        return float("inf"), float(answer.mip_dual_bound or 0.0), answer.status == 2
    bound = answer.fun if relaxed else answer.mip_dual_bound
    return float(answer.fun), float(bound), answer.status == 0
