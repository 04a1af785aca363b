"""What lies on the shelf: one lot of one thing, as it was counted on a day."""

import datetime as dt
from collections.abc import Iterator
from decimal import Decimal

from inspect_kit.model.checklist import decimal
from inspect_kit.model.interval import DAYS_OF, YEARS, Limit, Term, in_days
from inspect_kit.model.kind import DATE, LIMITS, MONEY, SOMETHING, TEXT, Key, Kind
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

# In days; common practice, no source.
LONGEST = 10 * DAYS_OF[YEARS]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock(Record):
    """So much of `item` and `lot` was there on the date of the record; the newest one of an item and a lot counts.

    `amount` is a number and a measure, `6 qt`, or a number of pieces. `good_until` is the date on the lot, `good_for`
    how long it is good once it was `opened_on`. `costs` is what the whole amount was bought for.
    """

    item: str
    amount: str
    lot: str = ""
    good_until: dt.date | None = None
    opened_on: dt.date | None = None
    good_for: tuple[Term, ...] = ()
    costs: Decimal | None = None

    @property
    def number(self) -> Decimal:
        """How much there was, in `measure`."""
        return decimal(self.amount.partition(" ")[0]) or Decimal(0)

    @property
    def measure(self) -> str:
        return self.amount.partition(" ")[2].strip()


def _faults(record: Stock) -> Iterator[tuple[str, str]]:
    number = decimal(record.amount.partition(" ")[0])
    if number is None or number < 0:
        yield "amount", "expected a number, with its measure if it is not pieces: `2` or `6 qt`"
    if any(not isinstance(term, Limit) or not term.is_calendar for term in record.good_for):
        yield "good-for", "is a time: `6 months`"
    elif any(isinstance(term, Limit) and in_days(term) > LONGEST for term in record.good_for):
        yield "good-for", "nothing that was opened is good for more than ten years: is the number right?"
    if record.opened_on is not None and record.opened_on > record.date:
        yield "opened-on", f"{record.opened_on} is after {record.date}, when it was counted"
    if record.costs is not None and number == 0:
        yield "costs", "is what `amount` was bought for, and none is there"


def _summary(record: Stock) -> str:
    told = [f"on the shelf: {record.item}, {record.amount}"]
    told += [f"lot {record.lot}"] if record.lot else []
    told += [f"good until {record.good_until}"] if record.good_until else []
    told += [f"opened {record.opened_on}"] if record.opened_on else []
    return ", ".join(told)


KIND = Kind(
    name="stock",
    noun=Stock,
    title="stock",
    summary=_summary,
    faults=_faults,
    keys=(
        Key(name="item", holds=TEXT, label="Item", required=True, says=SOMETHING),
        Key(name="amount", holds=TEXT, label="Amount", required=True),
        Key(name="lot", holds=TEXT, label="Lot"),
        Key(name="good-until", holds=DATE, label="Good until"),
        Key(name="opened-on", holds=DATE, label="Opened"),
        Key(name="good-for", holds=LIMITS, label="Good for, once opened"),
        Key(name="costs", holds=MONEY, label="Bought for"),
    ),
)
