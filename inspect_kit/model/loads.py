"""Where weight goes in an aircraft: seats, baggage, tanks, what is always aboard, and the limits of it all."""

from collections.abc import Mapping
from dataclasses import field

from inspect_kit.errors import Place
from inspect_kit.model.quantity import Density, Quantity
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """Something of a weight at an arm."""

    item: str
    weight: Quantity
    arm: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A seat, and what the lightest and the heaviest person weigh who sit in it."""

    name: str
    arm: Quantity
    lightest: Quantity
    heaviest: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Locker:
    """A place for baggage and the most that it takes."""

    name: str
    arm: Quantity
    limit: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Tank:
    """A tank and the usable fuel that it holds."""

    name: str
    arm: Quantity
    holds: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """A corner of the envelope."""

    arm: Quantity
    weight: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Chord:
    """The mean aerodynamic chord: where its leading edge is, and its length."""

    leading_edge: Quantity
    length: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Loading:
    """A loading by the names of seats, tanks (volumes) and lockers; what is not named is empty."""

    name: str
    seats: Mapping[str, Quantity] = field(default_factory=dict)
    fuel: Mapping[str, Quantity] = field(default_factory=dict)
    baggage: Mapping[str, Quantity] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """All of `balance` in aircraft.yaml. Answers are told in `weight_unit` and `arm_unit`.

    The pilot sits in the first of `seats`. `burn` is the order in which tanks empty, those of one group together.
    `forward`, `aft` and `heaviest` make an outline as `envelope` does; a loading keeps to both.
    `power` is the engine's maximum except take-off power, from which the minimum fuel follows where none is given.
    """

    weight_unit: str
    arm_unit: str
    datum: str
    seats: tuple[Seat, ...]
    lockers: tuple[Locker, ...] = ()
    tanks: tuple[Tank, ...] = ()
    fuel: Density
    burn: tuple[tuple[str, ...], ...] = ()
    power: Quantity | None = None
    minimum_fuel: Quantity | None = None
    always: tuple[Thing, ...] = ()
    heaviest: Quantity
    forward: Quantity | None = None
    aft: Quantity | None = None
    envelope: tuple[Corner, ...] = ()
    chord: Chord | None = None
    loadings: tuple[Loading, ...] = ()
    source: str = ""
    place: Place
