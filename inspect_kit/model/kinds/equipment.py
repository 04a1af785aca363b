"""Equipment that came in or went out, or the owner's word that a fitting changed nothing.

Source: AC 43.13-1B, chapter 10: a change of empty weight is worked out and recorded with the weight and the arm of each
item; one of a pound or less is negligible below 5000 lb, and is recorded all the same.
"""

from collections.abc import Iterator

from inspect_kit.model.checklist import part_key
from inspect_kit.model.kind import CHOICE, QUANTITY, REASON, RECORDS, SOMETHING, TEXT, Key, Kind
from inspect_kit.model.quantity import ARM, WEIGHT, Quantity
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

IN, OUT = "in", "out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment(Record):
    """One item of a weight at an arm, `in` or `out`; `came_with` names the records of the work it came with.

    Instead of the four, `no_change` says why the fittings in `came_with` changed neither weight nor balance. `because`
    says why it weighs or lies otherwise than one would think.
    """

    item: str = ""
    weight: Quantity | None = None
    arm: Quantity | None = None
    change: str = ""
    came_with: tuple[str, ...] = ()
    no_change: str = ""
    because: str = ""


def item_key(item: str) -> str:
    """A name of an item by which it is known again: capitals, hyphens and the plural aside."""
    return part_key(item.replace("-", " "))


def _faults(record: Equipment) -> Iterator[tuple[str, str]]:
    told = {"item": record.item, "weight": record.weight, "arm": record.arm, "change": record.change}
    given = [key for key, value in told.items() if value]
    if record.no_change:
        for key in given:
            yield key, "says a change where `no change` says that there was none"
        if not record.came_with:
            yield "no change", "names under `came-with` the fittings that it speaks of"
    else:
        for key in told:
            if key not in given:
                yield "", f"{key} is missing: an item that came in or went out, or `no change: reason`"


def _summary(record: Equipment) -> str:
    if record.no_change:
        return f"no change of weight and balance: {record.no_change}"
    return f"equipment {record.change}: {record.item}, {record.weight} at {record.arm}"


KIND = Kind(
    name="equipment",
    noun=Equipment,
    title="equipment",
    summary=_summary,
    faults=_faults,
    keys=(
        Key(name="item", holds=TEXT, label="Item", says=SOMETHING),
        Key(name="weight", holds=QUANTITY, words=(WEIGHT,), label="Weight"),
        Key(name="arm", holds=QUANTITY, words=(ARM,), label="Arm"),
        Key(name="change", holds=CHOICE, words=(IN, OUT), label="Change"),
        Key(name="came-with", holds=RECORDS, label="Came with"),
        Key(name="because", holds=TEXT, label="Differs because", says=REASON),
        Key(name="no change", holds=TEXT, label="No change", says=REASON),
    ),
)
