"""One loading: who and what is aboard, the weight and the centre of gravity it makes, and the fuel leaving it."""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from inspect_kit.balance.envelope import Envelope, Pieces
from inspect_kit.balance.moments import Moments
from inspect_kit.model.loads import Loading, Loads
from inspect_kit.model.quantity import Quantity
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True)
class LoadingLine:
    """One thing aboard; `over` says in words by how much it is more than its place may hold, "" where it is not."""

    item: str
    weight: Fraction
    arm: Fraction
    over: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedLoading:
    """A loading worked out: its lines, its total at take-off, the fuel leaving it piece by piece.

    `outside` is the first total at which it lies outside the limits, None where it never does; `burnt` the weight of
    fuel gone by then. `inside` says that it never does, and that no place is filled beyond what it takes.
    """

    name: str
    lines: tuple[LoadingLine, ...]
    total: Moments
    pieces: Pieces
    inside: bool
    outside: Moments | None

    @property
    def burnt(self) -> Fraction:
        return self.total.weight - self.outside.weight if self.outside else Fraction()

    @property
    def over(self) -> tuple[str, ...]:
        return tuple(line.over for line in self.lines if line.over)

    def course(self) -> Iterator[Moments]:
        """The totals at take-off and after each piece of fuel."""
        total = self.total
        yield total
        for weight, arm in self.pieces:
            total = total.plus(-weight, arm)
            yield total


def loaded(empty: Moments, loads: Loads, loading: Loading, envelope: Envelope) -> WorkedLoading:
    """Work a loading out and follow it until its fuel is gone."""
    seats = {name: weight.to(loads.weight_unit) for name, weight in loading.seats.items()}
    baggage = {name: weight.to(loads.weight_unit) for name, weight in loading.baggage.items()}
    fuel = {name: weight_of_fuel(loads, volume) for name, volume in loading.fuel.items()}
    return worked_out(empty, loads, loading.name, seats, fuel, baggage, envelope)


def worked_out(
    empty: Moments,
    loads: Loads,
    name: str,
    seats: Mapping[str, Fraction],
    fuel: Mapping[str, Fraction],
    baggage: Mapping[str, Fraction],
    envelope: Envelope,
) -> WorkedLoading:
    """Work a loading out, told by weights in the units of the aircraft, by the names of their places."""
    lines = tuple(line for line in _lines(loads, seats, fuel, baggage) if line.weight)
    total = empty
    for line in lines:
        total = total.plus(line.weight, line.arm)
    pieces = burn(loads, fuel)
    left = envelope.leaves(total, pieces)
    over = any(line.over for line in lines)
    return WorkedLoading(
        name=name,
        lines=lines,
        total=total,
        pieces=pieces,
        inside=left is None and not over,
        outside=left[0] if left else None,
    )


def _lines(
    loads: Loads, seats: Mapping[str, Fraction], fuel: Mapping[str, Fraction], baggage: Mapping[str, Fraction]
) -> Iterator[LoadingLine]:
    weight, arm = loads.weight_unit, loads.arm_unit
    for thing in loads.always:
        yield LoadingLine(thing.item, thing.weight.to(weight), thing.arm.to(arm))
    for seat in loads.seats:
        yield LoadingLine(f"seat {seat.name}", seats.get(seat.name, Fraction()), seat.arm.to(arm))
    for locker in loads.lockers:
        carried = baggage.get(locker.name, Fraction())
        over = f"{locker.name} takes {locker.limit}" if carried > locker.limit.to(weight) else ""
        yield LoadingLine(locker.name, carried, locker.arm.to(arm), over)
    for tank in loads.tanks:
        carried = fuel.get(tank.name, Fraction())
        over = f"{tank.name} holds {tank.holds}" if carried > fuel_weight(loads, tank.name) else ""
        yield LoadingLine(f"fuel {tank.name}", carried, tank.arm.to(arm), over)


def fuel_weight(loads: Loads, name: str) -> Fraction:
    """What a full tank's usable fuel weighs."""
    tank = next(tank for tank in loads.tanks if tank.name == name)
    return weight_of_fuel(loads, tank.holds)


def weight_of_fuel(loads: Loads, volume: Quantity) -> Fraction:
    """What so much fuel weighs, in the unit of the aircraft."""
    return loads.fuel.weight_of(volume.to(loads.fuel.volume), loads.weight_unit)


def burn(loads: Loads, fuel: Mapping[str, Fraction]) -> Pieces:
    """The fuel in the order in which it leaves; tanks of one group give the same until one of them is empty."""
    arms = {tank.name: tank.arm.to(loads.arm_unit) for tank in loads.tanks}
    left = {name: weight for name, weight in fuel.items() if weight > 0}
    pieces = []
    for group in loads.burn:
        while running := [name for name in group if left.get(name)]:
            each = min(left[name] for name in running)
            pieces.append((each * len(running), sum((arms[name] for name in running), Fraction()) / len(running)))
            for name in running:
                left[name] -= each
    return tuple(pieces)
