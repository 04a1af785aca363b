"""When a plan is likely to be done, and how late it may become: its order is kept, its durations are drawn anew.

A simulation: every step draws its minutes from the beta distribution that has the mean and variance of its three-point
estimate (PERT; Malcolm, Roseboom, Clark & Fazar 1959), and the pace of the day, shared by all steps, in the same way.
Steps are delayed, never re-planned: each waits for what the checklists tie it to, for its people, its gear, and for
whatever it may not overlap, in the order of the plan. In sessions a step begins where its planned minutes fit; what
runs over goes on in the next session. A `within` that comes to be passed is not mended here: whoever works watches it.
"""

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from random import Random

from inspect_kit.model.worksheet import Step
from inspect_kit.noun import dataclass
from inspect_kit.plan.answer import Plan
from inspect_kit.plan.estimates import Spread, ThreePoint
from inspect_kit.plan.reordered import key_of
from inspect_kit.plan.request import Job
from inspect_kit.plan.staff import joined_windows
from inspect_kit.plan.steps import BARRIER, JobSteps, work_of
from inspect_kit.scheduling.bounds import first_fit
from inspect_kit.scheduling.network import FOREVER
from inspect_kit.scheduling.problem import Window

DRAWS = 200
LATE = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Minutes from the start, breaks included: in half of the draws all is done by `likely`, in nine of ten by `late`.

    None: the sessions at hand end before that.
    """

    likely: int | None
    late: int | None
    draws: int


def finish_estimate(job: Job, plan: Plan, spread: Spread, draws: int = DRAWS, seed: int = 1) -> Finish:
    """The likely and the late finish of a plan of this job; the same for the same seed."""
    ends = finishes(job, plan, spread, draws, seed)

    def quantile(share: float) -> int | None:
        end = ends[min(len(ends) - 1, int(share * len(ends)))]
        return None if end >= FOREVER else round(end)

    return Finish(likely=quantile(0.5), late=quantile(LATE), draws=draws)


def finishes(job: Job, plan: Plan, spread: Spread, draws: int, seed: int) -> list[float]:
    """The finish of every draw, ascending; FOREVER where the sessions did not hold it."""
    keys = [key_of(step.check, step.step, step.panel) for step in plan.steps]
    before = _before(job, plan, keys)
    hours = _hours(job, plan.steps)
    shapes = [_beta(spread.of(key, step.end - step.start)) for key, step in zip(keys, plan.steps, strict=True)]
    pace = _beta(spread.pace)
    random = Random(seed)
    planned = [step.end - step.start for step in plan.steps]
    found = []
    for _ in range(draws):
        quick = _drawn(pace, random)
        ends: list[float] = []
        for index, minutes in enumerate(planned):
            ready = max([ends[first] + least for first, least in before[index]], default=0)
            ends.append(_end(ready, minutes, quick * _drawn(shapes[index], random) if minutes else 0, hours[index]))
        found.append(max(ends, default=0))
    return sorted(found)


Beta = tuple[float, float, float, float]


def _beta(estimate: ThreePoint) -> Beta:
    """Lowest value, width, and the two parameters of the beta distribution with PERT's mean and variance."""
    low, width = Fraction(estimate.optimistic), Fraction(estimate.pessimistic) - Fraction(estimate.optimistic)
    if not width:
        return float(low), 0.0, 1.0, 1.0
    mean = (estimate.mean - low) / width
    # The variance is a 36th of the width squared, so alpha + beta + 1 = 36 mean (1 - mean).
    sharp = 36 * mean * (1 - mean) - 1
    return float(low), float(width), float(mean * sharp), float((1 - mean) * sharp)


def _drawn(shape: Beta, random: Random) -> float:
    low, width, alpha, beta = shape
    return low + width * random.betavariate(alpha, beta) if width else low


def _end(ready: float, planned: int, minutes: float, hours: Sequence[Window] | None) -> float:
    """When a step ends that may begin at `ready`: at once, or where its planned minutes fit into its hours."""
    if hours is None or not planned:
        return ready + minutes
    if ready >= FOREVER:
        return FOREVER
    start: float = first_fit(hours, int(-(-ready // 1)), planned)
    place = max(0, bisect_right(hours, (start, FOREVER)) - 1)
    while place < len(hours):
        opened, closed = hours[place]
        start = max(start, opened)
        if start + minutes <= closed:
            return start + minutes
        minutes -= max(0, closed - start)
        place += 1
    return FOREVER


def _hours(job: Job, steps: Sequence[Step]) -> list[Sequence[Window] | None]:
    """For every step the hours in which all of its people are there; None: at any time."""
    if not job.shifts:
        return [None] * len(steps)
    rank = {name: number for number, name in enumerate(job.people_names())}
    many = job.crew.inspectors

    def there(who: tuple[str, ...]) -> tuple[Window, ...]:
        return joined_windows(
            [
                (shift.start, shift.end)
                for shift in job.shifts
                if all(
                    rank[name] < shift.inspectors
                    if rank[name] < many
                    else rank[name] - many < shift.people - shift.inspectors
                    for name in who
                )
            ]
        )

    known = {who: there(who) for who in {step.who for step in steps}}
    return [known[step.who] if step.who else None for step in steps]


def _before(job: Job, plan: Plan, keys: Sequence[str]) -> list[list[tuple[int, int]]]:
    """For every step those that it waits for, as (place in the plan, least minutes in between)."""
    work = work_of(job)
    place = {key: index for index, key in enumerate(keys)}
    found: list[dict[int, int]] = [{} for _ in keys]
    ties = [(tie.before, tie.after, tie.least) for tie in _without_barriers(work) if tie.before in place]
    for first, then, least in (*ties, *_kept(job, work, plan, keys)):
        # What the plan itself has the other way round, or at once, is no order to keep.
        if then in place and place[first] < place[then]:
            index = place[then]
            found[index][place[first]] = max(least, found[index].get(place[first], 0))
    return [sorted(each.items()) for each in found]


@dataclass(frozen=True, slots=True)
class _Tie:
    """Of two steps `after` starts `least` minutes after the end of `before` at the earliest."""

    before: str
    after: str
    least: int


def _without_barriers(work: JobSteps) -> Iterator[_Tie]:
    """The ties between steps; those through a barrier lead from each step before it to each after it."""
    into: dict[str, list[_Tie]] = {}
    for tie in work.ties:
        into.setdefault(tie.after, []).append(_Tie(tie.before, tie.after, tie.least))

    def firsts(key: str) -> Iterator[tuple[str, int]]:
        for tie in into.get(key, ()):
            if work.tasks[tie.before].verb == BARRIER:
                yield from firsts(tie.before)
            else:
                yield tie.before, tie.least

    for key, task in work.tasks.items():
        if task.verb != BARRIER:
            for before, least in firsts(key):
                yield _Tie(before, key, least)


def _kept(job: Job, work: JobSteps, plan: Plan, keys: Sequence[str]) -> Iterator[tuple[str, str, int]]:
    """The order in which the plan has people, gear, what is done alone, and what may not overlap."""
    steps = list(zip(keys, plan.steps, strict=True))
    lines = [[(key, step) for key, step in steps if name in step.who] for name in plan.names]
    for line in lines:
        for (first, _), (then, _) in pairwise(line):
            yield first, then, 0
    for key, step in steps:
        if work.tasks[key].alone:
            for line in lines:
                for other, each in line:
                    if other != key:
                        yield (other, key, 0) if each.end <= step.start else (key, other, 0)
    yield from _gear(job, work, dict(steps))
    by_key = dict(steps)
    stands = {stand.panel: stand for stand in work.stands}
    for check, setup in work.apart:
        stand = stands[setup]
        if stand.first in by_key and by_key[check].end <= by_key[stand.first].start:
            yield check, stand.first, 0
        else:
            yield stand.last, check, 0


def _gear(job: Job, work: JobSteps, steps: Mapping[str, Step]) -> Iterator[tuple[str, str, int]]:
    """Every piece of gear goes from one use to the next as the plan has it."""
    uses: dict[str, list[tuple[int, int, str, str]]] = {}
    for key, task in work.tasks.items():
        for name in task.gear if key in steps else ():
            uses.setdefault(name, []).append((steps[key].start, steps[key].end, key, key))
    for stand in work.stands:
        for name in stand.gear:
            start = steps[stand.first].start if stand.first in steps else 0
            uses.setdefault(name, []).append((start, steps[stand.last].end, stand.first, stand.last))
    for name in sorted(uses):
        pieces: list[tuple[int, str]] = [(0, "")] * max(1, job.gear.get(name, 1))
        for start, end, first, last in sorted(uses[name]):
            piece = max((each for each in range(len(pieces)) if pieces[each][0] <= start), key=lambda n: pieces[n][0])
            if pieces[piece][1] and first in steps:
                yield pieces[piece][1], first, 0
            pieces[piece] = (end, last)
