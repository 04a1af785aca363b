"""Who shares what: set-ups with the same users merged, those with one user given to that user."""


from inspect_kit.noun import dataclass
from inspect_kit.replenishment.paths import Chain
from inspect_kit.replenishment.problem import JointProblem


@dataclass(frozen=True, kw_only=True, slots=True)
class SharedSetUps:
    """Set-ups that the same items need (positions in the problem's list), and their cost together at each slot."""

    users: tuple[int, ...]
    costs: tuple[float, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Shares:
    """A problem in the shape that the search works on, items by their position in the problem.

    `alone` is what an item pays by itself at each slot; `groups` what it shares, the visit among them; `member` says of
    each item in which groups it is and at which place among their users. `leaders` are the items that each item
    follows, those that these follow included; `followers` the other way round.
    """

    problem: JointProblem
    chains: tuple[Chain, ...]
    alone: tuple[tuple[float, ...], ...]
    groups: tuple[SharedSetUps, ...]
    member: tuple[tuple[tuple[int, int], ...], ...]
    leaders: tuple[tuple[int, ...], ...]
    followers: tuple[tuple[int, ...], ...]


def shares(problem: JointProblem) -> Shares:
    """Sort out who shares what in a problem."""
    items, slots = problem.items, problem.slots
    users: dict[str, list[int]] = {}
    for position, item in enumerate(items):
        for name in item.needs:
            users.setdefault(name, []).append(position)
    costs: dict[tuple[int, ...], list[float]] = {tuple(range(len(items))): list(problem.visit)}
    for name, who in users.items():
        together = costs.setdefault(tuple(who), [0.0] * slots)
        together[:] = [cost + problem.setups[name] for cost in together]
    alone = [(0.0,) * slots for _ in items]
    groups = []
    for members, together in costs.items():
        if len(members) == 1:
            alone[members[0]] = tuple(together)
        elif members and any(together):
            groups.append(SharedSetUps(users=members, costs=tuple(together)))
    place = {item.name: position for position, item in enumerate(items)}
    leaders: list[tuple[int, ...]] = []
    for item in items:
        direct = [place[name] for name in item.follows]
        leaders.append(tuple(sorted({*direct, *(above for leader in direct for above in leaders[leader])})))
    return Shares(
        problem=problem,
        chains=tuple(Chain(item) for item in items),
        alone=tuple(alone),
        groups=tuple(groups),
        member=tuple(
            tuple((number, each.users.index(position)) for number, each in enumerate(groups) if position in each.users)
            for position in range(len(items))
        ),
        leaders=tuple(leaders),
        followers=tuple(
            tuple(other for other in range(len(items)) if position in leaders[other]) for position in range(len(items))
        ),
    )
