"""Hours flown: what the meters read on a day, and what was filled up."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field
from decimal import Decimal
from functools import lru_cache

from inspect_kit.model.checklist import Check, decimal
from inspect_kit.model.kind import METERS, TABLE, TEXT, Key, Kind
from inspect_kit.model.quantity import UNITS
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
        counted = words[:1].isdigit() or words[:1] in ("-", ".") or is_oil(what)
        if not is_oil(what) and _is_nearly_oil(what):
            yield "added", f"`{what[:40]}` would be in no trend of the oil; did you mean `oil`?"
        elif counted and filled_up(words) is None:
            yield "added", f"`{words[:40]}` of {what[:40]} is no amount with its measure, such as `1.5 qt`"


OIL = "oil"
# What is in the engine of an aircraft of this kind at most, in quarts (common practice, no source).
MOST_OIL = Decimal(12)
# Quarts of each measure: a US gallon has four, and 128 fluid ounces.
_GALLONS, _OF = UNITS["l"][1]
_LITRE = 4 * Decimal(_GALLONS) / Decimal(_OF)
QUARTS = {
    **dict.fromkeys(("qt", "qts", "quart", "quarts"), Decimal(1)),
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), _LITRE),
    **dict.fromkeys(("gal", "gallon", "gallons"), Decimal(4)),
    **dict.fromkeys(("pt", "pint", "pints"), Decimal("0.5")),
    "ml": _LITRE / 1000,
    "oz": Decimal(1) / 32,
}


@lru_cache(maxsize=512)
def is_oil(what: str) -> bool:
    """Whether what was filled up is oil of the engine: `oil`, `Oil W100`, `engine oil`; `gearbox oil` is none."""
    words = what.casefold().split()
    return words[:1] == [OIL] or words[:2] == ["engine", OIL]


def _is_nearly_oil(what: str) -> bool:
    """Whether one key more, less, another or turned makes it `oil`: `oi1`, `0il`, `oli`, `ol`."""
    word = what.strip().casefold()
    turned = {OIL[:at] + OIL[at + 1] + OIL[at] + OIL[at + 2 :] for at in range(len(OIL) - 1)}
    less = {OIL[:at] + OIL[at + 1 :] for at in range(len(OIL))}
    other = len(word) == len(OIL) and sum(one != two for one, two in zip(word, OIL, strict=True)) == 1
    more = any(word[:at] + word[at + 1 :] == OIL for at in range(len(word)))
    return other or more or word in turned | less


def most_oil(checks: Iterable[Check]) -> Decimal:
    """What the engine holds, in quarts: the most that a check uses at once, else what no engine here goes beyond."""
    used = (part.amount for check in checks for part in check.uses if is_oil(part.name))
    return max((most for each in used if (most := quarts(each))), default=MOST_OIL)


# The same few amounts are filled up all the time.
@lru_cache(maxsize=512)
def quarts(told: str) -> Decimal | None:
    """How much oil that is, in quarts; None where its measure is none of those known."""
    amount, measure = filled_up(told) or (Decimal(0), "")
    word = measure.casefold().split(" ")[0].rstrip(".,")
    return amount * QUARTS[word] if word in QUARTS else None


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
