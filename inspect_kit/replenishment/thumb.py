"""Schedules by rules of thumb, which a search has to beat: each item as late as it may be, or with what is near.

Both keep every limit, and do an item with those that it follows.
"""

from collections.abc import Mapping, Sequence

from inspect_kit.replenishment.problem import TODAY, JointProblem

Doings = dict[str, tuple[int, ...]]
Near = Mapping[str, Sequence[int]]
"""By item, with the entries of its `latest`: the first slot at which it is near its limit."""


def when_due(problem: JointProblem) -> Doings:
    """Each item as late as it may be, and with those that it follows."""
    return with_what_is_near(problem, {item.name: (problem.slots,) * len(item.latest) for item in problem.items})


def with_what_is_near(problem: JointProblem, near: Near) -> Doings:
    """Whenever an item is as late as it may be: it, and all that is near its limit then.

    What falls due only after the horizon is not done, which favours the rule.
    """
    last = dict.fromkeys((item.name for item in problem.items), TODAY)
    chains: dict[str, list[int]] = {name: [] for name in last}
    while True:
        due = {item.name: item.latest[last[item.name] + 1] for item in problem.items}
        slot = min((when for name, when in due.items() if last[name] < when < problem.slots), default=problem.slots)
        if slot == problem.slots:
            return {name: tuple(chain) for name, chain in chains.items()}
        there: set[str] = set()
        for item in problem.items:
            node = last[item.name] + 1
            wanted = near[item.name][node]
            if item.earliest:
                wanted = max(wanted, item.earliest[node])
            falls_due = last[item.name] < due[item.name] < problem.slots
            is_time = due[item.name] == slot or wanted <= slot
            if (falls_due and is_time) or there.intersection(item.follows):
                there.add(item.name)
        for name in there:
            last[name] = slot
            chains[name].append(slot)
