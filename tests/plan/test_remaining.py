"""What is left of a page: from its ticks to a job whose plan the checker passes and that takes no longer than told."""

import datetime as dt
from collections.abc import Collection, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from inspect_kit.errors import Place
from inspect_kit.inspection import edit
from inspect_kit.inspection.start import new_page
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Panel, inspection_checks
from inspect_kit.model.worksheet import CLOSING, Entry, Step, Worksheet
from inspect_kit.plan import Job, Plan, faults, plan
from inspect_kit.plan.remaining import remaining_job, unplanned
from inspect_kit.store import load
from tests.plan.instances import FAMILIES, job_of

HERE = Place("x.md", 1)
TODAY = dt.date(2026, 11, 25)
SMALL = {family.name: family for family in FAMILIES if "small" in family.name}


def made(job: Job, schedules: int = 600) -> Plan:
    answer = plan(job, schedules)
    assert isinstance(answer, Plan), answer
    assert not faults(job, answer)
    return answer


def box(name: str, ticked: bool = False, verb: str = "", **more: object) -> Entry:
    return Entry(verb=verb, id=name, text="", ticked=ticked, place=HERE, lines=(1, 1), **more)  # type: ignore[arg-type]


def page(*entries: Entry, **more: object) -> Worksheet:
    return Worksheet(
        name="open",
        job="work",
        registration="N0TS",
        begun=TODAY,
        entries=entries,
        place=HERE,
        **more,  # type: ignore[arg-type]
    )


def ticked(answer: Plan, done: Collection[Step]) -> Worksheet:
    """The page of a plan with these steps ticked."""
    return page(
        *(
            box(step.check, step in done) if step.check else box(step.panel, step in done, step.step)
            for step in answer.steps
        )
    )


PANELS = {
    "cover": Panel(id="cover", name="Cover", zone="z", remove=5, refit=6, was=("lid",), place=HERE),
    "inner": Panel(id="inner", name="Inner", zone="z", remove=3, refit=4, behind=("cover",), place=HERE),
}
CHECKS = {
    name: Check(id=name, panel=panel, text=name, minutes=10, was=was, place=HERE)
    for name, panel, was in (("one", "cover", ()), ("two", "inner", ("old-two",)), ("three", "inner", ()))
}
JOB = Job(panels=PANELS, checks=CHECKS, chosen=tuple(CHECKS))


def test_what_is_ticked_is_done_and_what_is_off_stays_off_until_its_refit() -> None:
    left = remaining_job(
        JOB,
        page(
            box("lid", True, "remove"),
            box("one", True),
            box("inner", False, "remove"),
            box("old-two"),
            box("three", False, answer="not applicable", reason="none"),
            box("inner", False, "refit"),
            box("lid", False, "refit"),
        ),
    )
    assert (left.chosen, left.off, left.done) == (("two",), ("cover",), ("one",))
    assert [(step.step, step.panel) for step in made(left).steps] == [
        ("remove", "inner"),
        ("check", "inner"),
        ("refit", "inner"),
        ("refit", "cover"),
    ]


def test_when_all_is_ticked_but_the_refits_only_these_are_left() -> None:
    removed = [box(name, True, "remove") for name in ("cover", "inner")]
    refits = [box(name, False, "refit") for name in ("inner", "cover")]
    checks = [box(name, True) for name in CHECKS]
    left = remaining_job(JOB, page(*removed, *checks, *refits))
    assert [(step.step, step.panel) for step in made(left).steps] == [("refit", "inner"), ("refit", "cover")]
    done = remaining_job(JOB, page(*removed, *checks, *(replace(entry, ticked=True) for entry in refits)))
    assert (made(done).steps, made(done).elapsed) == ((), 0)


def test_a_panel_that_came_off_once_more_is_off() -> None:
    boxes = [box("cover", True, verb) for verb in ("remove", "refit", "remove")]
    assert remaining_job(JOB, page(*boxes, box("cover", False, "refit"))).off == ("cover",)


def test_what_no_plan_can_hold_is_told() -> None:
    sheet = page(
        box("cover", False, "remove"),
        box("one"),
        box("cover", False, "refit"),
        box("inner", False, "remove"),
        box("inner", False, "refit"),
        box("2025-11-22-condition-aaaa#F1"),
        box("added-by-hand"),
        box("three", True),
        box("other", False, answer="not done", reason="no time"),
    )
    told = [(entry.verb, entry.id) for entry in unplanned(JOB, sheet)]
    assert told == [
        ("remove", "inner"),
        ("refit", "inner"),
        ("", "2025-11-22-condition-aaaa#F1"),
        ("", "added-by-hand"),
    ]
    assert unplanned(JOB, ticked(made(JOB), ())) == ()


CREWS = {
    "nobody is named": (Crew(people=2, inspectors=1), "", (), (2, ("inspector", "helper"))),
    "the inspector alone": (Crew(), "Hazel", (), (1, ("Hazel",))),
    "a larger crew stays": (Crew(people=3, inspectors=2), "Hazel", (), (3, ("Hazel", "inspector 2", "helper"))),
    "helpers are added": (Crew(), "Hazel", ("Pip", "Ash"), (3, ("Hazel", "Pip", "Ash"))),
    "as many as the crew": (Crew(people=2), "Hazel", ("Pip",), (2, ("Hazel", "Pip"))),
    "the inspector helps too": (Crew(people=2), "Hazel", ("Hazel",), (2, ("Hazel", "helper"))),
}


@pytest.mark.parametrize("name", CREWS)
def test_people_are_those_of_the_page(name: str) -> None:
    crew, inspector, helpers, (people, names) = CREWS[name]
    left = remaining_job(replace(JOB, crew=crew), page(box("one"), inspector=inspector, helpers=helpers))
    assert (left.crew.people, left.people_names()) == (people, names)
    assert left.crew.inspectors == crew.inspectors


def test_what_the_page_does_not_say_stays() -> None:
    asked = replace(JOB, gear={"jacks": 1}, minutes={"one": 25})
    left = remaining_job(asked, page(box("one")))
    assert (left.gear, left.minutes, left.shifts, left.wishes) == (asked.gear, asked.minutes, (), asked.wishes)
    assert made(left).labour == 5 + 25 + 6


@pytest.mark.parametrize("seed", range(3))
def test_one_person_who_ticks_as_planned_has_the_rest_left(seed: int) -> None:
    """One person: what is left is exactly what the plan has left, after any step."""
    family = FAMILIES[0]
    job = job_of(replace(family, panels=15, checks=45), seed)
    answer = made(job)
    for place in range(0, len(answer.steps) + 1, 9):
        done = answer.steps[:place]
        left = made(remaining_job(job, ticked(answer, done)))
        assert left.labour == answer.labour - sum(step.end - step.start for step in done)
        assert len(left.steps) == len(answer.steps) - place


@pytest.mark.parametrize("name", SMALL)
@pytest.mark.parametrize("seed", [5, 6])
def test_ticking_as_planned_never_takes_longer_than_the_plan_said(name: str, seed: int) -> None:
    """At any minute the old plan's own rest is one way to finish: nothing of it starts before its first step does.

    So no bound may lie above that rest, and a plan that is proved may not be longer.
    """
    job = job_of(SMALL[name], seed)
    answer = made(job)
    proved = 0
    for part in (1, 3, 5):
        minute = answer.elapsed * part // 6
        done = {step for step in answer.steps if step.end <= minute}
        since = min(step.start for step in answer.steps if step not in done)
        left = made(remaining_job(job, ticked(answer, done)))
        assert left.lower_bound <= answer.elapsed - since
        proved += left.proved
        if left.proved:
            assert left.elapsed <= answer.elapsed - since
        assert {step.panel for step in left.steps if step.step in CLOSING} >= set(ticked(answer, done).panels_off())
    assert proved


def test_a_page_of_the_sample_in_the_middle_of_its_inspection() -> None:
    """Through the text of a page: started, ticked box by box as the walk does, read back, planned."""
    logbook = load(Path(__file__).parents[2]).logbook
    assert logbook is not None
    chosen = inspection_checks(logbook.checks, "condition")
    job = Job(
        panels=logbook.panels,
        checks=logbook.checks,
        chosen=chosen,
        crew=Crew(people=2, inspectors=1),
        gear=logbook.aircraft.tooling,
    )
    answer = made(job)
    text = new_page(
        logbook, job="condition", steps=answer.steps, begun=TODAY, meters={}, inspector="Hazel Quillfeather"
    )
    sheet = edit.opened(text, "records/open/x.md")
    assert sheet is not None
    half = [step for step in answer.steps if step.end <= answer.elapsed // 2]
    for step in half[:: len(half) // 8]:
        at = sheet.box(step.check or step.panel, "" if step.check else step.step)
        assert at is not None
        sheet = edit.tick_in_order(sheet, at)
    # The other boxes by the nouns alone: writing and reading back every one of them is tested elsewhere.
    there = {(step.step, step.panel, step.check) for step in half}
    entries = tuple(
        replace(entry, ticked=entry.ticked or _names(entry, logbook.checks) in there) for entry in sheet.page.entries
    )
    left = remaining_job(job, replace(sheet.page, entries=entries))
    assert sorted(left.done) == sorted(step.check for step in half if step.check)
    assert sorted((*left.done, *left.chosen)) == sorted(chosen)
    assert left.people_names() == ("Hazel Quillfeather", "helper")
    assert made(left).lower_bound <= answer.elapsed - min(s.start for s in answer.steps if s not in half)


def _names(entry: Entry, checks: Mapping[str, Check]) -> tuple[str, str, str | None] | None:
    if entry.verb:
        return (entry.verb, entry.id, None)
    return None if entry.is_standing else ("check", checks[entry.id].panel, entry.id)
