"""Jobs of thousands of steps: nothing of the plan but its order may be given up for them."""

from dataclasses import replace

import pytest

from inspect_kit.model.worksheet import Step
from inspect_kit.plan import ENDS, Plan, Wishes, make, plan, serve
from inspect_kit.plan.chain import chain
from inspect_kit.plan.steps import JobSteps
from tests.plan.instances import FAMILIES, Family, job_of


def chain_of_all(work: JobSteps, steps: list[Step], keys: list[str]) -> tuple[int, ...]:
    """The same chain by looking at every step before every step."""
    ties = {(tie.before, tie.after): tie.least for tie in work.ties}
    place = max(range(len(steps)), key=lambda index: (steps[index].end, steps[index].start))
    found = [place]
    while steps[place].start > 0:
        earlier = [index for index in range(len(steps)) if steps[index].end <= steps[place].start and index != place]
        if not earlier:
            break

        def closeness(index: int, after: int = place) -> tuple[int, bool, bool, int]:
            least = ties.get((keys[index], keys[after]))
            gap = steps[after].start - steps[index].end - (least or 0)
            shared = bool(set(steps[index].who) & set(steps[after].who))
            return (abs(gap), least is None, not shared, -steps[index].start)

        best = min(earlier, key=closeness)
        if steps[best].start == steps[best].end and best in found:
            break
        place = best
        found.append(place)
    return tuple(reversed(found))


@pytest.mark.parametrize("family", [each for each in FAMILIES if "small" in each.name], ids=lambda each: each.name)
@pytest.mark.parametrize("seed", range(4))
def test_the_chain_is_the_one_that_looking_at_everything_finds(
    family: object, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def both(work: JobSteps, steps: list[Step], keys: list[str]) -> tuple[int, ...]:
        found = chain(work, steps, keys)
        asked.append((found, chain_of_all(work, steps, keys)))
        return found

    monkeypatch.setattr(make, "chain", both)
    job = job_of(family, seed)  # type: ignore[arg-type]
    assert isinstance(plan(job, 20), Plan)
    ((found, expected),) = asked
    assert len(found) > 3
    assert found == expected


def test_what_is_longer_than_any_light_aircraft_keeps_the_order_it_was_found_in(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    job = replace(job_of(Family(name="1 person, small", panels=15, checks=45, people=1), 1), wishes=Wishes(ends=ENDS))
    served = plan(job, 20)
    assert isinstance(served, Plan)
    monkeypatch.setattr(serve, "LARGEST", len(served.steps) - 1)
    left = plan(job, 20)
    assert isinstance(left, Plan)
    assert (left.elapsed, left.labour, left.lower_bound, left.proved) == (
        served.elapsed,
        served.labour,
        served.lower_bound,
        served.proved,
    )
    assert sorted(left.checks) == sorted(served.checks)
    assert left.steps != served.steps
