"""Where old ids lead."""

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.audit import names
from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Aircraft, Identity, Meter, Person, Position
from inspect_kit.model.checklist import Check, Panel, Retired

HERE = Place("a.md", 1)


def check(name: str, *was: str, retired: bool = False) -> Check:
    gone = Retired(date=dt.date(2020, 1, 1)) if retired else None
    return Check(id=name, panel="p", text="Look", was=was, retired=gone, place=HERE)


def panel(name: str, *was: str) -> Panel:
    return Panel(id=name, name=name, zone="tail", was=was, place=HERE)


def aircraft(positions: tuple[Position, ...] = (), people: tuple[Person, ...] = ()) -> Aircraft:
    return Aircraft(
        identity=Identity(registration="N0TS", make="Turnstone", model="TS-2", serial="001"),
        certificate_date=dt.date(2017, 6, 8),
        meters={"tach": Meter(name="tach", unit="h", place=HERE)},
        time_in_service="tach",
        positions={position.id: position for position in positions},
        inspections={},
        people=people,
        place=HERE,
    )


def test_old_ids_of_everything_that_has_one() -> None:
    position = Position(id="magneto-left", was=("magneto",), place=HERE)
    person = Person(name="Ada Bellcrank", was=("Ada Spring",), place=HERE)
    found = names(aircraft((position,), (person,)), [panel("cowl", "cowling")], [check("oil", "oil-change", "oil-1")])
    assert found.problems == ()
    assert found.current == {
        "cowling": "cowl",
        "oil-change": "oil",
        "oil-1": "oil",
        "magneto": "magneto-left",
        "Ada Spring": "Ada Bellcrank",
    }


def test_without_an_aircraft_the_checklists_still_lead() -> None:
    assert names(None, [panel("cowl", "cowling")], []).current == {"cowling": "cowl"}


def test_a_retired_id_is_not_free() -> None:
    (problem,) = names(None, [], [check("heater", retired=True), check("new-heater", "heater")]).problems
    assert problem.message == "the old id `heater` of the check `new-heater` is that of a check in a.md:1"


@given(st.lists(st.tuples(st.sampled_from("abcdef"), st.lists(st.sampled_from("abcdefgh"), max_size=3)), max_size=6))
def test_an_old_id_leads_to_one_that_somebody_has(given_: list[tuple[str, list[str]]]) -> None:
    """Without problems every old id leads to a check that has it as `was`, and no live id leads anywhere."""
    checks = [check(name, *was) for name, was in given_]
    found = names(None, [], checks)
    live = {each.id for each in checks}
    assert set(found.current.values()) <= live
    if not found.problems:
        assert not set(found.current) & live
        assert found.current == {old: each.id for each in checks for old in each.was}
        assert len(live) == len(checks)
