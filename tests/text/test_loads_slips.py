"""Figures under `balance` of which a digit or a point slipped, or that are in another unit: problems, no loading."""

import pytest

from inspect_kit.text.aircraft import read_aircraft
from tests.due.small import AIRCRAFT

BALANCE = """\
balance:
  units: lb, in
  datum: firewall
  seats: {pilot: {arm: 22 in, weighs: 120 lb to 230 lb}, passenger: {arm: 48 in, weighs: 90 lb to 200 lb}}
  baggage: {shelf: {arm: 66 in, limit: 60 lb}}
  tanks: {main: {arm: 18 in, holds: 24 gal}}
  fuel: 6 lb/gal
  power: 100 hp
  always: [{item: oil, weight: 11 lb, arm: -20 in}, {item: first aid kit, weight: 4 lb, arm: 60 in}]
  mac: {leading-edge: 4 in, length: 48 in}
  limits: {weight: 1450 lb}
  loadings: [{name: alone, seats: {pilot: 170 lb}, fuel: {main: 20 gal}}, {name: two, seats: {passenger: 60 lb}}]
  envelope: [{arm: 12.5 in, weight: 850 lb}, {arm: 12.5 in, weight: 1200 lb}, {arm: 14 in, weight: 1450 lb}, \
{arm: 20 in, weight: 1450 lb}, {arm: 20 in, weight: 850 lb}]
"""


def problems(old: str, new: str) -> list[str]:
    assert old in BALANCE
    plane, source = read_aircraft(AIRCRAFT + BALANCE.replace(old, new, 1), "records/aircraft.yaml")
    assert plane is not None
    assert (plane.loads is None) is bool(source.problems)
    return [each.message for each in source.problems]


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("6 lb/gal", "0.6 lb/gal", "fuel"),
        ("6 lb/gal", "0.06 lb/gal", "fuel"),
        ("6 lb/gal", "60 lb/gal", "fuel"),
        ("6 lb/gal", "0.72 lb/l", "fuel"),
        ("6 lb/gal", "6 lb/l", "fuel"),
        ("6 lb/gal", "6 kg/gal", "fuel"),
        ("arm: 12.5 in", "arm: 12.5 mm", "envelope"),
        ("arm: 20 in", "arm: 200 in", "envelope"),
        ("arm: 20 in", "arm: -2000 in", "envelope"),
        ("850 lb", "85 lb", "envelope"),
        ("850 lb", "8500 lb", "envelope"),
        ("850 lb", "850 kg", "envelope"),
        ("66 in", "66 mm", "baggage"),
        ("limit: 60 lb", "limit: 600 lb", "baggage"),
        ("limit: 60 lb", "limit: 60 kg", "baggage"),
        ("24 gal", "240 gal", "tanks"),
        ("24 gal", "98 gal", "tanks"),
        ("18 in", "18 cm", "tanks"),
        ("230 lb", "2300 lb", "seats"),
        ("22 in", "22 m", "seats"),
        ("-20 in", "-20 cm", "always"),
        ("11 lb", "11 kg", "always"),
        ("-20 in", "-2000 in", "always"),
        ("-20 in", "-300 in", "always"),
        ("first aid kit", "Oil", "always"),
        ("arm: 22 in", "arm: 2200 in", "seats"),
        ("66 in", "660 in", "baggage"),
        ("18 in", "-1800 in", "tanks"),
        ("arm: 12.5 in", "arm: 1.25 in", "envelope"),
        ("pilot: 170 lb", "pilot: 17 lb", "loadings"),
        ("passenger: 60 lb", "passenger: 6.0 lb", "loadings"),
        ("weight: 11 lb", "weight: 1100 lb", "always"),
        ("main: {arm: 18 in", "left: {arm: 18 in, holds: 2.4 gal}, right: {arm: 18 in", "tanks"),
        ("main: {arm: 18 in", "wing-left: {arm: 1.8 in, holds: 24 gal}, wing-right: {arm: 18 in", "tanks"),
        ("100 hp", "10 hp", "power"),
        ("100 hp", "1000 hp", "power"),
        ("48 in}\n", "4.8 in}\n", "mac"),
        ("48 in}\n", "480 in}\n", "mac"),
        ("edge: 4 in", "edge: 500 in", "mac"),
    ],
)
def test_a_slip_is_a_problem(old: str, new: str, key: str) -> None:
    found = problems(old, new)
    assert any(each.startswith(f"balance.{key}: ") for each in found), found


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("6 lb/gal", "6.7 lb/gal"),
        ("6 lb/gal", "0.72 kg/l"),
        ("holds: 24 gal}}", "holds: 90 l}}"),
        ("pilot: 170 lb", "pilot: 77 kg"),
        ("main: 20 gal", "main: 75 l"),
        ("24 gal", "60 gal"),
        ("66 in", "120 in"),
        ("66 in", "-40 in"),
        ("100 hp", "25 hp"),
        ("edge: 4 in", "edge: 20 in"),
        ("20 in, weight: 850 lb", "26 in, weight: 600 lb"),
    ],
)
def test_what_may_be_is_none(old: str, new: str) -> None:
    assert problems(old, new) == []
