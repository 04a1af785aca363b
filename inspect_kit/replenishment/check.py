"""Whether a schedule is what it says: every limit kept, every follower there, every cost adding up.

It shares nothing with the search but the problem: it reads the items' own tables.
"""

from collections.abc import Iterator

from inspect_kit.replenishment.problem import JointProblem, Replenishment

EPSILON = 1e-6


def schedule_faults(problem: JointProblem, schedule: Replenishment) -> list[str]:
    """Everything that is wrong with a schedule, in words; empty when nothing is."""
    wrong = [*_limits(problem, schedule), *_following(problem, schedule)]
    # What breaks a limit has no cost in the tables.
    return wrong or list(_costs(problem, schedule))


def _limits(problem: JointProblem, schedule: Replenishment) -> Iterator[str]:
    horizon = len(problem.visit)
    for item in problem.items:
        with_others = {slot for leader in item.follows for slot in schedule.doings[leader]}
        node = 0
        for slot in schedule.doings[item.name]:
            if not 0 <= slot < horizon or slot < node:
                yield f"{item.name}: slot {slot} is none, or not after the one before"
            elif slot > item.latest[node]:
                yield f"{item.name}: at slot {slot}, past its limit at {item.latest[node]}"
            elif item.earliest and slot < item.earliest[node] and slot not in with_others:
                yield f"{item.name}: at slot {slot}, before {item.earliest[node]} and by choice"
            node = slot + 1
        if item.latest[node] < horizon:
            yield f"{item.name}: falls due at slot {item.latest[node]} and is not done again"


def _following(problem: JointProblem, schedule: Replenishment) -> Iterator[str]:
    for item in problem.items:
        for leader in item.follows:
            alone = set(schedule.doings[leader]) - set(schedule.doings[item.name])
            if alone:
                yield f"{item.name}: not done with {leader} at slot {min(alone)}"


def _costs(problem: JointProblem, schedule: Replenishment) -> Iterator[str]:
    waste = 0.0
    open_at: dict[int, set[str]] = {}
    for item in problem.items:
        before = -1
        for slot in schedule.doings[item.name]:
            open_at.setdefault(slot, set()).update(item.needs)
            waste += item.waste[before + 1][slot - before - 1]
            before = slot
    visits = sum(problem.visit[slot] for slot in open_at)
    setups = sum(problem.setups[name] for names in open_at.values() for name in names)
    told = (("visits", schedule.visits, visits), ("set-ups", schedule.setups, setups), ("waste", schedule.waste, waste))
    for name, said, found in told:
        if abs(said - found) > EPSILON * max(1.0, found):
            yield f"{name} are said to cost {said}, and cost {found}"
    if schedule.bound > schedule.total + EPSILON * max(1.0, schedule.total):
        yield f"the bound {schedule.bound} is above the cost {schedule.total}"
