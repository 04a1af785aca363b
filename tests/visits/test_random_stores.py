"""Stores nobody has thought of: rules of every kind mixed, items that leave others owed, days kept free."""

import datetime as dt
import random
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_kit.due import chronicle, due
from inspect_kit.model.logbook import Logbook
from inspect_kit.visits import VisitPlan, year_ahead
from inspect_kit.visits.outlook import outlook
from tests.visits.hangar import TODAY, check, small_store
from tests.visits.replay import faults

QUICK = 0.2
USE = ("10 h", "25 h", "50 h", "100 h", "60 landings", "200 landings")
TIME = ("40 days", "2 months", "6 months", "3 calendar months", "1 years", "12 calendar months")
FIRST = ("2 h", "2 h, 10 h", "1 month", "5 h, 20 h, 30 h", "14 days")
YEARS = (
    "",
    "visits: {weekdays: [Saturday]}",
    "visits: {not-in: [July, August], flying-season: [May, June]}",
    "visits: {no-flying: [January, February], minutes: 90 min}",
)


def rule(dice: random.Random, number: int) -> dict[str, str]:
    """The keys of one check; one in three is owed after an earlier one."""
    chosen = [dice.choice(USE)] * (dice.random() < 0.6) + [dice.choice(TIME)] * (dice.random() < 0.6)
    keys = {"every": " or ".join(chosen or ["50 h"]), "time": f"{dice.choice((5, 20, 60))} min"}
    if dice.random() < 0.3:
        keys |= {"every": f"{keys['every']} or condition inspection", "covers": "d1"}
    if number and dice.random() < 0.35:
        keys["owed_after"] = f"did item-{dice.randrange(number)}"
        if dice.random() < 0.7:
            keys["first"] = dice.choice(FIRST)
    elif len(chosen) == 1 and chosen[0].endswith(" h") and "condition" not in keys["every"]:
        keys |= {"grace": "3 h", "source": "a rule"}
    # One in four is work of others, of which half say what it costs; no die of the others is thrown for it.
    shop = random.Random(f"{number} {keys}").random()
    if shop < 0.25:
        keys["who"] = "others: a shop"
    return keys | ({"costs": "120"} if shop < 0.125 else {})


def invented(root: Path, seed: int) -> Logbook:
    dice = random.Random(seed)
    rules = {f"item-{number}": rule(dice, number) for number in range(dice.randint(3, 7))}
    behind = {name for name in rules if dice.random() < 0.7}
    return small_store(
        root,
        "".join(check(name, **keys) for name, keys in rules.items() if name in behind),
        outside="".join(check(name, **keys) for name, keys in rules.items() if name not in behind),
        more=YEARS[seed % len(YEARS)],
        last={name: TODAY - dt.timedelta(days=dice.randint(1, 20)) for name in rules},
        weekly=Decimal(dice.choice((1, 2, 3))),
    )


def flown_by_the_next_day(logbook: Logbook, plan: VisitPlan, on: dt.date) -> Decimal:
    """What the heavy use flies from one day to the next."""
    ahead = outlook(chronicle(logbook), plan.on, plan.end)
    here, there = (ahead.totals(day, heavy=True)["tach"] for day in (on, on + dt.timedelta(days=1)))
    return there - here


@pytest.mark.parametrize("seed", range(8))
def test_nothing_is_past_due_and_nothing_dearer_than_each_when_due(seed: int, tmp_path: Path) -> None:
    logbook = invented(tmp_path / "store", seed)
    plan = year_ahead(logbook, due(logbook, TODAY), months=12, seconds=QUICK)
    assert not plan.left_out
    assert plan.visits
    # Nothing is left to be said as owed but what is flown, by the heavy use, before the very next day.
    assert all(" within 2 h after " in words for visit in plan.visits for words in visit.owed)
    assert all(flown_by_the_next_day(logbook, plan, visit.on) > 2 for visit in plan.visits if visit.owed)
    for heavy in (False, True):
        assert list(faults(plan, logbook, heavy=heavy)) == []
    assert plan.bound <= plan.costs.total + 1e-6
    assert plan.costs.total <= min(plan.when_due.total, plan.when_soon.total) + 1e-6
