"""A panel that is not moved while a setup stands, and one that is too hot to be touched for a while."""

from dataclasses import replace

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Lag, Panel
from inspect_kit.plan import Job, Plan, plan

HERE = Place("x.md", 1)


def panel(name: str, remove: int, refit: int, **more: object) -> Panel:
    return Panel(id=name, name=name, zone="z", remove=remove, refit=refit, place=HERE, **more)  # type: ignore[arg-type]


def check(name: str, where: str, minutes: int, **more: object) -> Check:
    return Check(id=name, panel=where, text=name, minutes=minutes, place=HERE, **more)  # type: ignore[arg-type]


RUN = Panel(id="run", name="run", zone="z", kind="place", place=HERE)
JACKS = panel("jacks", 20, 15, kind="setup")
SEAT = panel("seat", 3, 4, not_while=("jacks",))
MUFF = panel("muff", 10, 14, wait=Lag(minutes=45, check="engine"))
CHECKS = (
    check("engine", "run", 20, when="before"),
    check("wheels", "jacks", 60),
    check("frame", "seat", 5),
    check("shell", "muff", 8),
)


def job(*panels: Panel, people: int = 2) -> Job:
    return Job(
        panels={each.id: each for each in (RUN, *panels)},
        checks={each.id: each for each in CHECKS},
        chosen=tuple(each.id for each in CHECKS if each.panel in {"run", *(panel.id for panel in panels)}),
        crew=Crew(people=people, inspectors=people),
    )


def made(question: Job) -> Plan:
    answer = plan(question)
    assert isinstance(answer, Plan), answer
    return answer


def span(answer: Plan, verb: str, name: str) -> tuple[int, int]:
    step = next(step for step in answer.steps if step.check is None and (step.step, step.panel) == (verb, name))
    return step.start, step.end


@pytest.mark.parametrize("people", [1, 2, 3])
def test_nobody_moves_a_seat_while_the_aircraft_is_on_jacks(people: int) -> None:
    """It may be off meanwhile: only taking it out and putting it back are kept apart from the setup."""
    answer = made(job(JACKS, SEAT, people=people))
    on, off = span(answer, "make", "jacks")[0], span(answer, "undo", "jacks")[1]
    for verb in ("remove", "refit"):
        start, end = span(answer, verb, "seat")
        assert end <= on or off <= start
    # With somebody to spare the seat comes out while the other cannot begin, or it waits for the jacks to be away.
    assert answer.elapsed <= 20 + 95 + 12


@pytest.mark.parametrize("people", [1, 2])
def test_a_hot_muff_is_left_alone(people: int) -> None:
    answer = made(job(MUFF, people=people))
    assert span(answer, "remove", "muff") == (20 + 45, 20 + 45 + 10)
    assert answer.elapsed == answer.lower_bound == 20 + 45 + 10 + 8 + 14


def test_nothing_is_hot_where_nothing_ran() -> None:
    question = job(MUFF)
    cold = replace(question, chosen=("shell",))
    assert span(made(cold), "remove", "muff") == (0, 10)


def test_a_panel_behind_what_must_not_stand_is_named() -> None:
    answer = plan(job(JACKS, replace(SEAT, behind=("jacks",))))
    assert isinstance(answer, tuple)
    assert [each.about for each in answer] == [("seat", "jacks")]
    assert "behind it" in answer[0].reason
