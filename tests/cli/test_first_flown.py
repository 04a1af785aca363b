"""A certificate-date later than the first flight on record puts nothing off: the first reading of all counts."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run

RECORD = "format: 1\nkind: hours\ndate: {}\nmeters: {}\n"
CHECKS = """\
- [ ] `valves` Valves
  - every: 100 h or 12 months
- [ ] `tyres` Tyres
  - first: 20 h, 40 h
  - every: 60 h
"""


@pytest.fixture
def flown(hangar: Path) -> Path:
    """An aircraft kept from its first reading on, 60 h and 50 landings by June 2026."""
    (hangar / "records/2026/2026-09-01-past.yaml").unlink()
    people = hangar / "records/aircraft.yaml"
    text = people.read_text().replace("2020-05-01", "2026-01-10")
    people.write_text(text.replace("meters: {tach: {unit: h}}", "meters: {tach: {unit: h}, down: {unit: landings}}"))
    (hangar / "checklists/nose/cowl.md").write_text((hangar / "checklists/nose/cowl.md").read_text() + CHECKS)
    for day, read in (("2026-01-10", "{tach: 0, down: 0}"), ("2026-06-30", "{tach: 60, down: 50}")):
        (hangar / f"records/2026/{day}-hours.yaml").write_text(RECORD.format(day, read))
    return hangar


def certified(store: Path, day: str) -> None:
    people = store / "records/aircraft.yaml"
    people.write_text(people.read_text().replace("2026-01-10", day))


def points(run: Run, store: Path) -> list[tuple[Any, ...]]:
    items = json.loads(run(store, "due", "--all", "--json").out)["items"]
    return [(each["check"], each["state"], each["due"]["date"], each["due"]["total"]) for each in items]


def test_a_certificate_of_a_later_day_puts_nothing_off(run: Run, flown: Path) -> None:
    before = points(run, flown)
    assert "later than the first flight" not in run(flown, "verify").out
    certified(flown, "2026-07-15")
    assert points(run, flown) == before
    told = " ".join(run(flown, "verify").out.split())
    assert "2026-07-15 is later than the first flight on record, 60 h by 2026-06-30" in told
    assert "first reading, as it flew" in run(flown, "due", "valves").out


@pytest.mark.parametrize(("read", "noted"), [("{tach: 4.5}", False), ("{tach: 6}", True), ("{down: 1}", True)])
def test_an_engine_runs_on_the_ground_before_the_certificate(run: Run, flown: Path, read: str, noted: bool) -> None:
    (flown / "records/2026/2026-03-01-hours.yaml").write_text(RECORD.format("2026-03-01", read))
    certified(flown, "2026-06-01")
    assert ("later than the first flight" in " ".join(run(flown, "verify").out.split())) is noted
    (condition,) = [each for each in points(run, flown) if each[0] == "condition"]
    assert condition[2] == ("2027-01-31" if noted else "2027-06-30")
