"""A limit between two steps that what lies between them leaves no room for: named with both, and what would help."""

import pytest

from inspect_kit.model.checklist import Lag
from inspect_kit.plan.contradictions import contradictions
from tests.plan.test_conflict import check, job


@pytest.mark.parametrize(("within", "told"), [(19, True), (20, False)])
def test_what_lies_between_two_steps_takes_longer_than_the_second_may_wait(within: int, told: bool) -> None:
    """The run, then 20 min of wire locking, then the leaks, which may come 19 min after the run and no later."""
    asked = job(
        check("run", minutes=5),
        check("locking", minutes=20, after=("run",)),
        check("leaks", minutes=30, after=("locking",), within=Lag(minutes=within, check="run")),
    )
    found = contradictions(asked)
    assert [each.about for each in found] == ([("leaks", "run")] if told else [])
    assert all(
        "cannot start before 20 min after it, because of locking" in each.reason
        and each.cure == "allow at least 20 min in `within`, or do it in a job of its own"
        for each in found
    )
