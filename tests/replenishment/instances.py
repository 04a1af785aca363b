"""Made-up stores as optimisation problems: panels behind panels, items by hours, calendar or whichever is first."""

import math
import random

from inspect_kit.replenishment.problem import TODAY, JointProblem, ReplenishedItem, item_from_rule

DAYS_A_SLOT = 14
SOON_DAYS, SOON_H = 30, 10


def problem(seed: int, *, items: int = 40, panels: int = 40, months: int = 24, inspection: bool = True) -> JointProblem:
    """One invented store: fortnightly slots, 50 to 150 h a year, 45 min a visit, labour in minutes."""
    return invented(seed, items=items, panels=panels, months=months, inspection=inspection)[0]


def invented(
    seed: int, *, items: int = 40, panels: int = 40, months: int = 24, inspection: bool = True
) -> tuple[JointProblem, dict[str, tuple[int, ...]]]:
    """The same, with the first slot at which each item falls due within 30 days or 10 h, after each of its slots."""
    dice = random.Random(seed)
    slots = round(months * 30.44 / DAYS_A_SLOT)
    yearly, swing = dice.uniform(50, 150), dice.uniform(0, 0.6)
    phase = dice.uniform(0, 2 * math.pi)

    def hours(day: float) -> float:
        season = swing * (math.sin(2 * math.pi * day / 365 + phase) - math.sin(phase)) * 365 / (2 * math.pi)
        return yearly / 365 * (day + season)

    names = [f"panel-{number}" for number in range(panels)]
    setups, behind = {}, {}
    for number, name in enumerate(names):
        setups[name] = float(dice.choice((2, 3, 4, 5, 6, 8, 10, 15, 20, 30)))
        neighbours = names[max(0, number - 6) : number]
        chosen = dice.sample(neighbours, min(len(neighbours), dice.choice((0, 0, 1, 1, 1, 2))))
        behind[name] = {name}.union(*(behind[other] for other in chosen))
    made: list[ReplenishedItem] = []
    near: dict[str, tuple[int, ...]] = {}

    def add(
        name: str,
        needs: tuple[str, ...],
        labour: float,
        every_h: float,
        every_days: float,
        follows: tuple[str, ...] = (),
    ) -> None:
        age = dice.random()

        def spent(last: int, again: int) -> tuple[float, float]:
            day = (again + 1) * DAYS_A_SLOT
            if last == TODAY:
                since_h, since_days = hours(day) + age * every_h, day + age * every_days
            else:
                since_h = hours(day) - hours((last + 1) * DAYS_A_SLOT)
                since_days = day - (last + 1) * DAYS_A_SLOT
            return since_h, since_days

        def used(last: int, again: int) -> float:
            since_h, since_days = spent(last, again)
            return max(since_h / every_h, since_days / every_days)

        def soon(last: int) -> int:
            again = last + 1
            while again < slots:
                since_h, since_days = spent(last, again)
                if every_h - since_h <= SOON_H or every_days - since_days <= SOON_DAYS:
                    break
                again += 1
            return again

        def latest(last: int) -> int:
            again = last
            while again < slots and used(last, again + 1) <= 1:
                again += 1
            return max(again, last + 1)

        near[name] = tuple(soon(last) for last in range(TODAY, slots))
        made.append(
            item_from_rule(
                name=name,
                needs=needs,
                slots=slots,
                latest=latest,
                follows=follows,
                waste=lambda last, again: labour * max(0.0, 1 - used(last, again)),
            )
        )

    if inspection:
        add("inspection", tuple(names), 900, math.inf, 365)
    for number in range(items - inspection):
        rule = dice.choice(("hours", "calendar", "calendar", "both", "both"))
        every_h = dice.choice((50, 50, 100, 100, 200, 400)) if rule != "calendar" else math.inf
        every_days = 30.44 * dice.choice((4, 6, 12, 12, 24, 24)) if rule != "hours" else math.inf
        spot = dice.sample(names, dice.choice((0, 1, 1, 1, 1, 2)))
        needs = set().union(*(behind[name] for name in spot))
        follows = ("inspection",) if inspection and dice.random() < 0.4 else ()
        add(
            f"item-{number}",
            tuple(sorted(needs)),
            float(dice.choice((5, 10, 15, 20, 30, 45, 60))),
            every_h,
            every_days,
            follows,
        )
    return JointProblem(items=tuple(made), setups=setups, visit=(45.0,) * slots), near
