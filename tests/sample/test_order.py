"""The rules of order (`order.md`) held for plans of the sample and of twenty invented jobs.

The whole inspections of the sample and of the starter are held to them where they are planned: in the `test_inspector`
of each.
"""

import json
import re
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from inspect_kit.model.checklist import Check, Trigger
from inspect_kit.plan import ENDS, Job, Plan, Wishes, plan, with_owed
from tests.cli.conftest import Run, calm, run  # noqa: F401
from tests.plan.instances import NOWHERE, Family, job_of
from tests.sample import hangar_rules
from tests.sample.order_rules import OFF, RULES, book_of, book_of_job, broken, steps_of, steps_of_plan
from tests.sample.plain import ROOT, front_matters, items

LIST = (Path(__file__).parent / "order.md").read_text(encoding="utf-8")
HANGAR = ("orders", "times", "propeller", "jacks", "current", "observed")
GEAR = {"jacks": 1, "torque-wrench": 1, "compression-tester": 1, "fuel-drum": 1, "scales": 1}
FEW = 40


def test_the_list_names_every_rule_and_every_rule_is_held() -> None:
    listed = re.findall(r"^- `([a-z]+)`:", LIST, re.M)
    assert listed == [*(rule.__name__ for rule in RULES), *HANGAR]
    told = ("times", "propeller", "jacks", "current", "runs")
    assert all(callable(getattr(hangar_rules, f"_{name}")) for name in told)


def test_what_is_said_with_the_order_is_tested_where_the_list_says() -> None:
    named = re.findall(r"`(tests/\S+\.py)::(\w+)`", LIST)
    assert len(named) >= 8
    for path, name in named:
        assert f"def {name}(" in (ROOT / path).read_text(encoding="utf-8"), name


SAMPLE = book_of(items(), (front for front in front_matters().values() if "retired" not in front), GEAR)


@pytest.mark.parametrize(
    ("asked", "must"),
    [
        (("oil-change", "--only", "--people", "2"), ("oil-fill", "idle-leaks", "leaks-after-oil")),
        (("propeller-bolts", "--only", "--people", "3"), ("propeller-wire", "propeller-track")),
        (("fuel-strainer", "--only"), ("fuel-leaks-after",)),
        (("oil-change", "--people", "2", "--session", "Saturday 09:00-10:30"), ("idle-leaks",)),
        (("tyre-pressures", "--people", "1"), ()),
    ],
    ids=["oil change", "propeller", "strainer", "in sessions", "one person"],
)
def test_small_work_on_the_sample(run: Run, asked: tuple[str, ...], must: tuple[str, ...]) -> None:  # noqa: F811
    made = run(ROOT, "plan", *asked, "--json", on="2026-11-26")
    assert made.code == 0, made.err
    steps = steps_of(json.loads(made.out))
    assert broken(SAMPLE, steps) == []
    assert set(must) <= set(steps.checks)
    assert steps.checks


# --- invented jobs ---


def invented(seed: int) -> Job:
    """A job for one to three people, every other one in evenings, with panels and checks that make others owed."""
    many = seed % 3 + 1
    hours = "evening" if seed % 2 == 0 else ""
    job = job_of(
        Family(name="", panels=10, checks=28, people=many, inspectors=1, anyone=0.4, gear=0.2, hours=hours), seed
    )
    chance = Random(seed)
    panels, checks = dict(job.panels), dict(job.checks)
    for name in chance.sample([name for name in panels if panels[name].kind == "panel"], 3):
        panels[name] = replace(panels[name], disturbs=(chance.choice(("cables", "static")),))
    plain = [name for name in checks if checks[name].when == "open" and not checks[name].closed_except]
    for name in chance.sample(plain, 3):
        checks[name] = replace(checks[name], disturbs=("cables",))
    triggers = [f"disturbed {what}" for what in ("cables", "static")] + [f"did {chance.choice(plain)}", "did owed-2"]
    for number, words in enumerate(triggers):
        verb, what = words.split()
        owed = Check(
            id=f"owed-{number}",
            panel="place-aircraft",
            text="owed",
            minutes=chance.randint(3, 20),
            when="closed" if number == 1 else "open",
            owed_after=(Trigger(verb=verb, what=what),),
            place=NOWHERE,
        )
        checks[owed.id] = owed
    wishes = Wishes(ends=ENDS, news={name: chance.random() ** 3 for name in sorted(checks)})
    return with_owed(replace(job, panels=panels, checks=checks, wishes=wishes))


def planned(seed: int) -> tuple[Job, Plan]:
    job = invented(seed)
    made = plan(job, FEW)
    assert isinstance(made, Plan), made
    return job, made


# More are asked by `python -m tests.bench order`.
@pytest.mark.parametrize("seed", range(20))
def test_invented_jobs(seed: int) -> None:
    job, made = planned(seed)
    assert broken(book_of_job(job), steps_of_plan(made, job)) == []
    assert {"owed-2", "owed-3"} <= set(made.checks)


def test_each_rule_can_be_broken() -> None:
    """Moving one step of a right plan breaks the rule that asks for its place."""
    job, made = planned(1)
    book, right = book_of_job(job), steps_of_plan(made, job)
    told = set()
    for part in ("checks", "off", "on"):
        for name, (start, end, who) in getattr(right, part).items():
            for moved in (-10_000, 10_000):
                late = {**getattr(right, part), name: (start + moved, end + moved, who)}
                told |= {each.split(":")[0] for each in broken(book, replace(right, **{part: late}))}
            less = {key: each for key, each in getattr(right, part).items() if key != name}
            told |= {each.split(":")[0] for each in broken(book, replace(right, **{part: less})) if part != "off"}
    assert told >= {"access", "closing", "phases", "after", "runs", "owed"}
    assert OFF == ("remove", "make")
