"""Hours flown: what the meters read on a day, and what was filled up."""

from collections.abc import Iterator, Mapping
from dataclasses import field
from decimal import Decimal

from inspect_kit.model.checklist import decimal
from inspect_kit.model.kind import METERS, TABLE, TEXT, Key, Kind
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours(Record):
    """Meter readings written down; `added` such as {"oil": "1 qt"}; `permit` the special flight permit flown on."""

    added: Mapping[str, str] = field(default_factory=dict)
    permit: str = ""


def _faults(record: Hours) -> Iterator[tuple[str, str]]:
    """Amounts that nobody can add up. What else is filled up may be told in words, `to the mark`."""
    for what, told in record.added.items():
        words = told.strip()
        counted = words[:1].isdigit() or words[:1] in ("-", ".") or what.strip().casefold() == OIL
        if counted and filled_up(words) is None:
            yield "added", f"`{words[:40]}` of {what[:40]} is no amount with its measure, such as `1.5 qt`"


OIL = "oil"


def filled_up(told: str) -> tuple[Decimal, str] | None:
    """How much, and of which measure, in `1.5 qt` or `1/2 qt`; None where it is no amount above nothing."""
    number, _, measure = told.strip().partition(" ")
    over, stroke, under = number.partition("/")
    amount, parts = decimal(over), decimal(under) if stroke else Decimal(1)
    if amount is None or not parts or amount <= 0 or parts < 0 or not any(map(str.isalpha, measure)):
        return None
    return amount / parts, measure.strip()


def _summary(record: Hours) -> str:
    return "; ".join(f"added {amount} {name}" for name, amount in record.added.items())


KIND = Kind(
    name="hours",
    noun=Hours,
    title="meter readings",
    summary=_summary,
    faults=_faults,
    keys=(
        # What any other kind may have; its row among what every record says is shown there.
        Key(name="meters", holds=METERS, required=True, stand_in={}),
        Key(name="added", holds=TABLE, label="Added"),
        Key(name="permit", holds=TEXT, label="Special flight permit"),
    ),
)
