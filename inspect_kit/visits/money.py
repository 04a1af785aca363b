"""What things cost in money, as far as the owner has written it down, and what stands for it where nobody has.

Money is in the owner's own currency. It is weighed against minutes only by `visits: {hour: ...}` of aircraft.yaml; what
an interval is worth without that stands in README, in the table below "What nobody wrote down is assumed".
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal

from inspect_kit.model.checklist import OTHERS, Check, Part, decimal, part_key
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.logbook import Logbook
from inspect_kit.noun import dataclass

# Minutes that stand for money where it is not known: chosen here, not measured, and told in README. A part with a life
# and work by others cost more than the labour of fitting; oil and filters cost something.
PART_MINUTES = 240
OTHERS_MINUTES = 240
SUPPLIES_MINUTES = 30

Priced = tuple[str, str]
"""A part as it is priced: its plain name and its measure ("" for pieces)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Money:
    """What is known of money: prices of one unit of a part, and what an hour is worth, in `currency`."""

    prices: Mapping[Priced, Decimal]
    hour: Decimal | None = None
    currency: str = ""

    def of_check(self, check: Check) -> Decimal | None:
        """What one doing costs besides one's own hours; None where that is not known.

        What the check says, else the parts that it uses at the prices of the shelf; nothing where it uses none. What is
        dear has to say it: the oil that an overhaul uses is not what it costs.
        """
        if check.costs is not None or is_dear(check):
            return check.costs
        prices = [self._of_part(part) for part in check.uses]
        known = [price for price in prices if price is not None]
        return sum(known, Decimal(0)) if len(known) == len(prices) else None

    def _of_part(self, part: Part) -> Decimal | None:
        number, _, measure = part.amount.partition(" ")
        amount = decimal(number) if part.amount else Decimal(1)
        price = self.prices.get((part_key(part.name), measure))
        return None if price is None or amount is None else price * amount

    def minutes(self, check: Check) -> float | None:
        """The same in minutes of one's own; None where either is not known."""
        costs = self.of_check(check)
        return None if costs is None or self.hour is None else float(costs / self.hour * 60)


def is_dear(check: Check) -> bool:
    """Whether a doing takes a new part with a life of its own, or the work of others."""
    return bool(check.life or check.marked or check.who == OTHERS)


def money_of(logbook: Logbook) -> Money:
    """What the checklists, the shelf and aircraft.yaml say of money. The newest price of a part counts."""
    prices: dict[Priced, Decimal] = {}
    for record in logbook.of_kind(Stock):
        if record.costs is not None and record.number > 0:
            prices[part_key(record.item), record.measure] = record.costs / record.number
    habit = logbook.aircraft.visits
    return Money(prices=prices, hour=habit.hour, currency=habit.currency)


def labour(check: Check) -> int:
    """Minutes x people; nothing where others do it."""
    return 0 if check.who == OTHERS else check.minutes * check.people


def worth(check: Check, money: Money) -> float:
    """What one whole interval of a check is worth, in minutes: its labour and its money, or what stands for that."""
    known = money.minutes(check)
    if known is None:
        known = PART_MINUTES if check.life or check.marked else 0
        known += OTHERS_MINUTES if check.who == OTHERS else 0
        known += SUPPLIES_MINUTES if check.uses else 0
    return labour(check) + known


def is_guarded(check: Check, money: Money) -> bool:
    """Whether a check is pulled forward only near its limit (`question.Rule.earliest`): its cost is not known."""
    return is_dear(check) and money.minutes(check) is None


def costs_together(checks: Iterable[Check], money: Money) -> tuple[Decimal, tuple[str, ...]]:
    """What these checks cost as far as it is known, and the ids of those of which it is not."""
    costs = [(check.id, money.of_check(check)) for check in checks]
    known = sum((cost for _, cost in costs if cost is not None), Decimal(0))
    return known, tuple(name for name, cost in costs if cost is None)
