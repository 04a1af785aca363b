"""The same model as a mixed-integer programme for HiGHS, sharing nothing with the search but the problem's nouns.

Tightened in ways that leave the optimum as it is: set-ups with the same users are one; an item opens the smallest of
its sets only, and each set opens the next larger one; how often a set is open is a whole number to branch on.
"""

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from inspect_kit.replenishment.problem import TODAY, JointProblem

Terms = list[tuple[int, float]]


class Programme:
    """Columns and rows as they come in."""

    def __init__(self) -> None:
        self.costs: list[float] = []
        self.whole: list[int] = []
        self.most: list[float] = []
        self.entries: list[tuple[int, int, float]] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def column(self, cost: float, *, whole: bool = False, most: float = 1.0) -> int:
        self.costs.append(cost)
        self.whole.append(int(whole))
        self.most.append(most)
        return len(self.costs) - 1

    def row(self, terms: Terms, low: float, high: float) -> None:
        self.entries += [(len(self.low), column, value) for column, value in terms]
        self.low.append(low)
        self.high.append(high)

    def at_most(self, these: list[int], other: int) -> None:
        self.row([*((column, 1.0) for column in these), (other, -1.0)], -np.inf, 0)


def sets_of_users(problem: JointProblem) -> dict[frozenset[str], list[float]]:
    """Which items share a cost, and the cost at each slot; the visit is shared by all."""
    users: dict[str, set[str]] = {}
    for item in problem.items:
        for name in item.needs:
            users.setdefault(name, set()).add(item.name)
    costs = {frozenset(item.name for item in problem.items): list(problem.visit)}
    for name, who in users.items():
        row = costs.setdefault(frozenset(who), [0.0] * problem.slots)
        row[:] = [cost + problem.setups[name] for cost in row]
    return costs


def programme(problem: JointProblem) -> Programme:
    made, slots = Programme(), problem.slots
    opened: dict[frozenset[str], list[int]] = {}
    for who, costs in sets_of_users(problem).items():
        opened[who] = [made.column(cost, whole=True) for cost in costs]
        often = made.column(0.0, whole=True, most=slots)
        made.row([*((column, 1.0) for column in opened[who]), (often, -1.0)], 0, 0)
    for who in opened:
        above = [other for other in opened if who < other]
        for other in above:
            if not any(between < other for between in above):
                for inner, outer in zip(opened[who], opened[other], strict=True):
                    made.at_most([inner], outer)
    done: dict[tuple[str, int], list[int]] = {}
    for item in problem.items:
        out: dict[int, list[int]] = {last: [] for last in range(TODAY, slots)}
        into: dict[int, list[int]] = {slot: [] for slot in range(slots)}
        for last in range(TODAY, slots):
            limit = item.latest[last + 1]
            early = item.earliest[last + 1] if item.earliest and not item.follows else 0
            for again in range(max(last + 1, early), min(limit, slots - 1) + 1):
                arc = made.column(item.waste[last + 1][again - last - 1])
                out[last].append(arc)
                into[again].append(arc)
            if limit >= slots:
                out[last].append(made.column(0.0))
        made.row([(arc, 1.0) for arc in out[TODAY]], 1, 1)
        mine = [who for who in opened if item.name in who]
        smallest = [who for who in mine if not any(other < who for other in mine)]
        for slot in range(slots):
            made.row([*((arc, 1.0) for arc in into[slot]), *((arc, -1.0) for arc in out[slot])], 0, 0)
            done[item.name, slot] = into[slot]
            for who in smallest:
                made.at_most(into[slot], opened[who][slot])
    for item in problem.items:
        for leader in item.follows:
            for slot in range(slots):
                terms = [*((arc, 1.0) for arc in done[leader, slot]), *((arc, -1.0) for arc in done[item.name, slot])]
                made.row(terms, -np.inf, 0)
    return made


def solve(problem: JointProblem, *, seconds: float = 60.0, relaxed: bool = False) -> tuple[float, float, bool]:
    """Best total, proved lower bound, and whether proved optimal; `relaxed` gives the linear relaxation."""
    made = programme(problem)
    rows, columns, values = zip(*made.entries, strict=True)
    matrix = coo_array((values, (rows, columns)), shape=(len(made.low), len(made.costs))).tocsr()
    answer = milp(
        np.array(made.costs),
        integrality=np.array(made.whole) * (not relaxed),
        bounds=Bounds(0, np.array(made.most)),
        constraints=LinearConstraint(matrix, np.array(made.low), np.array(made.high)),
        options={"time_limit": seconds, "mip_rel_gap": 1e-6},
    )
    if answer.x is None:
        return float("inf"), float(answer.mip_dual_bound or 0.0), answer.status == 2
    bound = answer.fun if relaxed else answer.mip_dual_bound
    return float(answer.fun), float(bound), answer.status == 0
