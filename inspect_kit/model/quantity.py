"""Weights, arms, volumes and powers as people write them, each with its unit; converted exactly and never rounded."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Final

from inspect_kit.noun import dataclass

WEIGHT: Final = "weight"
ARM: Final = "arm"
VOLUME: Final = "volume"
POWER: Final = "power"

# What each unit measures, and how much of the first unit of its kind it is. Exact by definition: the pound is
# 0.453 592 37 kg and the inch 25.4 mm (international agreement of 1959), the US gallon is 231 cubic inches.
UNITS: Final[Mapping[str, tuple[str, Fraction]]] = {
    "lb": (WEIGHT, Fraction(1)),
    "kg": (WEIGHT, Fraction(100_000_000, 45_359_237)),
    "in": (ARM, Fraction(1)),
    "mm": (ARM, Fraction(10, 254)),
    "cm": (ARM, Fraction(100, 254)),
    "m": (ARM, Fraction(10_000, 254)),
    "gal": (VOLUME, Fraction(1)),
    "l": (VOLUME, Fraction(1_000_000_000, 3_785_411_784)),
    "hp": (POWER, Fraction(1)),
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

    def to(self, unit: str) -> Fraction:
        """The same amount in another unit of its kind, exactly; ValueError where it measures something else."""
        measure, size = UNITS[unit]
        if measure != self.measure:
            raise ValueError(f"{self} is no {measure}")
        return Fraction(self.amount) * UNITS[self.unit][1] / size

    def __str__(self) -> str:
        return f"{self.amount:f} {self.unit}"


@dataclass(frozen=True, slots=True)
class Density:
    """`6 lb/gal`: what one unit of volume weighs."""

    weight: Quantity
    volume: str

    def weight_of(self, volume: Fraction, weight_unit: str) -> Fraction:
        """What so many of `volume` weigh, in a unit of weight."""
        return volume * self.weight.to(weight_unit)

    def __str__(self) -> str:
        return f"{self.weight}/{self.volume}"
