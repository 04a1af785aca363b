"""What cannot be planned, with its reason and what would cure it, named before any search."""

import itertools
from collections.abc import Iterator, Mapping, Sequence
from graphlib import TopologicalSorter

from inspect_kit.model.checklist import BEFORE, CLOSED, INSPECTOR, OTHERS, Check, duration, on_the_way
from inspect_kit.plan.access import behind, panels_for, panels_for_check
from inspect_kit.plan.answer import Contradiction
from inspect_kit.plan.frame import Frame, frame_of
from inspect_kit.plan.request import Job
from inspect_kit.plan.staff import StaffGroup, groups_of, ways_to_staff
from inspect_kit.plan.steps import JobSteps, Tie, work_of
from inspect_kit.scheduling.graphs import find_cycle, topological
from inspect_kit.scheduling.network import ProjectNetwork
from inspect_kit.scheduling.problem import Project

Contradictions = tuple[Contradiction, ...]


def contradictions(job: Job) -> Contradictions:
    """Everything that makes a plan impossible, in the order in which it is best cured; empty when there may be one."""
    if found := unplannable(job):
        return found
    work = work_of(job)
    return no_order(job, work, frame_of(job, work))


def unplannable(job: Job) -> Contradictions:
    """What stands in the checks and panels themselves, so that there are no steps to put in order."""
    for rule in (_unknown_names, _panel_cycle, _impossible_checks):
        found = tuple(rule(job))
        if found:
            return found
    return ()


def no_order(job: Job, work: JobSteps, frame: Frame) -> Contradictions:
    """Why there is no order of these steps."""
    return tuple(_circular_steps(work)) or tuple(_closed_windows(job, work)) or tuple(_too_long(job, frame.problem))


def in_no_session(job: Job) -> Contradictions:
    """Why there can be no plan in these sessions, as far as that is seen without a search; empty where it is not."""
    return contradictions(job) or tuple(_standing_too_long(job))


def _standing_too_long(job: Job) -> Iterator[Contradiction]:
    """Setups that must not stand over a break, and stand longer than any session by what is done in them alone."""
    longest = max((each.end - each.start for each in job.shifts), default=0)
    for name in panels_for(job.panels, [job.checks[each] for each in job.chosen]):
        panel = job.panels[name]
        if panel.overnight or not job.shifts:
            continue
        chosen = {each: job.checks[each] for each in job.chosen}
        inside = {each: check for each, check in chosen.items() if name in panels_for_check(job.panels, check)}
        least: dict[str, int] = {}
        order = TopologicalSorter({one: {*check.after} & {*inside} for one, check in inside.items()}).static_order()
        for each in order:
            before = max((least[one] for one in inside[each].after if one in least), default=0)
            least[each] = before + job.check_minutes(inside[each])
        minutes = sum(job.panel_minutes(panel, closing) for closing in (False, True)) + max(least.values(), default=0)
        if minutes > longest:
            yield Contradiction(
                about=(name,),
                reason=f"{job.named(name)} must not stand over a break, and stands {duration(minutes)} at least with "
                f"what is done in it; no session is longer than {duration(longest)}",
                cure="add a longer session",
            )


def _unknown_names(job: Job) -> Iterator[Contradiction]:
    """Checks and panels that no file describes."""
    for name in sorted(set(job.chosen) - set(job.checks)):
        yield Contradiction(about=(name,), reason=f"no checklist has a check `{name}`", cure="see how its id is spelt")
    for name in sorted(set(job.chosen) & set(job.checks)):
        check = job.checks[name]
        for panel in dict.fromkeys((check.panel, *check.with_, *check.closed_except, *check.not_while)):
            if panel not in job.panels:
                yield Contradiction(
                    about=(name, panel),
                    reason=f"{job.named(name)} names the panel `{panel}`, which no checklist describes",
                    cure="see how its id is spelt, or write its file",
                )


def _panel_cycle(job: Job) -> Iterator[Contradiction]:
    """Panels that stand behind each other in a circle, the circle named, or behind one that no checklist describes."""
    work = [job.checks[name] for name in job.chosen]
    ids = [panel for check in work for panel in (check.panel, *check.with_, *check.closed_except)]
    wanted = {panel.id for panel in on_the_way(job.panels, ids)}
    for name in sorted(wanted):
        for outer in job.panels[name].behind:
            if outer not in job.panels:
                yield Contradiction(
                    about=(name, outer),
                    reason=f"{job.named(name)} is behind `{outer}`, which no checklist describes",
                    cure="see how its id is spelt, or write its file",
                )
    cycle = find_cycle({name: job.panels[name].behind for name in wanted})
    if cycle is not None:
        yield Contradiction(
            about=tuple(sorted(set(cycle))),
            reason="panels are behind each other in a circle: " + ", behind ".join(map(job.named, cycle)),
            cure="take one of them out of `behind`",
        )


def _impossible_checks(job: Job) -> Iterator[Contradiction]:
    """Checks that contradict themselves, or ask for people or gear that are not there."""
    groups = groups_of(job)
    for name in sorted(set(job.chosen)):
        check = job.checks[name]
        yield from _phase(job, check)
        needed = panels_for_check(job.panels, check)
        for setup in sorted(set(check.not_while) & set(needed)):
            yield Contradiction(
                about=(name, setup),
                reason=f"{check.named} is not to be done while {job.named(setup)} stands, "
                "and cannot be done without it",
                cure="take it out of `not-while`, or out of what the check stands behind",
            )
        if check.who != OTHERS:
            yield from _people(job, groups, name, check.people, int(check.who == INSPECTOR))
            held = [gear for panel in needed for gear in job.panels[panel].needs] + list(check.needs)
            yield from _gear(job, name, held)
    for name in panels_for(job.panels, [job.checks[name] for name in job.chosen], job.off):
        yield from _standing_in_the_way(job, name)
        yield from _people(job, groups, name, job.panels[name].people, 0)
        yield from _gear(job, name, job.panels[name].needs)


def _standing_in_the_way(job: Job, name: str) -> Iterator[Contradiction]:
    for setup in sorted(set(job.panels[name].not_while) & set(behind(job.panels, (name,)))):
        yield Contradiction(
            about=(name, setup),
            reason=f"{job.named(name)} is not to be moved while {job.named(setup)} stands, and is behind it",
            cure="take it out of `not-while`, or out of `behind`",
        )


def _phase(job: Job, check: Check) -> Iterator[Contradiction]:
    needed = panels_for_check(job.panels, check)
    if check.when in (BEFORE, CLOSED) and needed:
        when = "before anything comes off" if check.when == BEFORE else "when all is back on"
        yield Contradiction(
            about=(check.id, *needed),
            reason=f"{check.named} is to be done {when}, and needs {', '.join(map(job.named, needed))} off or standing",
            cure="move it to a file where nothing comes off, or write `when: closed except ...`",
        )
    if check.closed_except:
        inside = set(behind(job.panels, check.closed_except))
        for name in sorted(set(behind(job.panels, (check.panel, *check.with_))) - inside):
            yield Contradiction(
                about=(check.id, name),
                reason=f"{check.named} wants all closed except {', '.join(map(job.named, check.closed_except))}, "
                f"and needs {job.named(name)} off or standing",
                cure=f"name {name} after `closed except` as well",
            )


def _people(
    job: Job, groups: Sequence[StaffGroup], name: str, people: int, inspectors: int
) -> Iterator[Contradiction]:
    crew = job.crew
    if people > crew.people:
        yield Contradiction(
            about=(name,),
            reason=f"{job.named(name)} takes {people} people and there "
            f"{'is' if crew.people == 1 else 'are'} {crew.people}",
            cure=f"plan with --people {people}",
        )
    elif inspectors > crew.inspectors:
        yield Contradiction(
            about=(name,),
            reason=f"{job.named(name)} wants an inspector and there is none",
            cure="plan with --inspectors 1",
        )
    elif not ways_to_staff(groups, people, inspectors):
        # Whoever is in no session is in no group.
        whom = f"{people} people" if people > 1 else "an inspector" if inspectors else "a person"
        yield Contradiction(
            about=(name,),
            reason=f"{job.named(name)} takes {whom}, and there is no session with {'them' if people > 1 else 'one'}",
            cure="add a session with more people, or plan with --any-hours",
        )


def _gear(job: Job, name: str, held: object) -> Iterator[Contradiction]:
    amounts: dict[str, int] = {}
    for gear in held:  # type: ignore[attr-defined]
        amounts[gear] = amounts.get(gear, 0) + 1
    for gear, amount in sorted(amounts.items()):
        have = job.gear.get(gear, 0)
        if amount > have:
            owned = f"aircraft.yaml has {have}" if gear in job.gear else "aircraft.yaml does not list it"
            yield Contradiction(
                about=(name, gear),
                reason=f"{job.named(name)} needs {amount} of the tooling `{gear}` at once and {owned}",
                cure=f"write `tooling: {{{gear}: {amount}}}`, or take it out of `needs`",
            )


def _circular_steps(work: JobSteps) -> Iterator[Contradiction]:
    """Steps that wait for each other in a circle, the circle named with the reason of every link."""
    graph: dict[str, list[str]] = {}
    why: dict[tuple[str, str], str] = {}
    for tie in work.ties:
        graph.setdefault(tie.before, []).append(tie.after)
        why.setdefault((tie.before, tie.after), tie.why)
    cycle = find_cycle(graph)
    if cycle is not None:
        links = [why[pair] for pair in itertools.pairwise(cycle)]
        named = tuple(dict.fromkeys(name for name in cycle if not name.startswith("(")))
        yield Contradiction(
            about=named,
            reason="steps wait for each other in a circle: " + "; ".join(dict.fromkeys(links)),
            cure="take one of these out, or plan them as two jobs",
        )


def _closed_windows(job: Job, work: JobSteps) -> Iterator[Contradiction]:
    """Checks that cannot start as soon as they must: more has to be done in between than `within` allows."""
    keys = list(work.tasks)
    place = {key: index for index, key in enumerate(keys)}
    ties = [(place[tie.before], place[tie.after], tie) for tie in work.ties]
    order = topological(len(keys), [(before, after) for before, after, _ in ties])
    if order is None:
        return
    following: dict[int, list[tuple[int, Tie]]] = {}
    for before, after, tie in ties:
        following.setdefault(before, []).append((after, tie))
    for tie in work.ties:
        if tie.most is not None:
            gap, through = _longest(work, keys, order, following, place[tie.before], place[tie.after])
            if gap > tie.most:
                between = f", because of {', '.join(map(job.named, through))}" if through else ""
                yield Contradiction(
                    about=(tie.after, tie.before),
                    reason=f"{tie.why}, and cannot start before {duration(gap)} after it{between}",
                    cure=f"allow at least {gap} min in `within`, or do it in a job of its own",
                )


def _longest(
    work: JobSteps,
    keys: list[str],
    order: tuple[int, ...],
    following: Mapping[int, list[tuple[int, Tie]]],
    first: int,
    last: int,
) -> tuple[int, tuple[str, ...]]:
    """The minutes that must pass from the end of one step to the start of another tied to it; the steps in between."""
    gap, through = {first: 0}, {first: ()}  # type: dict[int, int], dict[int, tuple[str, ...]]
    for index in order:
        if index in gap:
            length = 0 if index == first else work.tasks[keys[index]].minutes
            for after, tie in following.get(index, ()):
                at = gap[index] + length + tie.least
                if at > gap.get(after, -1):
                    gap[after] = at
                    through[after] = (*through[index], keys[index]) if length else through[index]
    return gap[last], through[last]


def _too_long(job: Job, problem: Project) -> Iterator[Contradiction]:
    """Steps that fit into no session with the people they take."""
    network = ProjectNetwork(problem)
    for activity, slots in zip(problem.activities, network.mode_calendars, strict=True):
        if activity.duration and all(
            slot >= 0 and all(end - start < activity.duration for start, end in network.calendars[slot])
            for slot in slots
        ):
            yield Contradiction(
                about=(activity.name,),
                reason=f"{job.named(activity.name)} takes {duration(activity.duration)} without a break "
                "and fits into no session with its people",
                cure="add a longer session, or one with more people",
            )
