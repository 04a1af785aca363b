"""What the coming visits and the life limits need, less what is on the shelf, by the day it must be ordered."""

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal

from inspect_kit.due.answer import DueAnswer
from inspect_kit.due.shelf import Lot, on_hand
from inspect_kit.model.checklist import added_up, decimal, part_key
from inspect_kit.model.interval import Limit
from inspect_kit.noun import dataclass
from inspect_kit.visits.answer import VisitPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One part that is needed on a day: `amount` of it for `checks`, `short` of it not on the shelf.

    `order_by` is the day on which it must be ordered to be there, None where nothing says how long it takes. `life`
    marks a part whose life ends then. An amount of None cannot be counted.
    """

    name: str
    measure: str
    amount: Decimal | None
    short: Decimal | None
    on: dt.date
    order_by: dt.date | None
    checks: tuple[str, ...]
    life: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsAnswer:
    """What is needed, that to be ordered first first; the shelf; `until` the day up to which visits were looked at."""

    on: dt.date
    until: dt.date
    needs: tuple[Need, ...]
    shelf: tuple[Lot, ...]

    @property
    def to_order(self) -> tuple[Need, ...]:
        """What is not on the shelf."""
        return tuple(need for need in self.needs if need.short is None or need.short > 0)


def parts_needed(outlook: VisitPlan, answer: DueAnswer, shelf: tuple[Lot, ...]) -> PartsAnswer:
    """The parts of every visit of an outlook, and those whose life ends before its end."""
    leads = {part_key(name): limit for name, limit in answer.seen.aircraft.lead_times.items()}
    used: dict[tuple[str, str], Decimal] = {}
    needs: list[Need] = []
    for visit in outlook.visits:
        checks = {name: answer.seen.checks[name] for name in visit.checks if name in answer.seen.checks}
        for part in added_up(part for check in checks.values() for part in check.uses):
            number, _, measure = part.amount.partition(" ")
            amount = decimal(number) if part.amount else Decimal(1)
            key = (part_key(part.name), measure)
            short = amount
            if amount is not None:
                free = max(Decimal(0), on_hand(shelf, part.name, measure, visit.on) - used.get(key, Decimal(0)))
                short = max(Decimal(0), amount - free)
                used[key] = used.get(key, Decimal(0)) + amount - short
            wanted = tuple(
                name for name, check in checks.items() if any(part_key(each.name) == key[0] for each in check.uses)
            )
            needs.append(
                Need(
                    name=part.name,
                    measure=measure,
                    amount=amount,
                    short=short,
                    on=visit.on,
                    order_by=_order_by(visit.on, leads, part.name),
                    checks=wanted,
                )
            )
    needs += _lives(outlook, answer, shelf, leads)
    order = sorted(needs, key=lambda need: (need.order_by or need.on, need.on, need.name))
    return PartsAnswer(on=answer.on, until=outlook.end, needs=tuple(order), shelf=shelf)


def _lives(
    outlook: VisitPlan, answer: DueAnswer, shelf: tuple[Lot, ...], leads: Mapping[str, Limit]
) -> list[Need]:
    needs = []
    for item in answer.items:
        check = answer.seen.checks.get(item.check)
        if check is None or not check.life:
            continue
        days = [item.due.date, item.expected.likely if item.expected else None]
        on = min((day for day in days if day is not None), default=None)
        name = check.counts_on or check.id
        order_by = None if on is None else _order_by(on, leads, name)
        if on is None or (order_by or on) > outlook.end:
            continue
        short = max(Decimal(0), Decimal(1) - on_hand(shelf, name, "", on))
        needs.append(
            Need(
                name=name,
                measure="",
                amount=Decimal(1),
                short=short,
                on=on,
                order_by=order_by,
                checks=(check.id,),
                life=True,
            )
        )
    return needs


def _order_by(on: dt.date, leads: Mapping[str, Limit], name: str) -> dt.date | None:
    lead = leads.get(part_key(name))
    return None if lead is None else lead.before(on)
