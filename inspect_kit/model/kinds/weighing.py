"""A weighing: what the scales read under each wheel, what was aboard and is no part of the empty weight, what was not.

Source: FAA-H-8083-1B, chapter 3: net weight is scale reading less tare; what is aboard and does not belong to the empty
weight is taken off again at its arm, what belongs to it and was missing is added.
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from inspect_kit.model.kind import QUANTITY, REASON, ROWS, SOMETHING, SOMETHING_OR_NONE, TEXT, Below, Key, Kind
from inspect_kit.model.loads import Thing
from inspect_kit.model.quantity import ARM, WEIGHT, Quantity
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

if TYPE_CHECKING:
    from fractions import Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class ScalePoint:
    """One scale: where it stood, what it read, how much of that was chocks and stands, and the arm of the wheel."""

    at: str
    scale: Quantity
    tare: Quantity | None = None
    arm: Quantity

    def net(self, unit: str) -> "Fraction":
        """What the wheel carries."""
        return self.scale.to(unit) - (self.tare.to(unit) if self.tare else 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing(Record):
    """The aircraft on scales. `datum` is where arms are counted from, `level` how it stood.

    `unusable_fuel` and `oil` say in words what of them is part of the empty weight; `because` why it is another than
    the weighing before and the equipment since make it, where it is another by far.
    """

    points: tuple[ScalePoint, ...]
    aboard: tuple[Thing, ...] = ()
    missing: tuple[Thing, ...] = ()
    datum: str
    level: str
    unusable_fuel: str
    oil: str
    because: str = ""

    def net(self, unit: str) -> "Fraction":
        """The empty weight that it found."""
        from fractions import Fraction

        net = sum((point.net(unit) for point in self.points), Fraction())
        net += sum((thing.weight.to(unit) for thing in self.missing), Fraction())
        return net - sum((thing.weight.to(unit) for thing in self.aboard), Fraction())


_THING_KEYS = (
    Key(name="item", holds=TEXT, label="item", required=True),
    Key(name="weight", holds=QUANTITY, words=(WEIGHT,), label="weight", required=True),
    Key(name="arm", holds=QUANTITY, words=(ARM,), label="arm", required=True),
)
_POINT_KEYS = (
    Key(name="at", holds=TEXT, label="at", required=True),
    Key(name="scale", holds=QUANTITY, words=(WEIGHT,), label="scale", required=True),
    Key(name="tare", holds=QUANTITY, words=(WEIGHT,), label="tare"),
    Key(name="arm", holds=QUANTITY, words=(ARM,), label="arm", required=True),
)
_THINGS = Below(noun=Thing, keys=_THING_KEYS)


def _faults(record: Weighing) -> Iterator[tuple[str, str]]:
    if len(record.points) < 2:
        yield "points", "an aircraft stands on two scales at least"
    seen: dict[str, ScalePoint] = {}
    for point in record.points:
        place = " ".join(point.at.casefold().split())
        if place in seen:
            told = f"{seen[place].scale} and {point.scale}"
            yield "points", f"two scales stand at `{point.at}`, {told}: give each its own name, or take one away"
        seen[place] = point
        if point.net("lb") < 0:
            yield "points", f"the tare at {point.at}, {point.tare}, is more than the scale reads, {point.scale}"
    if record.net("lb") <= 0:
        yield "points", "nothing is left of the empty weight"


def _summary(record: Weighing) -> str:
    told = (f"{each.at} {each.scale}" + (f" less {each.tare}" if each.tare else "") for each in record.points)
    return f"weighed: {', '.join(told)}"


KIND = Kind(
    name="weighing",
    noun=Weighing,
    title="weighing",
    summary=_summary,
    faults=_faults,
    keys=(
        Key(
            name="points",
            holds=ROWS,
            below=Below(noun=ScalePoint, keys=_POINT_KEYS),
            label="Scales",
            required=True,
        ),
        Key(name="aboard", holds=ROWS, below=_THINGS, label="Aboard, taken off again"),
        Key(name="missing", holds=ROWS, below=_THINGS, label="Missing, added"),
        Key(name="datum", holds=TEXT, label="Datum", required=True, says=SOMETHING),
        Key(name="level", holds=TEXT, label="Level attitude", required=True, says=SOMETHING),
        Key(name="unusable-fuel", holds=TEXT, label="Unusable fuel", required=True, says=SOMETHING_OR_NONE),
        Key(name="oil", holds=TEXT, label="Oil", required=True, says=SOMETHING_OR_NONE),
        Key(name="because", holds=TEXT, label="Differs because", says=REASON),
    ),
)
