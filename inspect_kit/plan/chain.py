"""The chain that sets the finish: steps that follow each other without a gap back from the last one."""

from collections.abc import Sequence

from inspect_kit.model.worksheet import Step
from inspect_kit.plan.steps import Work


def chain(work: Work, steps: Sequence[Step], keys: Sequence[str]) -> tuple[int, ...]:
    """The places in `steps` of one chain, first to last: each starts when the one before it lets it.

    A step follows another because a tie says so, because a person, gear or the room was taken, or because a break came
    between. `keys` are the keys of the steps.
    """
    if not steps:
        return ()
    ties = {(tie.before, tie.after): tie.least for tie in work.ties}
    place = max(range(len(steps)), key=lambda index: (steps[index].end, steps[index].start))
    found = [place]
    while steps[place].start > 0:
        earlier = [index for index in range(len(steps)) if steps[index].end <= steps[place].start and index != place]
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
