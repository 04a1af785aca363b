"""Orders of invented inspections: what bad news first, less walking and panels off for short give and cost.

python -m tests.bench order [--instances N] [--first SEED] [--family WORDS] [--schedules N]

For each way the means of: the minute at which the news is known on average, that over a bound no order can beat (one
person), the minute at which half of it is known, changes of zone, panel-hours off, and seconds of one core.
"""

import argparse
import time
from dataclasses import replace
from random import Random

from inspect_kit.plan import Job, Plan, Wishes, faults, plan
from inspect_kit.plan.request import NEWS, PANELS, WALKING
from inspect_kit.plan.serve import serve
from inspect_kit.plan.steps import work_of
from inspect_kit.plan.ways import way_of
from inspect_kit.scheduling.single_machine import ordered
from tests.plan.instances import FAMILIES, job_of

WAYS = ((), (NEWS,), (NEWS, WALKING), (NEWS, WALKING, PANELS), (WALKING,), (PANELS,))
SCALE = 10**6


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench order")
    parser.add_argument("--instances", type=int, default=10, help="inspections of the family")
    parser.add_argument("--first", type=int, default=1000, help="seed of the first of them")
    parser.add_argument("--family", default="1 person", help="name of the family")
    parser.add_argument("--schedules", type=int, default=200, help="effort of the plan that is put in order")
    options = parser.parse_args(argv)
    family = next(family for family in FAMILIES if family.name == options.family)
    sums: dict[tuple[str, ...], list[list[float]]] = {ends: [] for ends in WAYS}
    for seed in range(options.first, options.first + options.instances):
        job = _asked(job_of(family, seed), seed)
        made = plan(job, options.schedules)
        if not isinstance(made, Plan):
            print(seed, *map(str, made[:2]))
            continue
        least = _bound(job) if family.people == 1 and not family.hours else None
        for ends in WAYS:
            sums[ends].append(_measured(replace(job, wishes=replace(job.wishes, ends=ends)), made, least))
    print(f"{family.name}: means of {options.instances}")
    print(f"{'order':24}{'known':>8}{'/ bound':>9}{'half':>8}{'changes':>9}{'h off':>8}{'s':>7}{'worst s':>9}")
    for ends, rows in sums.items():
        known, ratio, half, changes, off, seconds = (sum(column) / len(column) for column in zip(*rows, strict=True))
        worst = max(row[-1] for row in rows)
        print(
            f"{' + '.join(ends) or 'as found':24}{known:8.0f}{ratio:9.3f}{half:8.0f}{changes:9.1f}{off:8.0f}"
            f"{seconds:7.2f}{worst:9.2f}"
        )
    return 0


def _asked(job: Job, seed: int) -> Job:
    """Most checks are nearly always in order, few are likely to bring news."""
    draw = Random(seed).random
    return replace(job, wishes=Wishes(news={name: draw() ** 3 for name in job.chosen}))


def _bound(job: Job) -> float:
    """A minute before which the news of one person's plan cannot be known on average."""
    work, news = work_of(job), job.wishes.news
    keys = sorted(work.tasks)
    weights = [int(SCALE * news.get(key, 0.0)) for key in keys]
    place = {key: number for number, key in enumerate(keys)}
    pairs = [(place[tie.before], place[tie.after]) for tie in work.ties]
    return ordered([work.tasks[key].minutes for key in keys], weights, pairs).bound / SCALE / sum(news.values())


def _measured(job: Job, made: Plan, least: float | None) -> list[float]:
    begun = time.process_time()
    served = serve(job, made)
    seconds = time.process_time() - begun
    assert served.elapsed == made.elapsed
    assert not faults(job, served)
    news, way = job.wishes.news, way_of(job, served)
    known = sum(news[step.check] * step.end for step in served.steps if step.check) / sum(news.values())
    return [known, known / least if least else float("nan"), way.half_known or 0, way.changes, way.off / 60, seconds]
