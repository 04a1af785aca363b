"""Why no order was found: the fewest demands of a job that cannot all be kept, each with what would help.

QuickXplain (Junker 2004, AAAI-04:167-172) halves the demands that an order may be short of until few are left, with as
many questions as those few times the logarithm of all. What a search finds no order for may have one, so a deletion
filter (Chinneck & Dravnieks 1991, ORSA Journal on Computing 3:157-168) goes over the few: each is given up in turn, and
for good when there is no order without it either. What is left is a set of which each one is needed.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TypeVar

from inspect_kit.model.checklist import duration
from inspect_kit.noun import dataclass
from inspect_kit.plan.answer import Contradiction
from inspect_kit.plan.frame import Frame, frame_of
from inspect_kit.plan.request import Job
from inspect_kit.plan.steps import JobSteps
from inspect_kit.scheduling.problem import Project, Solution
from inspect_kit.scheduling.solve import NODES, SCHEDULES

Solver = Callable[[Project, int, int], Solution]
T = TypeVar("T")

WITHIN, GEAR, APART, OVERNIGHT, SESSIONS = "within", "gear", "not-while", "overnight", "sessions"
DAY, MOST_SESSIONS = 24 * 60, 32
# What is left over is named up to here and counted from there on: below a hundred names nobody finds what helps.
MOST_NAMED = 6
# Schedules, and nodes of branch and bound, to ask whether there is an order at all, however long it takes.
BRIEFLY = (60, 3000)
# So few demands are asked about one by one.
FEW = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """Something that could be given up. `place` is its number among those of its kind in the problem."""

    kind: str
    place: int
    about: tuple[str, ...]
    says: str
    cure: str


def conflict(job: Job, work: JobSteps, answer: Solution, solve: Solver) -> Contradiction:
    """The demands of a job that cannot all be kept, or for which no order was found, as one contradiction."""
    kept, proved = _needed(job, work, solve, answer)
    if [demand.kind for demand in kept] == [SESSIONS]:
        short = _too_few_sessions(job, work, solve)
        if short is not None:
            return short
        # More of them would not help: then something else is in the way as well.
        longer = _with_more_sessions(job, MOST_SESSIONS)
        kept, proved = _needed(longer, work, solve, solve(frame_of(longer, work).problem, *BRIEFLY))
    return Contradiction(
        about=tuple(dict.fromkeys(name for demand in kept for name in demand.about)),
        reason=f"{'these cannot all be kept' if proved else 'no order was found that keeps all of these'}: "
        + "; ".join(demand.says for demand in kept),
        cure="one of these helps: " + "; ".join(dict.fromkeys(demand.cure for demand in kept)),
    )


def _needed(job: Job, work: JobSteps, solve: Solver, answer: Solution) -> tuple[list[Demand], bool]:
    """The demands without any one of which there is an order that keeps the others, and whether these are proved to
    contradict each other; by an `answer` that found no order for all.

    Nobody waits for as many full searches as there are demands: each is asked briefly. What is found is an order; what
    is not found is given up, so that fewer are named, none that would not help.
    """
    frame = frame_of(job, work)

    def solved(demands: Sequence[Demand]) -> Solution:
        return solve(_keeping(frame, demands), *BRIEFLY)

    def has_order(demands: Sequence[Demand]) -> bool:
        return solved(demands).schedule is not None

    kept = list(_demands(job, work, frame))
    if len(kept) > FEW:
        # What comes last is given up most easily: it is to be named where one of several would do.
        kept = quick_explanation((), kept[::-1], has_order)[::-1] if has_order(()) else []
        answer = solved(kept)
    for demand in tuple(kept):
        rest = [each for each in kept if each is not demand]
        without = solved(rest)
        if without.schedule is None:
            kept, answer = rest, without
    return kept, answer.reason in ("circle", "none")


def quick_explanation(
    kept: Sequence[T], asked: Sequence[T], has_order: Callable[[Sequence[T]], bool], *, more: bool = False
) -> list[T]:
    """The fewest of `asked`, the first ones if it can be, with which and with those `kept` there is no order.

    `more` says that `kept` has more in it than when it was last seen to have one.
    """
    if more and not has_order(kept):
        return []
    if len(asked) == 1:
        return [*asked]
    first, second = asked[: len(asked) // 2], asked[len(asked) // 2 :]
    behind = quick_explanation((*kept, *first), second, has_order, more=True)
    return [*quick_explanation((*kept, *behind), first, has_order, more=bool(behind)), *behind]


def _demands(job: Job, work: JobSteps, frame: Frame) -> Iterator[Demand]:
    """Everything that more can be asked of than can be had, what is given up most easily comes last and so stays."""
    if job.shifts:
        longest = max(shift.end - shift.start for shift in job.shifts)
        yield Demand(
            kind=SESSIONS,
            place=0,
            about=(),
            says=f"no session is longer than {duration(longest)}",
            cure="longer sessions",
        )
    for place, (check, setup) in enumerate(work.apart):
        yield Demand(
            kind=APART,
            place=place,
            about=(check, setup),
            says=f"{job.named(check)} is not to be done while {job.named(setup)} stands",
            cure=f"take {setup} out of `not-while` of {check}",
        )
    for place, hold in enumerate(frame.problem.holds):
        if not hold.over_breaks and job.shifts:
            name = frame.keys[hold.last].partition(" ")[2]
            yield Demand(
                kind=OVERNIGHT,
                place=place,
                about=(name,),
                says=f"{job.named(name)} must not stand over a break",
                cure=f"a session that holds all that is done while {job.named(name)} stands",
            )
    first = len(frame.problem.capacities) - len(frame.gear)
    for place, name in enumerate(frame.gear):
        have = job.gear.get(name, 0)
        users = [key for key, task in work.tasks.items() if name in task.gear]
        users += [stand.panel for stand in work.stands if name in stand.gear]
        yield Demand(
            kind=GEAR,
            place=first + place,
            about=tuple(sorted(users)),
            says=f"there {_are(have)} {have} of `{name}` under `tooling` for "
            f"{', '.join(map(job.named, sorted(users)))}",
            cure=f"more of `{name}` under `tooling`",
        )
    for place, tie in enumerate(work.ties):
        if tie.most is not None:
            yield Demand(
                kind=WITHIN,
                place=place,
                about=(tie.after, tie.before),
                says=tie.why,
                cure=f"more time in `within` of {tie.after}",
            )


def _keeping(frame: Frame, demands: Sequence[Demand]) -> Project:
    """The problem with these demands and no other."""
    problem = frame.problem
    kept = {(demand.kind, demand.place) for demand in demands}
    sessions = (SESSIONS, 0) in kept
    plenty = sum(max(map(max, activity.modes)) for activity in problem.activities)
    plenty += sum(max(hold.amounts) for hold in problem.holds)
    # People, and the room for one thing alone, stay as they are: with time enough they are never short.
    first = len(problem.capacities) - len(frame.gear)
    return replace(
        problem,
        precedences=tuple(
            each if (WITHIN, place) in kept else replace(each, max_lag=None)
            for place, each in enumerate(problem.precedences)
        ),
        disjunctions=tuple(each for place, each in enumerate(problem.disjunctions) if (APART, place) in kept),
        holds=tuple(
            each if (OVERNIGHT, place) in kept else replace(each, over_breaks=True)
            for place, each in enumerate(problem.holds)
        ),
        capacities=tuple(
            amount if place < first or (GEAR, place) in kept else max(amount, plenty)
            for place, amount in enumerate(problem.capacities)
        ),
        windows=problem.windows if sessions else (None,) * len(problem.capacities),
        shifts=problem.shifts if sessions else None,
    )


def _with_more_sessions(job: Job, more: int) -> Job:
    """The job with `more` sessions after its last one, each like that, one a day."""
    last = job.shifts[-1]
    every = max(DAY, last.end - last.start)
    later = [replace(last, start=last.start + n * every, end=last.end + n * every) for n in range(1, more + 1)]
    return replace(job, shifts=(*job.shifts, *later))


def _too_few_sessions(job: Job, work: JobSteps, solve: Solver) -> Contradiction | None:
    """Nothing but the hours is short: what is left over, and how many more sessions like the last one hold it."""
    last, more = job.shifts[-1], 1
    while more <= MOST_SESSIONS:
        longer = _with_more_sessions(job, more)
        frame = frame_of(longer, work)
        schedule = solve(frame.problem, SCHEDULES, NODES).schedule
        if schedule is not None:
            left = [
                key
                for key, start, activity in zip(frame.keys, schedule.starts, frame.problem.activities, strict=True)
                if start >= last.end and activity.duration
            ]
            used = sum(1 for shift in longer.shifts[len(job.shifts) :] if shift.start < schedule.makespan)
            return Contradiction(
                about=tuple(left),
                reason=f"the sessions do not hold the work: {_few(list(map(job.named, left)))} "
                f"{_are(len(left))} left over",
                cure=f"{used} more {'session' if used == 1 else 'sessions'} like the last one "
                f"({duration(last.end - last.start)}) would hold the work",
            )
        more *= 2
    return None


def _few(names: Sequence[str]) -> str:
    if len(names) <= MOST_NAMED:
        return ", ".join(names)
    return f"{', '.join(names[: MOST_NAMED - 1])} and {len(names) - MOST_NAMED + 1} more"


def _are(number: int) -> str:
    return "is" if number == 1 else "are"
