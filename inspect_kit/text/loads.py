"""`balance` of aircraft.yaml: where weight goes, and the limits.

    balance:
      units: "lb, in"                              datum: text            [ source: text ]
      seats: {ID: {arm, weighs: RANGE}}            the pilot in the first one
      [ baggage: {ID: {arm, limit}} ]              [ always: [{item, weight, arm}] ]
      [ tanks: {ID: {arm, holds}} ]                [ burn: [TANK | TANK " and " TANK …] ]
      [ fuel: DENSITY ]                            [ power: POWER | minimum-fuel: VOLUME ]
      limits: {weight [forward aft]}               [ envelope: [{arm, weight} …] ]     [ mac: {leading-edge, length} ]
      [ loadings: [{name [seats: {ID: WEIGHT}] [fuel: full | {ID: full | VOLUME}] [baggage: {ID: WEIGHT}]}] ]

On the command line:

    seats    = WEIGHT | ID "=" WEIGHT, by commas, in the order of the seats; nothing between commas is an empty seat
    fuel     = "full" | TANK "=" ( "full" | VOLUME ), by commas; a bare VOLUME where there is one tank
    baggage  = WEIGHT | ID "=" WEIGHT, by commas
    A number without a unit counts in the unit of the aircraft, fuel in that of its tank.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeVar

from inspect_kit.model.checklist import decimal
from inspect_kit.model.loads import Chord, Corner, Loading, Loads, Locker, Seat, Tank, Thing
from inspect_kit.model.quantity import ARM, POWER, WEIGHT, Density, Quantity, units_of
from inspect_kit.text.fields import Scalar
from inspect_kit.text.grammar import Unreadable, did_you_mean, parse_id
from inspect_kit.text.mapping import Fields
from inspect_kit.text.quantities import parse_density, parse_quantity, parse_range, parse_volume, parse_weight

T = TypeVar("T")
Point = tuple[Fraction, Fraction]
FULL = "full"
# AC 43.13-1B, chapter 10: gasoline is taken at 6 lb for each US gallon.
GASOLINE = Density(Quantity(Decimal(6), "lb"), "gal")
NOTHING = Quantity(Decimal(0), "gal")
MOST_SEATS = 10

parse_arm = parse_quantity(ARM)
parse_power = parse_quantity(POWER)


def read_loads(fields: Fields) -> Loads | None:
    """What stands under `balance`, or None where nothing does or where something that counts cannot be read."""
    balance = fields.mapping("balance")
    if balance is None:
        return None
    before = len(fields.source.problems)
    units = balance.parsed("units", _units, required=True)
    made: dict[str, Any] = {
        "datum": balance.text("datum", required=True),
        "source": balance.text("source"),
        "seats": _named(balance, "seats", _seat, required=True),
        "lockers": _named(balance, "baggage", _locker),
        "tanks": _named(balance, "tanks", _tank),
        "fuel": balance.parsed("fuel", parse_density) or GASOLINE,
        "power": balance.parsed("power", parse_power),
        "minimum_fuel": balance.parsed("minimum-fuel", parse_volume),
        "always": _rows(balance, "always", _thing),
        "envelope": _rows(balance, "envelope", _corner),
        "chord": _chord(balance),
        **_limits(balance),
    }
    made["burn"] = _burn(balance, made["tanks"])
    made["loadings"] = _loadings(balance, made)
    balance.finish()
    if made["power"] and made["minimum_fuel"]:
        balance.problem("power", "the minimum fuel follows from the power or is given: one of the two")
    held = sum(tank.holds.to("gal") for tank in made["tanks"])
    if made["minimum_fuel"] is not None and 0 < held < made["minimum_fuel"].to("gal"):
        balance.problem("minimum-fuel", f"{made['minimum_fuel']} is more than the tanks hold")
    if made["envelope"] and len(made["envelope"]) < 3:
        balance.problem("envelope", "an envelope has three corners at least")
    elif _crosses_itself(made["envelope"]):
        balance.problem("envelope", "its border crosses itself: the corners go round in order")
    if not made["envelope"] and made["forward"] is None:
        balance.problem("limits", "expected `forward` and `aft`, or the corners of an `envelope`")
    for key, told in _slips(made):
        balance.problem(key, f"{told}: has a digit or a point slipped, or is it in another unit?")
    if len(made["seats"]) > MOST_SEATS:
        balance.problem("seats", f"more than {MOST_SEATS} seats are no light aeroplane")
    # Whatever of this cannot be read would make a sum that looks right and is wrong.
    if units is None or len(fields.source.problems) > before:
        return None
    return Loads(weight_unit=units[0], arm_unit=units[1], place=fields.source.place(balance.line), **made)


# Of the greatest weight at most: fuel in all tanks, one place for baggage, what is always aboard (the last one); no
# corner of an envelope lies below the third. In lb: the heaviest person of a seat; in lb to the US gallon: fuels of
# aircraft and cars. Common practice.
MOST_FUEL, MOST_BAGGAGE, LEAST_CORNER, MOST_ALWAYS = Fraction(2, 5), Fraction(1, 3), Fraction(1, 4), Fraction(1, 10)
HEAVIEST_PERSON, FUELS = 400, (5, 8)
# Off the next corner one may lie so many times what the others lie apart, and by so many inches in any case: the centre
# of gravity of a light aeroplane moves by a few. Common practice.
CORNERS_APART, NEAR_CORNER = 1, 8


def _slips(made: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """What no light aeroplane has, by key; a figure in another unit than all others of its list is told too."""
    density: Density = made["fuel"]
    weighs = density.weight_of(Fraction(1), "lb") / Quantity(Decimal(1), density.volume).to("gal")
    if not FUELS[0] <= weighs <= FUELS[1]:
        yield "fuel", f"{density} is no fuel, which weighs about {GASOLINE}"
    yield from _in_two_units(made)
    yield from _far_out(made)
    for seat in made["seats"]:
        if seat.heaviest.to("lb") > HEAVIEST_PERSON:
            yield "seats", f"{seat.heaviest} in `{seat.name}` is no person"
    heaviest = made["heaviest"].to("lb") if made["heaviest"] is not None else None
    if heaviest is None:
        return
    power = made["power"].to("hp") if made["power"] is not None else None
    if power is not None and not POWERS[0] * power <= heaviest <= POWERS[1] * power:
        yield "power", f"{made['power']} for {made['heaviest']} is no aeroplane"
    volume = sum((tank.holds.to("gal") for tank in made["tanks"]), Fraction())
    if density.weight_of(volume * Quantity(Decimal(1), "gal").to(density.volume), "lb") > MOST_FUEL * heaviest:
        yield "tanks", f"full they weigh more than two fifths of {made['heaviest']}"
    for locker in made["lockers"]:
        if locker.limit.to("lb") > MOST_BAGGAGE * heaviest:
            yield "baggage", f"{locker.limit} in `{locker.name}` is more than a third of {made['heaviest']}"
    for each in made["always"]:
        if each.weight.to("lb") > MOST_ALWAYS * heaviest:
            yield "always", f"{each.item}, {each.weight}, is more than a tenth of {made['heaviest']}"
    arms = [corner.arm.to("in") for corner in made["envelope"]]
    for place, corner in enumerate(made["envelope"]):
        others = [*arms[:place], *arms[place + 1 :]]
        apart = max(others, default=Fraction()) - min(others, default=Fraction())
        off = min((abs(arms[place] - other) for other in others), default=Fraction())
        if not LEAST_CORNER * heaviest <= corner.weight.to("lb") <= heaviest:
            yield "envelope", f"a corner at {corner.weight}, where the aircraft weighs {made['heaviest']} at most"
        elif len(arms) > 3 and off > max(CORNERS_APART * apart, NEAR_CORNER):
            yield "envelope", f"a corner at {corner.arm} lies far from all others"


def _far_out(made: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """A place far from all others, a chord on which no centre of gravity lies, and what is aboard twice over."""
    places = [(name, each) for key, name in PLACES for each in made[key]]
    edges = [corner.arm for corner in made["envelope"]] + [each for each in (made["forward"], made["aft"]) if each]
    for place, (key, each) in enumerate(places):
        others = [other.arm.to("in") for _, other in (*places[:place], *places[place + 1 :])]
        others += [edge.to("in") for edge in edges]
        low, high = min(others, default=Fraction()), max(others, default=Fraction())
        apart = max(FAR_OUT * (high - low), NEAR_PLACE)
        if others and not low - apart <= each.arm.to("in") <= high + apart:
            yield key, f"{getattr(each, 'name', None) or each.item} at {each.arm} lies far from all others"
    yield from _uneven(made)
    chord: Chord | None = made["chord"]
    if chord is not None:
        length = chord.length.to("in")
        ends = [(edge.to("in") - chord.leading_edge.to("in")) / length for edge in edges if length > 0]
        if length > 0 and not CHORDS[0] <= length <= CHORDS[1]:
            yield "mac", f"{chord.length} is no chord of a light aeroplane"
        elif ends and not (ON_CHORD[0] <= min(ends) and max(ends) <= ON_CHORD[1]):
            yield "mac", f"the limits lie at {float(min(ends)):.0%} to {float(max(ends)):.0%} of it"
    items = [" ".join(each.item.casefold().split()) for each in made["always"]]
    for item in dict.fromkeys(item for item in items if items.count(item) > 1):
        yield "always", f"{item} stands twice, and both count; two things are told apart in `item`"


def _uneven(made: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Two places left and right of one another of which one lies elsewhere or holds far more; a person who is none."""
    for key, name in PLACES[:-1]:
        by_name = {each.name: each for each in made[key]}
        for one in made[key]:
            other = by_name.get(one.name.replace("left", "right"))
            if other is None or other is one:
                continue
            if abs(one.arm.to("in") - other.arm.to("in")) > STAGGERED:
                yield name, f"{one.name} at {one.arm} and {other.name} at {other.arm} lie left and right of one another"
            held = sorted(each.holds.to("gal") for each in (one, other)) if key == "tanks" else [1, 1]
            if held[1] > UNEVEN * held[0]:
                yield name, f"{one.name} holds {one.holds}, {other.name} {other.holds}"
    # A child may sit where no pilot does.
    for place, seat in enumerate(made["seats"]):
        for loading in made["loadings"]:
            weight = loading.seats.get(seat.name)
            if weight is not None and 0 < (5 if place else 2) * weight.to("lb") < seat.lightest.to("lb"):
                told = f"{weight} in `{seat.name}`, where the lightest person weighs {seat.lightest}"
                yield "loadings", f"{loading.name}: {told}"


# Inches by which seats are staggered at most; so many times what its fellow holds holds no tank. Common practice.
STAGGERED, UNEVEN = 10, 3
# The places of things, by what they are called in `balance`. So many times what all others lie apart one may lie
# further out, and by so many inches in any case. In inches how long a chord is, and on what part of it limits lie: a
# canard's lie ahead of it. In lb to the hp what an aeroplane weighs. Common practice.
PLACES = (("seats", "seats"), ("lockers", "baggage"), ("tanks", "tanks"), ("always", "always"))
FAR_OUT, NEAR_PLACE = 3, 60
CHORDS, ON_CHORD, POWERS = (15, 130), (Fraction(-1, 2), Fraction(3, 2)), (3, 60)


def _in_two_units(made: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """An arm, a weight or a volume in another unit than most of them."""
    arms: list[tuple[str, Quantity | None]] = [("limits", made["forward"]), ("limits", made["aft"])]
    weights: list[tuple[str, Quantity | None]] = [("limits", made["heaviest"])]
    for key, name in PLACES:
        arms += [(name, each.arm) for each in made[key]]
    arms += [("envelope", each.arm) for each in made["envelope"]]
    weights += [("envelope", each.weight) for each in made["envelope"]]
    weights += [("baggage", each.limit) for each in made["lockers"]]
    weights += [("always", each.weight) for each in made["always"]]
    weights += [("seats", weight) for each in made["seats"] for weight in (each.lightest, each.heaviest)]
    volumes: list[tuple[str, Quantity | None]] = [("tanks", tank.holds) for tank in made["tanks"]]
    # Who sits there, and what was filled up, may have been weighed and metered in another unit.
    for told in (arms, weights, volumes):
        known = [each.unit for _, each in told if each is not None]
        usual = max(dict.fromkeys(known), key=known.count, default="")
        for key, each in told:
            if each is not None and each.unit != usual:
                yield key, f"{each}, where the others are in {usual}"


def _units(value: str) -> tuple[str, str]:
    """units = weight unit ", " arm unit"""
    weight, _, arm = (part.strip() for part in value.partition(","))
    if weight not in units_of(WEIGHT) or arm not in units_of(ARM):
        raise Unreadable(f"expected a unit of weight and one of arm, such as `lb, in`, not `{value[:40]}`")
    return weight, arm


def _named(
    fields: Fields, key: str, read: Callable[[str, Fields], T | None], *, required: bool = False
) -> tuple[T, ...]:
    below = fields.mapping(key, required=required)
    found = []
    for name, each in below.each_mapping() if below else ():
        fields.parse_scalar(name, parse_id, each.path)
        made = read(name.text, each)
        each.finish()
        if made is not None:
            found.append(made)
    return tuple(found)


def _rows(fields: Fields, key: str, read: Callable[[Fields], T | None]) -> tuple[T, ...]:
    found = []
    for each in fields.mappings(key):
        made = read(each)
        each.finish()
        if made is not None:
            found.append(made)
    return tuple(found)


def _seat(name: str, fields: Fields) -> Seat | None:
    arm, weighs = fields.parsed("arm", parse_arm, required=True), fields.parsed("weighs", parse_range, required=True)
    return Seat(name=name, arm=arm, lightest=weighs[0], heaviest=weighs[1]) if arm and weighs else None


def _locker(name: str, fields: Fields) -> Locker | None:
    arm, limit = fields.parsed("arm", parse_arm, required=True), fields.parsed("limit", parse_weight, required=True)
    return Locker(name=name, arm=arm, limit=limit) if arm and limit else None


def _tank(name: str, fields: Fields) -> Tank | None:
    arm, holds = fields.parsed("arm", parse_arm, required=True), fields.parsed("holds", parse_volume, required=True)
    return Tank(name=name, arm=arm, holds=holds) if arm and holds else None


def _thing(fields: Fields) -> Thing | None:
    item, weight = fields.text("item", required=True), fields.parsed("weight", parse_weight, required=True)
    arm = fields.parsed("arm", parse_arm, required=True)
    return Thing(item=item, weight=weight, arm=arm) if item and weight and arm else None


def _corner(fields: Fields) -> Corner | None:
    arm, weight = fields.parsed("arm", parse_arm, required=True), fields.parsed("weight", parse_weight, required=True)
    return Corner(arm=arm, weight=weight) if arm and weight else None


def _crosses_itself(corners: tuple[Corner, ...]) -> bool:
    """Whether two sides of an outline cross between their ends."""
    at = [(corner.arm.to("in"), corner.weight.to("lb")) for corner in corners]
    sides = list(zip(at, (*at[1:], *at[:1]), strict=True))

    def turns(one: Point, two: Point, three: Point) -> Fraction:
        return (two[0] - one[0]) * (three[1] - one[1]) - (two[1] - one[1]) * (three[0] - one[0])

    return any(
        turns(*side, other[0]) * turns(*side, other[1]) < 0 and turns(*other, side[0]) * turns(*other, side[1]) < 0
        for place, side in enumerate(sides)
        for other in sides[place + 1 :]
    )


def _chord(fields: Fields) -> Chord | None:
    mac = fields.mapping("mac")
    if mac is None:
        return None
    edge = mac.parsed("leading-edge", parse_arm, required=True)
    length = mac.parsed("length", parse_arm, required=True)
    mac.finish()
    if length is not None and length.amount <= 0:
        mac.problem("length", "a chord is longer than nothing")
    return Chord(leading_edge=edge, length=length) if edge and length else None


def _limits(fields: Fields) -> dict[str, Any]:
    limits = fields.mapping("limits", required=True)
    if limits is None:
        return {"heaviest": None, "forward": None, "aft": None}
    found = {
        "heaviest": limits.parsed("weight", parse_weight, required=True),
        "forward": limits.parsed("forward", parse_arm),
        "aft": limits.parsed("aft", parse_arm),
    }
    limits.finish()
    forward, aft = found["forward"], found["aft"]
    if (forward is None) != (aft is None):
        limits.problem("forward" if forward else "aft", "`forward` and `aft` stand together")
    elif forward is not None and aft is not None and forward.to("in") >= aft.to("in"):
        limits.problem("forward", f"the forward limit {forward} is not ahead of the aft limit {aft}")
    return found


def _burn(fields: Fields, tanks: tuple[Tank, ...]) -> tuple[tuple[str, ...], ...]:
    """burn = [ TANK { " and " TANK } … ]: every tank once, in the order in which they empty"""
    names = [tank.name for tank in tanks]

    def group(value: str) -> tuple[str, ...]:
        found = tuple(word.strip() for word in value.split(" and "))
        for word in found:
            if word not in names:
                raise Unreadable(f"no tank is called `{word[:40]}`{did_you_mean(word, names)}")
        return found

    groups = fields.list_of("burn", group, required=len(tanks) > 1)
    told = [name for each in groups for name in each]
    if groups and sorted(told) != sorted(names):
        fields.problem("burn", f"names every tank once: {', '.join(names)}")
    return groups or ((names[0],),) if names else ()


def _loadings(fields: Fields, made: Mapping[str, Any]) -> tuple[Loading, ...]:
    found = []
    for each in fields.mappings("loadings"):
        seats, lockers, tanks = ({place.name for place in made[key]} for key in ("seats", "lockers", "tanks"))
        loading = Loading(
            name=each.text("name", required=True),
            seats=_amounts(each, "seats", seats, parse_weight),
            fuel=_fuel(each, made["tanks"], tanks),
            baggage=_amounts(each, "baggage", lockers, parse_weight),
        )
        each.finish()
        found.append(loading)
    return tuple(found)


def _amounts(fields: Fields, key: str, names: Iterable[str], parse: Callable[[str], Quantity]) -> dict[str, Quantity]:
    below = fields.mapping(key)
    if below is None:
        return {}
    found = below.each_parsed(parse)
    _all_known(below, found, names)
    return found


def _all_known(below: Fields, found: Iterable[str], names: Iterable[str]) -> None:
    known = sorted(names)
    for name in found:
        if name not in known:
            below.problem(name, f"`balance` has no such place{did_you_mean(name, known)}")


def _fuel(fields: Fields, tanks: tuple[Tank, ...], names: Iterable[str]) -> dict[str, Quantity]:
    """fuel = "full" | {ID: "full" | VOLUME}"""
    full = {tank.name: tank.holds for tank in tanks}
    node = fields.node_of("fuel")
    if node is None:
        return {}
    if isinstance(node, Scalar):
        if node.text.strip() != FULL:
            fields.problem("fuel", "expected `full`, or each tank with its volume, such as `{left: 10 gal}`")
        return full
    below = fields.mapping("fuel")
    if below is None:
        return {}
    found: dict[str, Quantity] = {}
    for name, value in below.each():
        if isinstance(value, Scalar) and value.text.strip() == FULL:
            found[name.text] = full.get(name.text, NOTHING)
        elif isinstance(value, Scalar) and (volume := below.parse_scalar(value, parse_volume, below.name(name.text))):
            found[name.text] = volume
    _all_known(below, found, names)
    return found


def asked_loading(loads: Loads, seats: str, fuel: str, baggage: str) -> Loading:
    """The loading of a command line; Unreadable, with a sentence, where a word of it is not understood."""
    if not seats:
        raise Unreadable("who is aboard? Give the seats in their order, such as --aboard 170,150")
    if not fuel and loads.tanks:
        example = ",".join(f"{tank.name}=10" for tank in loads.tanks)
        raise Unreadable(f"how much fuel? Give it by tank, `--fuel {example}`, or `--fuel full`")
    people = _pairs(seats, [seat.name for seat in loads.seats], "seat")
    for word in people.values():
        if re.fullmatch(r"\d+\.\d{3}", word):
            raise Unreadable(f"`{word}` is one person: a comma stands between two, {word.replace('.', ',')}")
    weights = {name: _amount(word, loads.weight_unit, parse_weight) for name, word in people.items()}
    for seat in loads.seats:
        weight = weights.get(seat.name)
        if weight is None or decimal(people[seat.name]) is None:
            continue
        # A child on the seat of a passenger is written with its unit.
        if 0 < 2 * weight.to("lb") < seat.lightest.to("lb"):
            told = f"`{people[seat.name]}` is less than half of the lightest person for `{seat.name}` ({seat.lightest})"
            raise Unreadable(f"{told}: has a digit slipped? If it is right, write it with its unit, {weight}")
    if not weights.get(loads.seats[0].name, Quantity(Decimal(0), "lb")).amount:
        raise Unreadable(f"nobody sits in `{loads.seats[0].name}`, the first of the seats, where the pilot sits")
    full = {tank.name: tank.holds for tank in loads.tanks}
    words = dict.fromkeys(full, FULL) if fuel == FULL else _pairs(fuel, list(full), "tank", bare=len(full) == 1)
    volumes = {
        name: full[name] if word == FULL else _amount(word, full[name].unit, parse_volume)
        for name, word in words.items()
    }
    bags = _pairs(baggage, [locker.name for locker in loads.lockers], "place for baggage") if baggage else {}
    carried = {name: _amount(word, loads.weight_unit, parse_weight) for name, word in bags.items()}
    return Loading(name="as asked", seats=weights, fuel=volumes, baggage=carried)


def _pairs(text: str, names: list[str], what: str, *, bare: bool = True) -> dict[str, str]:
    """NAME=VALUE by commas, or values alone in the order of the names; capitals do not matter in a name."""
    found: dict[str, str] = {}
    for place, piece in enumerate(text.split(",")):
        name, equals, value = (part.strip() for part in piece.rpartition("="))
        if equals:
            known = next((each for each in names if each == name.casefold()), None)
            if known is None:
                near = did_you_mean(name.casefold(), names) or (f": {', '.join(names)}" if names else "")
                raise Unreadable(f"no {what} is called `{name[:40]}`{near}")
        elif not value:
            continue
        elif not bare:
            told = " or ".join(f"{each}={value[:40]}" for each in names)
            raise Unreadable(f"which {what} is meant by `{value[:40]}`? Say {told}")
        elif place >= len(names):
            raise Unreadable(f"`{value[:40]}` is one {what} more than the aircraft has ({len(names)})")
        else:
            known = names[place]
        if known in found:
            raise Unreadable(f"{what} `{known}` is named twice")
        found[known] = value
    return found


def _amount(word: str, unit: str, parse: Callable[[str], Quantity]) -> Quantity:
    number = decimal(word)
    return parse(word if number is None else f"{word} {unit}")
