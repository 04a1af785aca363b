"""Good plans: built where the relaxation leans, bred from rhythms and from each other, shaken and improved."""

import math
import random
from collections.abc import Iterator, Sequence

from inspect_kit.noun import dataclass
from inspect_kit.replenishment.board import Board
from inspect_kit.replenishment.bound import FIRST_STEP, Relaxation
from inspect_kit.replenishment.breed import Breeder, Plan, different, rhythm, slots_of
from inspect_kit.replenishment.narrow import narrowed, on_all_slots
from inspect_kit.replenishment.paths import arcs_of
from inspect_kit.replenishment.problem import JointProblem, Replenishment
from inspect_kit.replenishment.settle import SMALL, descend, lay, leaders_first
from inspect_kit.replenishment.shake import shake
from inspect_kit.replenishment.shares import Shares, shares

# A plan may be so much worse, as a part of the best cost, when shaking begins.
HEAT = 0.04
# Plans are built all along a relaxation but for the first rounds: those that differ are good parents.
BUILD_FROM, BUILD_EVERY = 0.2, 12
PARENTS, BROOD_RHYTHMS, ELDERS = 3, 3, 3

# Forty items over fifty slots; the default effort is measured on such.
USUAL_WORK = 40_000
# A plan so near to the bound is not searched any further.
GOOD_ENOUGH = 0.0005


@dataclass(frozen=True, kw_only=True, slots=True)
class Effort:
    """How much to search. Never seconds.

    Rounds of the relaxation; sets of slots sown and crossed; generations of plans; shakes of the last ones. Each of a
    generation takes `brood_rounds` rounds and `brood_shakes` shakes on the slots of its parents and a few rhythms.
    """

    rounds: int = 125
    generations: int = 5
    brood_rounds: int = 30
    brood_shakes: int = 120
    shakes: int = 450
    sown: int = 80
    crossed: int = 150
    seed: int = 1


def effort_for(problem: JointProblem, seconds: float = 2.0) -> Effort:
    """How much to search for what takes about so long on a small computer: reckoned from the size, never timed."""
    work = sum(800 + arcs_of(item) for item in problem.items)
    # The time grows faster than the size: more items see more visits.
    share = seconds / 2 * USUAL_WORK / max(1, work) * min(1.0, (2.5 * USUAL_WORK / max(1, work)) ** 0.5)
    return Effort(
        rounds=round(min(300, max(40, 190 * share))),
        sown=round(min(300, max(20, 80 * share))),
        crossed=round(min(600, max(40, 150 * share))),
        generations=round(min(8, max(1, 2.5 * share))),
        shakes=round(min(4000, max(90, 440 * share))),
    )


def build(board: Board, order: Sequence[int], now: Relaxation) -> None:
    """A plan from nothing, set-ups cheap where the relaxation leans on them; then descend.

    Leaders that follow nobody stand where the relaxation has them.
    """
    shared = board.shared

    def chosen(item: int) -> list[int]:
        free = shared.followers[item] and not shared.leaders[item]
        return now.chains[item] if free else board.best(item, board.prices(item))[1]

    lay(board, board.sheet(discounted(shared, now)), order, chosen)
    descend(board, wide=True)


def discounted(shared: Shares, now: Relaxation) -> list[list[float]]:
    """The set-up costs, less where the relaxation leans on them."""
    return [
        [
            cost * (1 - min(1.0, lean))
            for cost, lean in zip(group.costs, map(max, *(now.lean[user] for user in group.users)), strict=True)
        ]
        for group in shared.groups
    ]


def improve_by_shaking(board: Board, dice: random.Random, turns: int) -> Plan:
    """Shake the plan on the board, descend, keep what is better or hardly worse; the best plan is left on the board.

    What is hardly worse is kept less and less: threshold accepting. Source: Dueck and Scheuer 1990.
    """
    best = list(board.chains)
    least = board.cost
    here = board.state()
    for turn in range(turns):
        if shake(board, dice):
            descend(board, wide=False)
            allowed = here[-1] + HEAT * least * (1 - turn / turns) ** 2 * dice.random()
            if board.cost < allowed - SMALL:
                here = board.state()
                if board.cost < least - SMALL:
                    best, least = list(board.chains), board.cost
                continue
        board.restore(here)
    board.load(best)
    descend(board, wide=True)
    return board.cost, [list(chain) for chain in board.chains]


def relaxed(board: Board, rounds: int) -> Iterator[tuple[float, Plan]]:
    """Relax the problem; now and then the bound so far, with a plan built where the relaxation leans."""
    items = board.shared.problem.items
    order = leaders_first(board, lambda item: len(items[item].needs))
    now = Relaxation(board.shared)
    for turn in now.run(rounds, FIRST_STEP):
        if turn == rounds - 1 or (turn >= BUILD_FROM * rounds and turn % BUILD_EVERY == BUILD_EVERY - 1):
            build(board, order, now)
            yield now.bound, (board.total(), [list(chain) for chain in board.chains])


def child(problem: JointProblem, parents: Sequence[Plan], effort: Effort, dice: random.Random) -> Plan:
    """A plan whose visits are among those of its parents and of a few rhythms.

    On so few slots the relaxation is quick, and it is not torn between slots that lie side by side.
    """
    own = [slots_of(chains) for _, chains in parents]
    kept = sorted(set().union(*own, *(rhythm(problem, dice) for _ in range(BROOD_RHYTHMS))))
    board = Board(shares(narrowed(problem, kept)))
    board.load(min(plan for _, plan in relaxed(board, effort.brood_rounds))[1])
    cost, chains = improve_by_shaking(board, dice, effort.brood_shakes)
    return cost, on_all_slots(chains, kept)


def replenish(problem: JointProblem, effort: Effort) -> Replenishment:
    """A good plan and a valid lower bound. Deterministic: the same problem and effort give the same plan.

    Errors: ValueError naming the items that no choice of slots can keep within their limits.
    """
    shared = shares(problem)
    stuck = [
        item.name
        for item, chain in zip(problem.items, shared.chains, strict=True)
        if chain.cheapest([0.0] * problem.slots)[0] == math.inf
    ]
    if stuck:
        raise ValueError(f"no slot in time for: {', '.join(stuck)}")
    dice = random.Random(effort.seed)
    board = Board(shared)
    found = list(relaxed(board, effort.rounds))
    bound, plans = found[-1][0], [plan for _, plan in found]
    enough = bound * (1 + GOOD_ENOUGH)
    breeder = Breeder(board, plans)
    for attempt in [breeder.sow] * effort.sown + [breeder.cross] * effort.crossed:
        if breeder.pool[0][0] > enough:
            attempt(dice)
    plans = breeder.pool
    for _ in range(effort.generations):
        if plans[0][0] > enough:
            parents = [plans[0], *dice.sample(plans[1:], min(PARENTS, len(plans)) - 1)]
            plans = different([*plans, child(problem, parents, effort, dice)])
    for _, chains in plans[:ELDERS]:
        if min(plans)[0] > enough:
            board.load(chains)
            plans = [*plans, improve_by_shaking(board, dice, effort.shakes // ELDERS)]
    board.load(min(plans)[1])
    return _schedule(board, bound)


def _schedule(board: Board, bound: float) -> Replenishment:
    """The plan on the board with its cost in three parts."""
    problem = board.shared.problem
    doings = {item.name: tuple(chain) for item, chain in zip(problem.items, board.chains, strict=True)}
    visits = slots_of(board.chains)
    opened = {(name, slot) for item in problem.items for slot in doings[item.name] for name in item.needs}
    return Replenishment(
        doings=doings,
        visits=sum(problem.visit[slot] for slot in sorted(visits)),
        setups=sum(problem.setups[name] for name, _ in sorted(opened)),
        waste=sum(chain.waste(done) for chain, done in zip(board.shared.chains, board.chains, strict=True)),
        bound=bound,
    )
