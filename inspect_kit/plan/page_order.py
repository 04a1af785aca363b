"""The steps of a plan in an order for one page: boxes of one panel stand together where no time is lost by it.

A plan is sorted by the clock, and where two people work their steps alternate: ten headings for one cowling. On the
page stretches of one panel are joined as long as every tie holds and the job still ends when the plan says: each person
does their own steps in the order of the page, each as soon as people and ties let it begin. What is done alone, holds
gear or must not be done while a setup stands keeps its place among what it concerns.
"""

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from inspect_kit.model.worksheet import Step
from inspect_kit.noun import dataclass
from inspect_kit.plan.answer import Plan
from inspect_kit.plan.checker import faults
from inspect_kit.plan.reordered import key_of, reordered
from inspect_kit.plan.request import Job
from inspect_kit.plan.steps import JobSteps, work_of

# So many steps are looked at, about; more of them than MOST stay in the order of the clock.
EFFORT = 1_000_000
MOST = 1_000


def page_order(job: Job, plan: Plan, effort: int = EFFORT) -> tuple[Step, ...]:
    """The steps of a plan without hours at hand, panels kept together; those of the plan where nothing is gained.

    `job` is the question that the plan answers. Every order that is given is a plan of at most the same length, which
    the checker has passed.
    """
    if len(plan.steps) > MOST or job.shifts:
        return plan.steps
    work = work_of(job)
    ties = _ties_of(work, plan)
    order = _joined(ties, list(range(len(plan.steps))), plan.elapsed, effort)
    starts = _starts(ties, order)
    assert starts is not None
    keys = [key_of(step.check, step.step, step.panel) for step in plan.steps]
    told = reordered(
        job,
        work,
        plan,
        dict(zip(keys, starts, strict=True)),
        dict(zip(keys, (step.who for step in plan.steps), strict=True)),
        {keys[index]: place for place, index in enumerate(order)},
    )
    # Boxes that stand together may even save a minute of a plan that was not the shortest.
    elapsed = max((step.end for step in told.steps), default=0)
    told = replace(told, elapsed=elapsed, proved=elapsed == plan.lower_bound)
    if elapsed > plan.elapsed or faults(job, told):
        return plan.steps
    return tuple(plan.steps[index] for index in order)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ties:
    """The steps of a plan by their place in it: `before` of each (place, least and most minutes), `after` the places.

    `after` holds all that may not come earlier on the page.
    """

    steps: Sequence[Step]
    before: Sequence[Sequence[tuple[int, int, int | None]]]
    after: Sequence[frozenset[int]]


def _ties_of(work: JobSteps, plan: Plan) -> _Ties:
    """The ties of the work between steps, and what the plan decided where the work leaves it open."""
    place = {key_of(step.check, step.step, step.panel): index for index, step in enumerate(plan.steps)}
    found: dict[tuple[int, int], tuple[int, int | None]] = {}

    def tie(first: int, second: int, least: int = 0, most: int | None = None) -> None:
        old_least, old_most = found.get((first, second), (0, None))
        known = [minutes for minutes in (most, old_most) if minutes is not None]
        found[first, second] = (max(least, old_least), min(known, default=None))

    for each in work.ties:
        if each.before in place and each.after in place:
            tie(place[each.before], place[each.after], each.least, each.most)
    for barrier in work.tasks.keys() - place.keys():
        # A barrier takes no time and has no box: what comes before it comes before what follows it.
        firsts = [each.before for each in work.ties if each.after == barrier and each.before in place]
        seconds = [each.after for each in work.ties if each.before == barrier and each.after in place]
        for first, second in itertools.product(firsts, seconds):
            tie(place[first], place[second])
    for one, other in _kept(work, place):
        if plan.steps[one].end <= plan.steps[other].start:
            tie(one, other)
        elif plan.steps[other].end <= plan.steps[one].start:
            tie(other, one)
    before: list[list[tuple[int, int, int | None]]] = [[] for _ in plan.steps]
    after: list[set[int]] = [set() for _ in plan.steps]
    for (one, other), (least, most) in found.items():
        before[other].append((one, least, most))
        after[one].add(other)
    return _Ties(steps=plan.steps, before=before, after=[frozenset(each) for each in after])


def _kept(work: JobSteps, place: Mapping[str, int]) -> set[tuple[int, int]]:
    """Pairs of steps that stay in the order of the plan: whatever people and ties alone do not keep apart."""
    pairs = {(place[key], other) for key, task in work.tasks.items() if task.alone for other in range(len(place))}
    ends = {stand.panel: [place[key] for key in (stand.first, stand.last) if key in place] for stand in work.stands}
    pairs |= {(place[key], end) for key, setup in work.apart for end in ends[setup]}
    holders = [(set(stand.gear), ends[stand.panel]) for stand in work.stands if stand.gear]
    holders += [(set(task.gear), [place[key]]) for key, task in work.tasks.items() if task.gear and key in place]
    for (gear, places), (others, there) in itertools.combinations(holders, 2):
        if gear & others:
            pairs |= set(itertools.product(places, there))
    return {(one, other) for one, other in pairs if one != other}


def _starts(ties: _Ties, order: Sequence[int]) -> list[int] | None:
    """When each step starts, everybody taking theirs in this order; None when one comes too late for a tie."""
    free: dict[str, int] = {}
    starts = [0] * len(ties.steps)
    ends = [0] * len(ties.steps)
    for index in order:
        step = ties.steps[index]
        start = max([free.get(name, 0) for name in step.who], default=0)
        for first, least, _ in ties.before[index]:
            start = max(start, ends[first] + least)
        if any(most is not None and start - ends[first] > most for first, _, most in ties.before[index]):
            return None
        starts[index], ends[index] = start, start + step.end - step.start
        for name in step.who:
            free[name] = ends[index]
    return starts


def _joined(ties: _Ties, order: list[int], elapsed: int, effort: int) -> list[int]:
    """The order with stretches of one panel moved to others of it, as long as that makes fewer stretches of all."""
    panels = [step.panel for step in ties.steps]
    gained = True
    while gained:
        gained = False
        block = 0
        while block < len(blocks := _stretches(order, panels)):
            for new in _moved(ties, order, blocks, block, panels):
                effort -= len(order)
                if effort < 0:
                    return order
                starts = _starts(ties, new)
                if starts is not None and _ends(ties, starts) <= elapsed:
                    order, gained = new, True
                    break
            else:
                block += 1
    return order


def _ends(ties: _Ties, starts: Sequence[int]) -> int:
    return max((start + step.end - step.start for start, step in zip(starts, ties.steps, strict=True)), default=0)


def _stretches(order: Sequence[int], panels: Sequence[str]) -> list[tuple[int, int]]:
    """The stretches of one panel, as (first place, place behind the last)."""
    found, first = [], 0
    for _, group in itertools.groupby(order, key=lambda index: panels[index]):
        length = len(list(group))
        found.append((first, first + length))
        first += length
    return found


def _moved(
    ties: _Ties, order: list[int], blocks: Sequence[tuple[int, int]], block: int, panels: Sequence[str]
) -> Iterator[list[int]]:
    """Orders in which this stretch, or one step of it, joins another of its panel: no tie broken, fewer stretches."""
    here = blocks[block]
    stretch = order[here[0] : here[1]]
    for there in blocks:
        if there == here or panels[order[there[0]]] != panels[stretch[0]]:
            continue
        for moving in (stretch, *([index] for index in stretch if len(stretch) > 1)):
            new = _with(ties, order, moving, there, here)
            if new is not None and len(_stretches(new, panels)) < len(blocks):
                yield new


def _with(
    ties: _Ties, order: list[int], moving: Sequence[int], to: tuple[int, int], here: tuple[int, int]
) -> list[int] | None:
    """The order with some steps of `here` behind or before the stretch `to`; None where a tie forbids it."""
    apart = set(moving)
    if to[1] <= here[0]:
        passed = [index for index in order[to[1] : here[1]] if index not in apart]
        if any(ties.after[index] & apart for index in passed):
            return None
        return [*order[: to[1]], *moving, *passed, *order[here[1] :]]
    passed = [index for index in order[here[0] : to[0]] if index not in apart]
    if any(ties.after[index].intersection(passed) for index in moving):
        return None
    return [*order[: here[0]], *passed, *moving, *order[to[0] :]]
