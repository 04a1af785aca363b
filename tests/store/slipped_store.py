"""A small store with every kind of record and nearly every key that a person writes: README's, and what that leaves."""

from pathlib import Path

from tests.cli.readme import BY_HAND

POSITIONS = "positions: {engine: {}, magneto-left: {on: engine}, propeller: {}}"
MORE_POSITIONS = (
    "positions: {engine: {}, magneto-left: {on: engine}, propeller: {}, transponder: {bars: the transponder}}"
)
AIRCRAFT = """\
balance:
  units: lb, in
  datum: leading edge of the wing at the root
  source: operating limitations, paragraph 9
  seats: {left: {arm: 21.0 in, weighs: 120 lb to 230 lb}, right: {arm: 21.0 in, weighs: 90 lb to 230 lb}}
  baggage: {shelf: {arm: 46.0 in, limit: 50 lb}}
  tanks: {left: {arm: 24.0 in, holds: 12 gal}, right: {arm: 24.0 in, holds: 12 gal}}
  burn: [left and right]
  fuel: 6 lb/gal
  power: 100 hp
  always: [{item: first aid kit, weight: 3.5 lb, arm: 40.0 in}, {item: engine oil, weight: 11.0 lb, arm: -30.0 in}]
  mac: {leading-edge: 2.0 in, length: 48.0 in}
  limits: {weight: 1320 lb}
  envelope: [{arm: 12.5 in, weight: 850 lb}, {arm: 12.5 in, weight: 1050 lb}, {arm: 14.0 in, weight: 1320 lb}, \
{arm: 19.5 in, weight: 1320 lb}, {arm: 19.5 in, weight: 850 lb}]
  loadings:
    - {name: "two, bags", seats: {left: 185 lb, right: 135 lb}, fuel: {left: full, right: 2 gal}, \
baggage: {shelf: 40 lb}}
tables:
  cable-tension: {at: °F, gives: lb, rows: [{at: 30, from: 20, to: 30}, {at: 90, from: 32, to: 42}], source: drawing 7}
soon: 10 h, 30 days, 10 landings
crew: {people: 2, inspectors: 1}
sessions: [Saturday 09:00-12:30]
visits: {minutes: 45 min, weekdays: [Saturday], not-in: [August], flying-season: [June, July], hour: 25, currency: USD}
lead-times: {oil filter: 10 days, engine: 12 months}
flight-check-after: [flight-controls, rigging, propeller-pitch]
papers: [{what: airframe log, at: hangar office}]
"""
CABIN = """\
---
panel: cabin-floor
name: Cabin floor
zone: cabin
remove: 10 min
refit: 15 min
disturbs: flight-controls
---
- [ ] `compression` Differential compression, engine warm
  - every: condition inspection
  - covers: d3
  - reads: cylinder 1 to 2, psi, at least 60, falls at most 10 in 100 h
- [ ] `cable-tension` Tension of the cables
  - every: 6 months
  - reads: temperature, °F, 20 to 100
  - reads: left, lb, by cable-tension at temperature
- [ ] `elt-battery` Battery of the emergency transmitter
  - every: as marked
  - bars: flight
- [ ] `transponder-test` Test of the transponder
  - every: 24 calendar months
  - who: others: repair station
  - bars: the transponder
  - costs: 180
- [ ] `fuel-hoses` Fuel hoses
  - life: 12 years from made or 2000 h
  - counts-on: engine
- [ ] `propeller-overhaul` Overhaul of the propeller
  - life: 6 years from overhaul or 600 h from overhaul
  - counts-on: propeller
- [ ] `tyres` Tyres and brakes
  - every: 200 landings
  - grace: 20 landings
  - source: maker of the wheels
- [ ] `propeller-nuts` Nuts of the propeller
  - every: 50 h
  - first: 1 h, 10 h
  - counts-on: propeller
  - grace: 5 h
  - source: maker of the propeller
- [ ] `magneto-timing` Timing of the magneto
  - every: condition inspection
  - owed-after: installed magneto-left
  - reads: left, deg, 24 to 26
- [ ] `rust-proofing` Rust proofing of the spar
  - once: 2027-06-08
  - retired: 2030-01-01, spar renewed by then
"""
OUTSIDE = """\
---
panel: outside
name: Outside
zone: cabin
---
- [ ] `controls` Controls: free, and in the right sense
  - when: closed
  - owed-after: disturbed flight-controls
  - second-look: yes
"""
PAST = """\
format: 1
kind: brought-forward
date: 2026-05-01
meters: {tach: {reads: 402.0, total: 402.0}, landings: {reads: 611, total: 611}}
last:
  condition: {date: 2026-03-14, tach: 380.2, paper: aircraft log p. 31}
  oil-change: {date: 2026-03-14, tach: 380.2}
  compression: {date: 2026-03-14, tach: 380.2}
  elt-battery: {date: 2025-06-01, good-until: 2029-05-31}
  transponder-test: {date: 2025-06-14, tach: 321.0}
  tyres: {date: 2026-03-14, landings: 590}
  propeller-nuts: {date: 2026-03-14, tach: 380.2}
fitted:
  engine: {serial: "00123", part: Makers E-4, since-new: 402.0, made: 2017-02-01, fitted-on: 2017-06-08}
  magneto-left: {serial: M-77, part: Makers M-4, since-new: 402.0, fitted-on: 2017-06-08}
  propeller: {serial: P-5, part: Makers P-2, since-new: 702.0, since-overhaul: 120.0, overhauled: 2023-04-12, \
made: 2015-03-01, fitted-on: 2023-05-02}
"""
YEAR = "records/2026"
RECORDS = {
    "2026-05-15-work-mb3c": """\
kind: work
meters: {tach: 413.5, landings: 640}
did: [compression, tyres]
opened: [cabin-floor]
disturbed: [flight-controls]
left-owed: [controls]
parts: [oil filter, tube 5.00-5]
readings:
  compression: {cylinder 1: 76 psi (at least 60), cylinder 2: 78 psi (at least 60)}
results: {compression: {answer: done, recheck: 50 h, notes: [a little blow-by]}}
findings: {F1: {check: tyres, found: cut in the left tyre, fix: "by 500.0 h", may wait because: shallow}}
flight-check: {done: 2026-05-16, pilot: {name: Ann Lee, kind: private pilot, certificate: "123"}, words: flew well}
at: Upper Meadow
by: Sample Builder
""",
    "2026-05-16-controls-mb4c": """\
kind: work
meters: {tach: 413.5}
did: [controls]
text: Checked the controls.
results: {controls: {answer: done, second-look: Pip Ash}}
by: Sample Builder
""",
    "2026-05-18-finding-mk4c": """\
kind: finding
meters: {tach: 414.0}
found: crack in the cabin floor
check: controls
fix: by 2026-12-31
may wait because: short and stop-drilled
recheck: 25 h
waiting: doubler, ordered 2026-05-18
by: Sample Builder
""",
    "2026-05-19-finding-nk4c": """\
kind: finding
found: exhaust leak
check: exhaust-stacks
fix: before flight
by: Sample Builder
""",
    "2026-05-20-work-ok4c": """\
kind: work
meters: {tach: 414.6}
clears: [2026-05-19-finding-nk4c#F1]
did: [exhaust-stacks, elt-battery]
next: {elt-battery: 2031-05-31}
text: gasket renewed, battery renewed
by: Sample Builder
""",
    "2026-05-22-transponder-pk4c": """\
kind: installed
meters: {tach: 415.0}
position: transponder
serial: T-3
part: Makers T-1
since-new: 0
made: 2026-01-10
fitted-on: 2026-05-22
no change: same type
by: Sample Builder
""",
    "2026-06-13-weighing-qk4c": """\
kind: weighing
points:
  - {at: left main, scale: 364.0 lb, tare: 2.0 lb, arm: 25.0 in}
  - {at: right main, scale: 362.5 lb, tare: 2.0 lb, arm: 25.0 in}
  - {at: nose, scale: 126.5 lb, tare: 1.5 lb, arm: -38.0 in}
aboard: [{item: spirit level, weight: 4.0 lb, arm: 42.0 in}, {item: tool bag, weight: 9.5 lb, arm: 30.0 in}]
missing: [{item: seat cushion, weight: 2.5 lb, arm: 21.0 in}]
datum: leading edge of the wing at the root
level: cabin floor rails level
unusable-fuel: in both tanks, part of the empty weight
oil: drained
by: Sample Builder
""",
    "2026-06-25-radio-out-rk4c": """\
kind: equipment
item: second radio
weight: 2.4 lb
arm: 14.0 in
change: out
by: Sample Builder
""",
    "2026-06-26-beacon-sk4c": """\
kind: equipment
item: beacon
weight: 1.2 lb
arm: 60.0 in
change: in
by: Sample Builder
""",
    "2026-07-03-hours-tk4c": """\
kind: hours
meters: {tach: 9.2, landings: 690}
added: {oil: 1.5 qt}
""",
    "2026-07-04-phase-uk4c": """\
kind: phase
meters: {tach: 9.9}
during: flight-test
by: Sample Builder
""",
    "2026-07-07-ad-vk4c": """\
kind: directive
number: AD-7
issuer: the authority
subject: screws of the magneto
authority: airworthiness directive
on: magneto-left
part: Makers M-4
serial: M-91
revision: B
issued: 2026-06-30
applies: "yes"
once: within 25 h
check: magneto-timing
method: torque
by: Sample Builder
""",
    "2026-07-07-ad-wk4c": """\
kind: directive
number: AD-9
issuer: the authority
subject: blades
authority: airworthiness directive
on: propeller
applies: {no: other serials}
by: Sample Builder
""",
    "2026-07-07-letter-xk4c": """\
kind: directive
number: SB-3
issuer: maker of the engine
subject: oil screen
authority: maker's letter
on: engine
issued: 2026-03-01
applies: "yes"
once: by 2026-12-31
done-on: 2026-05-14
done: screen looked at
done-by: Sample Builder
by: Sample Builder
""",
    "2026-07-08-sealant-yk4c": """\
kind: stock
item: sealant
amount: 3
lot: "88"
good-until: 2027-04-30
opened-on: 2026-07-01
good-for: 6 months
costs: 12
""",
    "2026-07-09-rigging-zk4c": """\
kind: setting
meters: {tach: 10.0}
setting: rigging
on: cabin-floor
from: 3 turns
to: 4 turns
because: left wing heavy
flight-check: required
by: Sample Builder
""",
    "2026-07-10-work-ak5c": """\
kind: work
meters: {tach: 10.4}
did: [cable-tension, magneto-timing]
readings:
  cable-tension: {temperature: 60 °F, left: 30 lb (26 to 36)}
  magneto-timing: {left: 25 deg (24 to 26)}
flight-check: {not needed: measured only}
by: Sample Builder
""",
    "2026-07-11-engine-bk5c": """\
kind: change
what: landing light of another maker
answer: not decided
by: Sample Builder
""",
    "2026-07-12-hours-ck5c": """\
kind: hours
meters: {tach: 14.0, landings: 700}
""",
}
PAGE = """\
---
job: work
aircraft: N0TS
begun: 2026-07-13
meters: {tach: 14.0}
inspector: Sample Builder
helpers: [Pip Ash]
---
- [x] remove `cowl-lower` Lower cowling

- [x] `exhaust-stacks` Exhaust stacks, joints and hangers: cracks, leak stains, security
  - found: F1 crack, 8 mm
    - fix: by 2026-09-30
    - may wait because: short
  - took: 25 min

- [ ] `oil-change` Change the oil and the filter; cut the filter open and look for metal
  - used: ____ (planned: 6 qt engine oil; 1 oil filter)

- [ ] refit `cowl-lower` Lower cowling
"""


def write_small(root: Path) -> Path:
    """The store, written into a folder."""
    files = dict(BY_HAND)
    aircraft = files["records/aircraft.yaml"].replace(POSITIONS, MORE_POSITIONS)
    person = '\n  - {name: Sample Builder, kind: repairman (experimental aircraft builder), certificate: "0000000"}\n'
    assert person in aircraft
    helpers = "  - {name: Pip Ash, kind: helper}\n  - {name: Rita Mech, kind: mechanic (airframe and powerplant), "
    helpers += 'certificate: "1111111"}\n'
    aircraft = aircraft.replace(person, person + helpers)
    files["records/aircraft.yaml"] = aircraft + AIRCRAFT
    files["records/2026/2026-05-01-brought-forward-b2qt.yaml"] = PAST
    files["checklists/cabin/cabin-floor.md"] = CABIN
    files["checklists/cabin/outside.md"] = OUTSIDE
    for name, text in RECORDS.items():
        files[f"records/{name[:4]}/{name}.yaml"] = f"format: 1\ndate: {name[:10]}\n{text}"
    files["records/open/2026-07-13-exhaust-stacks-hd7c.md"] = PAGE
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root
