"""Which doings clearly came before a moment: found by their day, and the same as when each of them is asked."""

import datetime as dt
import random
from decimal import Decimal

from inspect_kit.due.moments import Moment
from inspect_kit.due.sequences import not_before
from inspect_kit.errors import Place


def moment(chance: random.Random) -> Moment:
    """On one of a few days, or on a day that nobody knows; with a reading, or without."""
    day = chance.choice([None, *(dt.date(2026, 1, number) for number in range(1, 6))])
    reads = chance.choice([None, *map(Decimal, range(5))])
    return Moment(
        date=day,
        totals={"tach": reads},
        clock=chance.choice([None, reads]),
        evening=reads,
        record=chance.choice(["", "a", "b"]),
        place=Place("records/a.yaml", chance.randrange(1000)),
        brought=day is None or chance.random() < 0.2,
        order=(day or dt.date.min, reads or Decimal(0)),
    )


def test_as_if_each_were_asked() -> None:
    chance = random.Random(20261127)
    before = 0
    for _ in range(500):
        dones = tuple(sorted((moment(chance) for _ in range(12)), key=lambda each: (each.order, each.record)))
        at = moment(chance)
        asked = [done for done in dones if not done.clearly_before(at, "tach")]
        assert not_before(dones, at, "tach") == asked
        before += len(dones) - len(asked)
    assert before > 500
