"""The chain that sets the finish: steps that follow each other without a gap back from the last one."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Sequence

from inspect_kit.model.worksheet import Step
from inspect_kit.plan.steps import JobSteps


def chain(work: JobSteps, steps: Sequence[Step], keys: Sequence[str]) -> tuple[int, ...]:
    """The places in `steps` of one chain, first to last: each starts when the one before it lets it.

    A step follows another because a tie says so, because a person, gear or the room was taken, or because a break came
    between. `keys` are the keys of the steps.
    """
    if not steps:
        return ()
    ties = {(tie.before, tie.after): tie.least for tie in work.ties}
    at = {key: index for index, key in enumerate(keys)}
    tied: dict[int, set[int]] = defaultdict(set)
    for before, after in ties:
        if before in at and after in at:
            tied[at[after]].add(at[before])
    by_end = sorted(range(len(steps)), key=lambda index: steps[index].end)
    ends = [steps[index].end for index in by_end]
    place = max(range(len(steps)), key=lambda index: (steps[index].end, steps[index].start))
    found = [place]
    while steps[place].start > 0:
        earlier = [index for index in tied[place] if steps[index].end <= steps[place].start and index != place]
        # Of the others only those that end last before it can be the nearest.
        last = -1
        for position in range(bisect_right(ends, steps[place].start) - 1, -1, -1):
            index = by_end[position]
            if steps[index].end < last:
                break
            if index != place and index not in tied[place]:
                earlier.append(index)
                last = steps[index].end
        earlier.sort()
        if not earlier:
            break

        def closeness(index: int, place: int = place) -> tuple[int, bool, bool, int]:
            step, after = steps[index], steps[place]
            least = ties.get((keys[index], keys[place]))
            gap = after.start - step.end - (least or 0)
            shared = bool(set(step.who) & set(after.who))
            return (abs(gap), least is None, not shared, -step.start)

        best = min(earlier, key=closeness)
        if steps[best].start == steps[best].end and best in found:
            break
        place = best
        found.append(place)
    return tuple(reversed(found))
