"""Weights, arms, volumes and powers as people write them, each with its unit; converted exactly and never rounded."""

from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from inspect_kit.noun import dataclass

if TYPE_CHECKING:
    from fractions import Fraction

WEIGHT: Final = "weight"
ARM: Final = "arm"
VOLUME: Final = "volume"
POWER: Final = "power"

# What each unit measures, and how much of the first unit of its kind it is, as a fraction. Exact by definition: the
# pound is 0.453 592 37 kg and the inch 25.4 mm (international agreement of 1959), the US gallon is 231 cubic inches.
UNITS: Final[Mapping[str, tuple[str, tuple[int, int]]]] = {
    "lb": (WEIGHT, (1, 1)),
    "kg": (WEIGHT, (100_000_000, 45_359_237)),
    "in": (ARM, (1, 1)),
    "mm": (ARM, (10, 254)),
    "cm": (ARM, (100, 254)),
    "m": (ARM, (10_000, 254)),
    "gal": (VOLUME, (1, 1)),
    "l": (VOLUME, (1_000_000_000, 3_785_411_784)),
    "hp": (POWER, (1, 1)),
}


def units_of(measure: str) -> tuple[str, ...]:
    """The units of a weight, an arm, a volume or a power."""
    return tuple(unit for unit, (what, _) in UNITS.items() if what == measure)


@dataclass(frozen=True, slots=True)
class Quantity:
    """`846 lb`, `-32 in`: an exact amount with its unit. Only an arm may be negative (ahead of the datum)."""

    amount: Decimal
    unit: str

    def __post_init__(self) -> None:
        if self.unit not in UNITS:
            raise ValueError(f"`{self.unit}` is no unit known here")
        if self.amount < 0 and self.measure != ARM:
            raise ValueError(f"a {self.measure} is not negative")

    @property
    def measure(self) -> str:
        return UNITS[self.unit][0]

    def to(self, unit: str) -> "Fraction":
        """The same amount in another unit of its kind, exactly; ValueError where it measures something else."""
        from fractions import Fraction

        measure, size = UNITS[unit]
        if measure != self.measure:
            raise ValueError(f"{self} is no {measure}")
        return Fraction(self.amount) * Fraction(*UNITS[self.unit][1]) / Fraction(*size)

    def __str__(self) -> str:
        return f"{self.amount:f} {self.unit}"


@dataclass(frozen=True, slots=True)
class Density:
    """`6 lb/gal`: what one unit of volume weighs."""

    weight: Quantity
    volume: str

    def weight_of(self, volume: "Fraction", weight_unit: str) -> "Fraction":
        """What so many of `volume` weigh, in a unit of weight."""
        return volume * self.weight.to(weight_unit)

    def __str__(self) -> str:
        return f"{self.weight}/{self.volume}"
