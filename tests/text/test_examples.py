"""The forms a user is told to write, exactly as they are told, read to the right nouns and to no problem."""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.model.aircraft import Crew, Soon
from inspect_kit.model.checklist import FLIGHT, NOTHING, Bars, Bound, Lag, Part, Reads, Retired, Trigger
from inspect_kit.model.finding import Cleared, Fix
from inspect_kit.model.interval import AsMarked, AtInspection, Limit
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.work import Work
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record
from inspect_kit.text.worksheet import read_worksheet

CHECKLIST = """\
---
panel: cowl-lower
name: Lower cowling
zone: nose
remove: 14 min
refit: 20 min
people: 2
behind: [spinner, cowl-upper]
fasteners: 22 quarter-turn, 4 screws
caution: Let the exhaust cool before you reach past the stacks.
---
# Lower cowling

Free text: notes that are printed on the worksheet.

- [ ] `exhaust-stacks` Exhaust stacks, joints and hangers: cracks, leak stains, security
  - every: condition inspection
  - covers: d8
  - time: 15 min
- [ ] `oil-change` Change the oil and the filter; cut the filter open and look for metal
  - every: 50 h or 4 months
  - time: 45 min
  - who: anyone
  - uses: 6 qt engine oil; 1 oil filter; 1 crush gasket
- [ ] `idle-leaks` Engine idling, cowling off: oil and fuel leaks
  - every: condition inspection
  - covers: d1
  - time: 10 min, 2 people
  - when: closed except cowl-lower, cowl-upper
  - alone: yes
  - caution: Nobody in the propeller arc; chocks, brakes, an observer with an extinguisher.
"""


def test_checklist() -> None:
    panel, checks, source = read_checklist(CHECKLIST, "checklists/nose/cowl-lower.md")
    assert source.problems == []
    assert panel is not None
    assert (panel.id, panel.name, panel.zone, panel.kind) == ("cowl-lower", "Lower cowling", "nose", "panel")
    assert (panel.remove, panel.refit, panel.people) == (14, 20, 2)
    assert panel.behind == ("spinner", "cowl-upper")
    assert panel.fasteners == "22 quarter-turn, 4 screws"
    assert panel.cautions == ("Let the exhaust cool before you reach past the stacks.",)
    assert panel.notes == ("# Lower cowling", "Free text: notes that are printed on the worksheet.")
    stacks, oil, leaks = checks
    assert (stacks.id, stacks.panel, stacks.minutes, stacks.people) == ("exhaust-stacks", "cowl-lower", 15, 1)
    assert stacks.text == "Exhaust stacks, joints and hangers: cracks, leak stains, security"
    assert (stacks.every, stacks.covers, stacks.who) == ((AtInspection(name="condition"),), ("d8",), "inspector")
    assert not stacks.is_item
    assert oil.every == (Limit(number=Decimal(50), unit="h"), Limit(number=Decimal(4), unit="months"))
    assert (oil.who, oil.minutes) == ("anyone", 45)
    assert oil.uses == (
        Part(amount="6 qt", name="engine oil"),
        Part(amount="1", name="oil filter"),
        Part(amount="1", name="crush gasket"),
    )
    assert (leaks.minutes, leaks.people, leaks.alone) == (10, 2, True)
    assert (leaks.when, leaks.closed_except) == ("open", ("cowl-lower", "cowl-upper"))
    assert leaks.cautions == ("Nobody in the propeller arc; chocks, brakes, an observer with an extinguisher.",)
    assert [check.place.line for check in checks] == [16, 20, 25]


EVERY_KEY = """\
---
panel: magneto-bay
name: Magnetos
zone: nose
---
- [ ] `every-key` Whatever a check may say
  - every: 100 h or condition inspection
  - covers: d3, d8
  - time: 40 min, 2 people
  - who: others: repair station
  - with: belly-2, on-jacks
  - when: closed
  - after: a, b
  - within: 30 min of run-before
  - wait: 20 min after run-before
  - not-while: on-jacks
  - alone: no
  - needs: jacks
  - reads: cylinder 1 to 4, psi, at least 60
  - reads: oil pressure, psi, 60 to 90
  - reads: idle, rpm
  - reads: filter, words
  - uses: 6 qt engine oil; 1 oil filter
  - uses: safety wire
  - tools: torque wrench; feeler gauge
  - source: common practice
  - caution: Switches off.
  - caution: Stand clear of the arc.
  - counts-on: magneto-left
  - first: 1 h, 10 h
  - grace: 5 h
  - owed-after: did oil-change, disturbed static-system, installed magneto-left
  - disturbs: flight-controls, static-system
  - bars: the transponder
  - second-look: yes
  - replace: on condition
  - was: magneto-timing, timing
  - retired: 2031-04-02, heater removed
* [ ] `as-marked` Battery
  - every: as marked
+ [ ] `once-limits` Retorque
  - once: 25 h or 6 months
- [ ] `once-date` A date
  - once: 2027-05-31
- [ ] `life` A hose
  - life: 500 h on hobbs or 1 calendar month
- [ ] `made` A harness
  - life: 12 years from made
- [ ] `overhaul` A propeller
  - life: 2000 h or 6 years from overhaul
- [ ] `both` A propeller
  - life: 20 years from made or 2000 h from overhaul or 9 years from fitted
"""


def test_every_key_of_a_check() -> None:
    panel, checks, source = read_checklist(EVERY_KEY, "checklists/nose/magneto-bay.md")
    assert source.problems == []
    assert panel is not None
    assert (panel.kind, panel.remove) == ("place", None)
    check, marked, once, dated, life, *lives = checks
    assert check.every == (Limit(number=Decimal(100), unit="h"), AtInspection(name="condition"))
    assert check.covers == ("d3", "d8")
    assert (check.who, check.others) == ("others", "repair station")
    assert (check.with_, check.when, check.after) == (("belly-2", "on-jacks"), "closed", ("a", "b"))
    assert (check.within, check.wait) == (Lag(minutes=30, check="run-before"), Lag(minutes=20, check="run-before"))
    assert (check.not_while, check.alone, check.needs) == (("on-jacks",), False, ("jacks",))
    assert check.reads == (
        Reads(
            labels=("cylinder 1", "cylinder 2", "cylinder 3", "cylinder 4"),
            measure="psi",
            bound=Bound(low=Decimal(60)),
        ),
        Reads(labels=("oil pressure",), measure="psi", bound=Bound(low=Decimal(60), high=Decimal(90))),
        Reads(labels=("idle",), measure="rpm"),
        Reads(labels=("filter",), measure="words"),
    )
    assert [str(part) for part in check.uses] == ["6 qt engine oil", "1 oil filter", "safety wire"]
    assert check.tools == ("torque wrench", "feeler gauge")
    assert (check.source, check.cautions) == ("common practice", ("Switches off.", "Stand clear of the arc."))
    assert check.counts_on == "magneto-left"
    assert check.first == (Limit(number=Decimal(1), unit="h"), Limit(number=Decimal(10), unit="h"))
    assert check.grace == (Limit(number=Decimal(5), unit="h"),)
    assert check.owed_after == (
        Trigger(verb="did", what="oil-change"),
        Trigger(verb="disturbed", what="static-system"),
        Trigger(verb="installed", what="magneto-left"),
    )
    assert check.disturbs == ("flight-controls", "static-system")
    assert check.bars == Bars(what="the transponder")
    assert (check.second_look, check.replace) == (True, "on condition")
    assert check.was == ("magneto-timing", "timing")
    assert check.retired == Retired(date=dt.date(2031, 4, 2), reason="heater removed")
    assert check.unread == ()
    assert marked.every == (AsMarked(),)
    assert marked.marked
    assert once.once == (Limit(number=Decimal(25), unit="h"), Limit(number=Decimal(6), unit="months"))
    assert dated.once_date == dt.date(2027, 5, 31)
    assert life.life == (
        Limit(number=Decimal(500), unit="h", meter="hobbs"),
        Limit(number=Decimal(1), unit="calendar months"),
    )
    assert [[(limit.unit, limit.start) for limit in each.life] for each in (life, *lives)] == [
        [("h", "fitted"), ("calendar months", "fitted")],
        [("years", "made")],
        # A `from` at the end is meant for all before it that have none.
        [("h", "overhaul"), ("years", "overhaul")],
        [("years", "made"), ("h", "overhaul"), ("years", "fitted")],
    ]
    assert [str(limit) for each in lives for limit in each.life] == [
        "12 years from made",
        "2000 h from overhaul",
        "6 years from overhaul",
        "20 years from made",
        "2000 h from overhaul",
        "9 years",
    ]


BARRED = """\
---
panel: papers
name: Papers
zone: cabin
---
- [ ] `overhaul` Overhaul of the engine
  - every: 1800 h
  - bars: nothing
- [ ] `elt` Emergency locator transmitter
  - every: 12 calendar months
  - bars: flight
- [ ] `vor` VOR receivers
  - every: 30 days
  - bars: flight under IFR
- [ ] `tyres` Tyre pressures
  - every: 14 days
- [ ] `hose` A hose
  - life: 8 years
  - counts-on: hose
- [ ] `leaks` Leaks
  - owed-after: did oil-change
- [ ] `slip` A key that is nearly one
  - every: 10 h
  - bar: nothing
- [ ] `capital` A word that is nearly one
  - every: 10 h
  - bars: Nothing.
"""


def test_what_being_past_due_and_being_owed_bars() -> None:
    _, checks, source = read_checklist(BARRED, "checklists/papers.md")
    assert len(source.problems) == 2
    bars = {check.id: (check.bars_past_due, check.bars_owed) for check in checks}
    vor = Bars(what="flight under IFR")
    assert bars == {
        "overhaul": (NOTHING, NOTHING),
        "elt": (FLIGHT, FLIGHT),
        "vor": (vor, vor),
        "tyres": (NOTHING, FLIGHT),
        "hose": (FLIGHT, FLIGHT),
        "leaks": (NOTHING, FLIGHT),
        # What was written and cannot be read bars most.
        "slip": (FLIGHT, FLIGHT),
        "capital": (FLIGHT, FLIGHT),
    }
    assert [str(FLIGHT), str(NOTHING), str(vor)] == ["flight", "nothing", "flight under IFR"]


SETUP = """\
---
panel: on-jacks
name: On jacks
zone: aircraft
kind: setup
make: 15 min
undo: 10 min
people: 2
needs: [jacks]
tools: [jacks, tail stand]
caution: [Nobody inside., Pins in.]
second-look: yes
overnight: no
disturbs: [gear, tail]
not-while: [fuel-drained]
wait: 45 min after run-before
was: [jacked]
retired: 2031-04-02
---
"""


def test_setup_without_checks() -> None:
    panel, checks, source = read_checklist(SETUP, "checklists/aircraft/on-jacks.md")
    assert (source.problems, checks) == ([], [])
    assert panel is not None
    assert (panel.kind, panel.remove, panel.refit, panel.verbs) == ("setup", 15, 10, ("make", "undo"))
    assert (panel.needs, panel.tools) == (("jacks",), ("jacks", "tail stand"))
    assert panel.cautions == ("Nobody inside.", "Pins in.")
    assert (panel.second_look, panel.overnight, panel.was) == (True, False, ("jacked",))
    assert panel.disturbs == ("gear", "tail")
    assert (panel.not_while, panel.wait) == (("fuel-drained",), Lag(minutes=45, check="run-before"))
    assert panel.retired == Retired(date=dt.date(2031, 4, 2))


AIRCRAFT = """\
format: 1
aircraft: {registration: N0TS, make: Turnstone, model: TS-2, serial: "001", certificate-date: 2017-06-08}
meters:
  tach: {unit: h}
  landings: {unit: landings}
time-in-service: tach
positions: {engine: {}, magneto-left: {on: engine}, propeller: {}}
inspections:
  condition:
    every: 12 calendar months
    scope: part 43 appendix D
    statement: >-                    # copied by the owner from the aircraft's own operating limitations
      I certify that this aircraft has been inspected on {date} by its own list.
    signers: [repairman (experimental aircraft builder), mechanic (airframe and powerplant)]
people:
  - {name: Sample Builder, kind: repairman (experimental aircraft builder), certificate: "0000000"}
tooling: {jacks: 1}
not-applicable: {b3: no envelope or gas bags, e10: no floats or skis}
"""


def test_aircraft() -> None:
    aircraft, source = read_aircraft(AIRCRAFT, "records/aircraft.yaml")
    assert source.problems == []
    assert aircraft is not None
    identity = aircraft.identity
    assert (identity.registration, identity.make, identity.model) == ("N0TS", "Turnstone", "TS-2")
    assert identity.serial == "001"
    assert aircraft.certificate_date == dt.date(2017, 6, 8)
    assert {name: meter.unit for name, meter in aircraft.meters.items()} == {"tach": "h", "landings": "landings"}
    assert aircraft.time_in_service == "tach"
    assert {name: position.on for name, position in aircraft.positions.items()} == {
        "engine": None,
        "magneto-left": "engine",
        "propeller": None,
    }
    rule = aircraft.inspections["condition"]
    assert rule.every == (Limit(number=Decimal(12), unit="calendar months"),)
    assert rule.scope == "part 43 appendix D"
    assert rule.statement == "I certify that this aircraft has been inspected on {date} by its own list."
    assert rule.bars == FLIGHT
    assert rule.signers == ("repairman (experimental aircraft builder)", "mechanic (airframe and powerplant)")
    (person,) = aircraft.people
    assert (person.name, person.certificate) == ("Sample Builder", "0000000")
    assert aircraft.tooling == {"jacks": 1}
    assert aircraft.not_applicable == {"b3": "no envelope or gas bags", "e10": "no floats or skis"}
    assert (aircraft.crew, aircraft.soon) == (None, Soon())


def test_tooling_under_its_former_name_is_read_for_ever() -> None:
    aircraft, source = read_aircraft(AIRCRAFT.replace("tooling: {", "gear: {"), "records/aircraft.yaml")
    assert source.problems == []
    assert aircraft is not None
    assert aircraft.tooling == {"jacks": 1}


def test_tooling_under_both_names_is_a_problem() -> None:
    _, source = read_aircraft(AIRCRAFT + "gear: {stands: 2}\n", "records/aircraft.yaml")
    assert ["`gear` is its former name" in problem.message for problem in source.problems] == [True]


def test_aircraft_optional_keys() -> None:
    more = """\
crew: {people: 2, inspectors: 1}
soon: 10 h, 30 days, 10 landings
sessions: ["2026-11-28 09:00-12:30", "Saturday 09:00-12:30, 2 people, 1 inspector"]
"""
    aircraft, source = read_aircraft(AIRCRAFT + more, "records/aircraft.yaml")
    assert source.problems == []
    assert aircraft is not None
    assert aircraft.crew == Crew(people=2, inspectors=1)
    assert aircraft.soon == Soon(days=30, use={"h": Decimal(10), "landings": Decimal(10)})
    assert [(s.date, s.weekday, s.start, s.end, s.people) for s in aircraft.sessions] == [
        (dt.date(2026, 11, 28), None, 540, 750, None),
        (None, 5, 540, 750, 2),
    ]


def test_an_inspection_may_bar_less_than_flight() -> None:
    rule = "{every: 100 h, scope: own list, statement: I looked, signers: [owner], bars: nothing}"
    aircraft, source = read_aircraft(AIRCRAFT.replace("inspections:\n", f"inspections:\n  hundred: {rule}\n"), "a.yaml")
    assert source.problems == []
    assert aircraft is not None
    assert {name: rule.bars for name, rule in aircraft.inspections.items()} == {"hundred": NOTHING, "condition": FLIGHT}


RECORD = """\
format: 1
kind: work
date: 2026-05-14
entered: 2026-05-16
meters: {tach: 412.6}
did: [oil-change]
text: Changed the oil and the filter. No metal in the pleats.
by: {name: Sample Builder, kind: repairman (experimental aircraft builder), certificate: "0000000"}
"""


def test_record() -> None:
    record, source = read_record(RECORD, "records/2026/2026-05-14-oil-k3f9.yaml")
    assert source.problems == []
    assert isinstance(record, Work)
    assert record.name == "2026-05-14-oil-k3f9"
    assert (record.date, record.entered) == (dt.date(2026, 5, 14), dt.date(2026, 5, 16))
    assert record.meters == {"tach": Decimal("412.6")}
    assert record.did == ("oil-change",)
    assert record.text == "Changed the oil and the filter. No metal in the pleats."
    assert record.by is not None
    assert record.by.certificate == "0000000"


def test_the_ages_of_a_part() -> None:
    text = "format: 1\nkind: installed\ndate: 2026-05-14\nposition: hose\nserial: none\n"
    text += "made: 2024-02\nfitted-on: 2024-06-01\noverhauled: 2025-03-31\n"
    record, source = read_record(text, "records/2026/2026-05-14-hose.yaml")
    assert source.problems == []
    assert isinstance(record, Installed)
    # A label with a month alone: its first day, the safe side.
    assert (record.made, record.fitted_on) == (dt.date(2024, 2, 1), dt.date(2024, 6, 1))
    assert record.overhauled == dt.date(2025, 3, 31)


def test_a_part_brought_forward_has_ages_too() -> None:
    text = "format: 1\nkind: brought-forward\ndate: 2026-05-14\nmeters: {tach: {reads: 1, total: 1}}\n"
    text += "fitted: {hose: {serial: none, made: 2024-02, fitted-on: 2024-06}}\n"
    record, source = read_record(text, "records/2026/2026-05-14-start.yaml")
    assert source.problems == []
    assert isinstance(record, BroughtForward)
    (hose,) = record.fitted
    assert (hose.made, hose.fitted_on, hose.overhauled) == (dt.date(2024, 2, 1), dt.date(2024, 6, 1), None)


def test_a_special_flight_permit_beside_the_hours() -> None:
    text = "format: 1\nkind: hours\ndate: 2026-12-05\nmeters: {tach: 613.0}\npermit: special flight permit of today\n"
    record, source = read_record(text, "records/2026/2026-12-05-hours.yaml")
    assert source.problems == []
    assert isinstance(record, Hours)
    assert record.permit == "special flight permit of today"


WORKSHEET = """\
---
job: condition
aircraft: N0TS
begun: 2026-11-21
meters: {tach: 611.2}
inspector: Sample Builder
helpers: []
---
- [x] remove `cowl-lower` Lower cowling

- [x] `exhaust-stacks` Exhaust stacks, joints and hangers: cracks, leak stains, security
  - found: F1 crack, 8 mm, at the number 3 weld
    - fix: before flight
    - waiting: exhaust stack, ordered 2026-11-22
    - cleared: 2026-11-28 stack replaced; by: Sample Builder

- [x] `compression` Differential compression, engine warm
  - cylinder 1: 76 psi (at least 60)
  - cylinder 2: ____ psi (at least 60)

- [ ] `flap-track` Flap tracks and rollers
  - not applicable: no flaps on this aircraft

- [ ] `trim-grease` Grease the trim screw
  - not done: no grease in the hangar

- [ ] refit `cowl-lower` Lower cowling

- [ ] `count` Tools, rags and lights counted
"""


def test_worksheet() -> None:
    page, source = read_worksheet(WORKSHEET, "records/open/2026-11-21-condition-k3f9.md")
    assert source.problems == []
    assert page is not None
    assert (page.name, page.job, page.registration) == ("2026-11-21-condition-k3f9", "condition", "N0TS")
    assert (page.begun, page.meters) == (dt.date(2026, 11, 21), {"tach": Decimal("611.2")})
    assert (page.inspector, page.helpers) == ("Sample Builder", ())
    off, stacks, compression, flap, trim, refit, count = page.entries
    assert (off.verb, off.id, off.ticked, off.is_panel) == ("remove", "cowl-lower", True, True)
    (crack,) = stacks.findings
    assert (crack.id, crack.text, crack.check) == ("F1", "crack, 8 mm, at the number 3 weld", "exhaust-stacks")
    assert crack.fix == Fix()
    assert crack.waiting == "exhaust stack, ordered 2026-11-22"
    assert crack.cleared == Cleared(date=dt.date(2026, 11, 28), text="stack replaced", by="Sample Builder")
    first, second = compression.readings
    assert (first.label, first.value, first.measure, first.number) == ("cylinder 1", "76", "psi", Decimal(76))
    assert first.bound == Bound(low=Decimal(60))
    assert (second.label, second.value, second.measure, second.number) == ("cylinder 2", "", "psi", None)
    assert (flap.ticked, flap.answer, flap.reason) == (False, "not applicable", "no flaps on this aircraft")
    assert (trim.answer, trim.reason) == ("not done", "no grease in the hangar")
    assert (refit.verb, refit.ticked) == ("refit", False)
    assert (count.id, count.ticked, count.answered) == ("count", False, False)
    assert page.panels_off() == ("cowl-lower",)


MORE_WORDS = """\
---
job: work
aircraft: N0TS
begun: 2026-11-21
meters: {tach: ____}
---
- [x] `compression` Compression
  - cylinder 3: 58 psi (at least 60)
    - again: 68 psi after 5 min run
  - filter: clean, no metal (words)
  - note: cold morning
  - note: and wet
  - took: 25 min
  - by: Pip Ashtally
  - good until: 2027-05-31
  - second look by: ____
  - paper: W/O 1234
  - disturbed: static-system, cowl-lower
  - found: leak at the gasket
    - fix: by 2027-01-31
    - may wait because: weeps only
  - found: chafed tube
    - fix: by 430.0 h
    - may wait because: wrapped
  - found: dent
    - fix: at next condition inspection
    - may wait because: cosmetic

- [X] `2026-05-14-finding-k3f9#F1` cracked fairing (wheel-fairing-left; fix by 2027-01-31)
  - fix: by 2027-03-31
  - may wait because: part late
"""


def test_the_other_words_of_a_worksheet() -> None:
    page, source = read_worksheet(MORE_WORDS, "records/open/p.md")
    assert source.problems == []
    assert page is not None
    assert (page.meters, page.job) == ({}, "work")
    check, standing = page.entries
    three, words = check.readings
    assert (three.value, three.again, three.number) == ("58", ("68 psi after 5 min run",), Decimal(68))
    assert not three.out_of_limits
    assert (words.label, words.value, words.measure, words.number) == ("filter", "clean, no metal", "words", None)
    assert check.notes == ("cold morning", "and wet")
    assert (check.took, check.by, check.good_until) == (25, "Pip Ashtally", "2027-05-31")
    assert (check.second_look, check.paper) == ("", "W/O 1234")
    assert check.disturbed == ("static-system", "cowl-lower")
    assert [(f.id, str(f.fix), f.may_wait) for f in check.findings] == [
        ("F1", "by 2027-01-31", "weeps only"),
        ("F2", "by 430.0 h", "wrapped"),
        ("F3", "at next condition inspection", "cosmetic"),
    ]
    assert standing.is_standing
    assert (standing.ticked, standing.fix, standing.may_wait) == (True, Fix(by_date=dt.date(2027, 3, 31)), "part late")


@pytest.mark.parametrize("key", ["registration", "certificate-date", "meters", "time-in-service"])
def test_without_what_it_cannot_be_told_by_there_is_no_aircraft(key: str) -> None:
    """Each stands on a line or between commas of its own; what is left is a file that is only short of it."""
    lines = [
        "format: 1",
        "aircraft:",
        "  registration: N0TS",
        "  make: Turnstone",
        "  model: TS-2",
        "  serial: '001'",
        "  certificate-date: 2017-06-08",
        "meters: {tach: {unit: h}}",
        "time-in-service: tach",
        "people: []",
        "inspections: {}",
    ]
    whole, _ = read_aircraft("\n".join(lines), "records/aircraft.yaml")
    short, source = read_aircraft("\n".join(each for each in lines if key not in each), "records/aircraft.yaml")
    assert whole is not None
    assert short is None
    assert any(key in problem.message for problem in source.problems)
