"""The steps of a job as a problem of scheduling: people in groups, gear, room for one thing alone."""

from collections.abc import Iterator, Mapping

from inspect_kit.noun import dataclass
from inspect_kit.plan.access import panels_for_check
from inspect_kit.plan.request import Job
from inspect_kit.plan.staff import StaffGroup, groups_of, ways_to_staff, working_hours
from inspect_kit.plan.steps import STANDING, JobSteps, Task
from inspect_kit.scheduling.opened_late import Opening
from inspect_kit.scheduling.problem import Activity, Disjunction, Precedence, Project, ResourceHold


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A problem and what its numbers stand for.

    Activity -> key of the step; first resources -> groups of people, last ones -> gear. `openings` are the steps that
    take a panel off or make a setup, with the checks behind it or on it.
    """

    problem: Project
    keys: tuple[str, ...]
    groups: tuple[StaffGroup, ...]
    gear: tuple[str, ...]
    openings: tuple[Opening, ...]


def frame_of(job: Job, work: JobSteps) -> Frame:
    """The problem whose schedules are the plans of this work."""
    groups = groups_of(job)
    keys = tuple(sorted(work.tasks))
    place = {key: number for number, key in enumerate(keys)}
    # Somebody who works alone leaves no room for anybody else: it is a resource as wide as the crew.
    room = (job.crew.people,) if job.crew.people > 1 and any(task.alone for task in work.tasks.values()) else ()
    gear = _gear_in_demand(work)
    amounts = tuple(job.gear.get(name, 0) for name in gear)

    def modes(task: Task) -> tuple[tuple[int, ...], ...]:
        taken = tuple(task.gear.count(name) for name in gear)
        space = tuple(whole if task.alone else task.people for whole in room)
        return tuple((*way, *space, *taken) for way in ways_to_staff(groups, task.people, task.inspectors))

    blank = (0,) * (len(groups) + len(room))
    kept_apart = {setup for _, setup in work.apart}
    stands = [
        stand
        for stand in work.stands
        if set(stand.gear) & set(gear) or stand.panel in kept_apart or (job.shifts and not stand.overnight)
    ]
    number = {stand.panel: index for index, stand in enumerate(stands)}
    problem = Project(
        activities=tuple(
            Activity(name=key, duration=work.tasks[key].minutes, modes=modes(work.tasks[key])) for key in keys
        ),
        capacities=(*(len(group.names) for group in groups), *room, *amounts),
        windows=(*(group.windows for group in groups), *(None for _ in (*room, *gear))),
        precedences=tuple(
            Precedence(before=place[tie.before], after=place[tie.after], min_lag=tie.least, max_lag=tie.most)
            for tie in work.ties
        ),
        holds=tuple(
            ResourceHold(
                first=place[stand.first],
                last=place[stand.last],
                amounts=(*blank, *(stand.gear.count(name) for name in gear)),
                over_breaks=stand.overnight,
            )
            for stand in stands
        ),
        disjunctions=tuple(Disjunction(activity=place[check], hold=number[setup]) for check, setup in work.apart),
        interchangeable=len(groups),
        shifts=working_hours(job.shifts),
    )
    return Frame(
        problem=problem, keys=keys, groups=groups, gear=gear, openings=tuple(_openings(job, work, place))
    )


def _openings(job: Job, work: JobSteps, place: Mapping[str, int]) -> Iterator[Opening]:
    users: dict[str, list[int]] = {stand.panel: [] for stand in work.stands if stand.first != STANDING}
    for key, task in work.tasks.items():
        if task.check is not None:
            for panel in panels_for_check(job.panels, job.checks[task.check]):
                if panel in users:
                    users[panel].append(place[key])
    for stand in work.stands:
        if users.get(stand.panel):
            yield Opening(first=place[stand.first], users=tuple(users[stand.panel]))


def _gear_in_demand(work: JobSteps) -> tuple[str, ...]:
    """Gear that more than one step or standing wants: nothing else can be short of it."""
    counts: dict[str, int] = {}
    for gear in (*(stand.gear for stand in work.stands), *(task.gear for task in work.tasks.values())):
        for name in set(gear):
            counts[name] = counts.get(name, 0) + 1
    return tuple(sorted(name for name, count in counts.items() if count > 1))
