"""The loadings at the edge of what the owner's own limits allow: most forward and most aft, heaviest and lightest.

The pilot's seat is taken, any other seat taken or empty, each person between the lightest and the heaviest given for
the seat; baggage up to its limit; fuel from the minimum up, and the greatest weight kept. What moves the balance the
wrong way is aboard in full, what moves it the right way as little as may be.

Source: AC 43.13-1B, chapter 10: items ahead of the forward limit at their most and items behind it at their least for
the forward check, the other way round for the aft one; minimum fuel is maximum except take-off horsepower over 12 in
US gallons.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import chain, combinations, pairwise

from inspect_kit.balance.envelope import Envelope
from inspect_kit.balance.loading import WorkedLoading, fuel_weight, weight_of_fuel, worked_out
from inspect_kit.balance.moments import Moments
from inspect_kit.model.loads import Loads
from inspect_kit.model.quantity import Quantity
from inspect_kit.noun import dataclass

SEAT, FUEL, BAGGAGE = "seat", "fuel", "baggage"
PER_GALLON = 12

# How much of everything is aboard, by kind and name of its place.
Aboard = dict[tuple[str, str], Fraction]


@dataclass(frozen=True, slots=True)
class _Room:
    """How much more a place may take, and its arm."""

    place: tuple[str, str]
    most: Fraction
    arm: Fraction


def minimum_fuel(loads: Loads) -> Fraction:
    """The weight of the minimum fuel: as given, or METO horsepower / 12 in US gallons, or nothing."""
    if loads.minimum_fuel is not None:
        least = weight_of_fuel(loads, loads.minimum_fuel)
    elif loads.power is not None:
        gallon = loads.fuel.weight_of(Quantity(Decimal(1), "gal").to(loads.fuel.volume), loads.weight_unit)
        least = loads.power.to("hp") / PER_GALLON * gallon
    else:
        least = Fraction()
    return min(least, sum((fuel_weight(loads, tank.name) for tank in loads.tanks), Fraction()))


def extremes(empty: Moments, loads: Loads, envelope: Envelope) -> tuple[WorkedLoading, ...]:
    """Four loadings, and the most forward and the most aft of all where these are others; none where none is allowed.

    Where a loading between them lies outside though these lie inside, it is given too.
    """
    found: list[tuple[str, Aboard]] = []
    ways = {"forward": [*_ways(empty, loads, 1)], "aft": [*_ways(empty, loads, -1)]}
    for word, sign in (("forward", 1), ("aft", -1)):
        courses = ways[word]
        if not courses:
            return ()

        def weight(aboard: Aboard) -> Fraction:
            return _total(empty, loads, aboard).weight

        def behind(aboard: Aboard, sign: int = sign) -> Fraction:
            return sign * _total(empty, loads, aboard).arm

        points = [aboard for course in courses for aboard in course]
        heaviest = max(map(weight, points))
        lightest = min(map(weight, points))
        most = min(points, key=lambda aboard: (behind(aboard), -weight(aboard)))
        found.append((f"most {word}, heaviest", min((p for p in points if weight(p) == heaviest), key=behind)))
        found.append((f"most {word}, lightest", min((p for p in points if weight(p) == lightest), key=behind)))
        if behind(most) < min(behind(found[-1][1]), behind(found[-2][1])):
            found.append((f"most {word} of all", most))
    made = [_loaded(empty, loads, name, aboard, envelope) for name, aboard in found]
    if all(envelope.holds(each.total) for each in made):
        between = {each.total: each for each in _in_between(empty, loads, ways, envelope)}
        made += between.values()
    return tuple(made)


def _ways(empty: Moments, loads: Loads, sign: int) -> Iterator[list[Aboard]]:
    """For each choice of seats taken, from its lightest loading to its heaviest: each as far forward (1) or aft (-1)
    as one of its weight can be. From one to the next a single place fills.
    """
    arm_unit, weight_unit = loads.arm_unit, loads.weight_unit
    pilot, *others = loads.seats
    least = minimum_fuel(loads)
    heaviest = loads.heaviest.to(weight_unit)
    for taken in chain.from_iterable(combinations(others, count) for count in range(len(others) + 1)):
        aboard: Aboard = {}
        rooms = []
        for seat in (pilot, *taken):
            aboard[SEAT, seat.name] = seat.lightest.to(weight_unit)
            more = seat.heaviest.to(weight_unit) - seat.lightest.to(weight_unit)
            rooms.append(_Room((SEAT, seat.name), more, seat.arm.to(arm_unit)))
        tanks = [_Room((FUEL, tank.name), fuel_weight(loads, tank.name), tank.arm.to(arm_unit)) for tank in loads.tanks]
        aboard, tanks = _filled(aboard, tanks, least, sign)
        rooms += tanks
        rooms += [
            _Room((BAGGAGE, each.name), each.limit.to(weight_unit), each.arm.to(arm_unit)) for each in loads.lockers
        ]
        left = heaviest - _total(empty, loads, aboard).weight
        if left < 0:
            continue
        course = [aboard]
        for room in sorted(rooms, key=lambda room: sign * room.arm):
            more = min(room.most, left)
            if more > 0:
                left -= more
                course.append({**course[-1], room.place: course[-1].get(room.place, Fraction()) + more})
        yield course


def _filled(aboard: Aboard, tanks: list[_Room], least: Fraction, sign: int) -> tuple[Aboard, list[_Room]]:
    """The minimum fuel in the tanks where it is worst, and what room is left in each."""
    filled = dict(aboard)
    rooms = []
    for tank in sorted(tanks, key=lambda room: sign * room.arm):
        poured = min(least, tank.most)
        least -= poured
        filled[tank.place] = poured
        rooms.append(replace(tank, most=tank.most - poured))
    return filled, rooms


def _total(empty: Moments, loads: Loads, aboard: Mapping[tuple[str, str], Fraction]) -> Moments:
    arms = {(SEAT, seat.name): seat.arm for seat in loads.seats}
    arms |= {(BAGGAGE, locker.name): locker.arm for locker in loads.lockers}
    arms |= {(FUEL, tank.name): tank.arm for tank in loads.tanks}
    total = empty
    for thing in loads.always:
        total = total.plus(thing.weight.to(loads.weight_unit), thing.arm.to(loads.arm_unit))
    for place, weight in aboard.items():
        total = total.plus(weight, arms[place].to(loads.arm_unit))
    return total


def _loaded(empty: Moments, loads: Loads, name: str, aboard: Aboard, envelope: Envelope) -> WorkedLoading:
    def of(kind: str) -> dict[str, Fraction]:
        return {place: weight for (what, place), weight in aboard.items() if what == kind}

    return worked_out(empty, loads, name, of(SEAT), of(FUEL), of(BAGGAGE), envelope)


def _in_between(
    empty: Moments, loads: Loads, ways: Mapping[str, Iterable[list[Aboard]]], envelope: Envelope
) -> Iterator[WorkedLoading]:
    """A loading outside the limits between two that lie inside, as a limit that slants may have it."""
    for word, courses in ways.items():
        steps = ((before, after) for course in courses for before, after in pairwise(course))
        for before, after in steps:
            lean, full = _total(empty, loads, before), _total(empty, loads, after)
            weight = full.weight - lean.weight
            left = envelope.leaves(full, [(weight, (full.moment - lean.moment) / weight)])
            if left is not None:
                place = next(place for place in after if after[place] != before.get(place))
                aboard = {**after, place: after[place] - (full.weight - left[1].weight)}
                yield _loaded(empty, loads, f"most {word}, in between", aboard, envelope)
                break
