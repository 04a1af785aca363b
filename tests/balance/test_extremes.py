"""The extreme loadings against every loading of a grid, and by hand."""

from decimal import Decimal
from fractions import Fraction
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.balance.envelope import Envelope, envelope_of
from inspect_kit.balance.extremes import extremes, minimum_fuel
from inspect_kit.balance.moments import Moments
from inspect_kit.errors import Place
from inspect_kit.model.loads import Corner, Loads, Locker, Seat, Tank
from inspect_kit.model.quantity import Density, Quantity


def lb(amount: int | str) -> Quantity:
    return Quantity(Decimal(amount), "lb")


def inches(amount: int | str) -> Quantity:
    return Quantity(Decimal(amount), "in")


def gal(amount: int | str) -> Quantity:
    return Quantity(Decimal(amount), "gal")


def loads(**other: object) -> Loads:
    made = {
        "weight_unit": "lb",
        "arm_unit": "in",
        "datum": "firewall",
        "seats": (Seat(name="pilot", arm=inches(40), lightest=lb(120), heaviest=lb(220)),),
        "fuel": Density(lb(6), "gal"),
        "heaviest": lb(1500),
        "forward": inches(20),
        "aft": inches(60),
        "place": Place("aircraft.yaml"),
    }
    return Loads(**(made | other))  # type: ignore[arg-type]


EMPTY = Moments(Fraction(850), Fraction(850 * 35))


def test_minimum_fuel_is_a_twelfth_of_the_power_in_gallons() -> None:
    """AC 43.13-1B, chapter 10: METO horsepower / 12 in US gallons; 100 hp: 8 1/3 gal = 50 lb."""
    tank = (Tank(name="main", arm=inches(30), holds=gal(20)),)
    assert minimum_fuel(loads(tanks=tank, power=Quantity(Decimal(100), "hp"))) == 50
    assert minimum_fuel(loads(tanks=tank, minimum_fuel=gal(5))) == 30
    assert minimum_fuel(loads(tanks=tank)) == 0


def test_minimum_fuel_in_litres() -> None:
    """The same 8 1/3 US gal are 31.545 l; at 0.72 kg/l they weigh 22.712 kg."""
    metric = loads(
        weight_unit="kg",
        fuel=Density(Quantity(Decimal("0.72"), "kg"), "l"),
        tanks=(Tank(name="main", arm=inches(30), holds=Quantity(Decimal(90), "l")),),
        power=Quantity(Decimal(100), "hp"),
    )
    assert abs(minimum_fuel(metric) - Fraction("22.712470704")) < Fraction(1, 10**9)


def test_what_moves_it_forward_is_aboard_and_what_moves_it_aft_is_not() -> None:
    """By hand: 850 at 35, pilot 120 at 40, minimum 30 lb of fuel at 30 (more of it is worse), no baggage at 70."""
    found = {
        each.name: each.total
        for each in extremes(
            EMPTY,
            loads(
                tanks=(Tank(name="main", arm=inches(30), holds=gal(20)),),
                lockers=(Locker(name="rear", arm=inches(70), limit=lb(50)),),
                minimum_fuel=gal(5),
            ),
            Envelope(heaviest=Fraction(1500), outlines=()),
        )
    }
    forward = found["most forward of all"]
    assert (forward.weight, forward.moment) == (850 + 120 + 120, 29750 + 4800 + 3600)
    lightest = found["most forward, lightest"]
    assert (lightest.weight, lightest.moment) == (850 + 120 + 30, 29750 + 4800 + 900)
    aft = found["most aft of all"]
    assert (aft.weight, aft.moment) == (850 + 220 + 50 + 30, 29750 + 8800 + 3500 + 900)
    heaviest = found["most aft, heaviest"]
    assert heaviest.weight == 850 + 220 + 50 + 120
    assert found["most forward, heaviest"] == heaviest


def test_the_greatest_weight_is_kept() -> None:
    found = extremes(
        EMPTY,
        loads(heaviest=lb(1100), lockers=(Locker(name="rear", arm=inches(70), limit=lb(500)),)),
        Envelope(heaviest=Fraction(1100), outlines=()),
    )
    heaviest = [each for each in found if "heaviest" in each.name]
    assert {each.total.weight for each in heaviest} == {1100}
    # Forward: the pilot at 220 lb first, then 30 lb of baggage. Aft: the pilot at 120, and 130 lb of baggage.
    assert [{line.item: line.weight for line in each.lines} for each in heaviest] == [
        {"seat pilot": 220, "rear": 30},
        {"seat pilot": 120, "rear": 130},
    ]


def test_no_loading_is_allowed_where_the_lightest_is_too_heavy() -> None:
    assert extremes(EMPTY, loads(heaviest=lb(900)), Envelope(heaviest=Fraction(900), outlines=())) == ()


def test_a_slanting_limit_is_found_between_two_corners_that_lie_inside() -> None:
    """At its lightest and its heaviest inside, and outside between them: the limit bends where no corner is.

    Empty 850 at 35, pilot 120 at 40 alone: 970 at 35.62; 280 lb of baggage at 55 make 1250 at 39.96. With 130 lb
    of it: 1100 at 37.91. An aft limit that runs (36, 950) - (37, 1100) - (40, 1250) is passed on the way.
    """
    bent = loads(
        seats=(Seat(name="pilot", arm=inches(40), lightest=lb(120), heaviest=lb(120)),),
        lockers=(Locker(name="rear", arm=inches(55), limit=lb(280)),),
        heaviest=lb(1250),
        forward=None,
        aft=None,
        envelope=tuple(
            Corner(arm=inches(arm), weight=lb(weight))
            for arm, weight in ((20, 900), (20, 1250), (40, 1250), (37, 1100), (36, 950), (36, 900))
        ),
    )
    found = {each.name: each for each in extremes(EMPTY, bent, envelope_of(bent))}
    between = found.pop("most aft, in between")
    assert all(each.inside for each in found.values())
    assert not between.inside
    assert 970 < between.total.weight < 1250


amounts = st.integers(0, 30)
places = st.integers(-20, 90)


@settings(max_examples=60)
@given(
    st.lists(st.tuples(places, st.integers(80, 100), amounts), min_size=1, max_size=3),
    st.lists(st.tuples(places, amounts), max_size=2),
    st.lists(st.tuples(places, amounts), max_size=2),
    st.integers(940, 1200),
    amounts,
)
def test_no_loading_of_a_grid_is_further_out(
    seats: list[tuple[int, int, int]],
    lockers: list[tuple[int, int]],
    tanks: list[tuple[int, int]],
    heaviest: int,
    least: int,
) -> None:
    """Every combination of least, half and most, passengers there or not: none is lighter, heavier or further out."""
    asked = loads(
        seats=tuple(
            Seat(name=f"s{n}", arm=inches(arm), lightest=lb(light), heaviest=lb(light + more))
            for n, (arm, light, more) in enumerate(seats)
        ),
        lockers=tuple(Locker(name=f"b{n}", arm=inches(arm), limit=lb(most)) for n, (arm, most) in enumerate(lockers)),
        tanks=tuple(Tank(name=f"t{n}", arm=inches(arm), holds=gal(most)) for n, (arm, most) in enumerate(tanks)),
        fuel=Density(lb(1), "gal"),
        minimum_fuel=gal(least),
        heaviest=lb(heaviest),
    )
    found = extremes(EMPTY, asked, Envelope(heaviest=Fraction(heaviest), outlines=()))
    totals = [each.total for each in found]
    fuel_wanted = min(least, sum(most for _, most in tanks))
    choices = []
    for number, (arm, light, more) in enumerate(seats):
        weights = [light, Fraction(2 * light + more, 2), light + more]
        choices.append([(weight, arm, False) for weight in ([0, *weights] if number else weights)])
    choices += [[(Fraction(most * part, 2), arm, False) for part in range(3)] for arm, most in lockers]
    choices += [[(Fraction(most * part, 2), arm, True) for part in range(3)] for arm, most in tanks]
    for grid in product(*choices):
        fuel = sum(weight for weight, _, is_fuel in grid if is_fuel)
        total = EMPTY
        for weight, arm, _ in grid:
            total = total.plus(Fraction(weight), Fraction(arm))
        if fuel < fuel_wanted or total.weight > heaviest:
            continue
        assert totals, "some loading is allowed"
        assert min(each.weight for each in totals) <= total.weight <= max(each.weight for each in totals)
        assert min(each.arm for each in totals) <= total.arm <= max(each.arm for each in totals)
    for each in found:
        assert each.total.weight <= heaviest
        carried = {line.item: line.weight for line in each.lines}
        assert sum(weight for item, weight in carried.items() if item.startswith("fuel")) >= fuel_wanted
